"""Round ticks for an axis, and curves thinned to what an eye can tell apart."""

from __future__ import annotations

import math

import numpy as np

from pennyspeed.physics.car import FloatArray

_ROUND = (1.0, 2.0, 5.0, 10.0)


def round_step(span: float, most: int) -> float:
    """Return the smallest step of 1, 2 or 5 times a power of ten that fits `most` times in `span`.

    >>> round_step(140, 7), round_step(1.4, 7), round_step(220, 12)
    (20.0, 0.2, 20.0)
    """
    if span <= 0.0:
        return 1.0
    least = span / max(most, 1)
    power = 10.0 ** math.floor(math.log10(least))
    return float(next(power * r for r in _ROUND if power * r >= least * (1 - 1e-9)))


def ticks(low: float, high: float, step: float) -> list[float]:
    """Return the multiples of `step` from `low` to `high`, both included.

    >>> ticks(0.0, 60.0, 20.0)
    [0.0, 20.0, 40.0, 60.0]
    """
    first = math.ceil(low / step - 1e-9)
    last = math.floor(high / step + 1e-9)
    return [i * step for i in range(first, last + 1)]


def decimals(step: float) -> int:
    """Return how many decimals tell multiples of `step` apart.

    >>> decimals(20.0), decimals(0.5), decimals(0.02)
    (0, 1, 2)
    """
    return max(0, -math.floor(math.log10(step) + 1e-9))


def thinned(
    xs: FloatArray, ys: FloatArray, points: int, keep: float | None = None
) -> tuple[FloatArray, FloatArray]:
    """Return a curve with `points` points spread evenly along its length.

    Speed goes as the root of distance at both ends of the road; even spacing along the drawn line
    crowds points there. `keep` is an x at which a point stands exactly.
    """
    if len(xs) < 3:
        return xs, ys
    along = np.zeros(len(xs))
    np.hypot(xs[1:] - xs[:-1], ys[1:] - ys[:-1]).cumsum(out=along[1:])
    places = np.arange(points) * (along[-1] / (points - 1))
    if keep is not None:
        at = float(np.interp(keep, xs, along))
        places[np.argmin(np.abs(places[1:-1] - at)) + 1] = at
    return np.interp(places, along, xs), np.interp(places, along, ys)
