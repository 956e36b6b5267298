"""Days: what is open, overdue or missing, soonest first, and how long each shop takes."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

from PySide6.QtCore import Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QFileDialog, QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.shopping import DAYS
from pennyspeed.desktop.shopping.shopping import Shopping
from pennyspeed.desktop.shopping.suppliers import SuppliersTable
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.keys import KeyHandler
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.page import Page, Paragraph
from pennyspeed.desktop.widgets.tables.editable_table import EditableTable
from pennyspeed.domain.money.calendar import Item, agenda
from pennyspeed.services.money.dates import SUFFIX, write_calendar
from pennyspeed.services.shopping.agenda_rows import (
    EMPTY,
    HEADS,
    agenda_rows,
    agenda_summary,
)


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
    keys = DAYS

    def __init__(
        self,
        session: Session,
        shopping: Shopping,
        today: Callable[[], date] = date.today,
        parent: QWidget | None = None,
    ) -> None:
        super().__init__("Days", parent)
        self._session, self._shopping, self._today = session, shopping, today
        self._keys = KeyHandler(DAYS, write=self.ask_and_write)
        self.items: tuple[Item, ...] = ()
        self.agenda = EditableTable("days", HEADS, EMPTY)
        self.write_push = Button("write a calendar file", self)
        self.shops_title = Label("heading", self)
        self.shops_title.say("How long shops take")
        self.suppliers = SuppliersTable(session, shopping)
        self.whole = Paragraph(1, self)
        self.add_table(self.agenda, 3)
        self.add(self.whole)
        self.add_foot(self.write_push)
        self.add_strip(40, self.shops_title)
        self.add_table(self.suppliers, 2)
        self.setFocusProxy(self.agenda)
        self.order_tab(self.agenda, self.write_push, self.suppliers)
        self.agenda.acted.connect(self._go_to_line)
        self.agenda.moved.connect(self._say_whole)
        self.write_push.clicked.connect(self.ask_and_write)
        session.bench.build_changed.connect(self.refresh)
        shopping.changed.connect(self.refresh)
        self.refresh()

    def refresh(self) -> None:
        """Show what is open now."""
        build, today = self._session.bench.build, self._today()
        self.items = () if build is None else agenda(build, self._shopping.leads(), today)
        self.agenda.show_entries(agenda_rows(self.items, today))
        self.note.say(agenda_summary(self.items, today))
        self.write_push.setEnabled(any(item.day is not None for item in self.items))

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
        if not self._keys.act(event):
            super().keyPressEvent(event)
