"""The shelf's model: every part that could go into a slot, and what the whole car would then do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from PySide6.QtCore import QModelIndex, Qt

from pennyspeed.desktop.shelf.shelf_order import ArrangedModel
from pennyspeed.desktop.shelf.shelf_texts import speed_shown
from pennyspeed.desktop.widgets import theme
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level
from pennyspeed.domain.units import KMH
from pennyspeed.services.shelf.answer_columns import BAND, CHANCE, CHANGE, CHECK, LEFT, PRICE

if TYPE_CHECKING:
    from pennyspeed.desktop.shelf.shelf_answers import Answers

PART_ROLE = Qt.ItemDataRole.UserRole + 1


class ShelfModel(ArrangedModel):
    """Parts of one kind, or pairs of two, beside the build they could go into.

    Text, sort key and part are three roles.
    """

    # What is shown ----------------------------------------------------------------------------

    def show_build(self, build: Build | None) -> None:
        """Show which parts are in a build; answers, order and rows stay until new ones come.

        Without a build there are none to come: the parts stand alone.
        """
        before = self._terms
        were_in = set(self._now)
        self._build = build
        had_answers = self.answers is not None
        if build is None:
            self.answers, self.is_late = None, False
        is_bare = had_answers and build is None
        if is_bare or before != self._terms:
            self.beginResetModel()
            self._columns_of(self.stock)
            self._reckon()
            self._arrange()
            self.endResetModel()
            self.arranged.emit()
            return
        self._reckon()
        last = len(self.columns) - 1
        for i in were_in ^ set(self._now):
            row = self._row_at(i)
            if row >= 0:
                self.dataChanged.emit(self.index(row, 0), self.index(row, last))

    @property
    def _terms(self) -> tuple[object, ...]:
        """What of a build says which columns there are, and what prices are."""
        return self._currency, self._rates, self._is_capped, self._is_aimed

    def show_answers(self, answers: Answers) -> None:
        """Show what the whole car would do with each row; rows take their new order."""
        self.answers, self.is_late = answers, False
        self._rearrange()

    def show_late(self) -> None:
        """Mark the answers as those of another build."""
        self.is_late = True
        self._all_changed()

    def show_more(self, resort: bool) -> None:
        """Show answers that were filled in; sorted anew only where asked."""
        if resort and self.columns[self.sorted_by[0]].key in (BAND, CHANCE):
            self._rearrange()
        else:
            self._all_changed()

    # Reading ----------------------------------------------------------------------------------

    @property
    def row_now(self) -> int:
        """The row of what is in the slot, or −1."""
        return next((row for row in map(self._row_at, self._now) if row >= 0), -1)

    def count_in(self, row: int) -> int:
        """Return how many of a row's part are in the build."""
        return self._now.get(self.place(row), 0)

    def text(self, row: int, column: int) -> str:
        """Return what a cell shows."""
        i = self.place(row)
        if column < self.answers_from:
            return self.stock.text(column, i)
        key = self.columns[column].key
        if key == PRICE:
            return self._texts.of_price(i)
        if self.answers is None:
            return ""
        if key in (CHANGE, LEFT):
            return self._texts.of_money(self.answers, key, i)
        return self._texts.of_answer(self.answers, key, i)

    def level(self, row: int) -> Level | None:
        """Return how a row ends, None before that is known."""
        return None if self.answers is None else self.answers.level(self.place(row))

    def fits(self, row: int) -> bool:
        """Tell whether a row fits, as far as that is known."""
        return self.answers is None or bool(self.answers.concern.fits[self.place(row)])

    def band(self, row: int) -> tuple[float, float, float] | None:
        """Return P10, the speed and P90 of a row, as shown; NaN where one is not known."""
        if self.answers is None:
            return None
        i, answers = self.place(row), self.answers
        return (
            self.speed_shown(float(answers.p10[i])),
            self.speed_shown(float(answers.speed[i])),
            self.speed_shown(float(answers.p90[i])),
        )

    def speed_shown(self, speed: float) -> float:
        """Return a speed [m/s] in the unit in which it is shown."""
        return speed_shown(self.stock.measures, speed)

    @property
    def target(self) -> float | None:
        """The build's target as shown."""
        target = None if self._build is None else self._build.target_kmh
        return None if target is None else self.stock.measures.shown(target, KMH)

    @property
    def speed_now(self) -> float | None:
        """The speed of the build the answers are for, as shown."""
        if self.answers is None or np.isnan(self.answers.now):
            return None
        return self.speed_shown(self.answers.now)

    def is_dim(self, row: int, column: int) -> bool:
        """Tell whether a cell shows what nobody gave."""
        return column < self.answers_from and self.stock.is_filled_in(column, self.place(row))

    def is_over(self, row: int, column: int) -> bool:
        """Tell whether a cell says that the cap would be passed."""
        if self.columns[column].key != LEFT or self.answers is None:
            return False
        left = self.answers.found.left
        return left is not None and bool(left[self.place(row)] < 0)

    def spoken(self, row: int) -> str:
        """Return a row as a screen reader says it."""
        titles = (f"{column.title}: {self.text(row, i)}" for i, column in enumerate(self.columns))
        return "; ".join(titles)

    def hint(self, row: int, column: int) -> str:
        """Return what a cell says when it is pointed at."""
        if self.columns[column].key == CHECK and self.answers is not None:
            check = self.answers.checks.get(self.place(row))
            return "" if check is None else "\n".join(filter(None, (check.text, check.advice)))
        return self.text(row, column) if column < self.stock.names else ""

    # Qt's own ---------------------------------------------------------------------------------

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # type: ignore[override]
        if not index.isValid():
            return None
        row, column = index.row(), index.column()
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return self.text(row, column)
            case Qt.ItemDataRole.AccessibleTextRole:
                return self.spoken(row) if column == 0 else self._said(row, column)
            case Qt.ItemDataRole.ToolTipRole:
                return self.hint(row, column) or None
            case Qt.ItemDataRole.TextAlignmentRole:
                side = (
                    Qt.AlignmentFlag.AlignRight
                    if self.columns[column].numeric
                    else (Qt.AlignmentFlag.AlignLeft)
                )
                return side | Qt.AlignmentFlag.AlignVCenter
            case Qt.ItemDataRole.UserRole:
                return float(self._keys(column)[self.place(row)])
            case _:
                return self.part(row) if role == PART_ROLE else None

    def headerData(
        self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole
    ) -> Any:
        if orientation != Qt.Orientation.Horizontal or not 0 <= section < len(self.columns):
            return None
        column = self.columns[section]
        if role == Qt.ItemDataRole.DisplayRole:
            return column.title
        return column.help if role == Qt.ItemDataRole.ToolTipRole else None

    def _said(self, row: int, column: int) -> str:
        key, text = self.columns[column].key, self.text(row, column)
        if key == CHECK:
            level = self.level(row)
            sign = "" if level in (None, Level.OK) else f"{theme.SIGN_WORDS[level]}: "
            text = f"{sign}{text}"
        return f"{self.columns[column].title}: {text}"
