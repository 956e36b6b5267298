"""Days: what is open, soonest first, worked by the keyboard."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from icalendar import Calendar
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.shopping.days import DaysPage
from pennyspeed.desktop.widgets.tables.editable_table import EditableTable
from pennyspeed.desktop.window import Window
from pennyspeed.domain.checks import Level
from pennyspeed.domain.money.calendar import Item, ItemKind
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.services.shopping.agenda_rows import SOON_DAYS, level_of

Key = Qt.Key
Press = Callable[..., None]
TODAY = date.today()


def texts(table: EditableTable) -> list[list[str]]:
    model = table.entries_model
    columns = range(model.columnCount())
    return [[model.cell(row, column).text for column in columns] for row in range(model.rowCount())]


def set_lines(window: Window) -> None:
    """The motor overdue, the pack planned at a shop that takes six days, the rest in the drawer."""
    session = window.session
    assert session.bench.build is not None
    session.file.workshop.suppliers.save(Supplier("Seed box", lead_days=6))
    after = replace(session.bench.build, event_date=TODAY + timedelta(days=20), orders=())
    for place, line in enumerate(after.lines):
        bare = replace(line, order="", arrives=None, arrived=None, ordered=None, came=None)
        if line.part == "motor":
            late = TODAY - timedelta(days=2)
            new = replace(bare, status=Status.ORDERED, ordered=late, arrives=late)
        elif line.part == "pack":
            new = replace(bare, status=Status.PLANNED, supplier="Seed box")
        elif line.part == "chassis":
            start = TODAY - timedelta(days=30)
            came = start + timedelta(days=9)
            new = replace(
                bare, status=Status.RECEIVED, supplier="Post counter", ordered=start, arrived=came
            )
        else:
            new = replace(bare, status=Status.OWNED)
        after = after.with_line(place, new)
    assert session.builds.change(after, "set lines", "put lines back")


@pytest.fixture
def page(window: Window, shortcut: Callable[[str], None], qtbot: QtBot) -> DaysPage:
    set_lines(window)
    shortcut("Ctrl+Alt+D")
    found = window.pages.currentWidget()
    assert isinstance(found, DaysPage)
    qtbot.waitUntil(lambda: not window.money_pages.shopping.is_learning)
    return found


def test_what_is_open_stands_soonest_first_with_sign_word_and_day(page: DaysPage) -> None:
    assert QApplication.focusWidget() is page.agenda
    rows = texts(page.agenda)
    assert [row[0] for row in rows][:3] == ["overdue", "order by", "event"]
    model = page.agenda.entries_model
    assert [model.cell(row, 0).level for row in range(3)] == [Level.STOP, Level.OK, None]
    assert rows[0][2] == "2 days ago"
    # 20 days to the event, 6 for the post and one to spare: by the calendar, 13 are left.
    assert rows[1][2] == "in 13 days"
    assert "Order" in rows[1][3]
    assert "6 days" in rows[1][3]
    assert "1 overdue, 1 to order" in page.note.text
    index = model.index(0, 0)
    assert "stop" in str(model.data(index, Qt.ItemDataRole.AccessibleTextRole))


def test_an_order_that_is_due_within_a_week_is_marked() -> None:
    soon = TODAY + timedelta(days=SOON_DAYS)
    item = Item(ItemKind.ORDER_BY, soon, "pack", "Order it")
    assert level_of(item, TODAY) is Level.WARN
    assert level_of(item, TODAY - timedelta(days=1)) is Level.OK


def test_the_mark_comes_seven_days_before_the_order_is_due(page: DaysPage, press: Press) -> None:
    """A week: own judgement. The event is in 20 days, one of them spare, 11 or 12 for the post."""
    for takes, level in (("11", Level.OK), ("12", Level.WARN)):
        assert page.suppliers.stand_on_key("Seed box", 1)
        press(Key.Key_Return, to=page.suppliers)
        press(takes, Key.Key_Return)
        row = next(i for i, one in enumerate(texts(page.agenda)) if one[0] == "order by")
        assert page.agenda.entries_model.cell(row, 0).level is level, takes


def test_enter_goes_to_the_line_and_escape_back_to_where_one_was(
    page: DaysPage, window: Window, press: Press, shortcut: Callable[[str], None]
) -> None:
    press(Key.Key_Escape)
    assert window.pages.currentWidget() is window.home.widget
    shortcut("Ctrl+Alt+D")
    press(Key.Key_Return)
    assert window.row.chosen == "money"
    panel = window.pages.currentWidget()
    assert panel.isAncestorOf(QApplication.focusWidget())
    assert window.session.bench.build is not None
    motor = next(i for i, one in enumerate(window.session.bench.build.lines) if one.part == "motor")
    here = panel.model.rows[panel.table.currentIndex().row()]  # type: ignore[attr-defined]
    assert here.index == motor


def test_what_a_shop_says_is_edited_in_place_and_moves_the_day_and_undo_moves_it_back(
    page: DaysPage, window: Window, press: Press, shortcut: Callable[[str], None]
) -> None:
    table = page.suppliers
    assert table.stand_on_key("Seed box", 1)
    press(Key.Key_Return, to=table)
    press("9 days", Key.Key_Return)
    assert texts(page.agenda)[1][2] == "in 10 days"
    assert QApplication.focusWidget() is table
    shortcut("Ctrl+Z")
    assert texts(page.agenda)[1][2] == "in 13 days"
    shortcut("Ctrl+Shift+Z")
    assert texts(page.agenda)[1][2] == "in 10 days"


def test_how_long_past_orders_took_stands_beside_what_the_shop_says(page: DaysPage) -> None:
    rows = {row[0]: row for row in texts(page.suppliers)}
    assert rows["Post counter"][1:3] == ["not known", "9, once"]
    assert rows["Seed box"][1:3] == ["6", "not known"]


def test_what_comes_is_learned_at_once(page: DaysPage, window: Window, qtbot: QtBot) -> None:
    """Ordered 2 days ago by the fixture, come today."""
    build = window.session.bench.build
    assert build is not None
    place = next(i for i, one in enumerate(build.lines) if one.part == "motor")
    line = replace(build.lines[place], status=Status.RECEIVED, supplier="Slow boat", arrived=TODAY)
    window.session.builds.change(build.with_line(place, line), "came", "put back")
    qtbot.waitUntil(lambda: not window.money_pages.shopping.is_learning)
    rows = {row[0]: row for row in texts(page.suppliers)}
    assert rows["Slow boat"][2] == "2, once"


def test_tab_goes_through_the_page_and_on(page: DaysPage, press: Press) -> None:
    stops = []
    for _ in range(3):
        stops.append(QApplication.focusWidget())
        press(Key.Key_Tab)
    assert stops == [page.agenda, page.write_button, page.suppliers]


def test_bad_days_say_one_sentence_and_keep_what_was_typed(page: DaysPage, press: Press) -> None:
    table = page.suppliers
    assert table.stand_on_key("Seed box", 1)
    press(Key.Key_Return, to=table)
    press("soon", Key.Key_Return)
    assert table.editor.is_open
    assert table.editor.text() == "soon"
    assert "'soon' was given, expected a whole number of days" in table.editor.complaint
    press(Key.Key_Escape)
    assert texts(table)[[row[0] for row in texts(table)].index("Seed box")][1] == "6"


def test_the_calendar_file_holds_every_day_there_is(page: DaysPage, tmp_path: Path) -> None:
    """Read back by the icalendar package (RFC 5545)."""
    path = tmp_path / "days.ics"
    page.write(path)
    events = Calendar.from_ical(path.read_bytes()).walk("VEVENT")
    days = sorted(event.decoded("dtstart") for event in events)
    assert days == sorted(item.day for item in page.items if item.day is not None)
    assert len(days) >= 3
