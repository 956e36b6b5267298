"""Many cars at once against one car at a time, the fast path against the general one.

The single car is held to an ODE solver elsewhere (test_reference.py), so what agrees with it here
agrees with the equations of motion; one check below goes straight to the solver all the same.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from pennyspeed.physics.batch.arrays import bracketed_root, sort_columns
from pennyspeed.physics.batch.folding import fold
from pennyspeed.physics.batch.runs import (
    predict_many,
    predict_many_with_traces,
    top_speeds,
)
from pennyspeed.physics.car import ALL, FRONT, REAR, Car
from pennyspeed.physics.electrics import electrics
from pennyspeed.physics.forces import forces_at
from pennyspeed.physics.predict import predict
from physics.batch.varied import FIGURES, deviation, one_of, varied_cars
from physics.cars import CARS, KMH, WILD, make_car, stacked


@pytest.fixture(scope="module")
def varied() -> Car:
    return varied_cars(240, seed=20)


@pytest.fixture(scope="module")
def singly(varied: Car) -> dict[str, Any]:
    answers = [predict(one_of(varied, i)) for i in range(240)]
    return {name: np.array([getattr(answer, name) for answer in answers]) for name in FIGURES}


@pytest.mark.parametrize("general", [False, True])
def test_varied_cars_agree_with_the_single_car(
    varied: Car, singly: dict[str, Any], general: bool
) -> None:
    found = predict_many(varied, general=general)
    allowed = 1e-5 if general else 1e-3
    for name in FIGURES:
        assert np.max(deviation(getattr(found, name), singly[name])) < allowed, name
    if not general:
        assert np.quantile(deviation(found.road_speed, singly["road_speed"]), 0.95) < 5e-5


@pytest.mark.parametrize("general", [False, True])
def test_every_corner_agrees_with_the_single_car(general: bool) -> None:
    found = predict_many(stacked(list(CARS.values())), general=general)
    for place, (name, car) in enumerate(CARS.items()):
        expected = predict(car)
        for figure in FIGURES:
            value = getattr(found, figure)[place]
            assert np.isfinite(value), (name, figure)
            assert deviation(value, getattr(expected, figure)) < 1e-3, (name, figure)


def test_fast_and_general_path_agree_and_the_fast_one_carries_most() -> None:
    cars = varied_cars(3000, seed=21)
    fast, general = predict_many(cars), predict_many(cars, general=True)
    assert general.general_path.all()
    on_fast = ~fast.general_path
    assert on_fast.mean() > 0.9
    speeds = deviation(fast.road_speed, general.road_speed)
    assert np.quantile(speeds, 0.999) < 3e-4
    assert speeds.max() < 1e-3
    tops = deviation(fast.top_speed, general.top_speed)
    assert tops.max() < 3e-4
    # what left the fast path was computed by the very same code
    np.testing.assert_allclose(fast.road_speed[~on_fast], general.road_speed[~on_fast], rtol=1e-9)


def test_stiff_electrics_whose_knee_lies_just_below_the_top() -> None:
    """Current holds, then voltage falls off within 0.1 m/s: secants across the knee go astray."""
    rng = np.random.default_rng(5)
    cars = varied_cars(
        1200,
        seed=23,
        pack_resistance=np.exp(rng.uniform(-8.5, -5.8, 1200)),
        motor_resistance=np.exp(rng.uniform(-8.0, -5.5, 1200)),
    )
    fast, general = predict_many(cars), predict_many(cars, general=True)
    assert fast.general_path.mean() < 0.1
    assert np.max(deviation(fast.top_speed, general.top_speed)) < 2e-5
    assert np.max(deviation(fast.balance_speed, general.balance_speed)) < 3e-4
    assert np.max(deviation(fast.road_speed, general.road_speed)) < 1e-3


def test_a_root_once_found_is_kept_while_others_are_sought() -> None:
    """Rounding about a root must not spoil it: e^x = k for easy and hard k at once."""
    wanted = np.array([1.0, 1.5, 1e4, 1e12])

    def excess(x: Any) -> Any:
        return np.exp(x) - wanted

    low, high = np.full(4, -1.0), np.full(4, 60.0)
    found = bracketed_root(excess, low, high, excess(low), excess(high), 60)
    np.testing.assert_allclose(found, np.log(wanted), rtol=1e-12, atol=1e-12)


@pytest.mark.parametrize("name", WILD)
def test_the_general_path_follows_the_single_car_however_wild(name: str) -> None:
    car = WILD[name]
    found, expected = predict_many(stacked([car]), general=True), predict(car)
    for figure in ("top_speed", "balance_speed", "road_speed", "lift_at", "stop_distance"):
        assert deviation(getattr(found, figure)[0], getattr(expected, figure)) < 1e-6, figure
    used = found.lift_at + found.stop_distance
    assert used[0] == pytest.approx(car.road_length, rel=1e-9)


def test_a_root_at_a_jump_lies_at_the_jump() -> None:
    """The least value met is not the nearest: so the net force of stiff electrics falls off."""

    def fall(x: Any) -> Any:
        return np.where(x < 2.75, 1e-6 * (1.0 + x), -1.0)

    low, high = np.zeros(3), np.array([3.0, 20.0, 500.0])
    found = bracketed_root(fall, low, high, fall(low), fall(high), 60, close=1e-12)
    np.testing.assert_allclose(found, 2.75, rtol=1e-9)


@pytest.mark.parametrize("rows", [1, 2, 3, 7, 8, 9, 11, 16, 20])
def test_columns_are_sorted(rows: int) -> None:
    """Every column of zeros and ones: a network that sorts those sorts all (Knuth, 5.3.4)."""
    numbers = np.arange(min(2**rows, 4096)) * max(2**rows // 4096, 1)
    values = ((numbers[None, :] >> np.arange(rows)[:, None]) & 1).astype(float)
    expected = np.sort(values, axis=0)
    sort_columns(values)
    np.testing.assert_array_equal(values, expected)


def test_brake_and_tyres_that_change_places_stay_on_the_fast_path() -> None:
    """Downforce hands braking from the tyres to the brake: closed forms on either side."""
    cars = [
        make_car(grip=0.55, downforce_front=0.5, downforce_rear=0.9, head_wind=wind, cells_series=4,
                 brake_deceleration=6.2, driver_acceleration=5.0, road_length=road)
        for wind in (0.0, 2.0, -1.5) for road in (60.0, 200.0, 700.0)
    ]  # fmt: skip
    found = predict_many(stacked(cars))
    general = predict_many(stacked(cars), general=True)
    assert not found.general_path.any()
    weight = 1.9 * 9.80665
    for place, car in enumerate(cars):
        expected = predict(car)
        speed = expected.road_speed + car.head_wind
        pressed = weight + 0.5 * 1.2 * 0.02 * 1.4 * speed * speed
        # so the knee is on the way: tyres decide at rest, the brake where the driver lifts
        assert 0.55 * weight < 1.9 * 6.2
        if car.road_length > 100.0:
            assert 0.55 * pressed > 1.9 * 6.2
        assert deviation(found.stop_distance[place], expected.stop_distance) < 3e-4
        assert deviation(general.stop_distance[place], expected.stop_distance) < 1e-6


def test_cars_that_are_not_ordinary_leave_the_fast_path() -> None:
    strange = {
        "plain": make_car(),
        "uphill": make_car(slope=0.08),
        "downhill": make_car(slope=-0.08),
        "gale": make_car(head_wind=12.0),
        "following wind": make_car(head_wind=-6.0),
        "sagging": CARS["weak pack"],
        "cannot stop": CARS["cannot stop"],
        "huge growth": make_car(growth=0.6, growth_max=0.9, growth_speed=10.0),
    }
    flags = predict_many(stacked(list(strange.values()))).general_path
    assert dict(zip(strange, flags.tolist(), strict=True)) == {
        name: name != "plain" for name in strange
    }


def test_wind_slope_and_sag_beyond_the_fast_path_agree_with_the_single_car() -> None:
    cars = varied_cars(
        40,
        seed=22,
        slope=np.linspace(-0.18, 0.18, 40),
        head_wind=np.linspace(16.0, -12.0, 40),
        pack_resistance=np.linspace(0.01, 0.15, 40),
    )
    found = predict_many(cars)
    assert found.general_path.mean() > 0.6
    for place in range(40):
        expected = predict(one_of(cars, place))
        for name in FIGURES:
            value = getattr(found, name)[place]
            assert deviation(value, getattr(expected, name)) < 1e-3, (place, name)


def test_top_speeds_are_those_of_the_prediction(varied: Car, singly: dict[str, Any]) -> None:
    assert np.max(deviation(top_speeds(varied), singly["top_speed"])) < 1e-4
    assert np.max(deviation(top_speeds(varied, general=True), singly["top_speed"])) < 1e-9


def test_plain_numbers_and_arrays_mix() -> None:
    grip = np.array([0.5, 0.7, 0.9])
    mixed = make_car(grip=grip, driven=np.array([REAR, FRONT, ALL]), cells_series=4)
    spread_out = stacked([one_of(mixed, i) for i in range(3)])
    left, right = predict_many(mixed), predict_many(spread_out)
    for name in FIGURES:
        assert getattr(left, name).shape == (3,)
        np.testing.assert_allclose(getattr(left, name), getattr(right, name), rtol=2e-5)
    alone = predict_many(make_car())
    assert alone.road_speed.shape == (1,)
    assert alone.road_speed[0] == pytest.approx(predict(make_car()).road_speed, rel=1e-4)
    # an array of one car among arrays of three
    assert predict_many(replace(mixed, mass=np.array([1.9]))).road_speed == pytest.approx(
        left.road_speed, rel=2e-5
    )


def test_figures_of_different_length_are_refused_by_name() -> None:
    with pytest.raises(ValueError, match=r"grip: 3 cars expected as in mass, got 2"):
        predict_many(make_car(mass=np.ones(3), grip=np.ones(2)))
    with pytest.raises(ValueError, match=r"mass: .*shape \(2, 2\)"):
        predict_many(make_car(mass=np.ones((2, 2))))


def test_no_cars_give_empty_answers() -> None:
    none = make_car(mass=np.zeros(0), grip=np.zeros(0))
    found, traces = predict_many_with_traces(none, np.linspace(0.0, 10.0, 5))
    assert found.top_speed.shape == found.road_speed.shape == (0,)
    assert traces.shape == (0, 5)


def test_more_cars_than_fit_one_chunk_keep_their_order() -> None:
    gears = np.linspace(4.0, 8.0, 3001)
    many = predict_many(make_car(gear_ratio=gears))
    few = predict_many(make_car(gear_ratio=gears[::250]))
    np.testing.assert_allclose(many.road_speed[::250], few.road_speed, rtol=2e-5)
    assert np.ptp(many.road_speed) > 3.0


@pytest.mark.parametrize("general", [False, True])
@pytest.mark.parametrize(
    "name",
    [
        "all wheels, plain",
        "short road",
        "long road",
        "downforce both ends",
        "pack holds the current",
        "brakes at the tyres' edge",
        "downhill past the free speed",
    ],
)
def test_traces_follow_the_single_cars_road(name: str, general: bool) -> None:
    car = CARS[name]
    expected = predict(car).trace
    assert expected is not None
    # at the corner, where the driver lifts, the reference itself is drawn with chords
    distance = np.linspace(0.0, 1.1 * car.road_length, 127)
    _, found = predict_many_with_traces(car, distance, general=general)
    assert found.shape == (1, 127)
    drawn = np.interp(distance, expected.distance, expected.speed, right=0.0)
    assert np.max(np.abs(found[0] - drawn)) < 2e-3 * drawn.max()
    assert found[0, 0] == 0.0
    assert np.all(found[0, distance > expected.distance[-1] + 1e-3] == 0.0)


def test_traces_and_prediction_come_from_the_same_work(varied: Car) -> None:
    distance = np.linspace(0.0, 600.0, 301)
    prediction, traces = predict_many_with_traces(varied, distance)
    alone = predict_many(varied)
    np.testing.assert_array_equal(prediction.road_speed, alone.road_speed)
    # no trace is faster than its car's road speed, and most come close to it somewhere
    assert np.all(traces <= prediction.road_speed[:, None] * (1.0 + 1e-5))
    long = prediction.lift_at > 20.0
    assert np.all(traces[long].max(axis=1) > 0.9 * prediction.road_speed[long])


@pytest.mark.parametrize(
    "figure",
    [
        "mass",
        "no_load_current",
        "cg_height",
        "growth",
        "rolling",
        "pack_resistance",
        "capacity",
        "brake_deceleration",
        "driver_acceleration",
        "grip",
        "road_length",
        "growth_max",
        "drag_coefficient",
        "state_of_charge",
        "heat_capacity",
    ],
)
def test_extreme_figures_never_give_nan(figure: str) -> None:
    values = np.array([0.0, 1e-9, 1e-3, 1.0, 1e3, 1e6])
    if figure in {"mass", "drag_coefficient", "heat_capacity"}:
        values = np.maximum(values, 1e-9)
    if figure == "state_of_charge":
        values = np.array([0.0, 1e-9, 0.5, 1.0])
    found, traces = predict_many_with_traces(
        make_car(**{figure: values}), np.linspace(0.0, 100.0, 11)
    )
    for name in FIGURES:
        assert np.all(np.isfinite(getattr(found, name))), name
    assert np.all(np.isfinite(traces))


def test_folded_formulas_are_the_formulas(varied: Car) -> None:
    """The coefficients of the batch hold the same forces as the formulas written out."""
    state = electrics(varied, varied.state_of_charge, varied.motor_temperature)
    speed = np.linspace(0.0, 60.0, 13)[:, None] * np.ones(240)
    at = forces_at(varied, state, speed)
    electric, road = fold(varied).limits(speed)
    expected = (np.asarray(at.electric) - at.resistance) / at.effective_mass
    np.testing.assert_allclose(electric, expected, rtol=1e-10, atol=1e-10)
    allowed = np.minimum(np.asarray(at.grip), np.asarray(at.driver))
    np.testing.assert_allclose(
        road, (allowed - at.resistance) / at.effective_mass, rtol=1e-10, atol=1e-10
    )


def test_constant_pull_and_quadratic_drag_have_a_closed_form() -> None:
    """x = m/(2c) ln(v*²/(v*² - v²)) under a constant force: elementary integration, no source.

    Current held, no growth, no rolling, no losses, a brake that outdoes the drag.
    """
    car = make_car(
        current_limit=20.0, no_load_current=0.0, rolling=0.0, growth=0.0, wheel_inertia=0.0,
        rotor_inertia=0.0, grip=5.0, cg_height=0.001, driver_acceleration=90.0, cells_series=12,
        pack_resistance=0.001, drag_coefficient=np.array([0.3, 0.4, 0.5]), brake_deceleration=6.0,
        road_length=np.array([40.0, 80.0, 300.0]), capacity=1e9, heat_capacity=float("inf"),
    )  # fmt: skip
    found = predict_many(car)
    drag = 0.5 * 1.2 * 0.02 * np.array([0.3, 0.4, 0.5])
    force = 20.0 / car.kv * car.gear_ratio / (car.tyre_diameter / 2.0) * 0.9
    top_squared = force / drag
    speed = found.road_speed
    run_up = car.mass / (2.0 * drag) * np.log(top_squared / (top_squared - speed * speed))
    stop = car.mass / (2.0 * drag) * np.log1p(drag * speed * speed / (car.mass * 6.0))
    np.testing.assert_allclose(found.top_speed, np.sqrt(top_squared), rtol=1e-5)
    np.testing.assert_allclose(found.stop_distance, stop, rtol=1e-4)
    np.testing.assert_allclose(run_up + stop, car.road_length, rtol=1e-4)
    assert np.all(found.top_speed > 100.0 * KMH)
