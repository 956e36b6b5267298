"""Loads of many cars, against one car's exact prediction and an integration in time."""

from __future__ import annotations

import math
from dataclasses import fields, replace
from functools import cache

import numpy as np
import pytest

from pennyspeed.physics.batch.runs import predict_many
from pennyspeed.physics.car import ALL, FRONT, REAR, Car
from pennyspeed.physics.loads import BatchLoads, loads
from pennyspeed.physics.predict import predict
from pennyspeed.physics.results import BatchPrediction
from physics.cars import make_car, stacked
from physics.reference_runs import Answer, answer

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
    "grip that lets the front wheels lift": make_car(
        driven=REAR, cg_height=0.1, wheelbase=0.2, grip=2.4, driver_acceleration=60.0
    ),
    "four cells": make_car(cells_series=4, pack_resistance=0.012),
    "a short road": make_car(road_length=25.0),
    "a long road": make_car(road_length=900.0),
}

PUSHED = {
    "steeply down, a slow driver": make_car(
        slope=-0.1947, mass=3.988, kv=323.8, gear_ratio=7.635, motor_resistance=0.03,
        cells_series=2, pack_resistance=0.0378, tyre_diameter=0.0922, grip=0.87,
        drag_coefficient=0.434, frontal_area=0.025, road_length=630.0, driver_acceleration=3.8,
    ),
    "down, and nobody holds back": make_car(
        slope=-0.1536, mass=3.461, driven=REAR, cg_height=0.0548, front_share=0.4174, kv=274.0,
        gear_ratio=4.914, motor_resistance=0.0057, cells_series=2, pack_resistance=0.0049,
        tyre_diameter=0.0634, growth=0.053, grip=0.816, rolling=0.0324, drag_coefficient=0.4528,
        frontal_area=0.0229, road_length=345.0, driver_acceleration=50.0,
    ),
    "down, driven at the front": make_car(
        slope=-0.1515, mass=3.214, driven=FRONT, cg_height=0.0466, front_share=0.5543, kv=207.1,
        gear_ratio=4.714, motor_resistance=0.00884, current_limit=73.4, cells_series=2,
        pack_resistance=0.01335, tyre_diameter=0.0762, grip=0.935, rolling=0.0296,
        frontal_area=0.0222, road_length=442.0, driver_acceleration=6.7, no_load_current=1.028,
    ),
    "a wing the wrong way round": make_car(
        mass=1.276, driven=FRONT, cg_height=0.0489, front_share=0.579, kv=271.2, gear_ratio=4.647,
        cells_series=4, pack_resistance=0.0128, tyre_diameter=0.091, growth=0.0563, grip=1.486,
        drag_coefficient=0.2134, frontal_area=0.0234, downforce_front=-0.1074,
        downforce_rear=-0.5131, road_length=696.0, driver_acceleration=17.9, brake_deceleration=9.0,
    ),
    "before the wind, lifted": make_car(
        mass=1.079, driven=REAR, cg_height=0.0597, front_share=0.4808, kv=467.1, gear_ratio=8.477,
        motor_resistance=0.00964, cells_series=6, pack_resistance=0.0179, tyre_diameter=0.0947,
        growth=0.042, grip=1.227, rolling=0.0272, frontal_area=0.0177, head_wind=-11.07,
        slope=-0.0281, downforce_front=-0.8486, downforce_rear=0.1089, road_length=203.6,
        driver_acceleration=7.055,
    ),
}  # fmt: skip
"""Their currents rise and fall without a change of limit, or limits change where none looked."""

INDUCTIVE = {
    "inductance, driver, then voltage": make_car(inductance=6e-6, driver_acceleration=4.0),
    "inductance alone": make_car(inductance=2e-5, driver_acceleration=60.0, grip=4.0),
    "inductance and both limits, cold": make_car(
        inductance=8e-6, current_limit=50.0, pack_current_limit=35.0, pack_temperature=-5.0
    ),
    "inductance and a weak pack": make_car(inductance=6e-6, pack_resistance=0.09),
}


def exact(car: Car) -> dict[str, float]:
    found = predict(car)
    assert found.at_top is not None
    assert found.asked_motor_current is not None
    assert found.asked_pack_current is not None
    assert found.lowest_cell_voltage is not None
    assert found.least_deceleration is not None
    assert found.least_front_share is not None
    return {
        "current": found.at_top.current,
        "pack_current": found.at_top.pack_current,
        "front_load_share": found.at_top.front_load_share,
        "rear_load_share": found.at_top.rear_load_share,
        "road_motor_speed": found.road_motor_speed,
        "least_front_share": found.least_front_share,
        "asked_motor_current": found.asked_motor_current,
        "asked_pack_current": found.asked_pack_current,
        "lowest_cell_voltage": found.lowest_cell_voltage,
        "least_deceleration": found.least_deceleration,
        "late_margin": -math.inf if found.late is None else found.late.road_left,
    }


def runs_of(cars: list[Car]) -> BatchPrediction:
    """What `loads` takes, from single predictions."""
    each = [predict(car) for car in cars]
    figures = {
        f.name: np.array([getattr(one, f.name, False) for one in each])
        for f in fields(BatchPrediction)
    }
    return BatchPrediction(**figures)


@cache
def reference(name: str) -> Answer:
    return answer(PUSHED[name])


@pytest.fixture(scope="module")
def together() -> BatchLoads:
    car = stacked(list(CARS.values()))
    return loads(car, predict_many(car))


@pytest.mark.parametrize("name", CARS)
def test_a_car_in_the_batch_is_asked_for_what_it_is_alone(name: str, together: BatchLoads) -> None:
    place = list(CARS).index(name)
    for key, value in exact(CARS[name]).items():
        assert getattr(together, key)[place] == pytest.approx(value, rel=3e-3, abs=1e-6), key


@pytest.mark.parametrize("name", INDUCTIVE)
def test_inductance_and_warmth_count(name: str) -> None:
    car = INDUCTIVE[name]
    found = loads(stacked([car, car]), runs_of([car, car]))
    for key, value in exact(car).items():
        assert getattr(found, key)[1] == pytest.approx(value, rel=3e-3, abs=1e-6), key


@pytest.mark.parametrize("figure", ["asked_motor_current", "asked_pack_current"])
@pytest.mark.parametrize("name", PUSHED)
def test_pushed_and_lifted_cars_are_asked_for_what_the_reference_says(
    name: str, figure: str
) -> None:
    car = PUSHED[name]
    want = getattr(reference(name), figure)
    assert getattr(loads(car, runs_of([car])), figure)[0] == pytest.approx(want, rel=3e-3)


@pytest.mark.parametrize("name", PUSHED)
def test_pushed_and_lifted_cars_keep_their_volts_and_brakes(name: str) -> None:
    car, want = PUSHED[name], reference(name)
    got = loads(car, runs_of([car]))
    assert got.lowest_cell_voltage[0] == pytest.approx(want.lowest_cell_voltage, rel=1e-3)
    assert got.least_deceleration[0] == pytest.approx(want.least_deceleration, rel=1e-3)


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
