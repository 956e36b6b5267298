"""The shelf's model: every part that could go into a slot, and what it would cost this build."""

from __future__ import annotations

from collections import Counter
from typing import Any

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, Qt

from pennyspeed.desktop.table import NOT_KNOWN, Column, Keys, Stock, ordered
from pennyspeed.domain.builds import Build
from pennyspeed.domain.costs import Costs
from pennyspeed.domain.kinds import BY_KEY, EXTRAS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money import DEFAULT_CURRENCY, Money
from pennyspeed.domain.parts import Part

NOW = "now"
SORT_ROLE = Qt.ItemDataRole.UserRole
PART_ROLE = Qt.ItemDataRole.UserRole + 1
_ASCENDING = Qt.SortOrder.AscendingOrder
_NO_INDEX = QModelIndex()


class ShelfModel(QAbstractTableModel):
    """Parts of one kind beside the build they could go into.

    Text, sort key and part are three roles. Sorting and narrowing happen here.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._build: Build | None = None
        self._costs: Costs | None = None
        self._narrowing = ""
        self._sorting: dict[str, tuple[str, Qt.SortOrder]] = {}
        self._take(Stock(BY_KEY[EXTRAS.key], [], Measures()))

    # What is shown --------------------------------------------------------------------------

    def show_stock(self, stock: Stock) -> None:
        """Show other parts."""
        if stock is self.stock:
            return
        self.beginResetModel()
        self._take(stock)
        self._reckon()
        self._arrange()
        self.endResetModel()

    def show_build(self, build: Build | None, costs: Costs | None) -> None:
        """Show what the parts would cost this build; order and rows stay as they are."""
        before = self._currency, self._is_capped
        were_in = set(self._now)
        self._build, self._costs = build, costs
        if before != (self._currency, self._is_capped):
            self.beginResetModel()
            self._columns_of(self.stock)
            self._reckon()
            self._arrange()
            self.endResetModel()
            return
        self._reckon()
        if not len(self._rows):
            return
        last = len(self.columns) - 1
        # Money changes in every row, the rest only where a part came in or went out.
        self.dataChanged.emit(
            self.index(0, self._money_from + 1), self.index(len(self._rows) - 1, last)
        )
        for i in were_in ^ set(self._now):
            row = self._row_at(i)
            if row >= 0:
                self.dataChanged.emit(self.index(row, 0), self.index(row, last))

    def narrow(self, text: str) -> None:
        """Keep the parts in which every word of `text` is found."""
        text = text.strip().casefold()
        if text == self._narrowing:
            return
        self._narrowing = text
        self.beginResetModel()
        self._arrange()
        self.endResetModel()

    def sort(self, column: int, order: Qt.SortOrder = _ASCENDING) -> None:
        """Sort by a column; what is not known comes last either way."""
        if not 0 <= column < len(self.columns):
            return
        self._sorting[self.stock.kind.key] = (self.columns[column].key, order)
        self.layoutAboutToBeChanged.emit()
        before = self._rows
        self._arrange()
        place = {int(i): row for row, i in enumerate(self._rows)}
        old = self.persistentIndexList()
        new = [self.index(place[int(before[one.row()])], one.column()) for one in old]
        self.changePersistentIndexList(old, new)
        self.layoutChanged.emit()

    @property
    def sorted_by(self) -> tuple[int, Qt.SortOrder]:
        """The column that orders the rows, and which way."""
        keys = [column.key for column in self.columns]
        wanted = self._sorting.get(self.stock.kind.key)
        if wanted is not None and wanted[0] in keys:
            return keys.index(wanted[0]), wanted[1]
        first = next((i for i, c in enumerate(self.columns) if c.numeric), 0)
        return first, _ASCENDING

    @property
    def total(self) -> int:
        """How many parts there are before narrowing."""
        return len(self.stock)

    # Reading --------------------------------------------------------------------------------

    def part(self, row: int) -> Part:
        """Return a row's part."""
        return self.stock.parts[int(self._rows[row])]

    def row_of(self, part: Part | None) -> int:
        """Return the row of a part, or −1."""
        if part is None:
            return -1
        i = self._index_of(part)
        return self._row_at(i) if i >= 0 else -1

    @property
    def row_now(self) -> int:
        """The row of the part in the slot, or −1."""
        return next((row for row in map(self._row_at, self._now) if row >= 0), -1)

    def count_in(self, row: int) -> int:
        """Return how many of a row's part are in the build."""
        return self._now.get(int(self._rows[row]), 0)

    def text(self, row: int, column: int) -> str:
        """Return what a cell shows."""
        i = int(self._rows[row])
        if column < self._money_from:
            return self.stock.text(column, i)
        return self._money_text(column - self._money_from, i)

    @property
    def money_from(self) -> int:
        """The first column that hangs on the build."""
        return self._money_from + 1

    def is_dim(self, row: int, column: int) -> bool:
        """Tell whether a cell shows what nobody gave."""
        return column < self._money_from and self.stock.is_filled_in(column, int(self._rows[row]))

    def is_over(self, row: int, column: int) -> bool:
        """Tell whether a cell says that the cap would be passed."""
        if self.columns[column].key != "left":
            return False
        return bool(self._left()[self._rows[row]] < 0)

    # Qt's own -------------------------------------------------------------------------------

    def rowCount(self, parent: QModelIndex = _NO_INDEX) -> int:  # type: ignore[override]
        return 0 if parent.isValid() else len(self._rows)

    def columnCount(self, parent: QModelIndex = _NO_INDEX) -> int:  # type: ignore[override]
        return 0 if parent.isValid() else len(self.columns)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # type: ignore[override]
        if not index.isValid():
            return None
        row, column = index.row(), index.column()
        match role:
            case Qt.ItemDataRole.DisplayRole:
                return self.text(row, column)
            case Qt.ItemDataRole.AccessibleTextRole:
                return f"{self.columns[column].title}: {self.text(row, column)}"
            case Qt.ItemDataRole.TextAlignmentRole:
                side = (
                    Qt.AlignmentFlag.AlignRight
                    if self.columns[column].numeric
                    else (Qt.AlignmentFlag.AlignLeft)
                )
                return side | Qt.AlignmentFlag.AlignVCenter
            case Qt.ItemDataRole.UserRole:
                return float(self._keys(column)[self._rows[row]])
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

    # Inside ---------------------------------------------------------------------------------

    def _take(self, stock: Stock) -> None:
        self.stock = stock
        self._columns_of(stock)
        self._now: Counter[int] = Counter()
        self._prices: Keys = np.array([])
        self._priced_in = ""
        self._rows: NDArray[np.integer] = np.arange(len(stock))
        self._change: Keys | None = None

    def _columns_of(self, stock: Stock) -> None:
        currency = self._currency
        self._money_from = len(stock.columns)
        self.columns = [
            *stock.columns,
            Column("price", currency, f"Its latest price in {currency}."),
            Column("change", "change", "What the build would cost more or less with it."),
        ]
        if self._is_capped:
            self.columns.append(Column("left", "left", "What would be left of the cap with it."))

    @property
    def _currency(self) -> str:
        return DEFAULT_CURRENCY if self._build is None else self._build.currency

    @property
    def _is_capped(self) -> bool:
        return self._build is not None and self._build.cap is not None

    def _reckon(self) -> None:
        """Take up what hangs on the build: its money, and which parts are in it."""
        build, kind = self._build, self.stock.kind
        self._change = None
        self._now = Counter()
        if build is None:
            return
        inside = build.extras if kind.many else (build.part(kind.key),)
        for one in inside:
            i = -1 if one is None else self._index_of(one)
            if i >= 0:
                self._now[i] += 1

    def _index_of(self, part: Part) -> int:
        if part.id is not None:
            found = np.flatnonzero(self.stock.ids == part.id)
            return int(found[0]) if len(found) else -1
        return next((i for i, one in enumerate(self.stock.parts) if one.same_article(part)), -1)

    def _row_at(self, i: int) -> int:
        found = np.flatnonzero(self._rows == i)
        return int(found[0]) if len(found) else -1

    def _minors(self) -> Keys:
        """Return prices in the build's smallest unit, NaN where there is none in its currency."""
        currency, stock = self._currency, self.stock
        if self._priced_in != currency:
            self._priced_in = currency
            self._prices = np.array(
                [
                    part.price.amount.minor
                    if part.price is not None and part.price.amount.currency == currency
                    else np.nan
                    for part in stock.parts
                ],
                dtype=float,
            )
        return self._prices

    def _changes(self) -> Keys:
        """Return what each part would add to the build's cost, in smallest units."""
        if self._change is None:
            kind, build = self.stock.kind, self._build
            added = self._minors() if kind.counts else np.zeros(len(self.stock))
            gone = 0
            line = None if kind.many or build is None else build.line(kind.key)
            if build is not None and line is not None and line.counts:
                cost = line.cost(build.currency)
                gone = cost.minor if cost is not None else 0
            self._change = added - gone
            if not kind.many:
                self._change[list(self._now)] = 0.0
        return self._change

    def _left(self) -> Keys:
        left = self._costs.left if self._costs is not None else None
        return (np.nan if left is None else left.minor) - self._changes()

    def _keys(self, column: int) -> Keys:
        if column < self._money_from:
            return self.stock.keys[column]
        return (self._minors, self._changes, self._left)[column - self._money_from]()

    def _money_text(self, which: int, i: int) -> str:
        currency, measures = self._currency, self.stock.measures
        if which == 0:
            price = self.stock.parts[i].price
            if price is None:
                return NOT_KNOWN
            return measures.money(price.amount, currency=price.amount.currency != currency)
        if which == 1 and i in self._now:
            if not self.stock.kind.many:
                return NOW
            count = self._now[i]
            return "in" if count == 1 else f"{count} in"
        minor = (self._changes() if which == 1 else self._left())[i]
        if minor != minor:
            return NOT_KNOWN
        text = measures.money(Money(int(minor), currency), currency=False)
        return f"+{text}" if which == 1 and minor > 0 else text

    def _arrange(self) -> None:
        rows = np.arange(len(self.stock))
        if self._narrowing:
            words = self._narrowing.split()
            hits = [all(word in hay for word in words) for hay in self.stock.haystacks]
            rows = np.flatnonzero(hits)
        column, order = self.sorted_by
        self._rows = ordered(self._keys(column), rows, order == Qt.SortOrder.DescendingOrder)
