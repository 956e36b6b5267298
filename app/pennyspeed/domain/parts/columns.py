"""Columns: the figures of many parts of one kind, as arrays.

A figure that is the same in all of them stays a plain number, which is also the fastest way to pass
it on.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from decimal import Decimal, localcontext
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.assembly import Key, heat_capacity_of
from pennyspeed.domain.money.money import digits
from pennyspeed.domain.money.orders import Rate, rate_of
from pennyspeed.domain.parts.fields import Draw, Shape
from pennyspeed.domain.parts.parts import Part, is_same
from pennyspeed.physics.car import NO_LIMIT, FloatArray, Floats, IntArray

_COUNTED_AS_NOTHING = "mass_g"
_PRECISION = 80
"""Digits in which a price times a rate is exact: they have at most 24 each."""


class Prices(NamedTuple):
    """Prices in one currency."""

    minor: IntArray
    """Whole minor units, 0 where not known."""
    known: NDArray[np.bool_]
    fractions: NDArray[Any] | None
    """What a rate leaves beyond whole units; None where nothing."""


class Columns:
    """Parts of one kind, at least one, by column; each column is read once."""

    def __init__(self, parts: Sequence[Part]) -> None:
        self.parts = tuple(parts)
        self.kind = self.parts[0].kind
        self._named: dict[str, list[int]] = {}
        for row, part in enumerate(self.parts):
            self._named.setdefault(part.name, []).append(row)
        self._ids = np.array([-1 if part.id is None else part.id for part in self.parts])
        self._read: dict[str, Floats] = {}
        self._sides: dict[str, tuple[Floats, Floats, Floats]] = {}
        self._prices: dict[tuple[str, tuple[Rate, ...]], Prices] = {}

    def __len__(self) -> int:
        return len(self.parts)

    def named(self, name: str) -> list[int]:
        """Return the places of those of exactly this name."""
        return list(self._named.get(name, ()))

    def matching(self, part: Part) -> NDArray[np.bool_]:
        """Tell which of them are `part`."""
        same = np.zeros(len(self), dtype=bool)
        near = list(self._named.get(part.name, ()))
        if part.id is not None:
            near += np.flatnonzero(self._ids == part.id).tolist()
        for row in near:
            same[row] = is_same(self.parts[row], part)
        return same

    def given(self, key: str) -> Floats:
        """Return a column of numbers as they are given, NaN where they are not."""
        found = self._read.get(key)
        if found is None:
            values = np.array([part.figures.get(key) for part in self.parts], dtype=float)
            found = self._read[key] = _shortened(values)
        return found

    def number(self, key: str) -> Floats:
        """Return a column with defaults filled in, NaN where there is none."""
        given, default = self.given(key), self.kind.field(key).default
        return _filled(given, default) if isinstance(default, int | float) else given

    def known(self, key: str) -> Floats:
        """Return a column of what checks may rely on, NaN elsewhere."""
        return self.number(key) if self.kind.field(key).known_by_default else self.given(key)

    def sides(self, key: str) -> tuple[Floats, Floats, Floats]:
        """Return the three columns of a size, NaN where it is not given."""
        found = self._sides.get(key)
        if found is None:
            unknown = (math.nan,) * 3
            rows = [part.figures.get(key) or unknown for part in self.parts]
            one, two, three = np.array(rows, dtype=float).T
            found = self._sides[key] = (_shortened(one), _shortened(two), _shortened(three))
        return found

    def texts(self, key: str) -> list[str]:
        """Return a column of texts, "" where there is none."""
        return [str(part.figure(key) or "") for part in self.parts]

    def prices(self, currency: str, rates: tuple[Rate, ...] = ()) -> Prices:
        """Return what each costs a build of that currency today, with its exchange rates."""
        found = self._prices.get((currency, rates))
        if found is None:
            with localcontext(prec=_PRECISION):
                exact = [_price(part, currency, rates) for part in self.parts]
            known = np.array([price is not None for price in exact])
            floors = [0 if price is None else int(price // 1) for price in exact]
            fractions = None
            if any(isinstance(price, Decimal) for price in exact):
                fractions = np.array([Decimal(price or 0) % 1 for price in exact], dtype=object)
            minor = np.array(floors, dtype=np.int64)
            found = self._prices[currency, rates] = Prices(minor, known, fractions)
        return found

    def spreads(self, key: str) -> FloatArray:
        """Return the standard deviation of ln(figure) of every part."""
        return np.array([part.spread_of(key) for part in self.parts])

    @property
    def drawn(self) -> tuple[str, ...]:
        """Keys of the figures that are not known exactly."""
        return tuple(field.key for field in self.kind.fields if field.draw is not Draw.EXACT)

    def figures(self, slot: str) -> dict[Key, Floats]:
        """Return what :func:`~pennyspeed.domain.assembly.assemble` takes in place of a build's own.

        A rating that some of them lack stands there as no limit, a mass as 0; one that all lack is
        left out.
        """
        found: dict[Key, Floats] = {}
        for field in self.kind.fields:
            if field.shape is Shape.CHOICE:
                places = {choice: float(i) for i, choice in enumerate(field.choices)}
                found[slot, field.key] = np.array(
                    [places.get(text, -1.0) for text in self.texts(field.key)]
                )
            elif field.shape in (Shape.NUMBER, Shape.WHOLE):
                column = self.number(field.key)
                if field.key == "heat_capacity_j_per_k":
                    mass = self.known(_COUNTED_AS_NOTHING)
                    column = _filled(column, heat_capacity_of(_filled(mass, 0.0)))
                gap = 0.0 if field.key == _COUNTED_AS_NOTHING else NO_LIMIT
                found[slot, field.key] = _filled(column, gap)
        return found


def _price(part: Part, currency: str, rates: tuple[Rate, ...]) -> Decimal | int | None:
    """Return a price in minor units, a Decimal where a rate went into it."""
    if part.recipe is not None:
        cost = part.recipe.cost(currency)
        return None if cost is None else cost.minor
    if part.price is None:
        return None
    amount = part.price.amount
    if amount.currency == currency:
        return amount.minor
    rate = rate_of(rates, amount.currency)
    return None if rate is None else (amount.amount * rate.rate).scaleb(digits(currency))


def _shortened(values: FloatArray) -> Floats:
    """Return one number where all are the same, NaN included."""
    first = float(values[0])
    same = np.isnan(values) if math.isnan(first) else values == first
    return first if bool(same.all()) else values


def _filled(column: Floats, gap: Floats) -> Floats:
    """Return a column with `gap` where it is NaN."""
    if isinstance(column, np.ndarray) or isinstance(gap, np.ndarray):
        return np.where(np.isnan(column), gap, column)
    return gap if math.isnan(column) else column
