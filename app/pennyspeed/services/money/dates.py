"""Dates for other calendars: a build's agenda as an iCalendar file (RFC 5545)."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import TYPE_CHECKING
from uuid import NAMESPACE_URL, uuid5

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import UserError
from pennyspeed.domain.money.calendar import Item, ItemKind
from pennyspeed.services.whole_files import write_whole

if TYPE_CHECKING:
    from icalendar import Event

SUFFIX = ".ics"
_PRODUCT = "-//Pennyspeed//Dates of a build//EN"
_REMINDER = timedelta(hours=-15)
"""Nine in the morning of the day before; a whole day begins at midnight."""


def calendar_bytes(build: Build, items: Iterable[Item], now: datetime | None = None) -> bytes:
    """Return an iCalendar file of the items that have a day, each an event of that whole day.

    An event keeps its identifier while its line stays in the build, so that a calendar which reads
    a newer file changes what it has. What is to be ordered rings the day before.

    Parameters
    ----------
    now : datetime, optional
        When the file is made, with its zone.

    Raises
    ------
    UserError
        Nothing has a day: a calendar without an event is none.
    """
    dated = [item for item in items if item.day is not None]
    if not dated:
        raise UserError(f"{build.name} has nothing with a day yet; set the day of its event.")
    from icalendar import Calendar  # only where somebody wants such a file

    calendar = Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    calendar.add("name", build.name)
    stamp = (now or datetime.now(UTC)).astimezone(UTC).replace(microsecond=0)
    uids = _identifiers(build)
    for item in dated:
        calendar.add_component(_event(item, stamp, uids[item.index]))
    return bytes(calendar.to_ical())


def write_calendar(
    build: Build, items: Iterable[Item], path: Path | str, now: datetime | None = None
) -> None:
    """Write :func:`calendar_bytes` to a file, all of it or nothing.

    Raises
    ------
    UserError
        Nothing has a day.
    UnwritableFile
        The folder or the disk takes no file; what was there is left as it was.
    """
    write_whole(path, calendar_bytes(build, items, now))


def _event(item: Item, stamp: datetime, uid: str) -> Event:
    from icalendar import Alarm, Event

    event = Event()
    event.add("uid", uid)
    event.add("dtstamp", stamp)
    event.add("dtstart", item.day)
    event.add("summary", item.text)
    if item.order:
        event.add("description", f"Order {item.order}")
    event.add("categories", [item.kind.value])
    event.add("transp", "TRANSPARENT")
    if item.kind is ItemKind.ORDER_BY:
        alarm = Alarm()
        alarm.add("action", "DISPLAY")
        alarm.add("description", item.text)
        alarm.add("trigger", _REMINDER)
        event.add_component(alarm)
    return event


def _identifiers(build: Build) -> dict[int | None, str]:
    """Return an identifier for every line and for the event itself.

    A line is known by what it is for and its name, and lines of one name by their order: places
    shift whenever a line goes.
    """
    seen: Counter[tuple[str, str]] = Counter()
    whose = build.code or build.name
    found: dict[int | None, str] = {None: str(uuid5(NAMESPACE_URL, f"pennyspeed:{whose}:event"))}
    for index, line in enumerate(build.lines):
        name = (line.part, line.name)
        seen[name] += 1
        text = f"pennyspeed:{whose}:line:{line.part}:{line.name}:{seen[name]}"
        found[index] = str(uuid5(NAMESPACE_URL, text))
    return found
