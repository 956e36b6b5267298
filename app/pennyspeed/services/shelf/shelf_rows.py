"""The shelf's rows: every part that could go into a slot, and what the whole car would then do."""

from __future__ import annotations

from collections import Counter

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level
from pennyspeed.domain.kinds import BY_KEY, EXTRAS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import DEFAULT_CURRENCY
from pennyspeed.domain.money.orders import Rate
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import KMH
from pennyspeed.services.shelf.answer_columns import (
    CHANGE,
    CHECK,
    LEFT,
    PRICE,
    SPEED,
    answer_columns,
)
from pennyspeed.services.shelf.answers import Answers
from pennyspeed.services.shelf.arrangement import Arrangement, answer_keys
from pennyspeed.services.shelf.row_texts import RowTexts, speed_shown
from pennyspeed.services.shelf.stock import ABOUT, Keys, Stock


class ShelfRows:
    """Parts of one kind, or pairs of two, beside the build they could go into.

    What is changed here shows in :attr:`order` once :meth:`arrange` is called.

    Attributes
    ----------
    is_late : bool
        The answers are to another build.
    columns : list of Column
        Of the stock, then from `answers_from` on those of the answers.
    order : array of int
        Places in the stock of the rows, top to bottom.
    narrowing : str
        Words that a row must have, in lower case.
    fits_only : bool
        What does not fit is left out.
    sorting : dict
        By :attr:`shelf_key` the column that was chosen to sort by, and whether it falls.
    """

    def __init__(self) -> None:
        self.build: Build | None = None
        self.answers: Answers | None = None
        self.is_late = False
        self.narrowing = ""
        self.fits_only = False
        self.sorting: dict[str, tuple[str, bool]] = {}
        self.show_stock(Stock(BY_KEY[EXTRAS.key], [], Measures()))

    def __len__(self) -> int:
        return len(self.order)

    # What is shown ----------------------------------------------------------------------------

    def show_stock(self, stock: Stock) -> None:
        """Show other parts; what they bring is not known yet."""
        self.stock, self.answers = stock, None
        self.name_columns()
        self.arrange()

    def show_build(self, build: Build | None) -> None:
        """Show which parts are in a build; without one there are no answers."""
        self.build = build
        if build is None:
            self.answers, self.is_late = None, False
        self._take_up_build()

    def name_columns(self) -> None:
        """Take up which columns the stock and the build have."""
        unit, (currency, _, is_aimed, is_capped) = self.stock.measures.speed_unit, self.terms
        self.answers_from = len(self.stock.columns)
        answers = answer_columns(unit.symbol, currency, is_aimed, is_capped)
        self.columns = [*self.stock.columns, *answers]
        self._take_up_build()

    def _take_up_build(self) -> None:
        self.inside: Counter[int] = Counter()
        if self.build is not None:
            self.inside = self.stock.inside(self.build)
        self._texts = RowTexts(self.stock, self.inside, *self.terms[:2])

    @property
    def terms(self) -> tuple[str, tuple[Rate, ...], bool, bool]:
        """What of the build says what prices are, and which columns: is it aimed, is it capped."""
        build = self.build
        if build is None:
            return DEFAULT_CURRENCY, (), False, False
        return build.currency, build.rates, build.target_kmh is not None, build.cap is not None

    # Their order ------------------------------------------------------------------------------

    def arrange(self) -> None:
        """Put the rows in their order."""
        self.order: NDArray[np.integer] = self.arrangement.rows(self.answers)

    def sort(self, column: int, descending: bool) -> None:
        """Sort by a column; what does not fit comes last, and what is not known among each."""
        self.sorting[self.shelf_key] = (self.columns[column].key, descending)

    @property
    def shelf_key(self) -> str:
        """Names what is shown, "motor" or "pinion+spur": each is sorted in its own way."""
        return "+".join(str(column.title) for column in self.stock.columns[: self.stock.names])

    @property
    def sorted_by(self) -> tuple[int, bool]:
        """The column that orders the rows, and whether it falls."""
        keys = [column.key for column in self.columns]
        wanted = self.sorting.get(self.shelf_key)
        if wanted is not None and wanted[0] in keys:
            return keys.index(wanted[0]), wanted[1]
        if self.build is not None:
            return keys.index(SPEED), True
        return next((i for i, c in enumerate(self.columns) if c.numeric), 0), False

    @property
    def sorting_key(self) -> str:
        """Key of the column that orders the rows."""
        return self.columns[self.sorted_by[0]].key

    @property
    def arrangement(self) -> Arrangement:
        """How the rows are arranged."""
        column, descending = self.sorted_by
        key = self.columns[column].key
        is_own = column < self.answers_from or key == PRICE
        first = next((i for i in range(self.answers_from) if self.columns[i].numeric), 0)
        words = self.narrowing.split()
        return Arrangement(
            len(self.stock),
            self.keys(column) if is_own else None,
            self.stock.keys[first],
            key,
            descending,
            self.stock.with_words(words) if words else None,
            self.fits_only,
        )

    def keys(self, column: int) -> Keys:
        """Return what a column is sorted by, place by place of the stock."""
        if column < self.answers_from:
            return self.stock.keys[column]
        if self.columns[column].key == PRICE:
            return self.stock.prices(*self.terms[:2])
        if self.answers is None:
            return np.full(len(self.stock), np.nan)
        return answer_keys(self.answers, self.columns[column].key)

    # Which row is which -----------------------------------------------------------------------

    @property
    def total(self) -> int:
        """How many parts there are before narrowing."""
        return len(self.stock)

    @property
    def unfit(self) -> int:
        """How many rows of the stock do not fit, as far as that is known."""
        answers = self.answers
        return 0 if answers is None else int(np.count_nonzero(~answers.concern.fits))

    def place(self, row: int) -> int:
        """Return a row's place in the stock."""
        return int(self.order[row])

    def part(self, row: int) -> Part:
        """Return a row's part, the first of a pair."""
        return self.parts(row)[0]

    def parts(self, row: int) -> tuple[Part, ...]:
        """Return what goes in with a row."""
        return self.stock.parts_at(self.place(row))

    def row_of(self, *parts: Part) -> int:
        """Return the row of one part or of a pair, or −1."""
        i = self.stock.index_of_parts(parts)
        return self.row_at(i) if i >= 0 else -1

    def row_at(self, i: int) -> int:
        """Return the row of a place in the stock, or −1."""
        found = np.flatnonzero(self.order == i)
        return int(found[0]) if len(found) else -1

    @property
    def row_now(self) -> int:
        """The row of what is in the slot, or −1."""
        return next((row for row in map(self.row_at, self.inside) if row >= 0), -1)

    def count_in(self, row: int) -> int:
        """Return how many of a row's part are in the build."""
        return self.inside.get(self.place(row), 0)

    # What they say ----------------------------------------------------------------------------

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
        low, speed, high = (
            speed_shown(self.stock.measures, float(values[i]))
            for values in (answers.p10, answers.speed, answers.p90)
        )
        return low, speed, high

    @property
    def target(self) -> float | None:
        """The build's target as shown."""
        target = None if self.build is None else self.build.target_kmh
        return None if target is None else self.stock.measures.shown(target, KMH)

    @property
    def speed_now(self) -> float | None:
        """The speed of the build the answers are for, as shown."""
        if self.answers is None or np.isnan(self.answers.now):
            return None
        return speed_shown(self.stock.measures, self.answers.now)

    def is_dim(self, row: int, column: int) -> bool:
        """Tell whether a cell shows what nobody gave."""
        return column < self.answers_from and self.stock.is_filled_in(column, self.place(row))

    def is_over(self, row: int, column: int) -> bool:
        """Tell whether a cell says that the cap would be passed."""
        if self.columns[column].key != LEFT or self.answers is None:
            return False
        left = self.answers.found.left
        return left is not None and bool(left[self.place(row)] < 0)

    def hint(self, row: int, column: int) -> str:
        """Return what a cell says when it is pointed at."""
        if self.columns[column].key == CHECK and self.answers is not None:
            check = self.answers.checks.get(self.place(row))
            return "" if check is None else "\n".join(filter(None, (check.text, check.advice)))
        if column < self.stock.names:
            return self.text(row, column)
        if column < self.answers_from:
            return self.stock.estimate_words(column, self.place(row))
        return ""

    def is_worked_out(self, row: int, column: int) -> bool:
        """Tell whether a cell shows a figure that was worked out."""
        return column < self.answers_from and self.stock.is_worked_out(column, self.place(row))

    def spoken(self, row: int) -> str:
        """Return a row as a screen reader says it."""
        titles = (
            f"{column.title}: {self.text(row, i).replace(ABOUT, 'about')}"
            for i, column in enumerate(self.columns)
        )
        return "; ".join(titles)
