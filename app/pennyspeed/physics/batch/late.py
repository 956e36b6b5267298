"""Road left by a late lift, for many cars at once."""

from __future__ import annotations

from typing import cast

import numpy as np

from pennyspeed.physics.car import REST_MARGIN, Car, FloatArray
from pennyspeed.physics.electrics import Electrics
from pennyspeed.physics.elementwise import lesser
from pennyspeed.physics.forces import forces_at
from pennyspeed.physics.predict import HALF_A_SECOND as LATE
from pennyspeed.physics.results import BatchPrediction
from pennyspeed.physics.road import braking_deceleration, resistances, usable_road, weight_on_road


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
