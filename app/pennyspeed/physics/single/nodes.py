"""Where along a run the forces are taken: the grid of :mod:`pennyspeed.physics.single.run`."""

from __future__ import annotations

import itertools
import math
from bisect import bisect_left

import numpy as np

from pennyspeed.physics.car import FloatArray
from pennyspeed.physics.single.top_speed import Course

CURVE_END = 0.99
"""Share of the balance speed at which curve and time to top end."""

CURVE_END_U = -math.log1p(-CURVE_END)
_END_U = math.log(1.0e9)
_TAIL_SHARE = 0.25
_LEAST_PAIRS = 2
_SAME_SPEED = 1.0e-9


def nodes_of(course: Course, speeds: int) -> FloatArray:
    """Values of u at which the forces are taken: every kink, and pairs spread evenly between."""
    top = course.top_speed
    ends = [0.0]
    for kink in course.kinks:
        left = 1.0 - kink / top
        if left > 0.0:
            place = -math.log(left)
            if place - ends[-1] > _SAME_SPEED and place < _END_U:
                ends.append(place)
    curve = bisect_left(ends, CURVE_END_U)
    if curve == len(ends) or ends[curve] - CURVE_END_U > _SAME_SPEED:
        ends.insert(curve, CURVE_END_U)
    else:
        ends[curve] = CURVE_END_U
    ends.append(_END_U)

    # The curve is evenly spaced in the root of u: a reader who draws straight lines between its
    # points then stays with the distance, which starts as the square of the speed.
    warped = [math.sqrt(u / CURVE_END_U) if u < CURVE_END_U else u for u in ends]
    warped[curve] = 1.0
    pairs = max(speeds // 2, 2 * _LEAST_PAIRS * len(ends))
    tail = _TAIL_SHARE * pairs / (_END_U - CURVE_END_U)
    main = (1.0 - _TAIL_SHARE) * pairs
    counts = [0]
    for i, (low, high) in enumerate(itertools.pairwise(warped)):
        density = main if i < curve else tail
        steps = 2 * max(_LEAST_PAIRS, round(density * (high - low)))
        counts.append(counts[-1] + steps)
    end = counts[curve]
    nodes: FloatArray = np.interp(np.arange(counts[-1] + 1), counts, warped)
    nodes[: end + 1] *= nodes[: end + 1] * CURVE_END_U
    nodes[counts[: curve + 1]] = ends[: curve + 1]
    nodes[end:] = np.interp(np.arange(end, counts[-1] + 1), counts[curve:], ends[curve:])
    nodes[1::2] = 0.5 * (nodes[:-2:2] + nodes[2::2])
    return nodes
