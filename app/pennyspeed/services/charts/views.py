"""Views of one car: the arrays behind each plot, SI unless a name says otherwise.

All are of the run's second pass, in the state that it holds: what a plot shows is what the verdict
says. Every function takes a whole car that moves; :func:`car_of` tells whether there is one.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, fields
from typing import cast

import numpy as np

from pennyspeed.domain.assembly import assemble
from pennyspeed.domain.builds import Build
from pennyspeed.domain.units import RPM
from pennyspeed.physics.car import LIMIT_NAMES, NO_LIMIT, Car, FloatArray, Floats
from pennyspeed.physics.electrics import (
    Electrics,
    electrics,
    full_throttle_current,
    pack_bound_current,
    wheel_force,
)
from pennyspeed.physics.forces import forces_at, limit_codes
from pennyspeed.physics.predict import books
from pennyspeed.physics.results import PowerBooks, Prediction, RoadTrace
from pennyspeed.physics.road import UNBOUNDED_FORCE, grade_force
from pennyspeed.physics.single.currents import currents_at

POINTS = 240
BEYOND_BALANCE = 1.1
"""How far forces are drawn, over the speed at which they balance."""

STACKED = tuple(field.name for field in fields(PowerBooks) if field.name != "source")
"""Where the power goes, in the order of the stack: from the pack outward."""


def car_of(build: Build, found: Prediction | None) -> Car | None:
    """Return the car to draw; None where there is none, or where it does not move."""
    return None if found is None or found.trace is None else assemble(build)


# Time ------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class OverTime:
    """The run over this road, from rest over the lift point to rest."""

    time: FloatArray
    speed: FloatArray
    distance: FloatArray
    lift: int
    """Place of the lift point in the arrays."""


def over_time(found: Prediction) -> OverTime:
    """Return speed and distance over time."""
    trace, lift = _trace(found)
    return OverTime(_times(trace), trace.speed, trace.distance, lift)


def _trace(found: Prediction) -> tuple[RoadTrace, int]:
    trace = found.trace
    assert trace is not None
    return trace, int(np.searchsorted(trace.distance, found.lift_at))


def _times(trace: RoadTrace) -> FloatArray:
    """Return times along a trace: between two points acceleration is taken as constant."""
    pace = trace.speed[1:] + trace.speed[:-1]
    steps = 2.0 * np.diff(trace.distance) / np.where(pace > 0.0, pace, 1.0)
    return np.concatenate(((0.0,), np.cumsum(steps)))


# Forces ----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Crossing:
    """Where one limit hands over to another, or the push meets the resistances."""

    speed: float
    force: float
    text: str


@dataclass(frozen=True, slots=True)
class ForcesOverSpeed:
    """What each limit allows at the wheel, against what holds the car back [N].

    A limit that does not exist, or is out of reach, is NaN.
    """

    speed: FloatArray
    voltage: FloatArray
    current: FloatArray
    pack: FloatArray
    grip: FloatArray
    driver: FloatArray
    force: FloatArray
    """The least of them."""
    drag: FloatArray
    rolling: FloatArray
    grade: FloatArray
    resistance: FloatArray
    """The three together."""
    crossings: tuple[Crossing, ...]


def forces_over_speed(car: Car, found: Prediction) -> ForcesOverSpeed:
    """Return the forces from rest to a little past the balance."""
    state = _held(car, found)
    speed = np.linspace(0.0, BEYOND_BALANCE * found.balance_speed, POINTS)
    at = forces_at(car, state, speed)

    def under(current: Floats) -> FloatArray:
        allowed = np.where(np.less(current, NO_LIMIT), current, math.nan)
        return _full(wheel_force(car, allowed, at.no_load, at.gear), speed)

    return ForcesOverSpeed(
        speed=speed,
        voltage=under(full_throttle_current(state, at.emf)),
        current=under(car.current_limit),
        pack=under(pack_bound_current(state, at.emf)),
        grip=_full(np.where(np.less(at.grip, 0.5 * UNBOUNDED_FORCE), at.grip, math.nan), speed),
        driver=_full(at.driver, speed),
        force=np.minimum(at.electric, np.minimum(at.grip, at.driver)),
        drag=_full(at.air.drag, speed),
        rolling=_full(at.rolling, speed),
        grade=_full(grade_force(car), speed),
        resistance=_full(at.resistance, speed),
        crossings=_crossings(car, state, found.balance_speed, speed),
    )


_HALVINGS = 26


def _crossings(
    car: Car, state: Electrics, balance: float, speed: FloatArray
) -> tuple[Crossing, ...]:
    """Return where the limit that wins changes, and the balance; speeds to the last digit."""

    def code(at: float) -> int:
        return int(limit_codes(car, state, forces_at(car, state, at)))

    codes = limit_codes(car, state, forces_at(car, state, speed))
    found = []
    changed = np.asarray(codes)
    for place in np.flatnonzero(changed[1:] != changed[:-1]):
        low, high = float(speed[place]), float(speed[place + 1])
        if low >= balance:
            break
        before, after = int(changed[place]), int(changed[place + 1])
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            low, high = (middle, high) if code(middle) == before else (low, middle)
        text = f"{LIMIT_NAMES[before]} hands over to {LIMIT_NAMES[after]}"
        found.append(Crossing(high, _force_at(car, state, high), text))
    held = "drag, rolling and slope" if grade_force(car) != 0.0 else "drag and rolling"
    last = f"{LIMIT_NAMES[code(balance)]} meets {held}"
    found.append(Crossing(balance, _force_at(car, state, balance), last))
    return tuple(found)


def _force_at(car: Car, state: Electrics, speed: float) -> float:
    at = forces_at(car, state, speed)
    return float(min(at.electric, at.grip, at.driver))


# Motor -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class MotorOverSpeed:
    """The motor over the speed of the car, from rest to the balance."""

    speed: FloatArray
    rpm: FloatArray
    current: FloatArray
    electric_power: FloatArray
    """Into the motor [W]."""
    shaft_power: FloatArray
    efficiency: FloatArray
    """Of the two; 0 where nothing goes in or comes out."""
    rated_rpm: float | None
    continuous_current: float | None
    peak_current: float | None


def motor_over_speed(build: Build, car: Car, found: Prediction) -> MotorOverSpeed:
    """Return what the motor does, with its ratings as far as they are known."""
    state = _held(car, found)
    speed = np.linspace(0.0, found.balance_speed, POINTS)
    at = forces_at(car, state, speed)
    force = np.minimum(at.electric, np.minimum(at.grip, at.driver))
    current, _ = currents_at(car, state, at, force)
    shaft = (current - at.no_load) * at.emf
    electric = current * (at.emf + state.winding * current)
    useful = (electric > 0.0) & (shaft > 0.0)
    motor = build.part("motor")
    ratings = [
        None if motor is None else motor.known_number(key)
        for key in ("max_rpm", "continuous_current_a", "peak_current_a")
    ]
    return MotorOverSpeed(
        speed,
        np.asarray(speed * at.gear) / RPM.factor,
        current,
        electric,
        shaft,
        np.where(useful, shaft / np.where(useful, electric, 1.0), 0.0),
        *ratings,
    )


# Power -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class PowerOverSpeed:
    """Where the power of the cells goes, from rest to the balance [W]."""

    speed: FloatArray
    source: FloatArray
    shares: tuple[tuple[str, FloatArray], ...]
    """Named as in `STACKED`; they add up to the source."""


def power_over_speed(car: Car, found: Prediction) -> PowerOverSpeed:
    """Return what is lost on the way, and what is left for the road."""
    speed = np.linspace(0.0, found.balance_speed, POINTS)
    here = books(car, speed, found.held_state_of_charge, found.held_motor_temperature)
    return PowerOverSpeed(speed, _full(here.source, speed), tuple(
        (name, _full(getattr(here, name), speed)) for name in STACKED
    ))  # fmt: skip


# Charge and heat -------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class StateOverRun:
    """Charge and motor temperature up to the lift point."""

    time: FloatArray
    distance: FloatArray
    state_of_charge: FloatArray
    motor_celsius: FloatArray


def state_over_run(car: Car, found: Prediction) -> StateOverRun:
    """Return what the run has taken from the pack and put into the motor so far.

    The last point is what the prediction says of the whole run.
    """
    trace, lift = _trace(found)
    time, speed = _times(trace)[: lift + 1], trace.speed[: lift + 1]
    state = _held(car, found)
    at = forces_at(car, state, speed)
    force = np.minimum(at.electric, np.minimum(at.grip, at.driver))
    motor, pack = currents_at(car, state, at, force)
    heat = motor * motor * state.winding + at.emf * at.no_load
    charge = _so_far(time, pack, found.charge_used)
    rise = _so_far(time, cast(FloatArray, heat), found.motor_rise)
    return StateOverRun(
        time,
        trace.distance[: lift + 1],
        np.maximum(car.state_of_charge - charge / car.capacity, 0.0),
        car.motor_temperature + rise,
    )


def _so_far(time: FloatArray, rate: FloatArray, total: float) -> FloatArray:
    """Return the share of a total that has come about, from its rate."""
    steps = 0.5 * (rate[1:] + rate[:-1]) * np.diff(time)
    found = np.concatenate(((0.0,), np.cumsum(steps)))
    return found * (total / found[-1] if found[-1] > 0.0 else 0.0)


def _held(car: Car, found: Prediction) -> Electrics:
    return electrics(car, found.held_state_of_charge, found.held_motor_temperature)


def _full(values: Floats, speed: FloatArray) -> FloatArray:
    return np.broadcast_to(np.asarray(values, dtype=float), speed.shape)
