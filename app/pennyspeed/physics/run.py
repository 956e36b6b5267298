"""The run under power in one held state: time and distance as integrals over speed.

::

    u = -ln(1 - v/v*)   spreads the speeds so that they crowd towards v*; nodes lie evenly in the
                        root of u, so that they crowd towards rest as well

    v     0 ------------------- o ------------ o ------- 0.99 v* ----------- (1 - 1e-9) v*
    panel |         1           |      2       |    3    |         tail         |   cruise ...
    pair  |  .  |  .  |  .  |  .|  .  |  .  |  .|  .  |  .|  .  |  .  |  .  |  . |
          o: kinks; every panel is divided into pairs of two steps each

    t = ∫ m_e/F_net dv = ∫ f du     x = ∫ v f du      f = m_e (v* - v)/F_net, smooth up to v*

Each pair is integrated by Simpson's rule; its middle by the parabola through the same three points.
Where f turns too sharply for that (a car that barely moves, a dip of the net force before the wind)
the pairs concerned are halved until it does not. Beyond the last pair f is constant: the cruise
needs no case of its own.
"""

from __future__ import annotations

import itertools
import math
from bisect import bisect_left
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar, cast

import numpy as np

from pennyspeed.physics.car import Car, FloatArray
from pennyspeed.physics.forces import forces_at
from pennyspeed.physics.roots import bracketed_zero
from pennyspeed.physics.top_speed import Course

CURVE_END = 0.99
"""Share of the balance speed at which curve and time to top end."""

CURVE_END_U = -math.log1p(-CURVE_END)
_END_U = math.log(1.0e9)
_TAIL_SHARE = 0.25
_LEAST_PAIRS = 2
_SAME_SPEED = 1.0e-9
_PAIR_ERROR = 1.0e-8
_MOST_HALVINGS = 40
_MOST_NODES = 16_000
_LEAST_NET = 1.0e-30

_Values = TypeVar("_Values", float, FloatArray)


@dataclass(slots=True)
class Lift:
    """Where the driver lifts."""

    speed: float
    """[m/s]"""
    distance: float
    """[m]"""
    place: float
    """The same as u."""
    pair: int
    """Pair of speeds that holds it; the number of pairs where it lies in the cruise."""


class Run:
    """From rest towards the balance speed in one held state.

    Attributes
    ----------
    speed : array, shape (2 k + 1,)
        Nodes of k pairs [m/s].
    at : Forces
        Forces at the nodes.
    force : array
        Wheel force at the nodes [N].
    pairs : int
        k
    end_distance : array, shape (k + 1,)
        Distance at the ends of the pairs [m].
    """

    __slots__ = (
        "_f",
        "_times",
        "_u",
        "_vf",
        "_width",
        "at",
        "car",
        "course",
        "end_distance",
        "force",
        "pairs",
        "speed",
    )

    def __init__(self, car: Car, course: Course, speeds: int) -> None:
        self.car = car
        self.course = course
        u = _nodes(course, speeds)
        self._evaluate(u)
        for _ in range(_MOST_HALVINGS):
            bad = self._rough_pairs()
            if bad is None or len(self._u) > _MOST_NODES:
                break
            left, middle, right = self._u[:-2:2][bad], self._u[1::2][bad], self._u[2::2][bad]
            u = np.concatenate((self._u, 0.5 * (left + middle), 0.5 * (middle + right)))
            u.sort()
            self._evaluate(u)
        self.pairs = len(self._width)
        self.end_distance = self._at_pair_ends(self._vf)
        self._times = self._at_pair_ends(self._f)

    # -- grid --

    def _evaluate(self, u: FloatArray) -> None:
        top = self.course.top_speed
        behind = top * np.exp(-u)
        self._u = u
        self.speed = top - behind
        self.at = forces_at(self.car, self.course.state, self.speed)
        at = self.at
        self.force = np.minimum(at.electric, np.minimum(at.grip, at.driver))
        net = self.force - at.resistance
        # rounding may leave nothing of the net force at a node where it is tiny
        self._f = behind * at.effective_mass / np.maximum(net, _LEAST_NET)
        self._vf = self.speed * self._f
        self._width = u[2::2] - u[:-2:2]

    def _rough_pairs(self) -> FloatArray | None:
        """Pairs on which f is far from a parabola; None if there are none."""
        f = self._f
        left, middle, right = f[:-2:2], f[1::2], f[2::2]
        whole = left + right
        total = whole + 4.0 * middle
        bend = (whole - 2.0 * middle) / total
        # Simpson's error goes as the square of what the second difference contributes
        time = total * self._width
        distance = self.speed[1::2] * time
        last = self._curve_pairs()
        weight = time / time[:last].sum() + distance / distance[:last].sum()
        error = bend * bend * weight
        if float(error.max()) < _PAIR_ERROR:
            return None
        return cast(FloatArray, np.flatnonzero(error >= _PAIR_ERROR))

    def _curve_pairs(self) -> int:
        return int(np.searchsorted(self._u[::2], CURVE_END_U * (1.0 - 1.0e-12)))

    @property
    def curve_end(self) -> int:
        """Node at 99 % of the balance speed."""
        return 2 * self._curve_pairs()

    def time(self) -> FloatArray:
        """Time at the nodes [s]."""
        return self._at_nodes(self._times, self._f)

    def distance(self) -> FloatArray:
        """Distance at the nodes [m]."""
        return self._at_nodes(self.end_distance, self._vf)

    def _at_pair_ends(self, f: FloatArray) -> FloatArray:
        """Integral of f over u from rest to the ends of every pair."""
        total = np.zeros(len(self._width) + 1)
        parts = (f[:-2:2] + 4.0 * f[1::2] + f[2::2]) * self._width
        np.cumsum(parts * (1.0 / 6.0), out=total[1:])
        return total

    def _at_nodes(self, ends: FloatArray, f: FloatArray) -> FloatArray:
        """The same, and in the middle of every pair."""
        total = np.empty(len(f))
        total[::2] = ends
        half = 5.0 * f[:-2:2] + 8.0 * f[1::2] - f[2::2]
        total[1::2] = ends[:-1] + half * (self._width * (1.0 / 24.0))
        return total

    # -- lift point --

    def lift(self, road_length: float, stop: Callable[[float], float]) -> Lift:
        """The highest speed from which the car still stops on the road.

        Parameters
        ----------
        road_length : float
            [m], ≥ 0.
        stop : callable
            Stopping distance [m] of a speed [m/s], rising.
        """
        top = self.course.top_speed
        if road_length <= 0.0:
            return Lift(0.0, 0.0, 0.0, 0)
        distance, speed = self.end_distance, self.speed
        low, high = 0, self.pairs + 1
        # distance + stop at pair end `low` is within the road, at `high` it is not
        while high - low > 1:
            half = (low + high) // 2
            if float(distance[half]) + stop(float(speed[2 * half])) <= road_length:
                low = half
            else:
                high = half
        start, begin = float(self._u[2 * low]), float(distance[low])
        if low == self.pairs:
            rate = float(self._vf[-1])
            left = road_length - begin - stop(float(speed[-1]))
            place = start + max(left, 0.0) / rate
            reached = top - top * math.exp(-place)
            return Lift(reached, road_length - stop(reached), place, low)

        part = self._parabola(self._vf, low)
        width = float(self._width[low])

        def over(share: float) -> float:
            here = top - top * math.exp(-start - share * width)
            return begin + part(share) + stop(here) - road_length

        at_low = begin + stop(float(speed[2 * low])) - road_length
        share = bracketed_zero(over, 0.0, 1.0, at_low, over(1.0), 1.0e-13)
        place = start + share * width
        return Lift(top - top * math.exp(-place), begin + part(share), place, low)

    def time_of(self, lift: Lift) -> float:
        """Time from rest to the lift point [s]."""
        pair = min(lift.pair, self.pairs)
        before, beyond = float(self._times[pair]), lift.place - float(self._u[2 * pair])
        if pair == self.pairs:
            return before + beyond * float(self._f[-1])
        return before + self._parabola(self._f, pair)(beyond / float(self._width[pair]))

    def at_time(self, time: float) -> tuple[float, float]:
        """Distance [m] and speed [m/s] so long after the start, under power all the while."""
        if time <= 0.0:
            return 0.0, 0.0
        top = self.course.top_speed
        pair = int(np.searchsorted(self._times, time, side="right")) - 1
        start, begin = float(self._u[2 * pair]), float(self.end_distance[pair])
        left = time - float(self._times[pair])
        if pair == self.pairs:
            place = left / float(self._f[-1])
            return begin + place * float(self._vf[-1]), top - top * math.exp(-start - place)
        passed, width = self._parabola(self._f, pair), float(self._width[pair])
        share = bracketed_zero(
            lambda share: passed(share) - left, 0.0, 1.0, -left, passed(1.0) - left, 1.0e-13
        )
        distance = begin + self._parabola(self._vf, pair)(share)
        return distance, top - top * math.exp(-start - share * width)

    def _parabola(self, f: FloatArray, pair: int) -> Callable[[float], float]:
        """Integral of f from the start of a pair over a share of it."""
        left, middle, right = (float(one) for one in f[2 * pair : 2 * pair + 3])
        width = float(self._width[pair])
        return lambda share: width * _part(left, middle, right, share)

    def up_to(self, lift: Lift, left: FloatArray, middle: FloatArray, right: FloatArray) -> float:
        """Integral over time, from rest to the lift point, of a rate given at the pairs' nodes.

        Parameters
        ----------
        left, middle, right : array, shape (k,)
            The rate at start, middle and end of every pair; they may differ between the end of one
            pair and the start of the next.
        """
        f = self._f
        count = min(lift.pair + 1, self.pairs)
        nodes = 2 * count
        a = left[:count] * f[:nodes:2]
        b = middle[:count] * f[1 : nodes + 1 : 2]
        c = right[:count] * f[2 : nodes + 2 : 2]
        whole = min(lift.pair, self.pairs)
        parts = (a + 4.0 * b + c) * self._width[:count]
        total = float(parts[:whole].sum()) / 6.0
        if lift.pair >= self.pairs:
            return total + float(c[-1]) * (lift.place - float(self._u[-1]))
        width = float(self._width[lift.pair])
        share = (lift.place - float(self._u[2 * lift.pair])) / width
        return total + width * _part(float(a[-1]), float(b[-1]), float(c[-1]), share)

    def distances(self, places: FloatArray) -> FloatArray:
        """Distance at values of u within the grid [m]."""
        pair = np.clip(np.searchsorted(self._u[::2], places, side="right") - 1, 0, self.pairs - 1)
        width = self._width[pair]
        share = (places - self._u[::2][pair]) / width
        node = 2 * pair
        part = _part(self._vf[node], self._vf[node + 1], self._vf[node + 2], share)
        found: FloatArray = self.end_distance[pair] + width * part
        return found


def _part(left: _Values, middle: _Values, right: _Values, share: _Values) -> _Values:
    """Integral over a share of a pair, of width 1, of the parabola through its three values."""
    slope = -3.0 * left + 4.0 * middle - right
    bend = 2.0 * (left - 2.0 * middle + right)
    return share * (left + share * (0.5 * slope + share * bend / 3.0))


def _nodes(course: Course, speeds: int) -> FloatArray:
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
