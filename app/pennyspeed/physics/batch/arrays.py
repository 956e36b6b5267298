"""Arrays of cars: picking some of them, and finding a root for every one at once.

Cars run along the last axis, speeds along the first: shapes ``(n,)`` and ``(k, n)``.
"""

from __future__ import annotations

from collections.abc import Callable
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


def single(car: Car) -> Car:
    """The same cars in single precision."""
    figures: dict[str, Any] = {name: getattr(car, name) for name in FIGURES}
    for name, value in figures.items():
        if isinstance(value, np.ndarray) and value.dtype.kind == "f":
            figures[name] = value.astype(SINGLE)
    return Car(**figures)


def pick(record: Record, index: IntArray | slice) -> Record:
    """The cars that `index` picks from a record of figures; what is not an array stays."""
    figures = (getattr(record, name) for name in type(record).__slots__)  # type: ignore[attr-defined]
    return type(record)(
        *(value[index] if isinstance(value, np.ndarray) else value for value in figures)
    )


def bracketed_root(
    function: Callable[[FloatArray], FloatArray],
    low: FloatArray,
    high: FloatArray,
    at_low: FloatArray,
    at_high: FloatArray,
    rounds: int,
    close: float = 0.0,
) -> FloatArray:
    """A root of `function` in each bracket, by regula falsi with the weight of Anderson and Björck.

    Parameters
    ----------
    function : callable
        Takes and gives arrays ``(n,)``.
    low, high, at_low, at_high : array (n,)
        Ends of the brackets and the function there. Where the signs are alike the answer lies
        within the bracket and means nothing.
    rounds : int
        Most evaluations spent. Every eighth halves the bracket or more, so that none is left
        behind.
    close : float
        Size of the function, relative to the lesser at the ends, at which all are done.
    """
    side = np.zeros(low.shape, dtype=np.int8)
    enough = close * np.minimum(np.abs(at_low), np.abs(at_high))
    best, least = low, np.abs(at_low)
    for turn in range(rounds):
        middle = low + _share(at_low, at_high, halve=turn % 8 == 7) * (high - low)
        value = function(middle)
        better = np.abs(value) < least
        best, least = np.where(better, middle, best), np.where(better, np.abs(value), least)
        if np.all(least <= enough):
            break
        left = (value > 0.0) == (at_low > 0.0)
        # an end that stays a second time counts less: that is what keeps regula falsi moving
        with np.errstate(divide="ignore", invalid="ignore"):
            less = 1.0 - value / np.where(left, at_low, at_high)
        less = np.where((less > 0.0) & (less <= 1.0), less, 0.5)
        at_high = np.where(left, np.where(side == 1, less * at_high, at_high), value)
        at_low = np.where(left, value, np.where(side == -1, less * at_low, at_low))
        low, high = np.where(left, middle, low), np.where(left, high, middle)
        side = np.where(left, np.int8(1), np.int8(-1))
    return best


def _share(at_low: FloatArray, at_high: FloatArray, halve: bool = False) -> FloatArray:
    """Where within the bracket the chord is zero, in [0, 1]."""
    span = at_low - at_high
    share = at_low / np.where(span == 0.0, 1.0, span)
    share = np.minimum(np.maximum(share, 0.0), 1.0)
    return 0.5 * share + 0.25 if halve else share
