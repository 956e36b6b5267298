"""Actions on lines of money: put elsewhere, edited, removed, gathered into orders."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial

from PySide6.QtCore import QObject, Qt

from pennyspeed.desktop.money import MONEY
from pennyspeed.desktop.money.form_stack import FormStack
from pennyspeed.desktop.money.money_cell_editor import MoneyCellEditor
from pennyspeed.desktop.money.money_table import MoneyTable
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.keys import KeyHandler
from pennyspeed.desktop.widgets.segmented import SegmentedControl
from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.lines import Status
from pennyspeed.services.money import line_changes
from pennyspeed.services.money.line_changes import LineChange
from pennyspeed.services.money.money_rows import AS_THEY_STAND, BY_DATE, MoneyRow

FRESH = "a new line"


class LineActions(QObject):
    """What can be done with the line that has the keyboard, or with those that are marked."""

    def __init__(
        self,
        session: Session,
        arranged: SegmentedControl,
        table: MoneyTable,
        editor: MoneyCellEditor,
        forms: FormStack,
    ) -> None:
        super().__init__(table)
        self._session, self._arranged, self._forms = session, arranged, forms
        self._table, self._model, self._editor = table, table.money, editor
        self._fresh_step = -1
        editor.given_up.connect(self._give_up)
        forms.form_closed.connect(self._form_closed)
        table.edit_wanted.connect(self.edit_here)
        table.handler = KeyHandler(
            MONEY,
            counts=self.turn_counts,
            new=self.write_new,
            remove=self.remove,
            mark=self.mark,
            edit=self.edit_here,
            came=partial(self.edit_field, "came"),
            refund=partial(self.edit_field, "refund"),
            order=self.open_order,
            rates=self.open_rates,
            currency=partial(session.builds.currency_wanted.emit, None),
            show=arranged.step,
            **{status.value: partial(self.put_to, status) for status in Status},
        )

    @property
    def by_line(self) -> bool:
        """Whether lines show, not sums."""
        return self._arranged.key in (BY_DATE, AS_THEY_STAND)

    @property
    def places(self) -> list[int]:
        """The build's lines that a key acts on."""
        return self._model.places(self._table.currentIndex().row()) if self.by_line else []

    @property
    def _row(self) -> MoneyRow | None:
        row = self._table.currentIndex().row()
        return self._model.rows[row] if 0 <= row < len(self._model.rows) else None

    # Changing -------------------------------------------------------------------------------

    def _change(self, change: Callable[[Build], LineChange | None]) -> None:
        build = self._session.bench.build
        made = change(build) if build is not None else None
        if made is not None:
            self._model.clear_marks()
            self._session.builds.change(made.after, made.did, made.undid)

    def put_to(self, status: Status) -> None:
        """Put the lines to a status; whether what is owned was paid here is asked."""
        if status is Status.OWNED and self.places:
            if not self._session.questions.note_owned(self.places):
                self._session.messages.noted.emit("owned already")
            self._model.clear_marks()
            return

        def change(build: Build) -> LineChange | None:
            made = line_changes.with_status(build, self.places, status, date.today())
            if made is None:
                self._session.messages.noted.emit(f"{status.value} already")
            return made

        if self.places:
            self._change(change)

    def turn_counts(self) -> None:
        """Let the lines count, or no longer."""
        self._change(lambda build: line_changes.with_counts_turned(build, self.places))

    def remove(self) -> None:
        """Remove the lines, or the order that has the keyboard."""
        if self.places:
            self._change(lambda build: line_changes.without_lines(build, self.places))
        elif self._row is not None and (order := self._row.order):
            self._change(lambda build: line_changes.without_order(build, order))

    def mark(self) -> None:
        """Mark the line, or take its mark away, and go on to the next."""
        row = self._table.currentIndex().row()
        if self.by_line and row >= 0:
            self._model.turn_mark(row)
            self._table.stand_on(row + 1)

    # Editing --------------------------------------------------------------------------------

    def stand_on(self, index: int) -> None:
        """Go to a line of the build, by its place there."""
        self._forms.close_form()
        self._show_line(index)
        self._table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _show_line(self, index: int) -> None:
        if not self.by_line:
            self._arranged.choose(BY_DATE)
        self._table.stand_on(self._model.row_of(f"line {index}"))

    def edit_here(self) -> None:
        """Edit the field of the line in the column that has the keyboard, or its order."""
        row = self._row if self.by_line else None
        if row is None:
            return
        if row.index is None:
            self.open_order()
        else:
            column = self._model.columns[self._table.currentIndex().column()]
            self._editor.edit_cell(row.index, column.key)

    def edit_field(self, key: str) -> None:
        row = self._row if self.by_line else None
        if row is not None and row.index is not None:
            self._editor.edit(row.index, key)

    def write_new(self) -> None:
        """Add a line and have it named; Escape takes it away again."""
        build = self._session.bench.build
        if build is None:
            return
        self._forms.close_form()
        if not self.by_line:
            self._arranged.choose(BY_DATE)
        made = line_changes.with_something(build)
        if self._session.builds.change(made.after, made.did, made.undid, merge=FRESH):
            self._fresh_step = self._session.undo_stack.index()
            index = len(made.after.lines) - 1
            self._show_line(index)
            self._editor.edit(index, "name", merge=FRESH)

    def _give_up(self, _: str) -> None:
        stack = self._session.undo_stack
        if stack.index() == self._fresh_step:
            stack.undo()

    # Forms ----------------------------------------------------------------------------------

    def open_order(self) -> None:
        """Open the form for the order of the line, or for a new one of what is marked."""
        build, row = self._session.bench.build, self._row
        if build is None or row is None or not self.by_line:
            return
        order = next((one for one in build.orders if one.reference == row.order), None)
        gathered = self.places if order is None or self._model.marked else []
        self._forms.edit_order(build, order, gathered)

    def open_rates(self) -> None:
        """Open the form of exchange rates."""
        build = self._session.bench.build
        if build is not None:
            self._forms.edit_rates(build)

    def _form_closed(self) -> None:
        self._model.clear_marks()
        self._table.setFocus(Qt.FocusReason.OtherFocusReason)
