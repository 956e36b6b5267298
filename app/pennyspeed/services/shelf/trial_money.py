"""What trials cost and when they come: sums for thousands of swaps at once.

Each is what the book says of the build that the swap makes: a plan makes way, what is bought stays
paid for, and a part out of the drawer costs nothing more.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal, localcontext
from functools import cached_property
from itertools import product
from typing import Any

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks.seen import Bools
from pennyspeed.domain.kinds import EXTRAS
from pennyspeed.domain.money.apportion import rounded
from pennyspeed.domain.money.book import PRECISION, book
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.lines import OPEN, Line, Status
from pennyspeed.domain.parts.columns import Columns, Prices
from pennyspeed.domain.parts.parts import Part
from pennyspeed.physics.car import Floats, IntArray
from pennyspeed.services.shelf.swaps import bought

_NONE = np.array(Decimal(0), dtype=object)


class TrialMoney:
    """The money and the days of :class:`~pennyspeed.services.shelf.trials.Trials`."""

    def __init__(
        self, build: Build, columns: Mapping[str, Columns], index: Mapping[str, IntArray]
    ) -> None:
        self.original, self.columns, self.index = build, columns, index

    def __len__(self) -> int:
        return len(next(iter(self.index.values())))

    def parts(self, row: int) -> tuple[Part, ...]:
        """Return the parts that one trial takes."""
        return tuple(self.columns[slot].parts[int(rows[row])] for slot, rows in self.index.items())

    def build_at(self, row: int) -> Build:
        return self.original.with_parts(bought(self.original, self.parts(row)))

    # money --------------------------------------------------------------------------------------

    @cached_property
    def _money(self) -> tuple[IntArray, NDArray[np.bool_]]:
        """Cost of each trial in minor units, and where something that counts has no price."""
        unpriced = np.zeros(len(self), dtype=bool)
        others = np.zeros(len(self), dtype=np.int64)
        goods = np.full(len(self), Decimal(0)) if self._has_fractions(counts=True) else None
        fitted = {slot: self._is_fitted(slot)[rows] for slot, rows in self.index.items()}
        for stays in product((True, False), repeat=len(fitted)):
            here = np.ones(len(self), dtype=bool)
            rest = self.original
            for (slot, same), is_kept in zip(fitted.items(), stays, strict=True):
                here &= same if is_kept else ~same
                if not is_kept and slot != EXTRAS.key:
                    rest = _without_plan(rest, slot)
            if here.any():
                found = book(rest)
                others[here] = found.counted.minor
                if goods is not None:
                    others[here] -= rounded(found.exact)
                    goods[here] = found.exact
                unpriced[here] = bool(found.unpriced)
        bought, unknown = self._bought(counts=True, beside=goods)
        cost, unpriced = others + bought, unpriced | unknown
        for row in self._following():
            money = costs(self.build_at(row))
            cost[row], unpriced[row] = money.counted.minor, bool(money.unpriced)
        return cost, unpriced

    def _following(self) -> list[int]:
        """Return the rows with a part out of the drawer whose line follows the part's figures."""
        found = np.zeros(len(self), dtype=bool)
        for slot, rows in self.index.items():
            places = [
                place
                for place, line in self._paid_before(slot).items()
                if line.unit_price is None or (line.mass_g is None and line.order)
            ]
            found |= np.isin(rows, places)
        return np.flatnonzero(found).tolist()

    def _bought(
        self, counts: bool, beside: NDArray[Any] | None = None
    ) -> tuple[IntArray, NDArray[np.bool_]]:
        """Return what has to be bought for each trial, in minor units, and where that is not known.

        Exact goods `beside` it are added before anything is rounded.
        """
        minor = np.zeros(len(self), dtype=np.int64)
        unknown = np.zeros(len(self), dtype=bool)
        exact = beside
        if exact is None and self._has_fractions(counts):
            exact = np.full(len(self), Decimal(0))
        for slot, rows in self.index.items():
            if self.original.counts(slot) is not counts:
                continue
            prices = self._prices(slot)
            new = self._is_new(slot)[rows]
            minor += prices.minor[rows] * new
            unknown |= ~prices.known[rows] & new
            if prices.fractions is not None and exact is not None:
                with localcontext(prec=PRECISION):
                    exact = exact + np.where(new, prices.fractions[rows], _NONE)
        if exact is None:
            return minor, unknown
        with localcontext(prec=PRECISION):
            whole = {amount: rounded(amount) for amount in set(exact)}
        return minor + np.array([whole[amount] for amount in exact], dtype=np.int64), unknown

    def _prices(self, slot: str) -> Prices:
        return self.columns[slot].prices(self.original.currency, self.original.rates)

    def _has_fractions(self, counts: bool) -> bool:
        """Tell whether a rate leaves fractions of minor units in the prices of what is tried."""
        return any(
            self.original.counts(slot) is counts and self._prices(slot).fractions is not None
            for slot in self.columns
        )

    def _is_fitted(self, slot: str) -> NDArray[np.bool_]:
        old = None if slot == EXTRAS.key else self.original.part(slot)
        columns = self.columns[slot]
        return np.zeros(len(columns), dtype=bool) if old is None else columns.matching(old)

    def _paid_before(self, slot: str) -> dict[int, Line]:
        """Return the lines of the parts that were bought for a slot already, by place."""
        found, lines = {}, self.original.lines
        for name in {line.name for line in lines if line.part == slot}:
            for place in self.columns[slot].named(name):
                paid = self.original.bought_before(self.columns[slot].parts[place])
                if paid is not None:
                    found[place] = lines[paid]
        return found

    def _is_new(self, slot: str) -> NDArray[np.bool_]:
        """Tell which of a slot's parts are neither in nor in the drawer."""
        new = ~self._is_fitted(slot)
        new[list(self._paid_before(slot))] = False
        return new

    @cached_property
    def beside_cap(self) -> tuple[IntArray, NDArray[np.bool_]]:
        """Prices of what goes in and does not count toward the cap, and where one is not known."""
        return self._bought(counts=False)

    # days ---------------------------------------------------------------------------------------

    @cached_property
    def _awaited(self) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
        """Where something that is awaited comes too late, and where no day is known for it."""
        build = self.original
        own = {slot: build.line(slot) for slot in self.index if slot != EXTRAS.key}
        swapped = [line for line in own.values() if line is not None]
        stay = [line for line in build.lines if not any(line is one for one in swapped)]
        late = np.full(len(self), any(build.comes_late(one) for one in stay if one.is_awaited))
        undated = np.full(
            len(self), any(build.awaited_on(one) is None for one in stay if one.is_awaited)
        )
        for slot, rows in self.index.items():
            new = self._is_new(slot)
            is_late, is_undated = np.zeros(len(new), dtype=bool), new.copy()
            here = dict(self._paid_before(slot))
            old = own.get(slot)
            if old is not None:
                here |= dict.fromkeys(np.flatnonzero(self._is_fitted(slot)).tolist(), old)
            for place, line in here.items():
                if line.status in OPEN:
                    is_late[place] = build.comes_late(line)
                    is_undated[place] = build.awaited_on(line) is None
            late |= is_late[rows]
            undated |= is_undated[rows]
        return late, undated

    @property
    def comes_late(self) -> Bools:
        """Something that is awaited comes after the event."""
        return self._awaited[0]

    @property
    def undated(self) -> Bools:
        """For something that is awaited no day is known."""
        return self._awaited[1]

    @property
    def cost(self) -> IntArray:
        """What counts, in minor units of the build's currency, shape (n,)."""
        return self._money[0]

    @property
    def unpriced(self) -> Bools:
        """Something that counts has no price."""
        return self._money[1]

    @property
    def cap_left(self) -> Floats:
        """Of the cap, in minor units; NaN without one."""
        cap = self.original.cap
        return math.nan if cap is None else (cap.minor - self.cost).astype(float)


def _without_plan(build: Build, slot: str) -> Build:
    """Return the build without the line of money that a swap would drop."""
    line = build.line(slot)
    if line is None or line.status is not Status.PLANNED:
        return build
    return replace(build, lines=tuple(one for one in build.lines if one is not line))
