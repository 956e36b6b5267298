"""One car's answer: closed forms first, then corners, books and the trace.

An integration in time of many cars is in `test_reference.py`; what stands here can be worked out on
paper. Where the electrics are to give a constant force, the pack is as tall as no pack is, so that
voltage never limits.
"""

from __future__ import annotations

from dataclasses import asdict, replace
from itertools import pairwise
from math import atan, atanh, cos, cosh, inf, log, pi, sin, sqrt, tanh
from typing import Any

import numpy as np
import pytest
from scipy.integrate import quad

from pennyspeed.physics import electrics, forces, road
from pennyspeed.physics.braking import Braking, deceleration
from pennyspeed.physics.car import (
    CURRENT,
    DRIVER,
    GRIP,
    NO_LIMIT,
    REAR,
    REST_MARGIN,
    VOLTAGE,
    Car,
)
from pennyspeed.physics.constants import GRAVITY
from pennyspeed.physics.predict import books, predict
from pennyspeed.physics.results import PowerBooks, Prediction
from pennyspeed.physics.roots import bracketed_zero
from pennyspeed.physics.single.kinks import electric_kinks, road_kinks, speeds_of_emf
from physics.cars import CARS, FREE_DRIVER, RPM_PER_VOLT, make_car

CLOSE = 1e-6

BARE: dict[str, Any] = {
    "no_load_current": 0.0, "drivetrain_efficiency": 1.0, "rotor_inertia": 0.0,
    "wheel_inertia": 0.0, "growth": 0.0, "rolling": 0.0, "pack_resistance": 0.0,
    "driver_acceleration": 1e6, "grip": 1e6, "cg_height": 0.0, "heat_capacity": 1000.0,
}  # fmt: skip
"""Nothing but a motor and drag."""


def constant_force(force: float, **changes: Any) -> Car:
    """A car that its current limit pushes with a constant force."""
    car = make_car(**(BARE | {"cells_series": 400, "capacity": 1e9} | changes))
    lever = car.gear_ratio / (0.5 * car.tyre_diameter) / car.kv
    return replace(car, current_limit=force / lever)


# --- closed forms ---------------------------------------------------------------------------------


def test_terminal_speed_under_constant_force() -> None:
    # v = v_T tanh(t/τ), x = v_T τ ln cosh(t/τ), v_T = √(F/k), τ = m v_T/F: mechanics textbooks;
    # 20 N, 2.5 kg, ρ 1.225, C_d·A 0.008: 3 s -> 22.931324 m/s, 35.183838 m (as scipy has it)
    car = constant_force(20.0, mass=2.5, air_density=1.225, drag_coefficient=0.4, frontal_area=0.02)
    got = predict(car)
    limit_speed = sqrt(20.0 / (0.5 * 1.225 * 0.008))
    scale = 2.5 * limit_speed / 20.0
    assert limit_speed * tanh(3 / scale) == pytest.approx(22.931324, abs=1e-6)
    assert got.top_speed == pytest.approx(limit_speed, rel=CLOSE)
    assert got.time_to_top == pytest.approx(scale * atanh(0.99), rel=CLOSE)
    assert got.curve is not None
    time = got.curve.time
    np.testing.assert_allclose(got.curve.speed, limit_speed * np.tanh(time / scale), rtol=CLOSE)
    way = limit_speed * scale * np.log(np.cosh(time / scale))
    np.testing.assert_allclose(got.curve.distance, way, rtol=CLOSE, atol=CLOSE * 10)
    assert limit_speed * scale * log(cosh(3 / scale)) == pytest.approx(35.183838, abs=1e-6)


def test_charge_and_heat_under_constant_current() -> None:
    # Heat I² R_m t/C. Energy from a pack without resistance: U Q = I (k_e x + (R_m + R_c) I t),
    # back-EMF being k_e v.
    car = constant_force(20.0, road_length=300.0, motor_resistance=0.05, brake_deceleration=9.0)
    got = predict(car)
    drag = 0.5 * car.air_density * car.drag_coefficient * car.frontal_area
    limit_speed = sqrt(20.0 / drag)
    time = car.mass * limit_speed / 20.0 * atanh(got.road_speed / limit_speed)
    way = -car.mass / (2 * drag) * log(1 - (got.road_speed / limit_speed) ** 2)
    assert got.lift_at == pytest.approx(way, rel=CLOSE)
    current = car.current_limit
    warm = 0.05 * (1 + 0.00393 * (got.held_motor_temperature - 20))
    assert got.motor_rise == pytest.approx(current**2 * warm * time / 1000.0, rel=CLOSE)
    induced = car.gear_ratio / (0.5 * car.tyre_diameter) / car.kv
    volts = 400 * 4.2
    energy = current * (induced * way + (warm + car.controller_resistance) * current * time)
    # the second pass holds a state of charge a little below 1
    assert volts * got.charge_used == pytest.approx(energy, rel=1e-5)
    assert got.peak_current == pytest.approx(current, rel=1e-12)


@pytest.mark.parametrize("resistance", [0.004, 0.03, 0.3])
def test_motor_with_linear_torque_and_quadratic_drag(resistance: float) -> None:
    # m v' = a - b v - k v²: a Riccati equation. With the roots v_1 > 0 and -v_2 of the right side
    # t = m/(k (v_1+v_2)) ln((1 + v/v_2)/(1 - v/v_1)), by partial fractions.
    car = make_car(**(BARE | {"motor_resistance": resistance, "heat_capacity": inf,
                              "capacity": 1e12}))  # fmt: skip
    got = predict(car)
    lever = car.gear_ratio / (0.5 * car.tyre_diameter) / car.kv
    whole = resistance + car.controller_resistance
    stall, slope = 12.6 / whole * lever, lever**2 / whole
    drag = 0.5 * car.air_density * car.drag_coefficient * car.frontal_area
    root = sqrt(slope**2 + 4 * stall * drag)
    fast, other = 2 * stall / (slope + root), (slope + root) / (2 * drag)
    assert got.top_speed == pytest.approx(fast, rel=1e-9)
    assert got.curve is not None
    v = got.curve.speed
    scale = car.mass / (drag * (fast + other))
    time = scale * (np.log1p(v / other) - np.log1p(-v / fast))
    way = scale * (-fast * np.log1p(-v / fast) - other * np.log1p(v / other))
    np.testing.assert_allclose(got.curve.time, time, rtol=CLOSE, atol=1e-12)
    np.testing.assert_allclose(got.curve.distance, way, rtol=CLOSE, atol=CLOSE * way[-1])
    assert got.at_top is not None
    assert got.at_top.limit == VOLTAGE


def test_coast_down() -> None:
    # x = m/(2C) ln((A + C v_1²)/(A + C v_2²)), A = C_rr m g, C = ρ C_d A/2 (as in SAE J1263):
    # 2.5 kg, 0.02, 1.2, 0.01, from 30 to 10 m/s -> 351.422865 m
    car = make_car(
        mass=2.5, rolling=0.02, air_density=1.2, drag_coefficient=0.5, frontal_area=0.02,
        brake_deceleration=0.0,
    )  # fmt: skip
    stop = Braking(car)
    assert stop.distance(30.0) - stop.distance(10.0) == pytest.approx(351.422865, rel=1e-8)


def test_even_acceleration_and_even_braking() -> None:
    # Without drag to speak of: x = v²/(2 a) up, v²/(2 b) down, v = √(2 X a b/(a + b)).
    car = make_car(**(BARE | {"air_density": 1e-9, "driver_acceleration": 2.0,
                              "brake_deceleration": 6.0, "road_length": 50.0}))  # fmt: skip
    got = predict(car)
    assert got.road_speed == pytest.approx(sqrt(2 * 50.0 * 2.0 * 6.0 / 8.0), rel=CLOSE)
    assert got.lift_at == pytest.approx(50.0 * 6 / 8, rel=CLOSE)
    assert got.stop_distance == pytest.approx(50.0 * 2 / 8, rel=CLOSE)
    assert got.least_deceleration == pytest.approx(6.0, rel=CLOSE)


def test_where_the_current_still_rises_the_peak_is_that_of_the_lift_point() -> None:
    # Even acceleration against drag: I = I_0(E) + (m a + k v²)/(k_t G/r), which grows with v.
    car = make_car(**(BARE | {"driver_acceleration": 2.0, "road_length": 50.0,
                              "no_load_current": 3.0}))  # fmt: skip
    got = predict(car)
    lever = car.gear_ratio / (0.5 * car.tyre_diameter) / car.kv
    drag = 0.5 * car.air_density * car.drag_coefficient * car.frontal_area
    v = got.road_speed
    no_load = 3.0 * (0.5 + 0.5 * lever * v / 8.4)
    current = no_load + (car.mass * 2.0 + drag * v**2) / lever
    assert got.peak_current == pytest.approx(current, rel=1e-9)


def test_no_load_speed() -> None:
    # Without any load the motor turns at Kv·U: 3000 rpm/V, three cells of 4.2 V.
    car = make_car(**(BARE | {"air_density": 1e-12, "kv": 3000 * RPM_PER_VOLT}))
    wheel_turns = 3000 * 12.6 / 60 / car.gear_ratio
    assert predict(car).top_speed == pytest.approx(wheel_turns * pi * car.tyre_diameter, rel=CLOSE)


# --- braking --------------------------------------------------------------------------------------

BRAKING = {
    "calm": make_car(),
    "head wind": make_car(head_wind=8.0),
    "tail wind": make_car(head_wind=-12.0),
    "downhill, floor": make_car(slope=-0.09, brake_deceleration=0.5, rolling=0.01),
    "tail wind, downhill, floor": make_car(
        slope=-0.03, head_wind=-9.0, brake_deceleration=0.1, rolling=0.01
    ),
    "tyres, then brake": make_car(
        brake_deceleration=9.0, grip=0.7, downforce_front=0.8, downforce_rear=0.8
    ),
    "lift takes the grip": make_car(
        downforce_front=-1.0, downforce_rear=-1.0, head_wind=3.0, brake_deceleration=5.0
    ),
    "no grip": make_car(grip=0.0),
}


@pytest.mark.parametrize("name", BRAKING)
@pytest.mark.parametrize("speed", [0.7, 9.0, 33.0, 62.0])
def test_stopping_distance_is_the_integral(name: str, speed: float) -> None:
    car = BRAKING[name]
    want = sum(
        quad(lambda v: v / max(deceleration(car, v), REST_MARGIN), low, high, epsabs=1e-12)[0]
        for low, high in pairwise(np.linspace(0, speed, 40).tolist())
    )
    stop = Braking(car)
    assert stop.distance(speed) == pytest.approx(want, rel=1e-6)
    speeds = np.array([0.0, 0.5 * speed, speed])
    alone = [stop.distance(one) for one in speeds.tolist()]
    np.testing.assert_allclose(stop.distances(speeds), alone, rtol=1e-12)
    least = min(deceleration(car, v) for v in np.linspace(0, speed, 2001).tolist())
    assert stop.least_deceleration(speed) <= least
    assert stop.least_deceleration(speed) == pytest.approx(least, abs=2e-3)


def test_a_car_that_cannot_be_stopped_says_so() -> None:
    got = predict(make_car(slope=-0.1, brake_deceleration=0.2, rolling=0.0))
    assert got.least_deceleration is not None
    assert got.least_deceleration < REST_MARGIN
    assert got.stop_distance > 0


# --- kinks ----------------------------------------------------------------------------------------


def limit_changes(car: Car) -> list[float]:
    """Speeds at which another limit wins, by looking closely."""
    state = electrics.electrics(car, car.state_of_charge, car.motor_temperature)
    speeds = np.linspace(0.0, predict(car).top_speed, 40_001)
    codes = forces.limit_codes(car, state, forces.forces_at(car, state, speeds))
    return [float(speeds[k]) for k in np.flatnonzero(np.diff(np.asarray(codes)))]


@pytest.mark.parametrize("name", CARS)
def test_a_grid_point_lies_on_every_change_of_limit(name: str) -> None:
    car = replace(CARS[name], capacity=1e12, heat_capacity=inf)  # both passes are the same
    got = predict(car)
    for change in limit_changes(car) if got.curve is not None else []:
        if change < 0.989 * got.top_speed:
            nearest = np.abs(got.curve.speed - change).min()
            assert nearest <= 1.01 * got.top_speed / 40_000


def test_back_emf_has_its_speeds() -> None:
    # Tyres that grow past twice their size turn the back-EMF round; the cap turns it up again.
    car = make_car(growth=0.5, growth_speed=10.0, growth_max=3.0)
    state = electrics.electrics(car, 1.0, 20.0)
    highest = forces.forces_at(car, state, 10.0 / sqrt(0.5)).emf
    for share, count in ((0.5, 1), (0.93, 3), (1.2, 1)):
        speeds = speeds_of_emf(car, share * highest)
        assert len(speeds) == count
        for speed in speeds:
            assert forces.forces_at(car, state, speed).emf == pytest.approx(share * highest)


def test_kinks_of_the_road_lie_where_forces_meet() -> None:
    car = make_car(driven=REAR, grip=0.55, downforce_rear=0.9, driver_acceleration=3.5)
    state = electrics.electrics(car, 1.0, 20.0)
    here = [forces.forces_at(car, state, speed) for speed in road_kinks(car)]
    assert any(one.grip == pytest.approx(one.driver, rel=1e-9) for one in here)


def test_kinks_of_a_weak_pack() -> None:
    car = CARS["weak pack, pack bound"]
    state = electrics.electrics(car, 1.0, 20.0)
    codes = {
        int(forces.limit_codes(car, state, forces.forces_at(car, state, speed + step)))
        for speed in electric_kinks(car, state) if speed > 0.01
        for step in (-0.01, 0.01)
    }  # fmt: skip
    assert len(codes) > 1


# --- corners --------------------------------------------------------------------------------------


def assert_cannot_run(got: Prediction) -> None:
    assert (got.balance_speed, got.road_speed, got.lift_at, got.stop_distance) == (0, 0, 0, 0)
    assert (got.charge_used, got.motor_rise) == (0, 0)
    for key in ("time_to_top", "peak_current", "curve", "trace", "least_deceleration",
                "lowest_cell_voltage", "asked_motor_current", "asked_pack_current"):  # fmt: skip
        assert getattr(got, key) is None, key


@pytest.mark.parametrize(
    "changes",
    [
        {"slope": atan(0.9)},
        {"current_limit": 0.5},
        {"grip": 0.0},
        {"driver_acceleration": 0.0},
        {"head_wind": 150.0},
    ],
)
def test_cannot_move(changes: dict[str, Any]) -> None:
    car = make_car(**changes)
    got = predict(car)
    assert_cannot_run(got)
    assert (got.top_speed, got.at_top, got.first_pass_charge) == (0, None, 0)
    assert got.standstill_current == pytest.approx(12.6 / (0.0115 + 0.009))
    assert got.held_state_of_charge == 1.0
    assert got.held_motor_temperature == 20.0


def test_what_does_not_move_keeps_its_charge_to_the_last_digit() -> None:
    # Found by the properties: to multiply by a capacity and divide by it again may round upwards.
    for capacity in np.linspace(1000.0, 80_000.0, 97).tolist():
        car = make_car(rolling=2.0, state_of_charge=0.9779464588236202, capacity=capacity)
        assert predict(car).held_state_of_charge == car.state_of_charge


def test_only_the_second_pass_cannot_move() -> None:
    got = predict(CARS["moves once, not twice"])
    assert_cannot_run(got)
    assert got.top_speed > 0
    assert got.at_top is not None
    assert got.first_pass_charge > 0
    assert got.held_state_of_charge < 1


def test_no_road() -> None:
    got = predict(make_car(road_length=0.0))
    assert (got.road_speed, got.lift_at, got.stop_distance, got.charge_used) == (0, 0, 0, 0)
    assert got.top_speed > 0
    assert got.time_to_top is not None
    assert got.curve is not None
    assert got.peak_current == got.curve.current[0]


def test_a_long_road_is_cruised_to_its_lift_point() -> None:
    near, far = (predict(make_car(road_length=x, capacity=1e9, heat_capacity=inf))
                 for x in (2000.0, 5000.0))  # fmt: skip
    assert far.road_speed == pytest.approx(far.balance_speed, rel=1e-6)
    assert far.lift_at + far.stop_distance == pytest.approx(5000.0, rel=1e-6)
    assert far.at_top is not None
    cruise = 3000.0 / far.balance_speed * far.at_top.pack_current
    assert far.charge_used - near.charge_used == pytest.approx(cruise, rel=1e-6)


def test_down_a_slope_past_the_free_speed() -> None:
    # Without rolling and motor losses a freewheeling car ends where drag holds its weight.
    car = make_car(slope=-0.3, rolling=0.0, no_load_current=0.0, driver_acceleration=FREE_DRIVER,
                   kv=500 * RPM_PER_VOLT)  # fmt: skip
    drag = 0.5 * car.air_density * car.drag_coefficient * car.frontal_area
    assert predict(car).top_speed == pytest.approx(
        sqrt(float(road.grade_force(car)) / -drag), rel=CLOSE
    )
    got = predict(car)
    assert got.at_top is not None
    assert got.at_top.current == 0.0


def test_wind_from_behind_faster_than_the_car() -> None:
    car = make_car(head_wind=-40.0, kv=900 * RPM_PER_VOLT, no_load_current=0.0, rolling=0.0)
    free = 12.6 * car.kv / car.gear_ratio * 0.5 * car.tyre_diameter
    got = predict(car)
    assert free < got.top_speed == pytest.approx(40.0, rel=CLOSE)


def test_the_first_zero_counts() -> None:
    # A motor that drags hard holds the car on the slope; past that, only drag would.
    base: dict[str, Any] = {"slope": -0.12, "rolling": 0.0, "kv": 900 * RPM_PER_VOLT,
                            "driver_acceleration": FREE_DRIVER}  # fmt: skip
    held = predict(make_car(no_load_current=12.0, loss_speed_share=0.0, **base))
    free = predict(make_car(no_load_current=0.0, **base))
    state = electrics.electrics(make_car(**base), 1.0, 20.0)
    freewheel = speeds_of_emf(make_car(**base), float(state.voltage))[0]
    assert held.top_speed <= freewheel * 1.001 < free.top_speed


def test_runs_flat() -> None:
    got = predict(make_car(capacity=60.0, road_length=600.0))
    assert got.pack_runs_flat
    assert got.first_pass_charge > 60.0
    assert got.held_state_of_charge == 0.0
    assert got.road_speed < predict(make_car(road_length=600.0)).road_speed


def test_motor_of_unknown_heat_stays_as_it_was() -> None:
    got = predict(make_car(heat_capacity=inf, motor_temperature=35.0))
    assert got.motor_rise == 0.0
    assert got.held_motor_temperature == 35.0


def test_grip_that_ends_the_speed() -> None:
    # Rear drive that only just beats its resistances: F_x = μ N at top speed.
    car = make_car(driven=REAR, grip=0.06, rolling=0.01, driver_acceleration=FREE_DRIVER,
                   downforce_rear=-0.05)  # fmt: skip
    got = predict(car)
    assert got.at_top is not None
    assert got.at_top.limit == GRIP
    weight, air = road.weight_on_road(car), road.air_forces(car, got.top_speed)
    rolling = road.rolling_force(car, weight, air.front + air.rear)
    front = road.front_axle_load(car, weight, air, rolling, air.drag + rolling)
    rear = weight + air.front + air.rear - front
    assert air.drag + rolling == pytest.approx(0.06 * rear, rel=1e-9)


@pytest.mark.parametrize("changes", [{"cg_height": 0.0}, {"slope": -0.3}, {"head_wind": -30.0}])
def test_a_car_without_length_has_finite_figures(changes: dict[str, Any]) -> None:
    got = predict(make_car(wheelbase=0.0, **changes))
    assert np.isfinite([got.top_speed, got.road_speed, got.stop_distance]).all()
    assert got.at_top is None or np.isfinite(got.at_top.front_load_share)


def test_front_load_at_top() -> None:
    # Only drag unloads the front at a steady speed: rolling acts at the ground, (F_x - F_r) h/L_w.
    car = make_car(cg_height=0.04)
    got = predict(car)
    assert got.at_top is not None
    drag = road.air_forces(car, got.top_speed).drag
    rest = 0.5 * car.mass * GRAVITY
    assert got.at_top.front_load_share == pytest.approx(1 - drag * 0.04 / 0.258 / rest)


def test_a_zero_that_is_soon_past_counts_too() -> None:
    # A growing tyre gears the car up and loses push, F_0/(1 + b v²); a body that lifts takes
    # weight off the wheels, R_0 - c v². They are equal at two speeds that lie close together, by a
    # quadratic in v², and the motor has turns left far beyond them.
    car = make_car(**(BARE | {
        "current_limit": 12.0, "cells_series": 12, "pack_resistance": 0.01, "slope": 0.1094,
        "growth": 0.6, "growth_speed": 40.0, "growth_max": 3.0, "rolling": 0.25,
        "drag_coefficient": 0.05, "downforce_front": -0.45, "downforce_rear": -0.45,
    }))  # fmt: skip
    push = 12.0 * car.gear_ratio / (0.5 * car.tyre_diameter) / car.kv
    grown = 0.6 / 40.0**2
    weight = car.mass * GRAVITY
    held = weight * sin(car.slope) + 0.25 * weight * cos(car.slope)
    freed = 0.5 * car.air_density * car.frontal_area * (0.25 * 0.9 - 0.05)
    squares = np.roots([-freed * grown, held * grown - freed, held - push])
    first, second = np.sqrt(np.sort(squares))
    assert second - first < 0.15 * first
    assert predict(car).top_speed == pytest.approx(first, rel=1e-6)


def test_asked_currents_look_past_the_limits() -> None:
    free = predict(make_car(capacity=1e9, heat_capacity=inf))
    held = predict(make_car(capacity=1e9, heat_capacity=inf, current_limit=20.0))
    assert held.peak_current == pytest.approx(20.0)
    assert held.asked_motor_current == pytest.approx(free.peak_current, rel=1e-3)
    assert free.asked_motor_current == free.peak_current


def test_a_weak_pack_jumps_at_full_throttle() -> None:
    # 12.6 V over 0.12 ohm gives most power at 52.5 A. Held at 75 A the motor is fed from less than
    # that; once the switch stays closed the pack carries the motor's own current.
    car = make_car(pack_resistance=0.12, current_limit=75.0, driver_acceleration=FREE_DRIVER,
                   grip=5.0, cg_height=0.0, capacity=1e9, heat_capacity=inf)  # fmt: skip
    got = predict(car)
    assert got.curve is not None
    held, full = got.curve.limit == CURRENT, got.curve.limit == VOLTAGE
    assert got.curve.current[held].max() == pytest.approx(75.0)
    assert got.curve.pack_current[held][:-1].max() < 52.5
    assert got.curve.pack_current[full].max() == pytest.approx(75.0, rel=1e-2)
    assert got.lowest_cell_voltage == pytest.approx((12.6 - 0.12 * 75.0) / 3, rel=1e-6)


@pytest.mark.parametrize("speeds", [64, 200, 512, 1500])
def test_speeds_hardly_matter(speeds: int) -> None:
    car = CARS["motor first, then pack, then voltage"]
    fine, got = predict(car, 4000), predict(car, speeds)
    for key in ("road_speed", "lift_at", "charge_used", "motor_rise", "time_to_top"):
        assert getattr(got, key) == pytest.approx(getattr(fine, key), rel=1e-4), key


def test_barely_moving_at_rest() -> None:
    # A net force that nearly vanishes at rest and grows with the downforce: the run takes longer
    # than any fixed grid shows. m v' = a + c v² has an arc tangent as its answer.
    car = make_car(**(BARE | {"driven": REAR, "grip": 0.5, "downforce_rear": 1.2, "cg_height": 0.0,
                              "slope": atan(0.2499), "cells_series": 400}))  # fmt: skip
    got = predict(car)
    assert got.curve is not None
    weight, grade = float(road.weight_on_road(car)), float(road.grade_force(car))
    pressure = 0.5 * car.air_density * car.frontal_area
    rest = (0.5 * 0.5 * weight - grade) / car.mass
    bend = pressure * (0.5 * 1.2 - car.drag_coefficient) / car.mass
    assert 0 < rest < 1e-3
    inside = (got.curve.limit == GRIP) & (got.curve.speed > 0)
    v = got.curve.speed[inside]
    time = np.arctan(v * sqrt(bend / rest)) / sqrt(rest * bend)
    np.testing.assert_allclose(got.curve.time[inside], time, rtol=3e-5)


# --- books, curve, trace --------------------------------------------------------------------------


def assert_balanced(got: PowerBooks) -> None:
    figures = asdict(got)
    source = figures.pop("source")
    largest = np.max(np.abs(list(np.broadcast_arrays(source, *figures.values()))), axis=0)
    assert np.all(np.abs(source - sum(figures.values())) <= 1e-9 * np.maximum(largest, 1e-9))


@pytest.mark.parametrize("name", CARS)
def test_books_balance(name: str) -> None:
    car = CARS[name]
    got = predict(car)
    assert_balanced(books(car, 5.0))
    if got.at_top is not None:
        assert_balanced(got.at_top.books)
        scale = abs(got.at_top.books.source) + abs(got.at_top.books.drag)
        assert abs(got.at_top.books.acceleration) <= 1e-9 * scale
    if got.curve is not None:
        along = books(car, got.curve.speed, got.held_state_of_charge, got.held_motor_temperature)
        assert_balanced(along)
        for key in ("pack", "controller", "winding", "no_load", "rolling"):
            assert (np.asarray(getattr(along, key)) >= 0).all(), key
        assert (np.asarray(along.gears) >= -1e-9).all()


def test_books_follow_the_energy_of_the_run() -> None:
    # What accelerates is the kinetic energy of everything that moves and turns.
    car = make_car(growth=0.0, capacity=1e9, heat_capacity=inf)
    got = predict(car)
    assert got.curve is not None
    along = books(car, got.curve.speed)
    moving = forces.forces_at(car, electrics.electrics(car, 1.0, 20.0), 1.0).effective_mass
    energy = np.trapezoid(along.acceleration, got.curve.time)
    assert energy == pytest.approx(0.5 * moving * got.curve.speed[-1] ** 2, rel=1e-4)
    drag = np.trapezoid(along.drag, got.curve.time)
    assert drag == pytest.approx(
        np.trapezoid(np.asarray(along.drag) / np.maximum(got.curve.speed, 1e-12),
                     got.curve.distance), rel=1e-3)  # fmt: skip


RUNNING = [
    name for name in CARS if not name.startswith("cannot move") and name != "moves once, not twice"
]


@pytest.mark.parametrize("name", RUNNING)
def test_curve_and_trace(name: str) -> None:
    got = predict(CARS[name])
    assert got.curve is not None
    assert got.trace is not None
    curve, trace = got.curve, got.trace
    assert len(curve.speed) >= 200
    assert curve.speed[0] == curve.time[0] == curve.distance[0] == 0
    assert curve.speed[-1] == pytest.approx(0.99 * got.balance_speed, rel=1e-9)
    assert curve.time[-1] == got.time_to_top
    assert (np.diff(curve.speed) > 0).all()
    assert (np.diff(curve.time) > 0).all()
    assert all(np.isfinite(value).all() for value in asdict(curve).values())

    assert trace.distance[0] == trace.speed[0] == trace.speed[-1] == 0
    assert (np.diff(trace.distance) >= 0).all()
    assert trace.distance[-1] == pytest.approx(got.lift_at + got.stop_distance, rel=1e-9)
    top = int(np.argmax(trace.speed))
    assert trace.speed[top] == got.road_speed
    assert trace.distance[top] == pytest.approx(got.lift_at, rel=1e-9)
    if got.road_speed > curve.speed[20]:
        under_power = trace.speed[: top + 1] <= curve.speed[-1]
        want = np.interp(trace.speed[: top + 1][under_power], curve.speed, curve.distance)
        scale = max(got.lift_at, 1e-9)
        np.testing.assert_allclose(
            trace.distance[: top + 1][under_power] / scale, want / scale, atol=1e-3
        )


def test_limits_along_the_curve() -> None:
    got = predict(CARS["controller holds the current"])
    assert got.curve is not None
    seen = [int(code) for code in dict.fromkeys(got.curve.limit.tolist())]
    assert seen[0] in (DRIVER, CURRENT)
    assert seen[-1] == VOLTAGE
    held = got.curve.limit == CURRENT
    np.testing.assert_allclose(got.curve.current[held], 28.0, rtol=1e-9)


def test_every_figure_is_plain() -> None:
    got = predict(make_car(current_limit=40.0, pack_current_limit=30.0, growth=0.03))
    for key, value in asdict(got).items():
        assert value is None or type(value) in (float, bool, dict), key
    assert got.at_top is not None
    assert type(got.at_top.current) is float
    assert type(got.at_top.limit) is int


# --- the solver -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("function", "low", "high", "zero", "close"),
    [
        (lambda x: x**3 - 2.0, 0.0, 5.0, 2 ** (1 / 3), 1e-14),
        (lambda x: min(x - 1.0, 100 * (x - 1.0)), 0.0, 9.0, 1.0, 1e-14),  # a kink at the zero
        (lambda x: tanh(50 * (x - 0.7)), -3.0, 40.0, 0.7, 1e-13),
        (lambda x: (x - 2.0) ** 5, 0.0, 3.1, 2.0, 1e-12),  # flat
        (lambda x: x - 3.0, 3.0, 7.0, 3.0, 1e-14),
    ],
)
def test_bracketed_zero(function: Any, low: float, high: float, zero: float, close: float) -> None:
    calls = []

    def counted(x: float) -> float:
        calls.append(x)
        return float(function(x))

    got = bracketed_zero(counted, low, high, function(low), function(high))
    assert got == pytest.approx(zero, rel=close)
    assert all(low <= x <= high for x in calls)
    assert len(calls) < 120


@pytest.mark.parametrize("figure", ["current_limit", "pack_current_limit"])
def test_a_rating_out_of_reach_does_not_limit(figure: str) -> None:
    known, unknown = (predict(make_car(**{figure: amps})) for amps in (5000.0, NO_LIMIT))
    for key in ("top_speed", "road_speed", "charge_used", "peak_current"):
        assert getattr(known, key) == pytest.approx(getattr(unknown, key), rel=1e-9), key
