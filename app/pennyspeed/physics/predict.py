"""One car's whole answer: endless road, then the road in hand in two passes.

::

    starting state --> top speed, at top
          |
          first pass on this road: charge used, motor rise at the lift point
          |
    end state, held throughout --> second pass: road speed, lift point, curve, currents, trace
"""

from __future__ import annotations

from dataclasses import replace
from typing import cast

import numpy as np

from pennyspeed.physics.books import power_books
from pennyspeed.physics.braking import Braking
from pennyspeed.physics.car import VOLTAGE, Car, FloatArray, Floats
from pennyspeed.physics.currents import Currents, currents_at
from pennyspeed.physics.electrics import (
    Electrics,
    electrics,
    full_throttle_pack_current,
    motor_current,
    pack_current,
)
from pennyspeed.physics.forces import Forces, forces_at, limit_codes
from pennyspeed.physics.kinks import road_kinks
from pennyspeed.physics.results import AtTop, Curve, PowerBooks, Prediction, RoadTrace
from pennyspeed.physics.road import front_axle_load, weight_on_road
from pennyspeed.physics.run import Lift, Run
from pennyspeed.physics.top_speed import course

_TRACE_RUN = np.linspace(0.0, 1.0, 200) ** 1.5
_TRACE_NODES = 240
_TRACE_STOP = np.linspace(1.0, 0.0, 100)[1:]


def predict(car: Car, speeds: int = 512) -> Prediction:
    """Everything about one car.

    Parameters
    ----------
    car : Car
        One car, every figure a plain float (codes plain ints).
    speeds : int
        Speeds on which the second pass is computed; a few more where there are many kinks or where
        the net force nearly vanishes on the way. The first pass takes half as many.

    Returns
    -------
    Prediction
        SI; zeros and `None` where the car, or only its second pass, cannot move.
    """
    start = electrics(car, car.state_of_charge, car.motor_temperature)
    road = road_kinks(car)
    endless = course(car, start, road)
    charge = rise = 0.0
    stop = Braking(car)
    if endless.top_speed > 0.0:
        # this pass only finds the state to hold, for which half the speeds are plenty
        first = Run(car, endless, speeds // 2)
        lift = first.lift(float(car.road_length), stop.distance)
        currents = Currents(first)
        charge = currents.charge(lift)
        rise = currents.heat(lift) / float(car.heat_capacity)

    flat = charge > float(car.state_of_charge * car.capacity)
    held_charge = max(float(car.state_of_charge - charge / car.capacity), 0.0)
    held_temperature = float(car.motor_temperature) + rise
    held = electrics(car, held_charge, held_temperature)
    balance = course(car, held, road, asked=True) if endless.top_speed > 0.0 else endless

    still = Prediction(
        standstill_current=float(start.voltage / start.whole),
        top_speed=endless.top_speed,
        at_top=_at_top(car, start, endless.top_speed) if endless.top_speed > 0.0 else None,
        first_pass_charge=charge,
        held_state_of_charge=held_charge,
        held_motor_temperature=held_temperature,
        pack_runs_flat=flat,
    )
    if balance.top_speed == 0.0:
        return still
    run = Run(car, balance, speeds)
    lift = run.lift(float(car.road_length), stop.distance)
    currents = Currents(run)
    curve = _curve(run, currents)
    peak, peak_pack, asked, asked_pack = currents.peaks(lift)
    return replace(
        still,
        balance_speed=balance.top_speed,
        road_speed=lift.speed,
        lift_at=lift.distance,
        stop_distance=stop.distance(lift.speed),
        least_deceleration=stop.least_deceleration(lift.speed),
        time_to_top=float(curve.time[-1]),
        peak_current=peak,
        charge_used=currents.charge(lift),
        motor_rise=currents.heat(lift) / float(car.heat_capacity),
        lowest_cell_voltage=float(held.voltage - held.pack * peak_pack) / float(car.cells_series),
        asked_motor_current=asked,
        asked_pack_current=asked_pack,
        curve=curve,
        trace=_trace(run, lift, stop),
    )


def books(
    car: Car,
    speed: float | FloatArray,
    state_of_charge: float | None = None,
    motor_temperature: float | None = None,
) -> PowerBooks:
    """Where the power goes at any speed under power; the starting state unless another is given.

    Parameters
    ----------
    speed : float or array
        [m/s]; for the run's own books its curve's speeds.
    state_of_charge, motor_temperature : float, optional
        The state held, as in :class:`~pennyspeed.physics.results.Prediction`.
    """
    state = electrics(
        car,
        car.state_of_charge if state_of_charge is None else state_of_charge,
        car.motor_temperature if motor_temperature is None else motor_temperature,
    )
    if not isinstance(speed, np.ndarray):
        return _books_at_one(car, state, speed)
    at = forces_at(car, state, speed)
    force = np.minimum(at.electric, np.minimum(at.grip, at.driver))
    motor, pack = currents_at(car, state, at, force)
    return power_books(car, state, speed, at, force, motor, pack)


def _books_at_one(car: Car, state: Electrics, speed: float) -> PowerBooks:
    at = forces_at(car, state, speed)
    force = min(at.electric, at.grip, at.driver)
    current = motor_current(car, force, at.no_load, at.gear)
    drawn = _drawn(state, at, current, int(limit_codes(car, state, at)))
    return power_books(car, state, speed, at, force, current, drawn)


def _drawn(state: Electrics, at: Forces, current: Floats, limit: int) -> Floats:
    """Pack current [A] at the motor's, under the limit that wins."""
    if limit == VOLTAGE:
        return full_throttle_pack_current(state, at.emf, current)
    return pack_current(state, at.emf, current)


def _at_top(car: Car, state: Electrics, speed: float) -> AtTop:
    at = forces_at(car, state, speed)
    code = int(limit_codes(car, state, at))
    force = min(at.electric, at.grip, at.driver)
    current = motor_current(car, force, at.no_load, at.gear)
    drawn = _drawn(state, at, current, code)
    weight = weight_on_road(car)
    load = front_axle_load(car, weight, at.air, at.rolling, at.resistance)
    return AtTop(
        motor_speed=float(speed * at.gear),
        current=float(current),
        pack_current=float(drawn),
        power=float((state.voltage - state.pack * drawn) * drawn),
        limit=code,
        front_load_share=float(load / (car.front_share * weight)),
        books=power_books(car, state, speed, at, force, current, drawn),
    )


def _curve(run: Run, currents: Currents) -> Curve:
    count = run.curve_end + 1
    at = run.at
    return Curve(
        speed=run.speed[:count],
        time=run.time()[:count],
        distance=run.distance()[:count],
        current=currents.motor[:count],
        pack_current=currents.pack[:count],
        motor_speed=cast(FloatArray, run.speed * at.gear)[:count],
        force=run.force[:count],
        resistance=cast(FloatArray, at.resistance)[:count],
        limit=currents.codes[:count],
    )


def _trace(run: Run, lift: Lift, stop: Braking) -> RoadTrace:
    """Speed over the road: even in speed, as speed goes as the root of the distance."""
    nodes = 2 * min(lift.pair + 1, run.pairs)
    if nodes >= _TRACE_NODES:
        # the ends of the pairs, kinks among them
        distance, speed = run.end_distance[: nodes // 2], run.speed[:nodes:2]
    else:
        top = run.course.top_speed
        places = lift.place * _TRACE_RUN[:-1]
        distance, speed = run.distances(places), top - top * np.exp(-places)
    braking = lift.speed * _TRACE_STOP
    ending = lift.distance + (stop.distance(lift.speed) - stop.distances(braking))
    return RoadTrace(
        np.concatenate((distance, (lift.distance,), ending)),
        np.concatenate((speed, (lift.speed,), braking)),
    )
