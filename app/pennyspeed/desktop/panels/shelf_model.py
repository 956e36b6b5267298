"""The shelf's model: every part that could go into a slot, and what the whole car would then do."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QAbstractTableModel, QModelIndex, QObject, Qt, Signal

from pennyspeed.desktop import theme
from pennyspeed.desktop.table import NOT_KNOWN, Column, Keys, Stock, ordered
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks.brief import brief, in_general
from pennyspeed.domain.checks.check import Level
from pennyspeed.domain.kinds import BY_KEY, EXTRAS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money import DEFAULT_CURRENCY, Money
from pennyspeed.domain.parts import Part
from pennyspeed.domain.units import KMH

if TYPE_CHECKING:
    from pennyspeed.desktop.panels.shelf_answers import Answers

NOW = "now"
NO_FIGURE = "–"
BAND, SPEED, GAIN, CHANCE = "band", "speed", "gain", "chance"
PRICE, CHANGE, LEFT, CHECK = "price", "change", "left", "check"
BEST_FIRST = (BAND, SPEED, GAIN, CHANCE, LEFT)
"""Columns of which more is better."""
SORT_ROLE = Qt.ItemDataRole.UserRole
PART_ROLE = Qt.ItemDataRole.UserRole + 1
_ASCENDING = Qt.SortOrder.AscendingOrder
_DESCENDING = Qt.SortOrder.DescendingOrder
_NO_INDEX = QModelIndex()


def percent(chance: float) -> str:
    """Return a chance in percent; never a certainty that the draws do not carry.

    >>> percent(0.124), percent(0.0), percent(1.0)
    ('12', '<1', '>99')
    """
    if chance < 0.005:
        return "<1"
    return ">99" if chance > 0.995 else f"{100 * chance:.0f}"


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


class ShelfModel(QAbstractTableModel):
    """Parts of one kind, or pairs of two, beside the build they could go into.

    Text, sort key and part are three roles. Sorting and narrowing happen here.

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

    # What is shown --------------------------------------------------------------------------

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

    def show_build(self, build: Build | None) -> None:
        """Show which parts are in a build; answers, order and rows stay until new ones come."""
        before = self._currency, self._is_capped, self._is_aimed
        were_in = set(self._now)
        self._build = build
        if before != (self._currency, self._is_capped, self._is_aimed):
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
            keys = self.stock.prices(self._currency)
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

    # Reading --------------------------------------------------------------------------------

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
            return self._price_text(i)
        if self.answers is None:
            return ""
        if key in (CHANGE, LEFT):
            return self._money_text(key, i)
        return self._answer_text(self.answers, key, i)

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
        return self.stock.measures.shown(KMH.from_si(speed), KMH)

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

    def hint(self, row: int, column: int) -> str:
        """Return what a cell says when it is pointed at."""
        if self.columns[column].key == CHECK and self.answers is not None:
            check = self.answers.checks.get(self.place(row))
            return "" if check is None else "\n".join(filter(None, (check.text, check.advice)))
        return self.text(row, column) if column < self.stock.names else ""

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
        self._rows: NDArray[np.integer] = np.arange(len(stock))

    def _columns_of(self, stock: Stock) -> None:
        currency, unit = self._currency, stock.measures.speed_unit.symbol
        self.answers_from = len(stock.columns)
        columns = [
            Column(BAND, "likely range", "Eight of ten such cars end up between the end ticks."),
            Column(SPEED, unit, f"What the car would reach in this road, in {unit}."),
            Column(GAIN, "change", f"How much faster or slower than now, in {unit}."),
        ]
        if self._is_aimed:
            help = "How many of 100 cars built from such figures reach the target."
            columns.append(Column(CHANCE, "chance %", help))
        columns += [
            Column(PRICE, currency, f"Its latest price in {currency}."),
            Column(CHANGE, f"± {currency}", "What the build would cost more or less with it."),
        ]
        if self._is_capped:
            columns.append(Column(LEFT, "left", "What would be left of the cap with it."))
        help = "The worst of the checks that this choice has to do with."
        columns.append(Column(CHECK, "worst check", help, numeric=False))
        self.columns = [*stock.columns, *columns]

    @property
    def _sorting_key(self) -> str:
        return "+".join(str(column.title) for column in self.stock.columns[: self.stock.names])

    @property
    def _currency(self) -> str:
        return DEFAULT_CURRENCY if self._build is None else self._build.currency

    @property
    def _is_capped(self) -> bool:
        return self._build is not None and self._build.cap is not None

    @property
    def _is_aimed(self) -> bool:
        return self._build is not None and self._build.target_kmh is not None

    def _reckon(self) -> None:
        """Take up which parts are in the build."""
        self._now = Counter() if self._build is None else self.stock.inside(self._build)

    def _row_at(self, i: int) -> int:
        found = np.flatnonzero(self._rows == i)
        return int(found[0]) if len(found) else -1

    def _keys(self, column: int) -> Keys:
        if column < self.answers_from:
            return self.stock.keys[column]
        if self.columns[column].key == PRICE:
            return self.stock.prices(self._currency)
        if self.answers is None:
            return np.full(len(self.stock), np.nan)
        return answer_keys(self.answers, self.columns[column].key)

    def _said(self, row: int, column: int) -> str:
        key, text = self.columns[column].key, self.text(row, column)
        if key == CHECK:
            level = self.level(row)
            sign = "" if level in (None, Level.OK) else f"{theme.SIGN_WORDS[level]}: "
            text = f"{sign}{text}"
        return f"{self.columns[column].title}: {text}"

    def _answer_text(self, answers: Answers, key: str, i: int) -> str:
        measures = self.stock.measures
        if key == CHECK:
            check = answers.checks.get(i)
            if check is not None:
                return brief(check, measures)
            from pennyspeed.services.candidates import CODES

            return in_general(CODES[int(answers.concern.check[i])], answers.level(i))
        speed = float(answers.speed[i])
        if speed != speed:
            return NO_FIGURE
        if key == SPEED:
            return measures.number(self.speed_shown(speed))
        if key == GAIN:
            if i in self._now and not self.stock.kind.many:
                return NOW
            if answers.now != answers.now:
                return NO_FIGURE
            # Of the figures as they stand there, or 134 − 118 might read 15.
            now = round(self.speed_shown(answers.now))
            return measures.signed(round(self.speed_shown(speed)) - now)
        if not answers.has_band[i]:
            return ""
        if key == CHANCE:
            return percent(float(answers.chance[i]))
        low, high = (self.speed_shown(float(v[i])) for v in (answers.p10, answers.p90))
        return f"{measures.number(low)} to {measures.number(high)}"

    def _price_text(self, i: int) -> str:
        minor = self.stock.prices(self._currency)[i]
        measures = self.stock.measures
        if minor == minor:
            return measures.money(Money(int(minor), self._currency), currency=False)
        price = self.stock.parts_at(i)[0].price
        if self.stock.names > 1 or price is None:
            return NOT_KNOWN
        return measures.money(price.amount)

    def _money_text(self, key: str, i: int) -> str:
        assert self.answers is not None
        found, measures = self.answers.found, self.stock.measures
        count = self._now.get(i, 0)
        if key == CHANGE and count:
            if not self.stock.kind.many:
                return NOW
            return "in" if count == 1 else f"{count} in"
        price = self.stock.prices(self._currency)[i]
        if price != price and self.stock.kind.counts and not count:
            return NOT_KNOWN
        minor = found.cost_change[i] if key == CHANGE else None
        if key == LEFT:
            minor = None if found.left is None else found.left[i]
        if minor is None:
            return NOT_KNOWN
        text = measures.money(found.money(int(minor)), currency=False)
        return f"+{text}" if key == CHANGE and minor > 0 else text

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
