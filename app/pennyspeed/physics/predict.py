"""One car's whole answer: endless road, then the road in hand in two passes.

::

    starting state --> top speed, at top
          |
          first pass on this road: charge used, motor rise at the lift point
          |
    end state, held throughout --> second pass: road speed, lift point, curve, currents, trace;
                                   marker, and what a lift half a second late does
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import cast

import numpy as np

from pennyspeed.physics.books import power_books
from pennyspeed.physics.braking import Braking
from pennyspeed.physics.car import VOLTAGE, Car, FloatArray, Floats
from pennyspeed.physics.electrics import (
    Electrics,
    electrics,
    full_throttle_pack_current,
    motor_current,
    pack_current,
)
from pennyspeed.physics.forces import (
    Forces,
    forces_at,
    front_load_share,
    limit_codes,
    rear_load_share,
    road_force_of_wheel_force,
)
from pennyspeed.physics.results import AtTop, Curve, LateLift, PowerBooks, Prediction, RoadTrace
from pennyspeed.physics.road import usable_road
from pennyspeed.physics.single.currents import Currents, currents_at
from pennyspeed.physics.single.kinks import road_kinks
from pennyspeed.physics.single.late import late_lift, marker
from pennyspeed.physics.single.run import Point, Run
from pennyspeed.physics.single.top_speed import course

HALF_A_SECOND = 0.5
"""A driver is easily that late [s]."""

SPEEDS = 512

_TRACE_RUN = np.linspace(0.0, 1.0, 200) ** 1.5
_TRACE_NODES = 240
_TRACE_STOP = np.linspace(1.0, 0.0, 100)[1:]


def predict(car: Car, speeds: int = SPEEDS) -> Prediction:
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
        lift = first.lift(float(usable_road(car)), stop.distance)
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
    lift = run.lift(float(usable_road(car)), stop.distance)
    decided = marker(run, lift)
    at_lift = forces_at(car, held, lift.speed)
    currents = Currents(run)
    curve = _curve(run, currents)
    peak, peak_pack, asked, asked_pack = currents.peaks(lift, at_lift)
    return replace(
        still,
        balance_speed=balance.top_speed,
        road_speed=lift.speed,
        road_motor_speed=float(lift.speed * at_lift.gear),
        lift_at=lift.distance,
        marker_at=decided.distance,
        marker_speed=decided.speed,
        late=late_lift(run, lift, stop, HALF_A_SECOND) if lift.speed > 0.0 else None,
        stop_distance=stop.distance(lift.speed),
        least_deceleration=stop.least_deceleration(lift.speed),
        time_to_top=float(curve.time[-1]),
        peak_current=peak,
        charge_used=currents.charge(lift),
        motor_rise=currents.heat(lift) / float(car.heat_capacity),
        lowest_cell_voltage=float(held.voltage - held.pack * peak_pack) / float(car.cells_series),
        least_front_share=_least_front_share(run, lift, at_lift),
        asked_motor_current=asked,
        asked_pack_current=asked_pack,
        curve=curve,
        trace=_trace(run, lift, stop),
    )


def late_lifts(car: Car, found: Prediction, seconds: Iterable[float]) -> tuple[LateLift, ...]:
    """What lifts later than planned do, full demand until then; none with no road left to drive.

    Parameters
    ----------
    found : Prediction
        Of this car.
    seconds : iterable of float
        Later than planned [s], ≥ 0.
    """
    if found.late is None:
        return ()
    held = electrics(car, found.held_state_of_charge, found.held_motor_temperature)
    run = Run(car, course(car, held, road_kinks(car), asked=True), SPEEDS)
    stop = Braking(car)
    lift = run.lift(float(usable_road(car)), stop.distance)
    return tuple(late_lift(run, lift, stop, one) for one in seconds)


def _least_front_share(run: Run, lift: Point, at_lift: Forces) -> float:
    """Least front-axle load up to the lift point, over its value at rest."""
    car, at = run.car, run.at
    shares = front_load_share(car, at, road_force_of_wheel_force(car, at, run.force))
    force = min(at_lift.electric, at_lift.grip, at_lift.driver)
    last = front_load_share(car, at_lift, road_force_of_wheel_force(car, at_lift, force))
    return min(float(np.asarray(shares)[: run.count(lift)].min()), float(last))


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
    return AtTop(
        motor_speed=float(speed * at.gear),
        current=float(current),
        pack_current=float(drawn),
        power=float((state.voltage - state.pack * drawn) * drawn),
        limit=code,
        front_load_share=float(front_load_share(car, at, at.resistance)),
        rear_load_share=float(rear_load_share(car, at, at.resistance)),
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


def _trace(run: Run, lift: Point, stop: Braking) -> RoadTrace:
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
