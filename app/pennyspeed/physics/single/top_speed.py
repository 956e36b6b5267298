"""Top speed of one car on an endless road, and every kink on the way there.

::

    net |*                                 1. sample the net force, closed-form kinks included
        | `*--.                            2. the first change of sign brackets v*
        |      `-o--*.                     3. solve inside the bracket
        |            `*.                   4. likewise where the electrics meet grip or driver (o)
      0 +---------------`v*--------*-- v
                            `*--'          a later zero does not count
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from pennyspeed.physics.car import Car, FloatArray, Floats
from pennyspeed.physics.electrics import Electrics, wheel_force
from pennyspeed.physics.elementwise import lesser
from pennyspeed.physics.forces import Forces, forces_at, never_pushed
from pennyspeed.physics.road import grade_force
from pennyspeed.physics.roots import bracketed_zero
from pennyspeed.physics.single.kinks import electric_kinks, speeds_of_emf

_EVEN = np.linspace(0.0, 1.0, 33)[1:-1]
_SAMPLES_BETWEEN_KINKS = 3
_FAR = 0.6
_CLOSER = 17
_GOLDEN = 0.6180339887498949
_GOLDEN_STEPS = 40


@dataclass(frozen=True, slots=True)
class Course:
    """One car in one state on an endless road."""

    state: Electrics
    top_speed: float
    """First speed above rest at which the net force is zero [m/s]; 0 where the car cannot move."""
    kinks: list[float]
    """Speeds between rest and top at which a formula changes [m/s], rising."""


def course(car: Car, state: Electrics, road: list[float], asked: bool = False) -> Course:
    """Top speed and kinks in the state held.

    Parameters
    ----------
    car : Car
        One car, plain floats.
    road : list of float
        :func:`~pennyspeed.physics.single.kinks.road_kinks` of the car, the same in every state.
    asked : bool
        Also the kinks of what voltage, grip and driver alone would ask for.
    """
    ceiling = _ceiling(car, state)
    known = sorted(one for one in electric_kinks(car, state) + road if 0.0 < one < ceiling)
    speed = _samples(known, ceiling)
    at = forces_at(car, state, speed)
    force = np.asarray(_pull(car, at))
    net = np.asarray(force - at.resistance)
    if not net[0] > 0.0:
        return Course(state, 0.0, [])

    def net_at(one: float) -> float:
        here = forces_at(car, state, one)
        return float(_pull(car, here) - here.resistance)

    fall = _first_fall(net_at, speed, net, 1.0e-13 * float(np.abs(force[0]) + net[0]))
    top = bracketed_zero(net_at, *fall)
    found = [one for one in known if one < top]
    count = int(np.searchsorted(speed, top)) + 1
    looks = [(speed[:count], at)]
    if top < _FAR * ceiling:
        # the samples lie thin below the top
        closer = _samples(found, top)
        looks.append((closer, forces_at(car, state, closer)))

    def cross(gap_of: Callable[[Forces], Floats]) -> None:
        def gaps_at(speeds: FloatArray) -> Floats:
            return gap_of(forces_at(car, state, speeds))

        def gap_at(speed: float) -> float:
            return float(gap_of(forces_at(car, state, speed)))

        crossed: list[float] = []
        for speeds, here in looks:
            gap = np.asarray(gap_of(here))[: len(speeds)]
            for low, high, at_low, at_high in _changes(gaps_at, speeds, gap):
                if not any(low <= one <= high for one in crossed):
                    crossed.append(bracketed_zero(gap_at, low, high, at_low, at_high, 1.0e-12))
        found.extend(one for one in crossed if 0.0 < one < top)

    cross(lambda here: here.electric - lesser(here.grip, here.driver))
    if asked and any(_held_back(car, *look) for look in looks):
        # what voltage alone would ask for, hidden behind the current and pack limits
        cross(
            lambda here: (
                wheel_force(car, here.voltage_current, here.no_load, here.gear)
                - lesser(here.grip, here.driver)
            )
        )
    if not never_pushed(car) and float(np.asarray(at.resistance)[:count].min()) < 0.0:
        # slope or wind pushes: the motor passes its no-load current, the driver lets it freewheel
        cross(lambda here: lesser(here.electric, lesser(here.grip, here.driver)))
        cross(
            lambda here: (
                here.effective_mass * car.driver_acceleration
                + here.resistance
                - wheel_force(car, 0.0, here.no_load, here.gear)
            )
        )
    found.sort()
    return Course(state, top, found)


def _pull(car: Car, at: Forces) -> Floats:
    """Wheel force; a driver who allows no acceleration holds exactly as long as the car is pushed.

    With a_drv = 0 the driver's net force is max(F(0) - F_res, 0), which touches zero and stays
    there; F(0) in its place has the same first zero and a sign beyond it.
    """
    driver = at.driver
    if car.driver_acceleration == 0.0:
        driver = wheel_force(car, 0.0, at.no_load, at.gear)
    return lesser(at.electric, lesser(at.grip, driver))


def _held_back(car: Car, speed: FloatArray, at: Forces) -> bool:
    """Whether the current or the pack limit wins at one of the speeds."""
    less = (at.electric_current < at.voltage_current) & (at.electric <= _pull(car, at))
    return bool(np.asarray(less)[: len(speed)].any())


def _changes(
    function: Callable[[FloatArray], Floats], speed: FloatArray, value: FloatArray
) -> list[tuple[float, float, float, float]]:
    """Brackets of changes of sign, with the values at their ends; both of a dip between samples."""
    above = value > 0.0
    parts = [(speed, value, above[1:] != above[:-1])]
    for low in _dips(np.abs(value)):
        if above[low] == above[low + 1] == above[low + 2]:
            inner = np.linspace(speed[low], speed[low + 2], _CLOSER)
            inside = np.asarray(function(inner))
            over = inside > 0.0
            parts.append((inner, inside, over[1:] != over[:-1]))
    return [
        (float(v[place]), float(v[place + 1]), float(f[place]), float(f[place + 1]))
        for v, f, changes in parts
        for place in np.flatnonzero(changes).tolist()
    ]


def _dips(value: FloatArray) -> list[int]:
    """Places before values so far below their neighbours that more may hide between the samples."""
    deep = 2.0 * value[1:-1] < np.maximum(value[:-2], value[2:])
    return [
        low
        for low in np.flatnonzero(deep).tolist()
        if value[low] > value[low + 1] <= value[low + 2]
    ]


def _ceiling(car: Car, state: Electrics) -> float:
    """A speed at which the net force is certainly below zero [m/s].

    Past the freewheel speed the motor only drags; past the speed at which drag alone holds the car
    on the slope (-w on the level), so do the resistances.
    """
    free = speeds_of_emf(car, float(state.voltage))
    push = max(-float(grade_force(car)), 0.0)
    held = 2.0 * push / (car.air_density * car.drag_coefficient * car.frontal_area)
    return 1.001 * max(*free, float(math.sqrt(held) - car.head_wind))


def _samples(kinks: list[float], ceiling: float) -> FloatArray:
    """Speeds to look at: evenly spread, and some in every gap between two kinks."""
    ends = np.array([0.0, *kinks, ceiling])
    steps = _SAMPLES_BETWEEN_KINKS * (len(ends) - 1)
    places = np.arange(steps + 1) / _SAMPLES_BETWEEN_KINKS
    between = np.interp(places, np.arange(len(ends)), ends)
    speeds: FloatArray = np.sort(np.concatenate((between, ceiling * _EVEN)))
    return speeds


def _first_fall(
    net_at: Callable[[float], float], speed: FloatArray, net: FloatArray, nothing: float
) -> tuple[float, float, float, float]:
    """Bracket of the first zero, with the values at its ends."""
    places = np.flatnonzero(net <= nothing)
    place = int(places[0]) if len(places) else len(net) - 1
    for low in _dips(net[: place + 1]):
        least = _least(net_at, float(speed[low]), float(speed[low + 2]))
        value = net_at(least)
        if value <= 0.0:
            return float(speed[low]), least, float(net[low]), value
    if abs(float(net[place])) <= nothing:
        return float(speed[place]), float(speed[place]), 0.0, 0.0
    return float(speed[place - 1]), float(speed[place]), float(net[place - 1]), float(net[place])


def _least(function: Callable[[float], float], low: float, high: float) -> float:
    """Where a function with one dip is least, by golden section."""
    left = high - _GOLDEN * (high - low)
    right = low + _GOLDEN * (high - low)
    at_left, at_right = function(left), function(right)
    for _ in range(_GOLDEN_STEPS):
        if at_left < at_right:
            high, right, at_right = right, left, at_left
            left = high - _GOLDEN * (high - low)
            at_left = function(left)
        else:
            low, left, at_left = left, right, at_right
            right = low + _GOLDEN * (high - low)
            at_right = function(right)
    return left if at_left < at_right else right
