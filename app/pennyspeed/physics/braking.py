"""Braking from any speed to rest: stopping distance in closed form.

::

    dec |                        .-'       min(a_b, tyres) + F_res/m
        |        ___---o--------'          o  tyres ↔ brake (downforce)
        |   _--''
        |..o.............................  o  floor, REST_MARGIN
        +------------------------------ v

Between its kinks the deceleration is A + B y², y = v + w being the speed through the air, and

    ∫ v/(A + B y²) dv = ∫ y/(A + B y²) dy - w ∫ dy/(A + B y²)

has a logarithm and an arc tangent (or its hyperbolic sister) as its answer.
Sources: coast-down: SAE J1263; the integrals: any table.
"""

from __future__ import annotations

import math
from bisect import bisect_right
from typing import NamedTuple

import numpy as np

from pennyspeed.physics.car import REST_MARGIN, Car, FloatArray
from pennyspeed.physics.road import braking_deceleration, resistances, weight_on_road
from pennyspeed.physics.single.kinks import air_kinks

_OPEN_END = 50.0


class _Piece(NamedTuple):
    """Deceleration A + B y² from the speed `low` up to the next piece."""

    low: float
    constant: float
    square: float
    distance: float
    """From `low` to rest [m]."""


def deceleration(car: Car, speed: float) -> float:
    """Braking deceleration at one speed, before the floor of `REST_MARGIN` [m/s²]."""
    weight = weight_on_road(car)
    air, _, resistance = resistances(car, weight, speed)
    return float(braking_deceleration(car, weight, air.front + air.rear, resistance))


class Braking:
    """One car coming to rest from any speed, throttle closed, on all four wheels.

    Where the deceleration falls below `REST_MARGIN` the figures use `REST_MARGIN`;
    :meth:`least_deceleration` tells what it really is.
    """

    __slots__ = ("_car", "_lows", "_pieces", "_stations", "_wind")

    def __init__(self, car: Car) -> None:
        self._car = car
        self._wind = float(car.head_wind)
        self._stations = self._kinks()
        self._pieces: list[_Piece] = []
        ends = [*self._stations[1:], math.inf]
        for low, high in zip(self._stations, ends, strict=True):
            self._add(low, high)
        self._lows = [piece.low for piece in self._pieces]

    def _kinks(self) -> list[float]:
        """Rest, and the speeds at which tyres and brake or the air change their formula [m/s]."""
        car = self._car
        found = [0.0, *air_kinks(car)]
        area = 0.5 * car.air_density * car.frontal_area
        lift = area * (car.downforce_front + car.downforce_rear)
        if lift != 0.0 and car.grip > 0.0:
            square = (car.brake_deceleration * car.mass / car.grip - weight_on_road(car)) / lift
            if square > 0.0 and math.sqrt(square) > self._wind:
                found.append(float(math.sqrt(square) - self._wind))
        return sorted(found)

    def _add(self, low: float, high: float) -> None:
        """Pieces from `low` to `high`, where A + B y² holds; split where it meets the floor."""
        far = high if high < math.inf else low + _OPEN_END
        at_low, at_far = deceleration(self._car, low), deceleration(self._car, far)
        start, end = (low + self._wind) ** 2, (far + self._wind) ** 2
        square = (at_far - at_low) / (end - start) if end != start else 0.0
        constant = at_low - square * start
        cuts = [low]
        if square != 0.0:
            crossing = (REST_MARGIN - constant) / square
            if crossing > 0.0:
                side = math.copysign(math.sqrt(crossing), 0.5 * (low + far) + self._wind)
                if low < side - self._wind < high:
                    cuts.append(side - self._wind)
        for place, cut in enumerate(cuts):
            after = cuts[place + 1] if place + 1 < len(cuts) else far
            relative = 0.5 * (cut + after) + self._wind
            held = constant + square * relative * relative <= REST_MARGIN
            distance = 0.0
            if self._pieces:
                last = self._pieces[-1]
                distance = last.distance + self._stretch(last, cut)
            self._pieces.append(
                _Piece(cut, REST_MARGIN, 0.0, distance)
                if held
                else _Piece(cut, constant, square, distance)
            )

    def _stretch(self, piece: _Piece, speed: float) -> float:
        """Distance from `speed` down to the start of the piece [m]."""
        wind = self._wind
        y0, y1 = piece.low + wind, speed + wind
        constant, square = piece.constant, piece.square
        at_low = constant + square * y0 * y0
        ratio = square * (y1 * y1 - y0 * y0) / at_low
        part = math.log1p(ratio) / ratio if ratio != 0.0 else 1.0
        distance = 0.5 * (y1 * y1 - y0 * y0) * part / at_low
        if wind != 0.0:
            span = y1 - y0
            across = constant + square * y0 * y1
            arc = constant * square * (span / across) ** 2
            distance -= wind * span / across * _arc(arc)
        return distance

    def distance(self, speed: float) -> float:
        """Stopping distance from `speed` [m].

        >>> from types import SimpleNamespace
        >>> car = SimpleNamespace(mass=2.0, slope=0.0, head_wind=0.0, air_density=1.2,
        ...     frontal_area=0.01, drag_coefficient=0.0, downforce_front=0.0, downforce_rear=0.0,
        ...     rolling=0.0, grip=1.0, brake_deceleration=5.0)
        >>> Braking(car).distance(20.0)  # v²/(2 a)
        40.0
        """
        piece = self._pieces[bisect_right(self._lows, speed) - 1]
        return piece.distance + self._stretch(piece, speed)

    def distances(self, speeds: FloatArray) -> FloatArray:
        """Stopping distances from many speeds [m]."""
        first = self._pieces[0]
        if len(self._lows) == 1 or float(speeds.max()) < self._lows[1]:
            return self._stretches(first, speeds)
        ends = [*self._lows[1:], math.inf]
        total: FloatArray = np.zeros_like(speeds)
        for piece, end in zip(self._pieces, ends, strict=True):
            inside = (speeds >= piece.low) & (speeds < end)
            if inside.any():
                total[inside] = piece.distance + self._stretches(piece, speeds[inside])
        return total

    def _stretches(self, piece: _Piece, speeds: FloatArray) -> FloatArray:
        """:meth:`_stretch` of many speeds at once."""
        wind = self._wind
        y0, y1 = piece.low + wind, speeds + wind
        constant, square = piece.constant, piece.square
        at_low = constant + square * y0 * y0
        squares = y1 * y1 - y0 * y0
        ratio = squares * (square / at_low)
        ratio = ratio + (ratio == 0.0) * 1.0e-30
        distance: FloatArray = squares * (0.5 / at_low) * np.log1p(ratio) / ratio
        if wind != 0.0:
            across = (y1 - y0) / (constant + square * y0 * y1)
            root = math.sqrt(abs(constant * square))
            angle = root * across
            if constant * square > 0.0:
                across = np.arctan(angle) / root
            elif root > 0.0:
                across = np.arctanh(angle) / root
            distance = distance - wind * across
        return distance

    def least_deceleration(self, speed: float) -> float:
        """Least deceleration between `speed` and rest, before the floor [m/s²].

        It is monotone in y² between the kinks, so that the ends and the kinks hold the least; where
        the wind turns from behind to ahead is one of them.
        """
        places = [one for one in self._stations if one < speed]
        return min(deceleration(self._car, one) for one in (*places, speed))


def _arc(value: float) -> float:
    """arctan(√z)/√z, for z < 0 artanh(√-z)/√-z."""
    if value == 0.0:
        return 1.0
    root = math.sqrt(abs(value))
    if value > 0.0:
        return math.atan(root) / root
    return math.atanh(min(root, 1.0 - 1.0e-16)) / root
