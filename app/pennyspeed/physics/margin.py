"""Margin on the road: the marker at which the driver decides, and what a late lift does.

::

    speed |        ______o------o..            o  marker   o  lift: the throttle is really off
          |     .-'             \\  \\           reaction lies between them
          |  .-'                  \\  \\  late: under power for so much longer, then the same brake
          +-----------------------|---|--- distance
                                stop  |<->| reserve

The reaction costs no speed, it moves the marker; the reserve is road that stays unused.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import cast

import numpy as np

from pennyspeed.physics.braking import Braking
from pennyspeed.physics.car import REST_MARGIN, Car, FloatArray, Floats
from pennyspeed.physics.electrics import Electrics, electrics
from pennyspeed.physics.elementwise import lesser
from pennyspeed.physics.forces import Forces, forces_at
from pennyspeed.physics.kinks import road_kinks
from pennyspeed.physics.results import BatchPrediction, LateLift, Prediction, RoadTrace
from pennyspeed.physics.road import (
    braking_deceleration,
    front_axle_load,
    resistances,
    usable_road,
    weight_on_road,
)
from pennyspeed.physics.roots import bracketed_zero
from pennyspeed.physics.run import Lift, Run
from pennyspeed.physics.top_speed import course

LATE = 0.5
"""How much later than planned the throttle goes off for the margin [s]."""

SPEEDS = 512
_UNDER_POWER = np.linspace(0.0, 1.0, 16)[1:-1]
_BRAKING = np.linspace(1.0, 0.0, 80)[1:]


def marker(car: Car, run: Run, lift: Lift) -> float:
    """Where the car is `reaction` before the throttle is off [m]; 0 where the run is shorter."""
    if car.reaction == 0.0:
        return lift.distance
    return run.at_time(run.time_of(lift) - float(car.reaction))[0]


def late_lift(car: Car, run: Run, lift: Lift, stop: Braking, late: float) -> LateLift | None:
    """What the throttle that goes off `late` seconds after the lift point does.

    None where no road is left to drive.
    """
    road = float(car.road_length)
    if usable_road(car) <= 0.0:
        return None
    begin = run.time_of(lift)
    distance, speed = run.at_time(begin + late)
    length = stop.distance(speed)
    end = 0.0
    if distance >= road:
        end = _passing(run, road, begin, begin + late)
    elif distance + length > road:
        # what is left to brake at the road's end is the stop of the speed there
        past = distance + length - road
        end = bracketed_zero(
            lambda there: stop.distance(there) - past, 0.0, speed, -past, length - past, 1.0e-12
        )
    under_power = [run.at_time(begin + share * late) for share in _UNDER_POWER.tolist()]
    braking = speed * _BRAKING
    places, speeds = zip(*under_power, strict=True)
    trace = RoadTrace(
        np.concatenate(
            ((lift.distance, *places, distance), distance + length - stop.distances(braking))
        ),
        np.concatenate(((lift.speed, *speeds, speed), braking)),
    )
    return LateLift(late, distance + length, road - distance - length, end, trace)


def _passing(run: Run, road: float, begin: float, end: float) -> float:
    """Speed under power at a distance passed between two times [m/s]."""
    at_begin, at_end = run.at_time(begin)[0] - road, run.at_time(end)[0] - road
    if at_begin >= 0.0:
        return run.at_time(begin)[1]
    time = bracketed_zero(
        lambda time: run.at_time(time)[0] - road, begin, end, at_begin, at_end, 1.0e-12
    )
    return run.at_time(time)[1]


def late_lifts(car: Car, found: Prediction, late: Sequence[float]) -> tuple[LateLift, ...]:
    """What lifting so many seconds late does, for each of several; empty of a car without a run.

    `found` is the car's prediction, of which the second pass is taken up.
    """
    if found.balance_speed <= 0.0:
        return ()
    held = electrics(car, found.held_state_of_charge, found.held_motor_temperature)
    run = Run(car, course(car, held, road_kinks(car)), SPEEDS)
    stop = Braking(car)
    lift = run.lift(float(usable_road(car)), stop.distance)
    rows = (late_lift(car, run, lift, stop, one) for one in late)
    return tuple(row for row in rows if row is not None)


def least_front_share(car: Car, run: Run, lift: Lift) -> float:
    """Least front-axle load under full demand from rest to the lift point, of that at rest."""
    nodes = 2 * min(lift.pair, run.pairs) + 1
    at = forces_at(car, run.course.state, np.append(run.speed[:nodes], lift.speed))
    return float(cast(FloatArray, front_share(car, at)).min())


def front_share(car: Car, at: Forces) -> Floats:
    """N_f over φ m g cosθ under full demand, F_x = (F - F_res) m/m_e + F_res on the road."""
    force = lesser(at.electric, lesser(at.grip, at.driver))
    on_road = (force - at.resistance) * (car.mass / at.effective_mass) + at.resistance
    weight = weight_on_road(car)
    load = front_axle_load(car, weight, at.air, at.rolling, on_road)
    return load / (car.front_share * weight)


# Many cars


def late_margins(car: Car, held: Electrics, found: BatchPrediction) -> FloatArray:
    """Road left when the throttle goes off half a second late [m]; −∞ where none is to be driven.

    Half a second under power in one step of Runge and Kutta's fourth order, then the stop from
    there: that from the lift speed, and what the speed gained since adds to it.
    """

    def gained(speed: FloatArray) -> FloatArray:
        at = forces_at(car, held, speed)
        force = lesser(at.electric, lesser(at.grip, at.driver))
        return cast(FloatArray, (force - at.resistance) / at.effective_mass)

    lift = found.road_speed
    one = gained(lift)
    two = gained(lift + 0.5 * LATE * one)
    three = gained(lift + 0.5 * LATE * two)
    four = gained(lift + LATE * three)
    distance = found.lift_at + LATE * (lift + LATE * (one + two + three) / 6.0)
    speed = lift + LATE * (one + 2.0 * (two + three) + four) / 6.0
    further = speed - lift
    stops = [
        place / np.maximum(_deceleration(car, place), REST_MARGIN)
        for place in (lift, lift + 0.5 * further, speed)
    ]
    stop = found.stop_distance + further * (stops[0] + 4.0 * stops[1] + stops[2]) / 6.0
    return np.where(np.asarray(usable_road(car)) > 0.0, car.road_length - distance - stop, -np.inf)


def _deceleration(car: Car, speed: FloatArray) -> FloatArray:
    weight = weight_on_road(car)
    air, _, resistance = resistances(car, weight, speed)
    found = braking_deceleration(car, weight, air.front + air.rear, resistance)
    return cast(FloatArray, np.broadcast_to(found, speed.shape))
