"""Smaller, larger, either, root, power of e: for plain floats and arrays alike.

A plain float stays one (numpy's functions would make it a slow numpy scalar), an array stays an
array of its own precision.
"""

from __future__ import annotations

import math
from typing import cast

import numpy as np
from numpy import ndarray

from pennyspeed.physics.car import FloatArray, Floats


def lesser(one: Floats, other: Floats) -> Floats:
    """Smaller of two, elementwise; a plain float if both are."""
    if isinstance(one, ndarray) or isinstance(other, ndarray):
        return cast(FloatArray, np.minimum(one, other))
    return one if one <= other else other


def greater(one: Floats, other: Floats) -> Floats:
    """Larger of two, elementwise; a plain float if both are."""
    if isinstance(one, ndarray) or isinstance(other, ndarray):
        return cast(FloatArray, np.maximum(one, other))
    return one if one >= other else other


def choose(condition: object, one: Floats, other: Floats) -> Floats:
    """`one` where the condition holds, `other` elsewhere."""
    if isinstance(condition, ndarray):
        return cast(FloatArray, np.where(condition, one, other))
    return one if condition else other


def square_root(value: Floats) -> Floats:
    """Square root; 0 where rounding has left less than 0."""
    if isinstance(value, ndarray):
        return cast(FloatArray, np.sqrt(np.maximum(value, 0.0)))
    return math.sqrt(value) if value > 0.0 else 0.0


def exponential(value: Floats) -> Floats:
    """e to the power of each."""
    return cast(FloatArray, np.exp(value)) if isinstance(value, ndarray) else math.exp(value)


def is_zero(figure: Floats) -> bool:
    """Whether a figure is a plain 0, so that what it multiplies need not be worked out."""
    return not isinstance(figure, ndarray) and figure == 0.0
