"""Calendar files: read back by a library, and held against RFC 5545's own rules."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from icalendar import Calendar

from builds import a_build
from pennyspeed.domain.builds import Build, Line
from pennyspeed.domain.errors import UnwritableFile, UserError
from pennyspeed.domain.money.calendar import ItemKind, Leads, agenda
from pennyspeed.domain.money.lines import Status
from pennyspeed.services.money.dates import calendar_bytes, write_calendar

D = Decimal
TODAY = date(2027, 3, 10)
EVENT = date(2027, 4, 10)
NOW = datetime(2027, 3, 10, 14, 30, 5, 999, tzinfo=UTC)
LEADS = Leads(said={"seed box": 6})
AWKWARD = 'Wheels, front; "wide" \\ 65 mm\nwith tyres ' + "überlang – " * 12


def the_build(*more: Line) -> Build:
    lines = (
        Line("motor", "Greenhouse 3100", D(1), D(64), supplier="Seed box"),
        Line("", AWKWARD, D(1), D(9), Status.ORDERED, order="A-17; 2", arrives=date(2027, 3, 20)),
        Line("", "paint", unit_price=None),
        *more,
    )
    return replace(a_build(), lines=lines, event_date=EVENT, code="K7PQ")


def the_bytes(build: Build, now: datetime = NOW) -> bytes:
    return calendar_bytes(build, agenda(build, LEADS, TODAY), now)


def events(data: bytes) -> dict[str, Any]:
    """Return the events by their category, as the library reads them."""
    calendar = Calendar.from_ical(data)
    return {str(event["categories"].cats[0]): event for event in calendar.walk("VEVENT")}


def test_every_item_with_a_day_comes_back_as_a_whole_day() -> None:
    found = events(the_bytes(the_build()))
    assert set(found) == {"order by", "arrives", "event"}
    days = {kind: event.decoded("dtstart") for kind, event in found.items()}
    assert days == {
        "order by": date(2027, 4, 3),
        "arrives": date(2027, 3, 20),
        "event": EVENT,
    }
    assert not any(isinstance(day, datetime) for day in days.values())
    # RFC 5545 3.8.2.7: it takes nobody's time, so that the day stays free
    assert {str(event["transp"]) for event in found.values()} == {"TRANSPARENT"}


def test_awkward_text_comes_back_as_it_was() -> None:
    build = the_build()
    items = {item.kind: item for item in agenda(build, LEADS, TODAY)}
    event = events(the_bytes(build))["arrives"]
    assert str(event["summary"]) == items[ItemKind.ARRIVES].text
    assert AWKWARD in str(event["summary"])
    assert str(event["description"]) == "Order A-17; 2"


def test_what_is_to_be_ordered_rings_the_day_before_and_nothing_else_does() -> None:
    found = events(the_bytes(the_build()))
    (alarm,) = found["order by"].walk("VALARM")
    # RFC 5545 3.6.6: a display alarm has an action, a trigger and a description
    assert str(alarm["action"]) == "DISPLAY"
    assert str(alarm["description"]).startswith("Order Greenhouse 3100")
    rings = datetime.combine(date(2027, 4, 3), datetime.min.time()) + alarm.decoded("trigger")
    assert rings.date() == date(2027, 4, 2)
    assert not found["arrives"].walk("VALARM")
    assert not found["event"].walk("VALARM")


def test_lines_end_and_fold_as_the_standard_says() -> None:
    data = the_bytes(the_build())
    # RFC 5545 3.1: lines end with CR LF and have at most 75 octets without it
    assert data.endswith(b"\r\n")
    lines = data.split(b"\r\n")
    assert not any(b"\r" in line or b"\n" in line for line in lines)
    assert max(map(len, lines)) <= 75
    assert any(line.startswith(b" ") for line in lines)
    for line in lines:
        line.decode()  # no character is cut in two, which is good manners and no rule


def test_the_required_properties_are_there_once() -> None:
    text = re.sub(r"\r\n[ \t]", "", the_bytes(the_build()).decode())
    head = text.split("BEGIN:VEVENT", 1)[0]
    # RFC 5545 3.6 and 3.6.1: PRODID and VERSION once, and of every event UID, DTSTAMP, DTSTART
    assert re.findall(r"^VERSION:(.*)\r$", head, re.M) == ["2.0"]
    assert len(re.findall(r"^PRODID:\S", head, re.M)) == 1
    blocks = re.findall(r"BEGIN:VEVENT\r\n(.*?)END:VEVENT", text, re.S)
    assert len(blocks) == 3
    for block in blocks:
        assert len(re.findall(r"^UID:\S", block, re.M)) == 1
        # 3.8.7.2: DTSTAMP is in UTC; 3.3.4: a day has eight digits
        assert re.findall(r"^DTSTAMP:(.*)\r$", block, re.M) == ["20270310T143005Z"]
        assert len(re.findall(r"^DTSTART;VALUE=DATE:\d{8}\r$", block, re.M)) == 1
    uids = re.findall(r"^UID:(.*)\r$", text, re.M)
    assert len(set(uids)) == 3


def identifiers(build: Build) -> dict[str, str]:
    return {kind: str(event["uid"]) for kind, event in events(the_bytes(build)).items()}


def test_an_event_keeps_its_identifier_when_other_lines_or_days_change() -> None:
    build = the_build()
    before = identifiers(build)
    shifted = replace(build, lines=(Line("", "glue", unit_price=D(3)), *build.lines))
    assert identifiers(shifted) == before
    later = replace(build, event_date=EVENT + timedelta(days=7))
    assert identifiers(later) == before
    # what was to be ordered and then comes is one event that moves
    motor = replace(build.lines[0], status=Status.ORDERED, arrives=date(2027, 3, 22))
    moved = replace(build, lines=(motor, build.lines[2]))
    assert identifiers(moved)["arrives"] == before["order by"]
    assert set(identifiers(replace(build, code="OTHER")).values()).isdisjoint(before.values())


def test_two_lines_of_one_name_are_two_events() -> None:
    line = Line("", "spare set", D(1), D(9), Status.ORDERED, arrives=date(2027, 3, 21))
    calendar = Calendar.from_ical(the_bytes(the_build(line, line)))
    uids = [str(event["uid"]) for event in calendar.walk("VEVENT")]
    assert len(uids) == len(set(uids)) == 5


def test_the_file_is_written_whole_or_not_at_all(tmp_path: Path) -> None:
    build, path = the_build(), tmp_path / "dates.ics"
    items = agenda(build, LEADS, TODAY)
    write_calendar(build, items, path, NOW)
    assert path.read_bytes() == the_bytes(build)
    with pytest.raises(UnwritableFile):
        write_calendar(build, items, tmp_path / "nowhere" / "dates.ics", NOW)


def test_a_build_without_a_day_makes_no_file(tmp_path: Path) -> None:
    build = replace(the_build(), event_date=None, lines=())
    path = tmp_path / "dates.ics"
    with pytest.raises(UserError, match="nothing with a day yet"):
        write_calendar(build, agenda(build, LEADS, TODAY), path, NOW)
    assert not path.exists()
