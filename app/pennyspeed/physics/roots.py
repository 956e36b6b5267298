"""Zero of a function of one number inside a bracket."""

from __future__ import annotations

from collections.abc import Callable

_RELATIVE = 4.0e-15
_MOST_STEPS = 200


def bracketed_zero(
    function: Callable[[float], float],
    low: float,
    high: float,
    at_low: float,
    at_high: float,
    relative: float = _RELATIVE,
) -> float:
    """Zero of `function` between `low` and `high`, where its values differ in sign.

    Inverse quadratic interpolation where it is safe, bisection elsewhere.

    Parameters
    ----------
    low, high : float
        The bracket.
    at_low, at_high : float
        Values there; of different sign, or one of them 0.
    relative : float
        Width of the last bracket over the zero.

    Source: Chandrupatla, *A new hybrid quadratic/bisection algorithm for finding the zero of a
    nonlinear function without using derivatives*, Advances in Engineering Software 28 (1997)
    145-149.

    >>> round(bracketed_zero(lambda x: x * x - 2.0, 0.0, 2.0, -2.0, 2.0), 12)
    1.414213562373
    """
    # one, other: the bracket, the newest point first; third: the point that dropped out
    one, at_one, other, at_other = high, at_high, low, at_low
    if at_one == 0.0:
        return one
    if at_other == 0.0:
        return other
    # starts with the secant, or bisects where the ends differ so much that it would stand still
    share = min(max(at_one / (at_one - at_other), 0.05), 0.95)
    for _ in range(_MOST_STEPS):
        point = one + share * (other - one)
        value = function(point)
        if (value > 0.0) == (at_one > 0.0):
            third, at_third = one, at_one
        else:
            third, at_third = other, at_other
            other, at_other = one, at_one
        one, at_one = point, value
        best = one if abs(at_one) < abs(at_other) else other
        width = abs(other - one)
        least = relative * abs(best) + 1.0e-300
        if value == 0.0 or width <= 2.0 * least:
            return best
        place = (one - other) / (third - other)
        height = (at_one - at_other) / (at_third - at_other)
        if height * height < place and (1.0 - height) ** 2 < 1.0 - place:
            share = at_one / (at_other - at_one) * at_third / (at_other - at_third) + (
                third - one
            ) / (other - one) * at_one / (at_third - at_one) * at_other / (at_third - at_other)
        else:
            share = 0.5
        edge = least / width
        share = min(max(share, edge), 1.0 - edge)
    return best
