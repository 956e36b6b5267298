"""Arrays of cars: picking some of them, and finding a root for every one at once.

Cars run along the last axis, speeds along the first: shapes ``(n,)`` and ``(k, n)``.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from typing import Any, TypeVar

import numpy as np
from numpy.typing import NDArray

from pennyspeed.physics.car import Car, FloatArray, IntArray

BoolArray = NDArray[np.bool_]
Record = TypeVar("Record")

SINGLE = np.float32
"""Precision of the fast path: as exact as double there, and twice as fast."""

FIGURES = tuple(Car.__slots__)


def settled(car: Car) -> tuple[Car, int]:
    """The car with every figure a plain number or an array ``(n,)``, and n.

    Raises
    ------
    ValueError
        Where two arrays differ in length, or one has more than one axis.
    """
    figures: dict[str, Any] = {}
    count = 1
    longest = ""
    for name in FIGURES:
        value = getattr(car, name)
        if isinstance(value, float):
            figures[name] = value
            continue
        value = np.asarray(value)
        if value.ndim > 1:
            raise ValueError(f"{name}: a number or one axis expected, got shape {value.shape}")
        if value.size == 1:
            figures[name] = value.item()
            continue
        if longest and value.size != count:
            raise ValueError(f"{name}: {count} cars expected as in {longest}, got {value.size}")
        count, longest = value.size, name
        figures[name] = value if name == "driven" else value.astype(np.float64, copy=False)
    return Car(**figures), count


def single(record: Record) -> Record:
    """The same figures in single precision."""
    figures = (getattr(record, name) for name in type(record).__slots__)  # type: ignore[attr-defined]
    return type(record)(
        *(
            value.astype(SINGLE)
            if isinstance(value, np.ndarray) and value.dtype.kind == "f"
            else value
            for value in figures
        )
    )


def pick(record: Record, index: IntArray | slice) -> Record:
    """The cars that `index` picks from a record of figures; what is not an array stays."""
    figures = (getattr(record, name) for name in type(record).__slots__)  # type: ignore[attr-defined]
    return type(record)(
        *(value[index] if isinstance(value, np.ndarray) else value for value in figures)
    )


def sort_columns(values: FloatArray) -> None:
    """Sort each column in place; many times faster than along an axis where rows are few.

    By a network of comparisons: Batcher's odd-even merge sort (Knuth, The Art of Computer
    Programming 3, 5.2.2, algorithm M).
    """
    for low, high in _network(values.shape[0]):
        one, other = values[low], values[high]
        least = np.minimum(one, other)
        np.maximum(one, other, out=other)
        one[...] = least


@cache
def _network(rows: int) -> tuple[tuple[int, int], ...]:
    """Pairs of rows to be compared, in their order."""
    pairs = []
    whole = 1 << max(rows - 1, 1).bit_length()
    step = whole // 2
    while step:
        reach, rest, gap = whole // 2, 0, step
        while True:
            pairs += [(i, i + gap) for i in range(rows - gap) if i & step == rest]
            if reach == step:
                break
            gap, reach, rest = reach - step, reach // 2, step
        step //= 2
    return tuple(pairs)


def bracketed_root(
    function: Callable[[FloatArray], FloatArray],
    low: FloatArray,
    high: FloatArray,
    at_low: FloatArray,
    at_high: FloatArray,
    rounds: int,
    close: float = 0.0,
) -> FloatArray:
    """A root of `function` in each bracket, by Chandrupatla's method.

    T. R. Chandrupatla, Advances in Engineering Software 28 (1997), 145–149: inverse quadratic
    interpolation wherever the last three points promise that it holds, bisection elsewhere, so
    that a knee costs few evaluations more than a smooth function. Begun with the chord.

    Parameters
    ----------
    function : callable
        Takes and gives arrays ``(n,)``.
    low, high, at_low, at_high : array (n,)
        Ends of the brackets and the function there. Where the signs are alike the answer lies
        within the bracket and means nothing.
    rounds : int
        Most evaluations spent.
    close : float
        Size of the function, relative to the lesser at the ends, at which all are done.
    """
    enough = close * np.minimum(np.abs(at_low), np.abs(at_high))
    best, least = low, np.abs(at_low)
    finest = 2.0 * np.finfo(np.result_type(low, high)).eps
    one, two, at_one, at_two = low, high, at_low, at_high
    share = _share(at_low, at_high)
    for _ in range(rounds):
        middle = one + share * (two - one)
        value = function(middle)
        size = np.abs(value)
        better = size < least
        best, least = np.where(better, middle, best), np.minimum(size, least)
        if np.all((least <= enough) | (np.abs(two - one) <= finest * np.abs(middle))):
            break
        # one: the newest point; two: across the root from it; three: the one given up
        same = (value > 0.0) == (at_one > 0.0)
        three, at_three = np.where(same, one, two), np.where(same, at_one, at_two)
        two, at_two = np.where(same, two, one), np.where(same, at_two, at_one)
        one, at_one = middle, value
        with np.errstate(divide="ignore", invalid="ignore"):
            xi, phi = (one - two) / (three - two), (at_one - at_two) / (at_three - at_two)
            curved = at_one / (at_two - at_one) * at_three / (at_two - at_three)
            curved += (
                (three - one) / (two - one)
                * at_one / (at_three - at_one) * at_two / (at_three - at_two)
            )  # fmt: skip
            nearest = np.minimum(finest * np.abs(one) / np.abs(two - one), 0.5)
            holds = (phi * phi < xi) & ((1.0 - phi) ** 2 < 1.0 - xi) & np.isfinite(curved)
        share = np.where(holds, curved, 0.5)
        share = np.minimum(np.maximum(share, nearest), 1.0 - nearest)
        share = np.where(np.isfinite(share), share, 0.5)
    # across a jump the least value may lie far from the root: the bracket does not
    return np.where(least <= enough, best, np.where(np.abs(at_one) < np.abs(at_two), one, two))


def _share(at_low: FloatArray, at_high: FloatArray) -> FloatArray:
    """Where within the bracket the chord is zero, in [0, 1]."""
    span = at_low - at_high
    share = at_low / np.where(span == 0.0, 1.0, span)
    return np.minimum(np.maximum(share, 0.0), 1.0)
