"""Which rows the shelf shows, and in which order they stand."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, Qt, Signal

from pennyspeed.desktop.shelf.shelf_texts import Texts
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY, EXTRAS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import DEFAULT_CURRENCY
from pennyspeed.domain.money.orders import Rate
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.shelf.answer_columns import (
    BAND,
    CHANCE,
    CHANGE,
    CHECK,
    GAIN,
    LEFT,
    PRICE,
    SPEED,
    answer_columns,
)
from pennyspeed.services.shelf.stock import Keys, Stock, ordered

if TYPE_CHECKING:
    from pennyspeed.desktop.shelf.shelf_answers import Answers

_ASCENDING = Qt.SortOrder.AscendingOrder
_DESCENDING = Qt.SortOrder.DescendingOrder
_NO_INDEX = QModelIndex()


@dataclass(frozen=True)
class Arrangement:
    """Which rows are shown, and by which column they are sorted; safe in any thread.

    Attributes
    ----------
    keys : array or None
        What sorts them where that is a figure of the parts themselves.
    first : array
        What sorts them before anything is answered.
    column : str
    kept : array of bool or None
        What narrowing leaves; all where None.
    fits_only : bool
    """

    count: int
    keys: Keys | None
    first: Keys
    column: str
    descending: bool
    kept: NDArray[np.bool_] | None
    fits_only: bool

    def rows(self, answers: Answers | None) -> NDArray[np.integer]:
        """Return the rows in their order: those that fit first."""
        rows = np.arange(self.count) if self.kept is None else np.flatnonzero(self.kept)
        unfit = None if answers is None else ~answers.concern.fits
        if unfit is not None and self.fits_only:
            rows = rows[~unfit[rows]]
        keys = self.keys
        if keys is None:
            if answers is None:
                return ordered(self.first, rows, False)
            keys = answer_keys(answers, self.column)
        return ordered(keys, rows, self.descending, unfit)


def answer_keys(answers: Answers, column: str) -> Keys:
    """Return what a column of answers is sorted by."""
    found, concern = answers.found, answers.concern
    if column == CHECK:
        return np.asarray(concern.worst * len(found.levels) + concern.check, dtype=float)
    if column == LEFT:
        return np.full(len(found), np.nan) if found.left is None else found.left.astype(float)
    if column == CHANGE:
        return found.cost_change.astype(float)
    columns = {BAND: answers.p10, SPEED: answers.speed, GAIN: answers.gain, CHANCE: answers.chance}
    return columns[column]


class ArrangedModel(QAbstractTableModel):
    """Rows of a stock in their order, narrowed and sorted here; texts are for a subclass to say.

    Signals
    -------
    arranged()
        Other rows are shown, or in another order.
    """

    arranged = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._build: Build | None = None
        self._narrowing = ""
        self._fits_only = False
        self._sorting: dict[str, tuple[str, Qt.SortOrder]] = {}
        self.answers: Answers | None = None
        self.is_late = False
        self._take(Stock(BY_KEY[EXTRAS.key], [], Measures()))

    # What is shown ----------------------------------------------------------------------------

    def show_stock(self, stock: Stock) -> None:
        """Show other parts; what they bring is not known yet."""
        if stock is self.stock:
            return
        self.beginResetModel()
        self.answers = None
        self._take(stock)
        self._reckon()
        self._arrange()
        self.endResetModel()
        self.arranged.emit()

    def narrow(self, text: str) -> None:
        """Keep the parts in which every word of `text` is found."""
        text = text.strip().casefold()
        if text != self._narrowing:
            self._narrowing = text
            self._reset_rows()

    def show_fitting(self, fits_only: bool) -> None:
        """Leave out what does not fit, or show it."""
        if fits_only != self._fits_only:
            self._fits_only = fits_only
            self._reset_rows()

    @property
    def fits_only(self) -> bool:
        """Whether what does not fit is left out."""
        return self._fits_only

    @property
    def unfit(self) -> int:
        """How many rows of the stock do not fit, as far as that is known."""
        answers = self.answers
        return 0 if answers is None else int(np.count_nonzero(~answers.concern.fits))

    def sort(self, column: int, order: Qt.SortOrder = _ASCENDING) -> None:
        """Sort by a column; what does not fit comes last, and what is not known among each."""
        if not 0 <= column < len(self.columns):
            return
        self._sorting[self._sorting_key] = (self.columns[column].key, order)
        self._rearrange(always=True)

    @property
    def shelf_key(self) -> str:
        """Names what is shown, "motor" or "pinion+spur": each is sorted in its own way."""
        return self._sorting_key

    @property
    def orders(self) -> dict[str, tuple[str, Qt.SortOrder]]:
        """By :attr:`shelf_key` the column that was chosen to sort by, and which way."""
        return self._sorting

    @property
    def sorted_by(self) -> tuple[int, Qt.SortOrder]:
        """The column that orders the rows, and which way."""
        keys = [column.key for column in self.columns]
        wanted = self._sorting.get(self._sorting_key)
        if wanted is not None and wanted[0] in keys:
            return keys.index(wanted[0]), wanted[1]
        if self._build is not None:
            return keys.index(SPEED), _DESCENDING
        first = next((i for i, c in enumerate(self.columns) if c.numeric), 0)
        return first, _ASCENDING

    @property
    def total(self) -> int:
        """How many parts there are before narrowing."""
        return len(self.stock)

    @property
    def arrangement(self) -> Arrangement:
        """How the rows are arranged."""
        column, order = self.sorted_by
        key = self.columns[column].key
        keys: Keys | None = None
        if column < self.answers_from:
            keys = self.stock.keys[column]
        elif key == PRICE:
            keys = self.stock.prices(self._currency, self._rates)
        first = next((i for i in range(self.answers_from) if self.columns[i].numeric), 0)
        words = self._narrowing.split()
        kept = self.stock.with_words(words) if words else None
        descending = order == _DESCENDING
        return Arrangement(
            len(self.stock),
            keys,
            self.stock.keys[first],
            key,
            descending,
            kept,
            self._fits_only,
        )

    # Which row is which -----------------------------------------------------------------------

    @property
    def order(self) -> NDArray[np.integer]:
        """Places in the stock of the rows, top to bottom."""
        return self._rows

    def place(self, row: int) -> int:
        """Return a row's place in the stock."""
        return int(self._rows[row])

    def part(self, row: int) -> Part:
        """Return a row's part, the first of a pair."""
        return self.parts(row)[0]

    def parts(self, row: int) -> tuple[Part, ...]:
        """Return what goes in with a row."""
        return self.stock.parts_at(self.place(row))

    def row_of(self, part: Part | None) -> int:
        """Return the row of a part, or −1."""
        return -1 if part is None else self.row_of_parts((part,))

    def row_of_parts(self, parts: tuple[Part, ...]) -> int:
        """Return the row of one part or of a pair, or −1."""
        i = self.stock.index_of_parts(parts)
        return self._row_at(i) if i >= 0 else -1

    def rowCount(self, parent: QModelIndex = _NO_INDEX) -> int:  # type: ignore[override]
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: QModelIndex = _NO_INDEX) -> int:  # type: ignore[override]
        return 0 if parent.isValid() else len(self.columns)

    # Inside -----------------------------------------------------------------------------------

    def _take(self, stock: Stock) -> None:
        self.stock = stock
        self._columns_of(stock)
        self._now: Counter[int] = Counter()
        self._texts = Texts(stock, self._now, self._currency, self._rates)
        self._rows: NDArray[np.integer] = np.arange(len(stock))

    def _columns_of(self, stock: Stock) -> None:
        unit = stock.measures.speed_unit.symbol
        answers = answer_columns(unit, self._currency, self._is_aimed, self._is_capped)
        self.answers_from = len(stock.columns)
        self.columns = [*stock.columns, *answers]

    @property
    def _sorting_key(self) -> str:
        return "+".join(str(column.title) for column in self.stock.columns[: self.stock.names])

    @property
    def _currency(self) -> str:
        return DEFAULT_CURRENCY if self._build is None else self._build.currency

    @property
    def _rates(self) -> tuple[Rate, ...]:
        return () if self._build is None else self._build.rates

    @property
    def _is_capped(self) -> bool:
        return self._build is not None and self._build.cap is not None

    @property
    def _is_aimed(self) -> bool:
        return self._build is not None and self._build.target_kmh is not None

    def _reckon(self) -> None:
        """Take up which parts are in the build."""
        self._now = Counter() if self._build is None else self.stock.inside(self._build)
        self._texts = Texts(self.stock, self._now, self._currency, self._rates)

    def _row_at(self, i: int) -> int:
        found = np.flatnonzero(self._rows == i)
        return int(found[0]) if len(found) else -1

    def _keys(self, column: int) -> Keys:
        if column < self.answers_from:
            return self.stock.keys[column]
        if self.columns[column].key == PRICE:
            return self.stock.prices(self._currency, self._rates)
        if self.answers is None:
            return np.full(len(self.stock), np.nan)
        return answer_keys(self.answers, self.columns[column].key)

    def _arrange(self) -> None:
        self._rows = self.arrangement.rows(self.answers)

    def _reset_rows(self) -> None:
        self.beginResetModel()
        self._arrange()
        self.endResetModel()
        self.arranged.emit()

    def _rearrange(self, always: bool = False) -> None:
        """Put the rows in their order; whoever holds one keeps it."""
        rows = self.arrangement.rows(self.answers)
        before = self._rows
        if len(rows) != len(before) or not np.array_equal(np.sort(rows), np.sort(before)):
            self.beginResetModel()
            self._rows = rows
            self.endResetModel()
        elif always or not np.array_equal(rows, before):
            self.layoutAboutToBeChanged.emit()
            self._rows = rows
            place = np.empty(len(self.stock), dtype=int)
            place[rows] = np.arange(len(rows))
            old = self.persistentIndexList()
            new = [self.index(int(place[before[one.row()]]), one.column()) for one in old]
            self.changePersistentIndexList(old, new)
            self.layoutChanged.emit()
        else:
            self._all_changed()
            return
        self.arranged.emit()

    def _all_changed(self) -> None:
        if len(self._rows):
            last = self.index(len(self._rows) - 1, len(self.columns) - 1)
            self.dataChanged.emit(self.index(0, self.answers_from), last)
