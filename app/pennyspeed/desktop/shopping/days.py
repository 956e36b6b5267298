"""Days: what is open, overdue or missing, soonest first, and how long each shop takes."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFileDialog, QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shopping.shopping import Shopping
from pennyspeed.desktop.shopping.suppliers import SuppliersTable
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.editable_table import EditableTable
from pennyspeed.desktop.widgets.editable_table_model import Cell, ColumnHead, TableRow
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.page import Page, Paragraph
from pennyspeed.desktop.widgets.painted_table import is_plain
from pennyspeed.domain.checks import Level
from pennyspeed.domain.money.calendar import Item, ItemKind, agenda
from pennyspeed.domain.money.days import say_day, say_days
from pennyspeed.services.money.dates import SUFFIX, write_calendar

HEADS = (
    ColumnHead("", "What kind of day it is."),
    ColumnHead("day", "When something is to be done, or comes.", True),
    ColumnHead("left", "From today."),
    ColumnHead("what", "What to do, or what happens.", grows=True),
)
SOON_DAYS = 7
"""An order that is due within so many days is marked (own judgement)."""
EMPTY = (
    "Nothing is open. What is planned or ordered stands here once the speed day in the top line is "
    "set, or a day is known on which it comes."
)


def level_of(item: Item, today: date) -> Level | None:
    """Return the sign of an item; None for the event itself."""
    match item.kind:
        case ItemKind.OVERDUE:
            return Level.STOP
        case ItemKind.LATE:
            return Level.WARN
        case ItemKind.ORDER_BY:
            is_soon = item.day is not None and (item.day - today).days <= SOON_DAYS
            return Level.WARN if is_soon else Level.OK
        case ItemKind.ARRIVES:
            return Level.OK
        case ItemKind.EVENT:
            return None
        case _:
            return Level.UNKNOWN


def say_left(day: date | None, today: date) -> str:
    """Return how far a day is.

    >>> say_left(date(2027, 3, 4), date(2027, 3, 3)), say_left(None, date(2027, 3, 3))
    ('in a day', '')
    """
    if day is None:
        return ""
    left = (day - today).days
    if left == 0:
        return "today"
    return f"in {say_days(left)}" if left > 0 else f"{say_days(-left)} ago"


class DaysPage(Page):
    """The agenda above, the shops below; Enter goes to the line.

    Parameters
    ----------
    session : Session
    shopping : Shopping
    today : callable, optional
        Returns the day that it is.

    Signals
    -------
    line_wanted(int)
        The person goes to a line of the build, by its place.
    """

    line_wanted = Signal(int)
    place = "days"

    def __init__(
        self,
        session: Session,
        shopping: Shopping,
        today: Callable[[], date] = date.today,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__("Days", parent)
        self._session, self._shopping, self._today = session, shopping, today
        self.items: tuple[Item, ...] = ()
        self.agenda = EditableTable("days", HEADS, EMPTY)
        self.write_push = Button("write a calendar file", self)
        self.shops_title = Label("heading", self)
        self.shops_title.say("How long shops take")
        self.suppliers = SuppliersTable(session, shopping)
        self.whole = Paragraph(1, self)
        self.add(self.agenda, 3)
        self.add(self.whole)
        self.add_foot(self.write_push)
        self.add_strip(40, self.shops_title)
        self.add(self.suppliers, 2)
        self.setFocusProxy(self.agenda)
        self.order_tab(self.agenda, self.write_push, self.suppliers)
        self.agenda.acted.connect(self._go_to_line)
        self.agenda.moved.connect(self._say_whole)
        self.agenda.left_behind.connect(self.closed)
        self.suppliers.left_behind.connect(self.closed)
        self.write_push.clicked.connect(self.ask_and_write)
        session.bench.build_changed.connect(self.refresh)
        shopping.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show what is open now."""
        build, today = self._session.bench.build, self._today()
        self.items = () if build is None else agenda(build, self._shopping.leads(), today)
        entries = [
            TableRow((item.kind, item.index, item.what), self._cells(item, today))
            for item in self.items
        ]
        self.agenda.show_entries(entries)
        self.note.say(self._summary(today))
        self.write_push.setEnabled(any(item.day is not None for item in self.items))

    def _summary(self, today: date) -> str:
        words = {
            ItemKind.OVERDUE: "overdue",
            ItemKind.LATE: "too late",
            ItemKind.ORDER_BY: "to order",
            ItemKind.ARRIVES: "to come",
            ItemKind.NO_DAY: "without a day",
            ItemKind.NO_PRICE: "without a price",
        }
        counts = {kind: sum(item.kind is kind for item in self.items) for kind in words}
        texts = [f"{count} {words[kind]}" for kind, count in counts.items() if count]
        return f"today, {say_day(today, today)} · " + (", ".join(texts) or "nothing is open")

    @staticmethod
    def _cells(item: Item, today: date) -> tuple[Cell, ...]:
        day = "no day" if item.day is None else say_day(item.day, today)
        level = level_of(item, today)
        is_event = item.kind is ItemKind.EVENT
        return (
            Cell(item.kind.value, level, tone="strong" if is_event else ""),
            Cell(day, tone="quiet" if item.day is None else "strong"),
            Cell(say_left(item.day, today)),
            Cell(item.text),
        )

    def _say_whole(self) -> None:
        row = self.agenda.currentIndex().row()
        self.whole.say(f"{self.items[row].text}." if 0 <= row < len(self.items) else "")

    def _go_to_line(self, row: int) -> None:
        index = self.items[row].index
        if index is not None:
            self.line_wanted.emit(index)

    # Writing --------------------------------------------------------------------------------

    def ask_and_write(self) -> None:
        """Ask for a place and write the calendar file there."""
        build = self._session.bench.build
        if build is None:
            return
        proposed = f"{build.name}{SUFFIX}".replace("/", "-")
        name, _ = QFileDialog.getSaveFileName(
            self, "Write a calendar file", proposed, f"Calendars (*{SUFFIX})"
        )
        if name:
            path = Path(name)
            self.write(path if path.suffix else path.with_name(f"{path.name}{SUFFIX}"))

    def write(self, path: Path) -> None:
        """Write every day to a calendar file."""
        build = self._session.bench.build
        if build is None:
            return
        with self._session.messages.reporting():
            write_calendar(build, self.items, path)
            self._session.messages.noted.emit(f"days written to {path.name}")

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if is_plain(event) and event.text().lower() == "w":
            self.ask_and_write()
        else:
            super().keyPressEvent(event)
