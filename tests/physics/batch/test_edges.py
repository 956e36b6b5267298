"""Cars at the edge of what a batch meets, against one car at a time."""

from __future__ import annotations

import numpy as np
import pytest

from pennyspeed.physics.batch.runs import predict_many, predict_many_with_traces, top_speeds
from pennyspeed.physics.predict import predict
from physics.batch.varied import FIGURES, deviation, one_of, varied_cars
from physics.cars import CARS, make_car, stacked


def test_cars_pushed_harder_than_the_driver_allows_agree_with_the_single_car() -> None:
    rng = np.random.default_rng(31)
    cars = varied_cars(
        60,
        seed=5,
        driver_acceleration=rng.choice([0.0, 0.05, 0.3], 60),
        slope=-rng.uniform(0.0, 0.06, 60),
        head_wind=rng.uniform(-5.0, 3.0, 60),
    )
    expected = [predict(one_of(cars, place)) for place in range(60)]
    tops = np.array([one.top_speed for one in expected])
    assert np.count_nonzero(tops) > 30
    assert np.max(deviation(top_speeds(cars), tops)) < 1e-3
    found = predict_many(cars)
    for name in FIGURES:
        values = np.array([getattr(one, name) for one in expected])
        assert np.max(deviation(getattr(found, name), values)) < 1e-3, name


@pytest.mark.parametrize("general", [False, True])
def test_no_road_takes_nothing_from_the_pack(general: bool) -> None:
    cars = varied_cars(400, seed=3, road_length=0.0)
    found, traces = predict_many_with_traces(cars, np.linspace(0.0, 9.0, 4), general=general)
    for name in ("road_speed", "lift_at", "stop_distance", "charge_used", "motor_rise"):
        assert np.all(getattr(found, name) == 0.0), name
    assert np.all(traces == 0.0)
    np.testing.assert_array_equal(found.held_state_of_charge, cars.state_of_charge)


def test_a_car_that_cannot_move_has_zeros_and_no_trace() -> None:
    names = ["cannot move: slope", "cannot move: current below no-load", "no road"]
    found, traces = predict_many_with_traces(
        stacked([CARS[name] for name in names]), np.linspace(0.0, 100.0, 11)
    )
    assert np.all(found.top_speed[:2] == 0.0)
    assert found.top_speed[2] > 10.0
    for name in ("road_speed", "lift_at", "stop_distance", "charge_used", "motor_rise"):
        assert np.all(getattr(found, name) == 0.0), name
    assert np.all(traces == 0.0)


def test_a_pack_run_flat_holds_state_of_charge_zero() -> None:
    found = predict_many(CARS["runs flat"])
    assert found.held_state_of_charge[0] == 0.0
    assert found.balance_speed[0] < found.top_speed[0]


def test_a_motor_of_unknown_heat_stays_as_warm_as_it_was() -> None:
    found = predict_many(make_car(heat_capacity=float("inf"), motor_temperature=35.0))
    assert found.motor_rise[0] == 0.0
    assert found.held_motor_temperature[0] == 35.0
