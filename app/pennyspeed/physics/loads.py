"""What a run asks of its parts, for many cars at once: currents, volts, axle loads, braking.

::

      I |      .-- what voltage alone would give: falls with speed
        |  `.  |
        |    `.*  crossing: the most that is asked for
        |  _.-' `.
        | '  what grip and driver would take: as good as rising
        +--------|----------- v          also looked at: rest, the lift speed, and every closed-form
        0     crossing    lift           kink between them

A run is known by its speeds here, not integrated: it comes after
:func:`pennyspeed.physics.batch.runs.predict_many`. One car's exact figures are those of
:func:`pennyspeed.physics.predict.predict`.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import cast

import numpy as np

from pennyspeed.physics.batch.arrays import bracketed_root, pick, settled, single
from pennyspeed.physics.batch.late import late_margins
from pennyspeed.physics.car import NO_LIMIT, VOLTAGE, Car, FloatArray, Floats
from pennyspeed.physics.electrics import Electrics, electrics, motor_current, pack_current
from pennyspeed.physics.elementwise import greater, lesser, square_root
from pennyspeed.physics.forces import (
    Forces,
    forces_at,
    front_load_share,
    gearing,
    limit_codes,
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

SECANTS = 3
"""Evaluations to the crossing, from a bracket free of kinks."""

TURNS = 4
"""Rounds from back-EMF to speed: each is better by the share that a tyre grows."""

_BETWEEN = np.linspace(0.0, 1.0, 18)[1:-1].tolist()

_LEAST_GROWTH = 1.0e-12
"""Keeps the speed at which growth ends finite."""

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
    asked_motor_current: FloatArray
    asked_pack_current: FloatArray
    lowest_cell_voltage: FloatArray
    least_front_share: FloatArray
    least_deceleration: FloatArray
    road_motor_speed: FloatArray
    late_margin: FloatArray
    """Road left when the throttle goes off half a second late [m]; −∞ where none is to be driven.
    """


ROWS = len(fields(BatchLoads))


def loads(car: Car, found: BatchPrediction) -> BatchLoads:
    """What the runs of :func:`~pennyspeed.physics.batch.runs.predict_many` ask of their parts.

    The figures are within some 1e-3 of the single car's.
    """
    car, _ = settled(car)
    count = found.top_speed.size
    out = np.zeros((ROWS, count))
    with np.errstate(all="ignore"):
        for start in range(0, count, CHUNK):
            some = slice(start, start + CHUNK)
            part, run = single(pick(car, some)), single(pick(found, some))
            held = electrics(part, run.held_state_of_charge, run.held_motor_temperature)
            out[:4, some] = _at_top(part, run.top_speed)
            out[4:8, some] = _in_run(part, held, run.road_speed)
            out[8, some] = _braking(part, run.road_speed)
            turned = gearing(part, rolling_radius(part, run.road_speed))
            out[9, some] = run.road_speed * turned
            out[10, some] = late_margins(part, held, run)
    return BatchLoads(*out)


def _at_top(car: Car, speed: FloatArray) -> tuple[Floats, ...]:
    state = electrics(car, car.state_of_charge, car.motor_temperature)
    at = forces_at(car, state, speed)
    # at the balance the wheel force is the resistance
    current = motor_current(car, at.resistance, at.no_load, at.gear)
    drawn = np.where(
        limit_codes(car, state, at) == VOLTAGE, current, pack_current(state, at.emf, current)
    )
    shares = (share(car, at, at.resistance) for share in (front_load_share, rear_load_share))
    return current, drawn, *shares


def _in_run(car: Car, state: Electrics, lift: FloatArray) -> tuple[FloatArray, ...]:
    """Largest asked motor and pack current, lowest cell voltage, least front-axle load."""
    kinks = [*_road_kinks(car, lift), *_kinks(car, state)]
    if np.any(np.less(car.downforce_front, 0.0)) or np.any(np.less(car.downforce_rear, 0.0)):
        # as the air lifts the car, what the tyres take rises and falls without a kink
        kinks += [lift * share for share in _BETWEEN]
    places = np.zeros((len(kinks) + 2, lift.size), dtype=lift.dtype)
    for row, kink in zip(places[1:-1], kinks, strict=True):
        # fmin passes over NaN, which two limits that never meet leave
        np.fmin(np.maximum(kink, 0.0), lift, out=row)
    places[-1] = lift
    places.sort(axis=0)
    at = forces_at(car, state, places)
    taken = _taken(car, at)
    gap = cast(FloatArray, at.voltage_current - taken)
    falls = (gap[:-1] > 0.0) & (gap[1:] <= 0.0)
    cell, cars = np.argmax(falls, axis=0), np.arange(lift.size)
    there = falls[cell, cars]

    def gap_at(speed: FloatArray) -> FloatArray:
        here = forces_at(car, state, speed)
        return cast(FloatArray, here.voltage_current - _taken(car, here))

    crossing = bracketed_root(
        gap_at,
        places[cell, cars],
        places[cell + 1, cars],
        gap[cell, cars],
        gap[cell + 1, cars],
        SECANTS,
    )
    here = forces_at(car, state, np.where(there, crossing, 0.0))
    # on the crossing the switch has just closed
    closed = np.where(there, here.voltage_current, 0.0)

    asked = np.minimum(at.voltage_current, taken)
    asked_most = np.maximum(asked.max(axis=0), closed)
    drawn_most = np.maximum(_drawn(state, at, asked).max(axis=0), closed)
    limited = np.minimum(asked, at.electric_current)
    at_crossing = np.minimum(closed, here.electric_current)
    stepped = np.where(
        at_crossing < closed, pack_current(state, here.emf, at_crossing), at_crossing
    )
    most = np.maximum(_drawn(state, at, limited).max(axis=0), stepped)
    volts = (state.voltage - state.pack * most) / car.cells_series
    force = lesser(at.electric, lesser(at.grip, at.driver))
    on_road = road_force_of_wheel_force(car, at, force)
    share = cast(FloatArray, front_load_share(car, at, on_road))
    return asked_most, drawn_most, volts, np.broadcast_to(share, places.shape).min(axis=0)


def _taken(car: Car, at: Forces) -> FloatArray:
    """Motor current that grip and driver would take [A]."""
    force = np.minimum(at.grip, at.driver)
    return cast(FloatArray, motor_current(car, force, at.no_load, at.gear))


def _drawn(state: Electrics, at: Forces, current: FloatArray) -> FloatArray:
    """Pack current [A]."""
    stepped = pack_current(state, at.emf, current)
    return np.where(current >= at.voltage_current * _CLOSED, current, stepped)


def _kinks(car: Car, state: Electrics) -> list[Floats]:
    """Speeds at which voltage, current and pack change places, and where the tyre stops growing."""
    found: list[Floats] = []
    bounds = (car.current_limit, car.pack_current_limit)
    emfs = [
        state.voltage - state.whole * bound for bound in bounds if np.any(np.less(bound, NO_LIMIT))
    ]
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


def _road_kinks(car: Car, lift: FloatArray) -> list[FloatArray]:
    """Speeds at which driver, tyres and wheel lift change places.

    As accelerations they are linear in (v+w)|v+w|: two points give each line.
    """
    weight = weight_on_road(car)

    def lines(speed: FloatArray) -> tuple[Floats, Floats, Floats]:
        air, rolling, resistance = resistances(car, weight, speed)
        tyre = (tyre_road_force(car, weight, air, rolling) - resistance) / car.mass
        lifted = (lift_road_force(car, weight, air, rolling) - resistance) / car.mass
        driver = car.driver_acceleration
        return tyre - driver, lifted - driver, tyre - lifted

    at_rest, at_lift = lines(np.zeros_like(lift)), lines(lift)

    def signed_square(speed: Floats) -> Floats:
        return speed * greater(speed, -speed)

    begin, end = signed_square(car.head_wind), signed_square(lift + car.head_wind)
    found: list[FloatArray] = []
    for low, high in zip(at_rest, at_lift, strict=True):
        square = begin + low / (low - high) * (end - begin)
        found.append(np.sqrt(np.maximum(square, 0.0)) - car.head_wind)
    return found


def _braking(car: Car, lift: FloatArray) -> FloatArray:
    """Least deceleration from the lift speed down, before its floor [m/s²].

    Between the kinks of the air it is the least of lines in (v+w)|v+w|: the ends hold the least.
    """
    speed = np.zeros((3, lift.size), dtype=lift.dtype)
    speed[1] = np.minimum(greater(-car.head_wind, 0.0), lift)
    speed[2] = lift
    weight = weight_on_road(car)
    air, _, resistance = resistances(car, weight, speed)
    found = braking_deceleration(car, weight, air.front + air.rear, resistance)
    return cast(FloatArray, np.broadcast_to(found, speed.shape).min(axis=0))
