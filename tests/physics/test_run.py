"""The run's grid: what is between its nodes joins what is at them, and a kink is never within."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import brentq

from pennyspeed.physics.electrics import electrics, wheel_force
from pennyspeed.physics.forces import forces_at
from pennyspeed.physics.single.kinks import road_kinks
from pennyspeed.physics.single.run import Run
from pennyspeed.physics.single.top_speed import course
from physics.cars import CARS, make_car


@pytest.mark.parametrize("name", [name for name in CARS if "cannot move" not in name])
def test_distance_between_nodes_joins_the_distance_at_them(name: str) -> None:
    """From either side of a pair's end: by the parabola's share below, by the sum above."""
    car = CARS[name]
    state = electrics(car, car.state_of_charge, car.motor_temperature)
    run = Run(car, course(car, state, road_kinks(car)), 120)
    # nearer to the balance speed than the curve's end, the place cannot be told from the speed
    ends = -np.log1p(-run.speed[2 : run.curve_end + 1 : 2] / run.course.top_speed)
    below = run.distances(ends * (1.0 - 1e-12))
    np.testing.assert_allclose(below, run.end_distance[1 : len(ends) + 1], rtol=1e-9)


def test_what_voltage_would_ask_for_meets_the_driver_behind_a_current_limit() -> None:
    """Zero found by SciPy: the current limit hides it from the force that drives the car."""
    car = make_car(current_limit=20.0)
    state = electrics(car, car.state_of_charge, car.motor_temperature)

    def asked(speed: float) -> float:
        here = forces_at(car, state, speed)
        pull = wheel_force(car, here.voltage_current, here.no_load, here.gear)
        return float(pull - min(here.grip, here.driver))

    top = course(car, state, road_kinks(car)).top_speed
    meets = brentq(asked, 0.01, top, xtol=1e-12)
    kinks = course(car, state, road_kinks(car), asked=True).kinks
    assert min(abs(one - meets) for one in kinks) < 1e-8
