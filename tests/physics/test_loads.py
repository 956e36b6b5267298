"""Loads of many cars, against one car's exact prediction."""

from __future__ import annotations

import math
from dataclasses import fields, replace

import numpy as np
import pytest

from pennyspeed.physics.batch.runs import predict_many
from pennyspeed.physics.car import ALL, FRONT, REAR, Car
from pennyspeed.physics.loads import BatchLoads, loads
from pennyspeed.physics.predict import predict
from physics.cars import make_car, stacked

CARS = {
    "voltage alone": make_car(driver_acceleration=60.0, grip=4.0),
    "driver, then voltage": make_car(driver_acceleration=4.0),
    "grip, then voltage": make_car(driver_acceleration=60.0, grip=0.5, driven=REAR),
    "a current limit hides what is asked for": make_car(
        current_limit=30.0, grip=1.6, driver_acceleration=12.0
    ),
    "a pack limit": make_car(pack_current_limit=40.0),
    "both": make_car(current_limit=50.0, pack_current_limit=42.0, driven=ALL),
    "a weak pack": make_car(pack_resistance=0.09),
    "a weak pack and a current limit": make_car(pack_resistance=0.09, current_limit=60.0),
    "lift at the front": make_car(downforce_front=-0.2, driven=FRONT),
    "much downforce": make_car(downforce_front=0.5, downforce_rear=0.9, grip=0.6),
    "growing tyres": make_car(growth=0.06, growth_max=0.03, driver_acceleration=5.0),
    "wind from behind": make_car(head_wind=-2.5),
    "uphill into the wind": make_car(slope=math.atan(0.025), head_wind=3.0),
    "a short road": make_car(road_length=25.0),
    "a long road": make_car(road_length=900.0),
}


def exact(car: Car) -> dict[str, float]:
    found = predict(car)
    assert found.at_top is not None
    assert found.asked_motor_current is not None
    assert found.asked_pack_current is not None
    assert found.lowest_cell_voltage is not None
    assert found.least_deceleration is not None
    return {
        "motor_speed": found.at_top.motor_speed,
        "current": found.at_top.current,
        "pack_current": found.at_top.pack_current,
        "front_load_share": found.at_top.front_load_share,
        "asked_motor_current": found.asked_motor_current,
        "asked_pack_current": found.asked_pack_current,
        "lowest_cell_voltage": found.lowest_cell_voltage,
        "least_deceleration": found.least_deceleration,
    }


@pytest.fixture(scope="module")
def together() -> BatchLoads:
    car = stacked(list(CARS.values()))
    return loads(car, predict_many(car))


@pytest.mark.parametrize("name", CARS)
def test_a_car_in_the_batch_is_asked_for_what_it_is_alone(name: str, together: BatchLoads) -> None:
    place = list(CARS).index(name)
    for key, value in exact(CARS[name]).items():
        assert getattr(together, key)[place] == pytest.approx(value, rel=3e-3), key


def test_the_cars_differ_in_what_limits_them(together: BatchLoads) -> None:
    for field in fields(BatchLoads):
        values = getattr(together, field.name)
        assert values.max() > 1.02 * values.min(), field.name


def test_what_is_asked_for_lies_above_a_limit_that_hides_it(together: BatchLoads) -> None:
    place = list(CARS).index("a current limit hides what is asked for")
    assert together.asked_motor_current[place] > 40.0
    without = replace(CARS["a current limit hides what is asked for"], current_limit=1.0e6)
    assert together.asked_motor_current[place] == pytest.approx(
        exact(without)["asked_motor_current"], rel=0.02
    )


def test_one_car_and_a_car_that_stands_still_pass_through() -> None:
    one = make_car()
    assert loads(one, predict_many(one)).current.shape == (1,)
    stuck = stacked([one, replace(one, slope=math.atan(2.0))])
    found = loads(stuck, predict_many(stuck))
    assert np.isfinite(found.current[0])
    assert found.current.shape == (2,)
