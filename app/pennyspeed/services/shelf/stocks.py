"""The parts that the shelf shows, alone or each with every part of another slot."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.orders import Rate
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.shelf.stock import Column, Keys, Stock

GOES_WITH = {"pinion": "spur", "motor": "controller"}
"""Slots whose parts can be tried with every part of another."""

MOST_PAIRS = 20_000


class Pairs(Stock):
    """Every part of one stock with every part of another, the others running fastest."""

    def __init__(self, one: Stock, other: Stock) -> None:
        self.one, self.other = one, other
        self.kind, self.parts, self.measures = one.kind, one.parts, one.measures
        self.columns = [
            one.columns[0],
            Column("other", other.kind.label, "Goes in with it.", False),
        ]
        first, second = np.divmod(np.arange(len(self)), max(len(other), 1))
        self.keys = [one.keys[0][first], other.keys[0][second]]
        self._prices = {}

    def __len__(self) -> int:
        return len(self.one) * len(self.other)

    @property
    def names(self) -> int:
        return 2

    @property
    def asked(self) -> tuple[list[Part], list[Part]]:
        others = self.other.parts
        return self.parts if others else [], others

    def parts_at(self, i: int) -> tuple[Part, ...]:
        first, second = divmod(i, len(self.other))
        return self.one.parts[first], self.other.parts[second]

    def text(self, column: int, i: int) -> str:
        place = divmod(i, len(self.other))[column]
        return (self.one, self.other)[column].text(0, place)

    def is_worked_out(self, column: int, i: int) -> bool:
        return False

    def is_filled_in(self, column: int, i: int) -> bool:
        return False

    def index_of_parts(self, parts: Sequence[Part]) -> int:
        if len(parts) != self.names:
            return -1
        first, second = self.one.index_of(parts[0]), self.other.index_of(parts[1])
        return -1 if min(first, second) < 0 else first * len(self.other) + second

    def inside(self, build: Build) -> Counter[int]:
        ones, others = self.one.inside(build), self.other.inside(build)
        count = len(self.other)
        return Counter(first * count + second for first in ones for second in others)

    def with_words(self, words: Sequence[str]) -> NDArray[np.bool_]:
        found = np.ones((len(self.one), len(self.other)), dtype=bool)
        for word in words:
            found &= self.one.with_words([word])[:, None] | self.other.with_words([word])[None, :]
        return found.ravel()

    def prices(self, currency: str, rates: tuple[Rate, ...] = ()) -> Keys:
        one, other = (stock.prices(currency, rates) for stock in (self.one, self.other))
        return (one[:, None] + other[None, :]).ravel()


def most_beside(others: int) -> int:
    """Return how many parts may each be paired with that many others."""
    return MOST_PAIRS // others


class Stocks:
    """Makes stocks of the catalogue's parts, each once.

    Parameters
    ----------
    parts : callable
        Returns the parts of a slot, the archived ones too where asked; the same list while nothing
        about them changed.
    """

    def __init__(self, parts: Callable[[str, bool], list[Part]]) -> None:
        self._parts = parts
        self._kept: dict[tuple[str, bool], tuple[list[Part], Stock]] = {}
        self._pairs: Pairs | None = None

    def of(self, slot: str, archived: bool, measures: Measures) -> Stock:
        """Return the parts of a slot; those of before while nothing about them changed."""
        parts = self._parts(slot, archived)
        known = self._kept.get((slot, archived))
        if known is None or known[0] is not parts or known[1].measures != measures:
            before = None if known is None else known[1]
            known = parts, Stock(BY_KEY[slot], parts, measures, before)
            self._kept[slot, archived] = known
        return known[1]

    def shown(
        self, slot: str, archived: bool, paired: bool, narrowing: str, measures: Measures
    ) -> Stock:
        """Return a slot's parts, or its pairs where these are asked for.

        Of more than `MOST_PAIRS` pairs, those whose first part has every word of `narrowing`.
        """
        one = self.of(slot, archived, measures)
        if not paired:
            return one
        other = self.of(GOES_WITH[slot], False, measures)
        if len(one) * len(other) > MOST_PAIRS:
            one = self._narrowed(one, most_beside(len(other)), narrowing)
        known = self._pairs
        if known is None or known.one is not one or known.other is not other:
            known = self._pairs = Pairs(one, other)
        return known

    def _narrowed(self, stock: Stock, most: int, narrowing: str) -> Stock:
        """Return what narrowing leaves of a stock, nothing where that is still too much."""
        kept = np.flatnonzero(stock.with_words(narrowing.casefold().split()))
        chosen = [stock.parts[i] for i in kept] if len(kept) <= most else []
        old = None if self._pairs is None else self._pairs.one
        is_old = old is not None and old.measures == stock.measures
        if old is not None and is_old and list(map(id, old.parts)) == list(map(id, chosen)):
            return old
        return Stock(stock.kind, chosen, stock.measures)
