"""What a run asks of its parts, for many cars at once: currents, volts, axle loads, braking.

::

      I |      .-- what voltage alone would give: falls with speed
        |  `.  |
        |    `.*  crossing: often the most that is asked for
        |  _.-' `.
        | '  what grip and driver would take: rises, and falls again where the air lifts the car,
        +--------|----------- v        pushes it, or tyres grow
        0     crossing    lift

Looked at: rest, the lift speed, every closed-form kink and some speeds between them, the vertex of
a parabola over the largest, and the first and last crossing.

A run is known by its speeds here, not integrated: it comes after
:func:`pennyspeed.physics.batch.runs.predict_many`. One car's exact figures are those of
:func:`pennyspeed.physics.predict.predict`.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from itertools import pairwise
from typing import cast

import numpy as np

from pennyspeed.physics.batch.arrays import bracketed_root, pick, settled, single
from pennyspeed.physics.batch.late import late_margins
from pennyspeed.physics.car import NO_LIMIT, VOLTAGE, Car, FloatArray, Floats
from pennyspeed.physics.electrics import (
    Electrics,
    electrics,
    full_throttle_current,
    full_throttle_emfs,
    full_throttle_pack_current,
    motor_current,
    pack_current,
)
from pennyspeed.physics.elementwise import greater, is_zero, square_root
from pennyspeed.physics.forces import (
    Forces,
    forces_at,
    front_load_share,
    gearing,
    limit_codes,
    never_pushed,
    rear_load_share,
    road_force_of_wheel_force,
    rolling_radius,
)
from pennyspeed.physics.results import BatchPrediction
from pennyspeed.physics.road import (
    braking_deceleration,
    lift_road_force,
    resistances,
    tyre_road_force,
    weight_on_road,
)

CHUNK = 8192
"""Cars taken at once, so that their arrays stay in the processor's cache."""

ROUNDS = 6
"""Evaluations to a crossing, from a bracket free of kinks."""

TURNS = 4
"""Rounds from back-EMF to speed: each is better by the share that a tyre grows."""

_BETWEEN = np.linspace(0.0, 1.0, 8)[1:-1].tolist()
_CLOSER = np.linspace(0.0, 1.0, 25)[1:-1].tolist()
"""Where slope or wind may push or the air may lift: currents then rise and fall without a kink."""

_LEAST_GROWTH = 1.0e-12
"""Keeps the speed at which growth ends finite."""

_LEAST_LIFT = 1.0e-12

_CLOSED = 1.0 - 1.0e-6
"""So near what voltage gives, the switch stays closed (single precision)."""


@dataclass(frozen=True, slots=True)
class BatchLoads:
    """Arrays of shape (n,); meanings as in :class:`pennyspeed.physics.results.Prediction`.

    The first four are at top speed in the starting state, the others up to the lift point in the
    state that the second pass holds. Nothing is meant where a car does not move.
    """

    current: FloatArray
    pack_current: FloatArray
    front_load_share: FloatArray
    rear_load_share: FloatArray
    road_motor_speed: FloatArray
    least_front_share: FloatArray
    asked_motor_current: FloatArray
    asked_pack_current: FloatArray
    lowest_cell_voltage: FloatArray
    least_deceleration: FloatArray
    late_margin: FloatArray
    """Road left when the throttle goes off half a second late [m]; −∞ where none is to be driven.
    """


def loads(car: Car, found: BatchPrediction) -> BatchLoads:
    """What the runs of :func:`~pennyspeed.physics.batch.runs.predict_many` ask of their parts.

    The figures are within some 1e-3 of the single car's.
    """
    car, _ = settled(car)
    count = found.top_speed.size
    out = np.zeros((len(fields(BatchLoads)), count))
    with np.errstate(all="ignore"):
        for start in range(0, count, CHUNK):
            some = slice(start, start + CHUNK)
            part, run = single(pick(car, some)), single(pick(found, some))
            held = electrics(part, run.held_state_of_charge, run.held_motor_temperature)
            figures = (
                *_at_top(part, run.top_speed),
                *_in_run(part, held, run.road_speed),
                _braking(part, run.road_speed),
                late_margins(part, held, run),
            )
            for row, figure in zip(out, figures, strict=True):
                row[some] = figure
    return BatchLoads(*out)


def _at_top(car: Car, speed: FloatArray) -> tuple[Floats, ...]:
    state = electrics(car, car.state_of_charge, car.motor_temperature)
    at = forces_at(car, state, speed)
    # at the balance the wheel force is the resistance
    current = motor_current(car, at.resistance, at.no_load, at.gear)
    closed = full_throttle_pack_current(state, at.emf, current)
    drawn = np.where(
        limit_codes(car, state, at) == VOLTAGE, closed, pack_current(state, at.emf, current)
    )
    return (
        current,
        drawn,
        front_load_share(car, at, at.resistance),
        rear_load_share(car, at, at.resistance),
    )


def _in_run(car: Car, state: Electrics, lift: FloatArray) -> tuple[Floats, ...]:
    """Motor speed at the lift; least front load; most asked of motor and pack; least cell volts."""
    places = _places(car, state, lift)
    at = forces_at(car, state, places)
    gap = cast(FloatArray, at.voltage_current - _taken(car, at))
    most = _Most(car, state)
    for figure in most.of(at):
        most.take(forces_at(car, state, _vertex(places, figure)))

    def gap_at(speed: FloatArray) -> FloatArray:
        here = forces_at(car, state, speed)
        return cast(FloatArray, here.voltage_current - _taken(car, here))

    falls = (gap[:-1] > 0.0) & (gap[1:] <= 0.0)
    cars = np.arange(lift.size)
    first = np.argmax(falls, axis=0)
    last = len(falls) - 1 - np.argmax(falls[::-1], axis=0)
    there = falls[first, cars]
    for cell in (first, last) if np.any(there & (first != last)) else (first,):
        ends = places[cell, cars], places[cell + 1, cars], gap[cell, cars], gap[cell + 1, cars]
        crossing = bracketed_root(gap_at, *ends, ROUNDS)
        most.take(forces_at(car, state, np.where(there, crossing, 0.0)), closed=there)
    volts = (state.voltage - state.pack * most.carried) / car.cells_series
    turning = lift * gearing(car, rolling_radius(car, lift))
    return turning, most.least_front, most.asked, most.drawn, volts


class _Most:
    """The most of each current, and the least front load, over all speeds looked at."""

    def __init__(self, car: Car, state: Electrics) -> None:
        self._car, self._state = car, state
        self.asked: Floats = 0.0
        self.drawn: Floats = 0.0
        self.carried: Floats = 0.0
        """By the pack, in the run itself [A]."""
        self.least_front: Floats = np.inf

    def of(self, at: Forces) -> tuple[FloatArray, ...]:
        """Take what is asked at many speeds ``(k, n)``, and return what is to be largest there."""
        asked, drawn, carried, front = self._figures(at, False)
        self._widen(asked.max(axis=0), drawn.max(axis=0), carried.max(axis=0), front.min(axis=0))
        return asked, drawn, carried, -front

    def take(self, at: Forces, closed: FloatArray | bool = False) -> None:
        """Take one speed of each car; where `closed`, the switch has just closed there."""
        self._widen(*self._figures(at, closed))

    def _widen(
        self, asked: FloatArray, drawn: FloatArray, carried: FloatArray, front: FloatArray
    ) -> None:
        self.asked = np.maximum(self.asked, asked)
        self.drawn = np.maximum(self.drawn, drawn)
        self.carried = np.maximum(self.carried, carried)
        self.least_front = np.minimum(self.least_front, front)

    def _figures(self, at: Forces, closed: FloatArray | bool) -> tuple[FloatArray, ...]:
        car, state = self._car, self._state
        full = at.voltage_current
        asked = np.where(closed, full, np.minimum(full, _taken(car, at)))
        limited = np.minimum(asked, at.electric_current)
        force = np.minimum(at.electric, np.minimum(at.grip, at.driver))
        front = front_load_share(car, at, road_force_of_wheel_force(car, at, force))
        drawn, carried = _drawn(state, at, asked), _drawn(state, at, limited)
        return asked, drawn, carried, cast(FloatArray, front)


def _places(car: Car, state: Electrics, lift: FloatArray) -> FloatArray:
    """Speeds looked at ``(k, n)``, rising."""
    kinks = [*_road_kinks(car, lift), *_kinks(car, state)]
    lifted = np.any(np.less(car.downforce_front, 0.0)) or np.any(np.less(car.downforce_rear, 0.0))
    if lifted or not never_pushed(car):
        kinks += [-car.head_wind, _lift_off_speed(car), *(lift * share for share in _CLOSER)]
    else:
        kinks += [lift * share for share in _BETWEEN]
    places = np.zeros((len(kinks) + 2, lift.size), dtype=lift.dtype)
    for row, kink in zip(places[1:-1], kinks, strict=True):
        # fmin passes over NaN, which two limits that never meet leave
        np.fmin(np.maximum(kink, 0.0), lift, out=row)
    places[-1] = lift
    places.sort(axis=0)
    return places


def _vertex(places: FloatArray, figure: FloatArray) -> FloatArray:
    """Where a parabola through the largest of each column and its neighbours is highest."""
    row = np.clip(np.argmax(figure, axis=0), 1, len(places) - 2)
    cars = np.arange(places.shape[1])
    low, middle, high = (places[row + step, cars] for step in (-1, 0, 1))
    before = (figure[row, cars] - figure[row - 1, cars]) * (high - middle)
    after = (figure[row + 1, cars] - figure[row, cars]) * (middle - low)
    bend = 2.0 * (before - after)
    found = middle + (before * (high - middle) + after * (middle - low)) / bend
    inside = (bend > 0.0) & (found > low) & (found < high)
    return cast(FloatArray, np.where(inside, found, middle))


def _taken(car: Car, at: Forces) -> FloatArray:
    """Motor current that grip and driver would take [A]."""
    force = np.minimum(at.grip, at.driver)
    return cast(FloatArray, motor_current(car, force, at.no_load, at.gear))


def _drawn(state: Electrics, at: Forces, current: FloatArray) -> FloatArray:
    """Pack current [A]."""
    stepped = pack_current(state, at.emf, current)
    closed = full_throttle_pack_current(state, at.emf, current)
    return np.where(current >= at.voltage_current * _CLOSED, closed, stepped)


def _kinks(car: Car, state: Electrics) -> list[Floats]:
    """Speeds at which voltage, current and pack change places, and where the tyre stops growing."""
    found: list[Floats] = []
    emfs: list[Floats] = []
    if np.any(np.less(car.current_limit, NO_LIMIT)):
        emfs.append(full_throttle_emfs(state, car.current_limit)[0])
    if np.any(np.less(car.pack_current_limit, NO_LIMIT)):
        emfs.append(_emf_of_pack_current(state, car.pack_current_limit))
    if len(emfs) == 2:
        handed_over = state.bound_power / car.current_limit
        emfs.append(handed_over - state.behind_pack * car.current_limit)
    for emf in emfs:
        reach = greater(emf, 0.0) * (car.kv / car.gear_ratio)
        speed = reach * rolling_radius(car, 0.0)
        for _ in range(TURNS):
            speed = reach * rolling_radius(car, speed)
        found.append(speed)
    if np.any(np.greater(car.growth, 0.0)):
        share = car.growth_max / greater(car.growth, _LEAST_GROWTH)
        found.append(car.growth_speed * square_root(share))
    return found


def _emf_of_pack_current(state: Electrics, current: Floats) -> Floats:
    """Back-EMF at which the pack gives a current at full throttle [V]; 0 where it never does."""
    if is_zero(state.reactance):
        return full_throttle_emfs(state, current)[0]

    def gap(emf: FloatArray) -> FloatArray:
        motor = full_throttle_current(state, emf)
        return cast(FloatArray, full_throttle_pack_current(state, emf, motor) - current)

    high = np.asarray(state.voltage + 0.0 * state.reactance)
    low = np.zeros_like(high)
    return bracketed_root(gap, low, high, gap(low), gap(high), ROUNDS)


def _lift_off_speed(car: Car) -> Floats:
    """Speed at which the air takes all weight off the wheels [m/s]; huge where it never does."""
    lifting = -(car.downforce_front + car.downforce_rear)
    lift = greater(0.5 * car.air_density * car.frontal_area * lifting, _LEAST_LIFT)
    return square_root(weight_on_road(car) / lift) - car.head_wind


def _road_kinks(car: Car, lift: FloatArray) -> list[FloatArray]:
    """Speeds at which driver, tyres and wheel lift change places.

    As accelerations they are linear in (v+w)|v+w|, on either side of -w: two points give each line.
    """
    weight = weight_on_road(car)

    def lines(speed: FloatArray) -> tuple[Floats, Floats, Floats]:
        air, rolling, resistance = resistances(car, weight, speed)
        tyre = (tyre_road_force(car, weight, air, rolling) - resistance) / car.mass
        lifted = (lift_road_force(car, weight, air, rolling) - resistance) / car.mass
        driver = car.driver_acceleration
        return tyre - driver, lifted - driver, tyre - lifted

    stations = [np.zeros_like(lift), lift]
    if np.any(np.less(car.head_wind, 0.0)):
        stations.insert(1, np.clip(-car.head_wind, 0.0, lift).astype(lift.dtype))
    known = [(lines(one), (one + car.head_wind) * np.abs(one + car.head_wind)) for one in stations]
    found: list[FloatArray] = []
    for (before, begin), (after, end) in pairwise(known):
        for low, high in zip(before, after, strict=True):
            square = begin + low / (low - high) * (end - begin)
            found.append(np.copysign(np.sqrt(np.abs(square)), square) - car.head_wind)
    return found


def _braking(car: Car, lift: FloatArray) -> FloatArray:
    """Least deceleration from the lift speed down, before its floor [m/s²].

    Between the kinks of the air, lift-off among them, it is the least of lines in (v+w)|v+w|: the
    ends hold the least.
    """
    speed = np.zeros((4, lift.size), dtype=lift.dtype)
    speed[1] = np.minimum(greater(-car.head_wind, 0.0), lift)
    np.fmin(np.maximum(_lift_off_speed(car), 0.0), lift, out=speed[2])
    speed[3] = lift
    weight = weight_on_road(car)
    air, _, resistance = resistances(car, weight, speed)
    found = braking_deceleration(car, weight, air.front + air.rear, resistance)
    return cast(FloatArray, np.broadcast_to(found, speed.shape).min(axis=0))
