"""Sharing whole units without losing one.

Largest remainder (Hamilton's method): everybody gets the whole part of their quota, and what is
left over goes, one unit each, to the largest fractions. M. L. Balinski, H. P. Young, *Fair
Representation*, 2nd ed. 2001, chapter 3 (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_FLOOR, Decimal
from math import lcm

_HALF = Decimal("0.5")


def apportion(total: int, weights: Sequence[Decimal | int]) -> list[int]:
    """Return `total` shared in proportion to the weights, exactly.

    Of equal fractions the first one gets the unit. Where all weights are 0 the shares are equal.
    There is a weight at least, and none is negative. The shares of -100 are those of 100, negated.

    >>> apportion(100, [1, 1, 1])
    [34, 33, 33]
    """
    if total < 0:
        return [-share for share in apportion(-total, weights)]
    ratios = [weight.as_integer_ratio() for weight in weights]
    common = lcm(*(below for _, below in ratios))
    parts = [above * (common // below) for above, below in ratios]
    whole = sum(parts)
    if not whole:
        parts, whole = [1] * len(parts), len(parts)
    quotas = [divmod(total * part, whole) for part in parts]
    shares = [share for share, _ in quotas]
    return _topped_up(shares, [rest for _, rest in quotas], total - sum(shares))


def rounded(amount: Decimal) -> int:
    """Return the nearest whole number, a half upwards."""
    return int((amount + _HALF).to_integral_value(ROUND_FLOOR))


def rounded_together(amounts: Sequence[Decimal]) -> list[int]:
    """Return the amounts as whole numbers that add up to their exact sum, rounded once.

    A whole amount stays as it is; the context's precision must hold the exact sum.

    >>> rounded_together([Decimal("0.5"), Decimal("0.5"), Decimal("7")])
    [1, 0, 7]
    """
    floors = [amount.to_integral_value(ROUND_FLOOR) for amount in amounts]
    shares = [int(floor) for floor in floors]
    if floors == list(amounts):
        return shares
    fractions = [amount - floor for amount, floor in zip(amounts, floors, strict=True)]
    return _topped_up(shares, fractions, rounded(sum(fractions, Decimal(0))))


def _topped_up(
    shares: list[int], fractions: Sequence[Decimal] | Sequence[int], spare: int
) -> list[int]:
    """Give the units that are left over to the largest fractions."""
    # sorted() keeps the order of equals: of equal fractions the first goes first.
    by_fraction = sorted(range(len(shares)), key=lambda place: -fractions[place])
    for place in by_fraction[:spare]:
        shares[place] += 1
    return shares
