"""How fast the physics is, beside a general ODE solver in the same run; no clock is judged.

Run with ``pytest -m bench tests/bench/test_physics_speed.py``. What is asserted is that the work
was done: the answers are there, agree, and did not slip onto the slow path.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import fields, replace
from math import cos, exp, pi, sin
from statistics import median
from time import perf_counter
from typing import Any

import numpy as np
import pytest
from scipy.integrate import solve_ivp

from pennyspeed.physics.batch.runs import predict_many, predict_many_with_traces, top_speeds
from pennyspeed.physics.car import ALL, REAR, Car
from pennyspeed.physics.constants import GRAVITY
from pennyspeed.physics.predict import predict
from physics.cars import RPM_PER_VOLT, make_car

pytestmark = pytest.mark.bench

REPETITIONS = 31
DRAWN = {
    "mass": 0.02, "cg_height": 0.15, "front_share": 0.05, "drivetrain_efficiency": 0.03,
    "kv": 0.05, "motor_resistance": 0.05, "no_load_current": 0.05, "loss_speed_share": 0.15,
    "rotor_inertia": 0.15, "heat_capacity": 0.02, "controller_resistance": 0.15,
    "capacity": 0.05, "pack_resistance": 0.05, "tyre_diameter": 0.02, "growth": 0.15,
    "wheel_inertia": 0.02, "grip": 0.15, "rolling": 0.15, "drag_coefficient": 0.15,
    "frontal_area": 0.05, "downforce_front": 0.3, "downforce_rear": 0.3,
}  # fmt: skip
"""Spreads of the figures that a band draws, as shares."""


def fast_car() -> Car:
    """Four cells, controller and burst ratings, a wing: nothing that makes work is absent."""
    return make_car(
        cells_series=4,
        pack_resistance=0.012,
        gear_ratio=5.2,
        downforce_front=0.05,
        downforce_rear=0.12,
        current_limit=90.0,
        pack_current_limit=160.0,
        road_length=250.0,
        driven=ALL,
    )


def inductive(car: Car) -> Car:
    """The same car with inductance in its winding, a cold pack and a late driver."""
    return replace(car, inductance=6e-6, pack_temperature=8.0, reaction=0.7, reserve=10.0)


def many_limits_car() -> Car:
    """Driver, grip, current, pack and voltage all win somewhere."""
    return make_car(
        current_limit=45.0,
        pack_current_limit=27.0,
        driver_acceleration=4.6,
        grip=0.55,
        downforce_front=0.1,
        downforce_rear=0.2,
        driven=REAR,
    )


def draws(count: int) -> Car:
    """One car, every uncertain figure drawn: what a band is made of."""
    rng = np.random.default_rng(1)
    car = fast_car()
    drawn: dict[str, Any] = {
        name: getattr(car, name) * np.exp(rng.normal(0.0, spread, count))
        for name, spread in DRAWN.items()
    }
    for share in ("drivetrain_efficiency", "loss_speed_share"):
        drawn[share] = np.minimum(drawn[share], 1.0)
    drawn["pack_current_limit"] = car.pack_current_limit * drawn["capacity"] / car.capacity
    return replace(car, **drawn)


def shelf(count: int) -> Car:
    """One chassis, road and weather; every motor, pack, gear, tyre and body of a shelf."""
    rng = np.random.default_rng(2)
    cells = rng.integers(2, 5, count).astype(float)
    return replace(
        fast_car(),
        mass=rng.uniform(1.5, 2.6, count), gear_ratio=rng.uniform(3.5, 8.0, count),
        kv=rng.uniform(1800.0, 4200.0, count) * RPM_PER_VOLT,
        motor_resistance=rng.uniform(0.006, 0.02, count),
        no_load_current=rng.uniform(1.0, 5.0, count), rotor_inertia=rng.uniform(1e-6, 5e-6, count),
        heat_capacity=rng.uniform(60.0, 120.0, count),
        current_limit=rng.uniform(60.0, 180.0, count),
        cells_series=cells, pack_resistance=cells * rng.uniform(0.001, 0.004, count),
        capacity=rng.uniform(3.0, 6.0, count) * 3600.0,
        pack_current_limit=rng.uniform(90.0, 400.0, count),
        tyre_diameter=rng.uniform(0.058, 0.07, count), growth=rng.uniform(0.0, 0.05, count),
        grip=rng.uniform(0.6, 1.1, count), wheel_inertia=rng.uniform(6e-5, 2e-4, count),
        drag_coefficient=rng.uniform(0.25, 0.5, count),
        frontal_area=rng.uniform(0.015, 0.028, count),
    )  # fmt: skip


def one_of(cars: Car, index: int) -> Car:
    """The car at one place of a batch, in plain numbers."""
    picked = {f.name: getattr(cars, f.name) for f in fields(Car)}
    return Car(
        **{k: v[index].item() if isinstance(v, np.ndarray) else v for k, v in picked.items()}
    )


def full_throttle(volts: float, emf: float, pack: float, behind: float, reactance: float) -> float:
    """Current at which the pack's volts are all spent [A], plain floats."""
    if reactance == 0.0:
        return max((volts - emf) / (behind + pack), 0.0)
    in_line = behind + reactance * emf
    square = in_line * in_line + pack * behind
    half = (emf - 0.5 * volts) * in_line + 0.5 * pack * emf
    rest = max(volts - emf, 0.0) * emf
    root = (half * half + square * rest) ** 0.5
    return (root - half) / square if half < 0.0 else rest / (root + half)


def motion(car: Car, charge: float, warmth: float) -> Callable[[float, Any], list[float]]:
    """d(v, x, charge, heat)/dt in one held state, plain floats: what a solver is given at best."""
    volts = car.cells_series * float(
        np.interp(
            charge,
            np.linspace(0.0, 1.0, 11),
            (3.27, 3.69, 3.73, 3.77, 3.79, 3.82, 3.87, 3.95, 4.03, 4.10, 4.20),
        )
    )
    winding = car.motor_resistance * (1.0 + 0.00393 * (warmth - 20.0))
    behind = winding + car.controller_resistance
    cold = (20.0 - car.pack_temperature) / ((car.pack_temperature + 273.15) * 293.15)
    pack = car.pack_resistance * exp(2800.0 * cold)
    reactance = 1.5 / pi * car.pole_pairs * car.kv * car.inductance
    burst = car.pack_current_limit
    bound = (volts - pack * burst) * burst
    lever0 = car.gear_ratio / (0.5 * car.tyre_diameter * car.kv)
    spin = (car.wheel_inertia + car.rotor_inertia * car.gear_ratio**2) / (
        0.5 * car.tyre_diameter
    ) ** 2
    air = 0.5 * car.air_density * car.frontal_area
    weight, grade = car.mass * GRAVITY * cos(car.slope), car.mass * GRAVITY * sin(car.slope)
    eta = car.drivetrain_efficiency

    def slopes(_: float, state: Any) -> list[float]:
        v = float(state[0])
        room = 1.0 + min(car.growth * (v / car.growth_speed) ** 2, car.growth_max)
        lever = lever0 / room
        emf = lever * v
        no_load = car.no_load_current * (
            1.0 - car.loss_speed_share + car.loss_speed_share * emf / car.no_load_voltage
        )
        current = min(full_throttle(volts, emf, pack, behind, reactance), car.current_limit)
        current = min(current, 2.0 * bound / (emf + (emf * emf + 4.0 * behind * bound) ** 0.5))
        squared = (v + car.head_wind) * abs(v + car.head_wind)
        down = air * (car.downforce_front + car.downforce_rear) * max(squared, 0.0)
        load = max(weight + down, 0.0)
        resistance = air * car.drag_coefficient * squared + car.rolling * load + grade
        effective = car.mass + spin / room**2
        pull = (current - no_load) * lever
        pull = pull * eta if pull >= 0.0 else pull / eta
        lift = car.front_share * weight + air * car.downforce_front * max(squared, 0.0)
        lift = lift * car.wheelbase / car.cg_height + car.rolling * load
        grip = (max(min(car.grip * load, lift), 0.0) - resistance) / car.mass
        gain = min((pull - resistance) / effective, grip, car.driver_acceleration)
        torque = (gain * effective + resistance) / lever
        current = max(no_load + (torque / eta if torque >= 0.0 else torque * eta), 0.0)
        power = (emf + behind * current) * current
        root = max(volts * volts - 4.0 * pack * power, 0.0) ** 0.5
        drawn = 2.0 * power / (volts + root)
        return [gain, v, drawn, current * current * winding + emf * no_load]

    return slopes


def by_solver(car: Car, lift_at: float) -> Any:
    """Both passes up to the lift point, known beforehand, by Runge-Kutta; speed at the lift."""

    def at_lift(_: float, state: Any) -> float:
        return float(state[1]) - lift_at

    at_lift.terminal = True  # type: ignore[attr-defined]
    charge, warmth, run = car.state_of_charge, car.motor_temperature, None
    for _ in range(2):
        run = solve_ivp(
            motion(car, charge, warmth),
            (0.0, 120.0),
            [0.0, 0.0, 0.0, 0.0],
            rtol=1e-6,
            atol=1e-8,
            events=at_lift,
            dense_output=False,
        )
        charge = car.state_of_charge - run.y[2, -1] / car.capacity
        warmth = car.motor_temperature + run.y[3, -1] / car.heat_capacity
    return run.y[0, -1]


def timed(work: Callable[[], Any], repetitions: int = REPETITIONS) -> tuple[float, float]:
    """Median and least of the times [ms], after one call to warm up."""
    work()
    times = []
    for _ in range(repetitions):
        start = perf_counter()
        work()
        times.append(1e3 * (perf_counter() - start))
    return median(times), min(times)


def show(what: str, times: tuple[float, float], more: str = "") -> None:
    print(f"  {what:<52} median {times[0]:8.3f} ms   least {times[1]:8.3f} ms   {more}")


def test_one_car_and_a_band_beside_the_solver(capsys: pytest.CaptureFixture[str]) -> None:
    car, band = fast_car(), draws(256)
    distance = np.linspace(0.0, 250.0, 127)
    single = predict(car)
    many, traces = predict_many_with_traces(band, distance)
    solved = by_solver(car, single.lift_at)

    solver = timed(lambda: by_solver(car, single.lift_at))
    one = timed(lambda: predict(car))
    speeds = timed(lambda: predict_many(band))
    curves = timed(lambda: predict_many_with_traces(band, distance))
    with capsys.disabled():
        print()
        show("solve_ivp, two passes, RK45 1e-6", solver)
        show("one car, whole prediction", one, f"{solver[0] / one[0]:.1f} x the solver's pace")
        show("256 draws, speeds", speeds, f"{256 * solver[0] / speeds[0]:.0f} x per car")
        show("256 draws, speeds and curves", curves, f"{256 * solver[0] / curves[0]:.0f} x per car")
    assert solved == pytest.approx(single.road_speed, rel=2e-3)
    assert traces.shape == (256, 127)
    for place in range(0, 256, 32):
        expected = predict(one_of(band, place)).road_speed
        assert many.road_speed[place] == pytest.approx(expected, rel=1e-3)
    assert np.count_nonzero(many.general_path) <= 8


@pytest.mark.parametrize("car", [fast_car(), many_limits_car()], ids=["fast", "many limits"])
def test_inductance_beside_the_straight_line_and_the_solver(
    car: Car, capsys: pytest.CaptureFixture[str]
) -> None:
    late = inductive(car)
    found = predict(late)
    solver = timed(lambda: by_solver(late, found.lift_at))
    line, curved = timed(lambda: predict(car), 101), timed(lambda: predict(late), 101)
    with capsys.disabled():
        print()
        show("solve_ivp with inductance, two passes, RK45 1e-6", solver)
        show("one car, no inductance, driver in time", line)
        times = f"{curved[0] / line[0]:.2f} x that, {solver[0] / curved[0]:.1f} x the solver's pace"
        show("the same with inductance, driver late", curved, times)
    assert by_solver(late, found.lift_at) == pytest.approx(found.road_speed, rel=2e-3)
    assert found.road_speed < predict(car).road_speed


def test_shelves(capsys: pytest.CaptureFixture[str]) -> None:
    tops, roads = shelf(10_000), shelf(5_000)
    fastest = timed(lambda: top_speeds(tops))
    answer = predict_many(roads)
    whole = timed(lambda: predict_many(roads), 15)
    with capsys.disabled():
        print()
        show("top speeds of 10,000 cars", fastest, f"{10.0 / fastest[0]:.1f} million a second")
        show("road speeds of 5,000 cars", whole, f"{5.0 / whole[0]:.2f} million a second")
    found = top_speeds(tops)
    for place in range(0, 5_000, 500):
        assert found[place] == pytest.approx(predict(one_of(tops, place)).top_speed, rel=1e-3)
    assert answer.general_path.mean() < 0.03
