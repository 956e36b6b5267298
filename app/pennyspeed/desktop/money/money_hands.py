"""What hands do in the view of money: lines put elsewhere, edited, gathered into orders."""

from __future__ import annotations

from datetime import date

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QStackedWidget, QWidget

from pennyspeed.desktop.money.money_cell_editor import MoneyCellEditor
from pennyspeed.desktop.money.money_form import OrderForm, RatesForm
from pennyspeed.desktop.money.money_model import MoneyModel
from pennyspeed.desktop.money.money_rows import AS_THEY_STAND, BY_DATE
from pennyspeed.desktop.money.money_table import MoneyTable
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.panel import LazyPanel
from pennyspeed.desktop.widgets.segmented import SegmentedControl
from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.lines import Status
from pennyspeed.services.money import line_changes as deeds

FRESH = "a new line"


class MoneyHands(LazyPanel):
    """The half of the view that changes the build; :class:`MoneyPanel` makes the widgets."""

    arranged: SegmentedControl
    model: MoneyModel
    table: MoneyTable
    edit: MoneyCellEditor
    order_form: OrderForm
    rates_form: RatesForm
    pile: QStackedWidget
    _lines: QWidget

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._fresh_step = -1

    @property
    def by_line(self) -> bool:
        """Whether lines show, not sums."""
        return self.arranged.key in (BY_DATE, AS_THEY_STAND)

    def stand_on(self, index: int) -> None:
        """Go to a line of the build, by its place there."""
        self.close_form()
        if not self.by_line:
            self.arranged.choose(BY_DATE)
        self.table.stand_on(self.model.row_of(f"line {index}"))
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    @property
    def places(self) -> list[int]:
        """The build's lines that a key acts on."""
        return self.model.places(self.table.currentIndex().row()) if self.by_line else []

    def _take(self, deed: deeds.LineChange | None) -> None:
        if deed is not None:
            self.model.clear_marks()
            self._session.builds.change(deed.after, deed.did, deed.undid)

    def put_to(self, status: Status) -> None:
        """Put the marked lines, or the one that has the keyboard, to a status."""
        build = self._session.bench.build
        if build is not None and self.places:
            deed = deeds.with_status(build, self.places, status, date.today())
            if deed is None:
                self._session.messages.noted.emit(f"{status.value} already")
            self._take(deed)

    def _do(self, what: str) -> None:
        build, places = self._session.bench.build, self.places
        if build is None:
            return
        match what:
            case "counts":
                self._take(deeds.with_counts_turned(build, places))
            case "new":
                self.write_new()
            case "remove":
                self._remove(build, places)
            case "mark":
                self._mark()
            case "edit":
                self._edit_here()
            case "came" | "refund":
                self._edit_field(what)
            case "order":
                self.open_order()
            case "rates":
                self.open_rates()
            case "show":
                self.arranged.step()

    def _remove(self, build: Build, places: list[int]) -> None:
        if places:
            self._take(deeds.without_lines(build, places))
        elif self._order_here():
            self._take(deeds.without_order(build, self._order_here()))

    def _mark(self) -> None:
        row = self.table.currentIndex().row()
        if self.by_line and row >= 0:
            self.model.turn_mark(row)
            self.table.stand_on(row + 1)

    def _row_here(self) -> int:
        return self.table.currentIndex().row()

    def _order_here(self) -> str:
        row = self._row_here()
        return self.model.rows[row].order if 0 <= row < len(self.model.rows) else ""

    def _edit_here(self) -> None:
        here = self.table.currentIndex()
        if not self.by_line or not here.isValid():
            return
        index = self.model.rows[here.row()].index
        if index is None:
            self.open_order()
        else:
            self.edit.edit_cell(index, self.model.columns[here.column()].key)

    def _edit_field(self, key: str) -> None:
        here = self.table.currentIndex()
        if self.by_line and here.isValid():
            index = self.model.rows[here.row()].index
            if index is not None:
                self.edit.edit(index, key)

    def write_new(self) -> None:
        """Add a line and have it named; Escape takes it away again."""
        build = self._session.bench.build
        if build is None:
            return
        self.close_form()
        if not self.by_line:
            self.arranged.choose(BY_DATE)
        deed = deeds.with_something(build)
        if self._session.builds.change(deed.after, deed.did, deed.undid, merge=FRESH):
            self._fresh_step = self._session.undo_stack.index()
            index = len(deed.after.lines) - 1
            self.table.stand_on(self.model.row_of(f"line {index}"))
            self.edit.edit(index, "name", merge=FRESH)

    def _give_up(self, _: str) -> None:
        stack = self._session.undo_stack
        if stack.index() == self._fresh_step:
            stack.undo()

    def open_order(self) -> None:
        """Open the form for the order of the line, or for a new one of what is marked."""
        build = self._session.bench.build
        if build is None or not self.by_line:
            return
        places, reference = self.places, self._order_here()
        orders = {one.reference: one for one in build.orders}
        row = self._row_here()
        if reference in orders:
            self.pile.setCurrentWidget(self.order_form)
            gathered = places if self.model.marked else []
            self.order_form.edit(build, orders[reference], gathered)
        elif row >= 0:
            self.pile.setCurrentWidget(self.order_form)
            self.order_form.write_new(build, places)

    def open_rates(self) -> None:
        """Open the form of exchange rates."""
        if self._session.bench.build is not None:
            self.pile.setCurrentWidget(self.rates_form)
            self.rates_form.edit(self._session.bench.build)

    def close_form(self) -> None:
        """Show the lines again."""
        if self.pile.currentWidget() is not self._lines:
            self.model.clear_marks()
            self.pile.setCurrentWidget(self._lines)
            self.table.setFocus(Qt.FocusReason.OtherFocusReason)
