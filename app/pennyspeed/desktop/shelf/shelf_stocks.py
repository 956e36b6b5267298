"""The parts that the shelf shows, alone or each with every part of another slot."""

from __future__ import annotations

import numpy as np

from pennyspeed.desktop.session import Session
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.shelf.stock import Pairs, Stock

GOES_WITH = {"pinion": "spur", "motor": "controller"}
"""Slots whose parts can be tried with every part of another."""

MOST_PAIRS = 20_000


class Stocks:
    """Makes stocks of a session's parts, each once.

    Parameters
    ----------
    session : Session
    """

    def __init__(self, session: Session) -> None:
        self._session = session
        self._kept: dict[tuple[str, bool], tuple[list[Part], Stock]] = {}
        self._pairs: Pairs | None = None

    def of(self, slot: str, archived: bool) -> Stock:
        """Return the parts of a slot; those of before while nothing about them changed."""
        parts, measures = (
            self._session.catalogue.parts(slot, archived),
            self._session.bench.measures,
        )
        known = self._kept.get((slot, archived))
        if known is None or known[0] is not parts or known[1].measures != measures:
            before = None if known is None else known[1]
            known = parts, Stock(BY_KEY[slot], parts, measures, before)
            self._kept[slot, archived] = known
        return known[1]

    def shown(self, slot: str, archived: bool, paired: bool, narrowing: str) -> Stock:
        """Return a slot's parts, or its pairs where these are asked for.

        Of more than `MOST_PAIRS` pairs, those whose first part has every word of `narrowing`.
        """
        one = self.of(slot, archived)
        if not paired:
            return one
        other = self.of(GOES_WITH[slot], False)
        if len(one) * len(other) > MOST_PAIRS:
            one = self._narrowed(one, MOST_PAIRS // len(other), narrowing)
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
