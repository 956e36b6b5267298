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

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar, cast

import numpy as np

from pennyspeed.physics.car import Car, FloatArray
from pennyspeed.physics.forces import forces_at
from pennyspeed.physics.roots import bracketed_zero
from pennyspeed.physics.single.nodes import CURVE_END_U, nodes_of
from pennyspeed.physics.single.top_speed import Course

_PAIR_ERROR = 1.0e-8
_MOST_HALVINGS = 40
_MOST_NODES = 16_000
_LEAST_NET = 1.0e-30

_Values = TypeVar("_Values", float, FloatArray)


@dataclass(slots=True)
class Point:
    """The car somewhere along its run."""

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
        u = nodes_of(course, speeds)
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
        return self._at_nodes(self._at_pair_ends(self._f), self._f)

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

    def lift(self, road_length: float, stop: Callable[[float], float]) -> Point:
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
            return Point(0.0, 0.0, 0.0, 0)
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
            return Point(reached, road_length - stop(reached), place, low)

        part = self._parabola(self._vf, low)
        width = float(self._width[low])

        def over(share: float) -> float:
            here = top - top * math.exp(-start - share * width)
            return begin + part(share) + stop(here) - road_length

        at_low = begin + stop(float(speed[2 * low])) - road_length
        share = bracketed_zero(over, 0.0, 1.0, at_low, over(1.0), 1.0e-13)
        place = start + share * width
        return Point(top - top * math.exp(-place), begin + part(share), place, low)

    # -- other points --

    def count(self, point: Point) -> int:
        """How many nodes lie at or before a point, rest included."""
        return max(int(np.searchsorted(self.speed, point.speed, side="right")), 1)

    def time_of(self, point: Point) -> float:
        """Time from rest to a point [s]."""
        return self._total_at(self._at_pair_ends(self._f), self._f, point.place, point.pair)

    def at_time(self, time: float) -> Point:
        """Where the car is some time after its start [s], ≥ 0."""
        return self._where(self._at_pair_ends(self._f), self._f, time)

    def at_distance(self, distance: float) -> Point:
        """Where the car has gone a distance [m], ≥ 0."""
        return self._where(self.end_distance, self._vf, distance)

    def _where(self, ends: FloatArray, f: FloatArray, total: float) -> Point:
        """The point up to which the integral of f is `total`."""
        pair = max(int(np.searchsorted(ends, total, side="right")) - 1, 0)
        rest = total - float(ends[pair])
        place = float(self._u[2 * pair])
        if pair == self.pairs:
            place += rest / float(f[-1])
        else:
            part = self._parabola(f, pair)
            end = part(1.0) - rest
            share = bracketed_zero(lambda one: part(one) - rest, 0.0, 1.0, -rest, end, 1.0e-13)
            place += share * float(self._width[pair])
        distance = self._total_at(self.end_distance, self._vf, place, pair)
        top = self.course.top_speed
        return Point(top - top * math.exp(-place), distance, place, pair)

    def _total_at(self, ends: FloatArray, f: FloatArray, place: float, pair: int) -> float:
        """Integral of f from rest to u = `place` in a pair, or in the cruise behind the last."""
        start = float(self._u[2 * pair])
        if pair >= self.pairs:
            return float(ends[-1]) + float(f[-1]) * (place - start)
        share = (place - start) / float(self._width[pair])
        return float(ends[pair]) + self._parabola(f, pair)(share)

    def _parabola(self, f: FloatArray, pair: int) -> Callable[[float], float]:
        """Integral of f from the start of a pair over a share of it."""
        left, middle, right = (float(one) for one in f[2 * pair : 2 * pair + 3])
        width = float(self._width[pair])
        return lambda share: width * _part(left, middle, right, share)

    def up_to(self, lift: Point, left: FloatArray, middle: FloatArray, right: FloatArray) -> float:
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
        """Distance at values of u [m]."""
        cruise = np.maximum(places - self._u[-1], 0.0)
        places = places - cruise
        pair = np.clip(np.searchsorted(self._u[::2], places, side="right") - 1, 0, self.pairs - 1)
        width = self._width[pair]
        share = (places - self._u[::2][pair]) / width
        node = 2 * pair
        part = _part(self._vf[node], self._vf[node + 1], self._vf[node + 2], share)
        found: FloatArray = self.end_distance[pair] + width * part + cruise * self._vf[-1]
        return found


def _part(left: _Values, middle: _Values, right: _Values, share: _Values) -> _Values:
    """Integral over a share of a pair, of width 1, of the parabola through its three values."""
    slope = -3.0 * left + 4.0 * middle - right
    bend = 2.0 * (left - 2.0 * middle + right)
    return share * (left + share * (0.5 * slope + share * bend / 3.0))
