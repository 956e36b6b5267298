"""Every figure of a late driver with inductance in the motor against an integration in time.

The reference is `reference_runs.py` and `late_reference.py` (DOP853, rtol 1e-10, two passes,
the current at full throttle found from the circuit); the cars are in `reactance_cars.py`.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from pennyspeed.physics.car import LIMIT_NAMES
from pennyspeed.physics.predict import late_lifts, predict
from pennyspeed.physics.results import Prediction
from physics.late_reference import late, marker
from physics.reactance_cars import CARS
from physics.reference_runs import SCALARS, Answer, Run, answer

CLOSE = 1e-3


@cache
def expected(name: str) -> Answer:
    return answer(CARS[name])


@cache
def predicted(name: str) -> Prediction:
    return predict(CARS[name])


def run_of(name: str) -> Run:
    run = expected(name).run
    assert run is not None
    return run


def close(value: float, least: float = 1e-9) -> object:
    return pytest.approx(value, rel=CLOSE, abs=least)


@pytest.mark.parametrize("figure", SCALARS)
@pytest.mark.parametrize("name", CARS)
def test_figure(name: str, figure: str) -> None:
    want, got = getattr(expected(name), figure), getattr(predicted(name), figure)
    assert got == (want if want is None else close(want))


@pytest.mark.parametrize("name", CARS)
def test_at_top(name: str) -> None:
    want, got = expected(name), predicted(name).at_top
    assert got is not None
    assert LIMIT_NAMES[got.limit] == LIMIT_NAMES[want.top_limit]
    assert got.motor_speed == close(want.top_motor_speed)
    assert got.current == close(want.top_current)
    assert got.pack_current == close(want.top_pack_current)
    assert got.power == close(want.top_power)
    assert got.front_load_share == close(want.top_front_load_share, CLOSE)
    assert got.rear_load_share == close(want.top_rear_load_share, CLOSE)


@pytest.mark.parametrize("name", CARS)
def test_least_front_load(name: str) -> None:
    assert predicted(name).least_front_share == close(expected(name).least_front_share, CLOSE)


@pytest.mark.parametrize("name", CARS)
def test_motor_speed_at_the_road_speed(name: str) -> None:
    run = run_of(name)
    want = run.road_speed * run.state.lever(run.road_speed)
    assert predicted(name).road_motor_speed == close(want)


@pytest.mark.parametrize("name", CARS)
def test_marker(name: str) -> None:
    at, speed = marker(run_of(name))
    assert predicted(name).marker_at == close(at, 1e-4)
    assert predicted(name).marker_speed == close(speed, 1e-4)


@pytest.mark.parametrize("seconds", [0.1, 0.5, 1.7])
@pytest.mark.parametrize("name", CARS)
def test_late_lift(name: str, seconds: float) -> None:
    want = late(run_of(name), seconds)
    (got,) = late_lifts(CARS[name], predicted(name), (seconds,))
    road = CARS[name].road_length
    assert got.lift_at == close(want.lift_at)
    assert got.lift_speed == close(want.lift_speed)
    assert got.stop_at == close(want.stop_at)
    # where hardly any road is left, what is left is as sure as the stop
    assert got.road_left == pytest.approx(road - want.stop_at, abs=CLOSE * want.stop_at)
    assert got.road_left == road - got.stop_at
    # a speed near rest goes as the root of the distance
    slack = (2 * 20 * CLOSE * CLOSE * want.stop_at) ** 0.5
    assert got.end_speed == pytest.approx(want.end_speed, rel=2 * CLOSE, abs=slack)
    if seconds == 0.5:
        planned = predicted(name).late
        assert planned is not None
        assert planned.road_left == got.road_left


@pytest.mark.parametrize("name", CARS)
def test_trace_of_a_late_lift(name: str) -> None:
    found = predicted(name)
    assert found.late is not None
    trace, want = found.late.trace, late(run_of(name), 0.5)
    assert trace.distance[0] == close(found.lift_at)
    assert trace.speed[0] == close(found.road_speed)
    assert (np.diff(trace.distance) >= 0).all()
    last = int(np.argmin(np.abs(trace.distance - want.lift_at)))
    assert trace.speed[last] == close(want.lift_speed)
    assert trace.distance[-1] == close(want.stop_at)
    assert trace.speed[-1] == 0.0
    stopping = run_of(name).state.stopping(run_of(name).balance_speed)
    left = want.stop_at - trace.distance[last:]
    np.testing.assert_allclose(
        left, [stopping(float(v)) for v in trace.speed[last:]], atol=CLOSE * want.stop_at
    )


@pytest.mark.parametrize("name", CARS)
def test_curve(name: str) -> None:
    run, got = run_of(name), predicted(name).curve
    assert got is not None
    chosen = np.unique(np.append(np.arange(0, len(got.speed), 12), len(got.speed) - 1))
    speeds = got.speed[chosen]
    time, distance = run.at_speeds(speeds)
    np.testing.assert_allclose(got.time[chosen], time, rtol=CLOSE, atol=1e-9)
    np.testing.assert_allclose(got.distance[chosen], distance, rtol=CLOSE, atol=1e-9)
    drives = [run.state.drive(float(v)) for v in speeds]
    for figure in ("current", "force"):
        values = np.array([getattr(d, figure) for d in drives])
        np.testing.assert_allclose(
            getattr(got, figure)[chosen], values, rtol=CLOSE, atol=2e-4 * np.abs(values).max()
        )


def test_every_limit_is_met_with_inductance() -> None:
    won = set()
    for name, car in CARS.items():
        curve = predicted(name).curve
        assert curve is not None
        if car.inductance > 0:
            won |= set(curve.limit.tolist())
    assert won == set(range(len(LIMIT_NAMES)))


def test_some_overrun_the_road_braking_and_some_under_power() -> None:
    braking = under_power = 0
    for name, car in CARS.items():
        (got,) = late_lifts(car, predicted(name), (1.7,))
        under_power += got.lift_at > car.road_length
        braking += got.lift_at < car.road_length < got.stop_at
    assert braking > 3
    assert under_power > 0


@pytest.mark.parametrize("figure", ["front_load_share", "rear_load_share"])
def test_an_axle_nearly_flies(figure: str) -> None:
    shares = [getattr(predicted(name).at_top, figure) for name in CARS]
    assert min(shares) < 0.25
