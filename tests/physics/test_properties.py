"""What must hold for any car: monotony, balance, scaling, and no figure that is none."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict, fields, replace
from functools import cache
from math import atan, inf, isfinite
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, Phase, assume, example, given, settings
from hypothesis import strategies as st

from pennyspeed.physics import electrics, forces
from pennyspeed.physics.batch.runs import predict_many, predict_many_with_traces
from pennyspeed.physics.car import ALL, CURRENT, FRONT, NO_LIMIT, PACK, REAR, VOLTAGE, Car
from pennyspeed.physics.predict import books, predict
from pennyspeed.physics.results import BatchPrediction, PowerBooks, Prediction
from physics.cars import CARS, RPM_PER_VOLT, WILD, make_car, stacked

# A failing car is shown as it was drawn: to shrink thirty figures takes minutes.
SAME_EACH_TIME = settings(
    derandomize=True, deadline=None, database=None, max_examples=60,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)  # fmt: skip
FEW = settings(SAME_EACH_TIME, max_examples=25)


def figure(low: float, high: float) -> st.SearchStrategy[float]:
    """Numbers of a range, its ends included; a zero where the range begins with one."""
    inner = st.floats(low, high, allow_subnormal=False)
    # What is smaller than a billionth of the range stands for nothing that anybody weighs.
    return inner.map(lambda q: 0.0 if low <= 0 and abs(q) < 1e-9 * high else q)


def rating(low: float, high: float) -> st.SearchStrategy[float]:
    return st.just(NO_LIMIT) | figure(low, high)


SHARE = figure(0.0, 1.0)

ANY_CAR: dict[str, st.SearchStrategy[Any]] = {
    "mass": figure(0.05, 30.0), "wheelbase": figure(0.05, 1.5), "cg_height": figure(0.0, 0.4),
    "front_share": figure(0.01, 0.99), "driven": st.sampled_from([REAR, FRONT, ALL]),
    "gear_ratio": figure(0.5, 40.0), "drivetrain_efficiency": figure(0.05, 1.0),
    "kv": figure(100 * RPM_PER_VOLT, 12_000 * RPM_PER_VOLT),
    "motor_resistance": figure(1e-4, 1.0), "no_load_current": figure(0.0, 20.0),
    "no_load_voltage": figure(1.0, 50.0), "loss_speed_share": SHARE,
    "rotor_inertia": figure(0.0, 1e-3), "heat_capacity": st.just(inf) | figure(1.0, 1e4),
    "controller_resistance": figure(0.0, 0.1), "current_limit": rating(0.1, 1000.0),
    "cells_series": st.integers(1, 14), "pack_resistance": figure(0.0, 1.0),
    "capacity": figure(100.0, 1e5), "pack_current_limit": rating(0.1, 2000.0),
    "tyre_diameter": figure(0.02, 0.4), "growth": figure(0.0, 0.6),
    "growth_speed": figure(3.0, 100.0), "growth_max": figure(0.0, 0.6), "grip": figure(0.0, 4.0),
    "rolling": figure(0.0, 0.3), "wheel_inertia": figure(0.0, 0.05),
    "drag_coefficient": figure(0.02, 2.0), "frontal_area": figure(5e-4, 0.5),
    "downforce_front": figure(-1.5, 3.0), "downforce_rear": figure(-1.5, 3.0),
    "air_density": figure(0.5, 1.6), "head_wind": figure(-25.0, 25.0),
    "slope": figure(-60.0, 60.0).map(lambda percent: atan(percent / 100)),
    "state_of_charge": SHARE, "motor_temperature": figure(-20.0, 150.0),
    "road_length": figure(0.0, 3000.0), "brake_deceleration": figure(0.0, 20.0),
    "driver_acceleration": figure(0.0, 60.0),
}  # fmt: skip

PLAUSIBLE: dict[str, st.SearchStrategy[Any]] = {
    "mass": figure(1.2, 4.0), "cg_height": figure(0.015, 0.06), "front_share": figure(0.4, 0.6),
    "driven": st.sampled_from([REAR, FRONT, ALL]), "gear_ratio": figure(3.5, 9.0),
    "drivetrain_efficiency": figure(0.8, 0.97),
    "kv": figure(1800 * RPM_PER_VOLT, 4500 * RPM_PER_VOLT),
    "motor_resistance": figure(0.004, 0.03), "no_load_current": figure(0.5, 5.0),
    "loss_speed_share": SHARE, "rotor_inertia": figure(0.0, 1e-5),
    "current_limit": rating(25.0, 200.0), "cells_series": st.integers(2, 6),
    "pack_resistance": figure(0.004, 0.08), "pack_current_limit": rating(25.0, 250.0),
    "tyre_diameter": figure(0.055, 0.11), "growth": figure(0.0, 0.06),
    "growth_max": figure(0.02, 0.15), "grip": figure(0.5, 1.5), "rolling": figure(0.01, 0.04),
    "drag_coefficient": figure(0.2, 0.5), "frontal_area": figure(0.012, 0.03),
    "downforce_front": figure(0.0, 0.4), "downforce_rear": figure(0.0, 0.6),
    "head_wind": figure(-3.0, 6.0), "slope": figure(-3.0, 5.0).map(lambda p: atan(p / 100)),
    "state_of_charge": figure(0.3, 1.0), "motor_temperature": figure(0.0, 90.0),
    "road_length": figure(40.0, 800.0), "driver_acceleration": figure(2.0, 20.0),
}  # fmt: skip

any_car = st.builds(make_car, **ANY_CAR)
plausible = st.builds(make_car, **PLAUSIBLE)
level = st.builds(make_car, **(PLAUSIBLE | {"slope": st.just(0.0), "head_wind": figure(0.0, 6.0)}))


def at_rest_state(car: Car) -> electrics.Electrics:
    return electrics.electrics(car, car.state_of_charge, car.motor_temperature)


# --- every figure is one --------------------------------------------------------------------------


def assert_finite(value: Any, where: str) -> None:
    if value is None or isinstance(value, bool):
        return
    if isinstance(value, dict):
        for key, inner in value.items():
            assert_finite(inner, f"{where}.{key}")
    else:
        assert np.isfinite(value).all(), where


def assert_sensible(car: Car, got: Prediction) -> None:
    assert_finite(asdict(got), "prediction")
    assert got.top_speed >= 0
    assert got.road_speed <= got.balance_speed * (1 + 1e-6)
    assert 0 <= got.lift_at <= car.road_length * (1 + 1e-6)
    assert 0 <= got.held_state_of_charge <= car.state_of_charge
    assert got.held_motor_temperature >= car.motor_temperature
    assert (got.at_top is None) == (got.top_speed == 0)
    assert (got.curve is None) == (got.time_to_top is None)
    assert (got.peak_current is None) == (got.balance_speed == 0)
    if got.balance_speed > 0:
        # The road is used in full: up to the lift point, and the rest to stop.
        assert got.lift_at + got.stop_distance == pytest.approx(car.road_length, rel=1e-5)
    if got.curve is not None:
        assert len(got.curve.speed) >= 200
        for name in ("speed", "time", "distance"):
            assert (np.diff(getattr(got.curve, name)) >= 0).all(), name
        assert (got.curve.current >= 0).all()
        assert (got.curve.pack_current >= 0).all()


@SAME_EACH_TIME
@given(any_car)
def test_one_car_has_finite_figures(car: Car) -> None:
    assert_sensible(car, predict(car))


@FEW
@given(st.lists(any_car, min_size=1, max_size=12))
def test_many_cars_have_finite_figures(cars: list[Car]) -> None:
    many = stacked(cars)
    got = predict_many(many)
    for f in fields(got):
        value = getattr(got, f.name)
        assert value.shape == (len(cars),), f.name
        assert np.isfinite(value).all(), f.name
    assert (got.road_speed <= got.balance_speed * (1 + 1e-5)).all()
    _, traces = predict_many_with_traces(many, np.linspace(0.0, 200.0, 41))
    assert np.isfinite(traces).all()
    assert (traces >= 0).all()


@pytest.mark.parametrize("general", [False, True])
@SAME_EACH_TIME
@given(st.lists(any_car, min_size=8, max_size=16))
@example([*WILD.values(), CARS["no road"]])
def test_the_road_is_used_in_full_and_never_overrun(general: bool, cars: list[Car]) -> None:
    """However wild the car, and wherever its net force nearly vanishes on the way."""
    many = stacked(cars)
    got = predict_many(many, general=general)
    used = got.lift_at + got.stop_distance
    exact = 1e-9 if general else 2e-4
    over = got.lift_at - many.road_length
    assert (over <= exact * many.road_length + 1e-9).all()
    runs = got.balance_speed > 0
    missed = np.abs(used - many.road_length)
    assert (missed <= exact * many.road_length + 1e-9)[runs].all()
    # and the same speed as the one car's, whose integral is another one
    want = np.array([predict(car).road_speed for car in cars])
    np.testing.assert_allclose(got.road_speed, want, rtol=1e-3, atol=1e-6)


ZEROS = (
    "cg_height", "no_load_current", "loss_speed_share", "rotor_inertia", "controller_resistance",
    "pack_resistance", "growth", "growth_max", "grip", "rolling", "wheel_inertia",
    "state_of_charge", "road_length", "brake_deceleration", "driver_acceleration",
)  # fmt: skip


@pytest.mark.parametrize("name", ZEROS)
def test_a_figure_may_be_zero(name: str) -> None:
    car = make_car(**{name: 0.0})
    one = predict(car)
    assert_sensible(car, one)
    many = predict_many(stacked([car, make_car()]))
    assert many.road_speed[0] == pytest.approx(one.road_speed, rel=1e-3, abs=1e-6)


def test_all_that_may_be_zero_is() -> None:
    car = make_car(**dict.fromkeys(ZEROS, 0.0))
    assert predict(car).top_speed == 0
    spared = [name for name in ZEROS if name not in ("grip", "driver_acceleration", "road_length")]
    car = make_car(**dict.fromkeys(spared, 0.0))
    assert predict(car).top_speed > 0
    assert_sensible(car, predict(car))


# --- one car and many -----------------------------------------------------------------------------

BOTH = (
    "top_speed", "balance_speed", "road_speed", "lift_at", "stop_distance", "charge_used",
    "motor_rise", "held_state_of_charge", "held_motor_temperature",
)  # fmt: skip


@FEW
@given(st.lists(plausible, min_size=1, max_size=10))
def test_one_and_many_agree(cars: list[Car]) -> None:
    distance = np.linspace(0.0, 40.0, 21)
    many, traces = predict_many_with_traces(stacked(cars), distance)
    assert traces.shape == (len(cars), len(distance))
    for i, car in enumerate(cars):
        one = predict(car)
        for name in BOTH:
            want = getattr(one, name)
            near = pytest.approx(want, rel=1e-3, abs=1e-5)
            assert getattr(many, name)[i] == near, name
        if one.trace is not None:
            # x grows with v² at both ends of the road: there compare what grows evenly.
            want = np.interp(distance, one.trace.distance, one.trace.speed**2)
            np.testing.assert_allclose(traces[i] ** 2, want, rtol=0, atol=6e-3 * one.road_speed**2)


def drawn_cars(count: int, seed: int) -> Iterator[Car]:
    """Plausible cars, evenly spread over every range: more of them than a search would try."""
    rng = np.random.default_rng(seed)
    ranges = {
        "mass": (1.2, 4.0), "cg_height": (0.015, 0.06), "front_share": (0.4, 0.6),
        "gear_ratio": (3.5, 9.0), "drivetrain_efficiency": (0.8, 0.97),
        "kv": (1800 * RPM_PER_VOLT, 4500 * RPM_PER_VOLT), "motor_resistance": (0.004, 0.03),
        "no_load_current": (0.5, 5.0), "loss_speed_share": (0.0, 1.0),
        "rotor_inertia": (0.0, 1e-5), "current_limit": (25.0, 250.0),
        "pack_resistance": (0.004, 0.08), "pack_current_limit": (25.0, 300.0),
        "tyre_diameter": (0.055, 0.11), "growth": (0.0, 0.06), "growth_max": (0.02, 0.15),
        "grip": (0.5, 1.5), "rolling": (0.01, 0.04), "drag_coefficient": (0.2, 0.5),
        "frontal_area": (0.012, 0.03), "downforce_front": (0.0, 0.4),
        "downforce_rear": (0.0, 0.6), "head_wind": (-3.0, 4.0), "slope": (-0.03, 0.03),
        "state_of_charge": (0.3, 1.0), "motor_temperature": (0.0, 90.0),
        "road_length": (40.0, 800.0), "driver_acceleration": (2.0, 20.0),
    }  # fmt: skip
    for _ in range(count):
        drawn: dict[str, Any] = {name: float(rng.uniform(*ends)) for name, ends in ranges.items()}
        for name in ("current_limit", "pack_current_limit"):
            if rng.uniform() < 0.4:
                drawn[name] = NO_LIMIT
        yield make_car(**drawn, driven=int(rng.integers(3)), cells_series=int(rng.integers(2, 7)))


@pytest.mark.parametrize("name", BOTH)
def test_three_hundred_plausible_cars_agree_one_by_one(name: str) -> None:
    ones, many = three_hundred()
    far = {
        i: (float(got), want)
        for i, (got, want) in enumerate(
            zip(getattr(many, name), [getattr(one, name) for one in ones], strict=True)
        )
        if got != pytest.approx(want, rel=1e-3, abs=1e-5)
    }
    assert not far


@cache
def three_hundred() -> tuple[list[Prediction], BatchPrediction]:
    cars = list(drawn_cars(300, 11))
    return [predict(car) for car in cars], predict_many(stacked(cars))


def test_a_figure_that_does_not_vary_may_stay_a_number() -> None:
    masses = np.array([1.5, 2.0, 2.5])
    got = predict_many(make_car(mass=masses))
    for i, mass in enumerate(masses):
        assert got.road_speed[i] == pytest.approx(
            predict(make_car(mass=float(mass))).road_speed, rel=1e-3
        )


def test_a_car_does_not_depend_on_its_neighbours() -> None:
    cars = list(CARS.values())
    together = predict_many(stacked(cars))
    for i in range(0, len(cars), 5):
        alone = predict_many(stacked([cars[i]]))
        for name in BOTH:
            # a batch has as many panels as its cars have kinks among them
            near = 2e-4 if name in ("charge_used", "motor_rise") else 1e-4
            assert getattr(together, name)[i] == pytest.approx(
                float(getattr(alone, name)[0]), rel=near, abs=1e-6
            ), name


# --- monotony -------------------------------------------------------------------------------------


@SAME_EACH_TIME
@given(level, figure(1.01, 2.0), SHARE)
def test_mass_never_helps_where_electrics_limit(car: Car, heavier: float, share: float) -> None:
    speed = share * predict(car).top_speed
    loaded = replace(car, mass=car.mass * heavier)

    def acceleration(one: Car) -> tuple[float, int]:
        state = at_rest_state(one)
        at = forces.forces_at(one, state, speed)
        force = min(at.electric, at.grip, at.driver)
        return (force - at.resistance) / at.effective_mass, forces.limit_codes(one, state, at)

    light, limit = acceleration(car)
    assume(limit in (VOLTAGE, CURRENT, PACK))
    assert acceleration(loaded)[0] <= light + 1e-9


@SAME_EACH_TIME
@given(level, figure(0.3, 0.99))
def test_less_drag_never_lowers_top_speed(car: Car, share: float) -> None:
    slippery = replace(car, drag_coefficient=car.drag_coefficient * share)
    assert predict(slippery).top_speed >= predict(car).top_speed * (1 - 1e-9)


@SAME_EACH_TIME
@given(level, st.integers(1, 3), st.booleans())
def test_more_voltage_never_slows(car: Car, more: int, same_pack_resistance: bool) -> None:
    before = predict(car)
    assume(before.at_top is not None and before.at_top.limit == VOLTAGE)
    cells = car.cells_series + more
    resistance = car.pack_resistance * (1 if same_pack_resistance else cells / car.cells_series)
    higher = predict(replace(car, cells_series=cells, pack_resistance=resistance)).top_speed
    assert higher >= before.top_speed * (1 - 1e-9)


@FEW
@given(plausible, figure(1.05, 3.0))
def test_a_longer_road_never_stops_sooner(car: Car, longer: float) -> None:
    # Without heat, and with charge without end, both roads see the same car.
    car = replace(car, heat_capacity=inf, capacity=1e12)
    short, long = predict(car), predict(replace(car, road_length=car.road_length * longer))
    assert long.road_speed >= short.road_speed * (1 - 1e-6)
    assert long.lift_at >= short.lift_at * (1 - 1e-6)
    assert long.charge_used >= short.charge_used * (1 - 1e-6)


# --- the books ------------------------------------------------------------------------------------


def assert_balanced(books: PowerBooks) -> None:
    parts = {f.name: np.asarray(getattr(books, f.name)) for f in fields(PowerBooks)}
    given_out = parts.pop("source")
    largest = np.maximum.reduce([np.abs(p) for p in parts.values()] + [np.abs(given_out)])
    assert (np.abs(sum(parts.values()) - given_out) <= 1e-9 * np.maximum(largest, 1e-6)).all()


@SAME_EACH_TIME
@given(any_car)
@example(CARS["downhill past the free speed"])
@example(CARS["weak pack"])
@example(CARS["current below the losses' reach"])
def test_the_books_balance_at_the_top(car: Car) -> None:
    at_top = predict(car).at_top
    if at_top is None:
        return
    assert_balanced(at_top.books)
    b = at_top.books
    for name in ("pack", "controller", "winding", "no_load", "gears", "rolling", "source"):
        assert getattr(b, name) >= -1e-9 * max(b.source, 1.0), name
    assert b.source - b.pack == pytest.approx(at_top.power, rel=1e-9, abs=1e-9)
    moved = abs(b.rolling) + abs(b.drag) + abs(b.grade) + b.source
    assert abs(b.acceleration) <= 1e-5 * moved


@pytest.mark.parametrize("name", [name for name in CARS if not name.startswith("cannot move")])
def test_the_books_balance_along_the_run(name: str) -> None:
    got = predict(CARS[name])
    if got.curve is None:
        return
    held = got.held_state_of_charge, got.held_motor_temperature
    along = books(CARS[name], got.curve.speed, *held)
    assert_balanced(along)
    # The books speak of this run: what moves the car is its force, what heats is its current.
    curve = got.curve
    resisted = along.rolling + along.drag + along.grade
    scale = np.abs(curve.force * curve.speed).max()
    np.testing.assert_allclose(resisted, curve.resistance * curve.speed, atol=1e-9 * scale)
    np.testing.assert_allclose(
        resisted + along.acceleration, curve.force * curve.speed, atol=1e-9 * scale
    )
    assert (along.pack >= 0).all()
    assert (along.winding >= 0).all()
    ohms = electrics.winding_resistance(CARS[name], held[1])
    np.testing.assert_allclose(along.winding, ohms * curve.current**2, rtol=1e-9, atol=1e-9)
    np.testing.assert_allclose(
        along.pack, CARS[name].pack_resistance * curve.pack_current**2, rtol=1e-9, atol=1e-9
    )


# --- scaling --------------------------------------------------------------------------------------


def dimensions(mass: float, time: float, current: float) -> dict[str, float]:
    """Factors of every figure in a world of other units.

    Gravity stays what it is, so lengths go with the square of times. Temperatures stay.
    """
    length = time * time
    speed, power = length / time, mass * length**2 / time**3
    volt = power / current
    return {
        "mass": mass, "wheelbase": length, "cg_height": length, "kv": 1 / time / volt,
        "motor_resistance": volt / current, "no_load_current": current, "no_load_voltage": volt,
        "rotor_inertia": mass * length**2, "heat_capacity": power * time,
        "controller_resistance": volt / current, "current_limit": current, "cells_series": volt,
        "pack_resistance": volt / current, "capacity": current * time,
        "pack_current_limit": current, "tyre_diameter": length, "growth_speed": speed,
        "wheel_inertia": mass * length**2, "frontal_area": length**2,
        "air_density": mass / length**3, "head_wind": speed, "road_length": length,
    }  # fmt: skip


@FEW
@given(plausible, figure(0.6, 1.8), figure(0.7, 1.4), figure(0.6, 1.8))
def test_units_do_not_matter(car: Car, mass: float, time: float, current: float) -> None:
    scales = dimensions(mass, time, current)
    scaled = replace(car, **{name: getattr(car, name) * s for name, s in scales.items()})
    speed, length = time, time * time
    here, there = predict(car), predict(scaled)
    results = {
        "standstill_current": current, "top_speed": speed, "balance_speed": speed,
        "road_speed": speed, "lift_at": length, "stop_distance": length, "time_to_top": time,
        "peak_current": current, "charge_used": current * time, "motor_rise": 1.0,
        "lowest_cell_voltage": 1.0, "asked_motor_current": current, "asked_pack_current": current,
        "held_state_of_charge": 1.0, "least_deceleration": 1.0,
    }  # fmt: skip
    for name, factor in results.items():
        want, got = getattr(here, name), getattr(there, name)
        assert (want is None) == (got is None), name
        if want is not None:
            assert got == pytest.approx(want * factor, rel=2e-4, abs=1e-9), name


@FEW
@given(plausible, figure(0.4, 2.5))
def test_a_motor_that_turns_faster_through_a_shorter_gear_is_the_same(
    car: Car, factor: float
) -> None:
    other = replace(
        car,
        kv=car.kv * factor,
        gear_ratio=car.gear_ratio * factor,
        rotor_inertia=car.rotor_inertia / factor**2,
    )
    here, there = predict(car), predict(other)
    for name in ("top_speed", "road_speed", "lift_at", "charge_used", "motor_rise"):
        assert getattr(there, name) == pytest.approx(getattr(here, name), rel=1e-6), name
    if here.at_top is not None and there.at_top is not None:
        assert there.at_top.current == pytest.approx(here.at_top.current, rel=1e-6)
        assert there.at_top.motor_speed == pytest.approx(factor * here.at_top.motor_speed, rel=1e-6)


@FEW
@given(plausible)
def test_wind_and_grip_are_where_they_belong(car: Car) -> None:
    # All wheels driven: where the weight rests does not matter unless the front leaves the ground.
    car = replace(car, driven=ALL, cg_height=0.0, driver_acceleration=1e3)
    moved = replace(car, front_share=0.3)
    assert predict(moved).road_speed == pytest.approx(predict(car).road_speed, rel=1e-9)
    assert isfinite(predict(car).top_speed)
