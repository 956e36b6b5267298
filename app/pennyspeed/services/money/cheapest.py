"""Which shop for which want, so that goods and postage together cost least: an integer programme.

Minimise the deals' costs plus the postage of every shop that is used, less where a shop's goods
reach the worth from which it sends free::

    min  Σ cost x + Σ postage (y − f)
    Σ x = 1 for every want        x ≤ y of its shop        f ≤ y
    Σ worth x ≥ free_from f       Σ amount x ≤ most for every limit       x, y, f in {0, 1}

A facility-location problem with a fixed charge for each shop (textbook: L. A. Wolsey, *Integer
Programming*, 1998, section 1.2; the row for free postage is ours). It is solved by HiGHS to a gap
of nothing; every amount is a whole number, and the answer is counted again in whole numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from pennyspeed.domain.errors import Defect

_TOLERANCE = 1e-9


@dataclass(frozen=True, slots=True)
class Shop:
    """What a shop adds: `postage`, or nothing once its goods are worth `free_from` or more."""

    postage: int
    free_from: int | None = None


@dataclass(frozen=True, slots=True)
class Deal:
    """One want met by one shop.

    Attributes
    ----------
    want, shop : int
        Their places.
    cost : int
        All that it costs but postage.
    worth : int
        What it adds to the goods of its shop, in the unit of `free_from`.
    """

    want: int
    shop: int
    cost: int
    worth: int = 0


@dataclass(frozen=True, slots=True)
class Limit:
    """At most `most` of what these deals take together; `amounts` holds (deal, amount)."""

    amounts: tuple[tuple[int, int], ...]
    most: int


Assignment = tuple[int | None, ...]
"""For every want the deal that meets it, or None."""


def landed(deals: Sequence[Deal], shops: Sequence[Shop], chosen: Assignment) -> int:
    """Return what an assignment costs with all postage."""
    taken = [deals[i] for i in chosen if i is not None]
    total = sum(deal.cost for deal in taken)
    for place in {deal.shop for deal in taken}:
        worth = sum(deal.worth for deal in taken if deal.shop == place)
        total += postage(shops[place], worth)
    return total


def postage(shop: Shop, worth: int) -> int:
    """Return what a shop takes for sending goods of this worth."""
    return 0 if shop.free_from is not None and worth >= shop.free_from else shop.postage


def cheapest(
    wants: int, deals: Sequence[Deal], shops: Sequence[Shop], limits: Sequence[Limit] = ()
) -> Assignment:
    """Return the assignment that meets the most wants, and of those the one that costs least.

    Of two that cost the same the one from fewer shops is taken. A want is met by one deal or none.

    Raises
    ------
    Defect
        The solver gave up, or its answer does not count up to the value that it found.
    """
    if not deals:
        return (None,) * wants
    programme = _Programme.of(wants, deals, shops, limits)
    value, chosen = programme.solved()
    counted = programme.value_of(chosen)
    if counted != round(value):
        raise Defect(f"the cheapest shops were found at {value!r}, and count up to {counted}")
    return chosen


@dataclass
class _Programme:
    """The rows of the programme; columns are deals x, then shops' y, then shops' f, then wants'
    'not met'."""

    wants: int
    deals: Sequence[Deal]
    shops: Sequence[Shop]
    costs: list[int]
    rows: list[tuple[float, float, list[tuple[int, int]]]] = field(default_factory=list)

    @classmethod
    def of(
        cls, wants: int, deals: Sequence[Deal], shops: Sequence[Shop], limits: Sequence[Limit]
    ) -> _Programme:
        # One unit of cost outweighs any number of shops; one want met outweighs any cost.
        step = len(shops) + 1
        missing = step * (1 + sum(d.cost for d in deals) + sum(s.postage for s in shops)) + step
        costs = [deal.cost * step for deal in deals]
        costs += [shop.postage * step + 1 for shop in shops]
        costs += [-shop.postage * step for shop in shops]
        # Without limits every want that has a deal can be met, and the large number stays out.
        tight = {deals[i].want for limit in limits for i, _ in limit.amounts}
        costs += [missing if want in tight else 0 for want in range(wants)]
        self = cls(wants, deals, shops, costs)
        inf = float("inf")
        met: list[list[tuple[int, int]]] = [[] for _ in range(wants)]
        for i, deal in enumerate(deals):
            met[deal.want].append((i, 1))
            self.rows.append((-inf, 0, [(i, 1), (self.used(deal.shop), -1)]))
        for want, row in enumerate(met):
            if want in tight or not row:
                row.append((self.not_met(want), 1))
            self.rows.append((1, 1, row))
        for place, shop in enumerate(shops):
            self.rows.append((-inf, 0, [(self.free(place), 1), (self.used(place), -1)]))
            goal = [(self.free(place), 1)]
            if shop.free_from is None:
                self.rows.append((0, 0, goal))
            elif shop.free_from > 0:
                goal = [(self.free(place), -shop.free_from)]
                # more than enough is enough: smaller numbers make a tighter row
                goal += [
                    (i, min(deal.worth, shop.free_from))
                    for i, deal in enumerate(deals)
                    if deal.shop == place and deal.worth
                ]
                self.rows.append((0, inf, goal))
        for limit in limits:
            self.rows.append((-inf, limit.most, list(limit.amounts)))
        return self

    def used(self, shop: int) -> int:
        return len(self.deals) + shop

    def free(self, shop: int) -> int:
        return len(self.deals) + len(self.shops) + shop

    def not_met(self, want: int) -> int:
        return len(self.deals) + 2 * len(self.shops) + want

    def value_of(self, chosen: Assignment) -> int:
        """Return the objective of an assignment, in whole numbers."""
        step = len(self.shops) + 1
        used = {self.deals[i].shop for i in chosen if i is not None}
        lost = sum(self.costs[self.not_met(want)] for want, i in enumerate(chosen) if i is None)
        return landed(self.deals, self.shops, chosen) * step + len(used) + lost

    def solved(self) -> tuple[float, Assignment]:
        """Return the objective and the deals that were taken."""
        value, columns = _solve(self.costs, self.rows)
        chosen: list[int | None] = [None] * self.wants
        for i, deal in enumerate(self.deals):
            if columns[i] > 0.5:
                chosen[deal.want] = i
        return value, tuple(chosen)


def _solve(
    costs: Sequence[int], rows: Sequence[tuple[float, float, list[tuple[int, int]]]]
) -> tuple[float, Sequence[float]]:
    """Return the least value and the columns, each 0 or 1, that have it."""
    import highspy  # only where somebody asks for the cheapest shops
    import numpy as np

    count = len(costs)
    lp: Any = highspy.HighsLp()
    lp.num_col_, lp.num_row_ = count, len(rows)
    lp.col_cost_ = np.array(costs, dtype=np.float64)
    lp.col_lower_, lp.col_upper_ = np.zeros(count), np.ones(count)
    lp.row_lower_ = np.array([row[0] for row in rows])
    lp.row_upper_ = np.array([row[1] for row in rows])
    lp.a_matrix_.format_ = highspy.MatrixFormat.kRowwise
    lp.a_matrix_.start_ = np.cumsum([0, *(len(row[2]) for row in rows)]).astype(np.int32)
    lp.a_matrix_.index_ = np.array([i for row in rows for i, _ in row[2]], dtype=np.int32)
    lp.a_matrix_.value_ = np.array([a for row in rows for _, a in row[2]], dtype=np.float64)
    lp.integrality_ = [highspy.HighsVarType.kInteger] * count

    class Quiet(highspy.Highs):
        """It greets on the standard output once callbacks are there, unless told not to before."""

        def enableCallbacks(self) -> None:  # noqa: N802
            self.silent()
            super().enableCallbacks()  # type: ignore[no-untyped-call]

    solver: Any = Quiet()  # type: ignore[no-untyped-call]
    options = {
        "threads": 1,
        "mip_rel_gap": 0.0,
        "mip_abs_gap": 0.0,
        "mip_feasibility_tolerance": _TOLERANCE,
        "primal_feasibility_tolerance": _TOLERANCE,
        "dual_feasibility_tolerance": _TOLERANCE,
    }
    for name, setting in options.items():
        solver.setOptionValue(name, setting)
    solver.passModel(lp)
    solver.run()
    status = solver.getModelStatus()
    if status != highspy.HighsModelStatus.kOptimal:
        raise Defect(f"the cheapest shops were not found: {solver.modelStatusToString(status)}")
    return solver.getInfo().objective_function_value, list(solver.getSolution().col_value)
