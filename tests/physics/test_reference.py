"""Every figure of a prediction against an integration in time at tight tolerance.

The reference is `reference.py` (scipy's DOP853, rtol 1e-10, two passes); the cars are in `cars.py`.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from pennyspeed.physics.batch.runs import predict_many
from pennyspeed.physics.car import GRIP, LIMIT_NAMES, VOLTAGE
from pennyspeed.physics.predict import predict
from pennyspeed.physics.results import Prediction
from physics.cars import CARS, make_car, stacked
from physics.reference import CarInState
from physics.reference_runs import SCALARS, Answer, answer, run_over_road

CLOSE = 1e-3
MOVING = [name for name in CARS if not name.startswith("cannot move")]
RUNNING = [name for name in MOVING if name not in ("moves once, not twice", "no road")]


@cache
def expected(name: str) -> Answer:
    return answer(CARS[name])


@cache
def predicted(name: str) -> Prediction:
    return predict(CARS[name])


def close(value: float) -> object:
    return pytest.approx(value, rel=CLOSE, abs=1e-9)


@pytest.mark.parametrize("figure", SCALARS)
@pytest.mark.parametrize("name", CARS)
def test_figure(name: str, figure: str) -> None:
    want, got = getattr(expected(name), figure), getattr(predicted(name), figure)
    assert got == (want if want is None else close(want))


@pytest.mark.parametrize("name", CARS)
def test_held_state(name: str) -> None:
    want, got = expected(name), predicted(name)
    assert got.pack_runs_flat is want.pack_runs_flat
    used = CARS[name].state_of_charge - want.held_state_of_charge
    assert CARS[name].state_of_charge - got.held_state_of_charge == close(used)


@pytest.mark.parametrize("name", MOVING)
def test_at_top(name: str) -> None:
    want, got = expected(name), predicted(name).at_top
    assert got is not None
    assert LIMIT_NAMES[got.limit] == LIMIT_NAMES[want.top_limit]
    assert got.motor_speed == close(want.top_motor_speed)
    # Where little net force is left over a wide range of speeds, a speed within 1e-3 leaves the
    # current less sure than that; at the top these cars have no such range.
    assert got.current == close(want.top_current)
    assert got.pack_current == close(want.top_pack_current)
    assert got.power == close(want.top_power)
    assert got.front_load_share == close(want.top_front_load_share)


def slopes_of_the_force(state: CarInState, v: float) -> float:
    """How far the two smallest limits are apart at v, relative."""
    forces = sorted(
        (
            state.wheel_force(v, state.full_throttle_current(v)),
            state.wheel_force(v, state.car.current_limit),
            state.wheel_force(v, state.pack_bound_current(v)),
            state.grip_force(v),
            state.driver_force(v),
        )
    )
    return (forces[1] - forces[0]) / (abs(forces[0]) + 1e-9)


@pytest.mark.parametrize("name", RUNNING)
def test_curve(name: str) -> None:
    want, got = expected(name), predicted(name).curve
    assert got is not None
    assert want.run is not None
    assert len(got.speed) >= 200
    assert got.speed[0] == 0.0
    assert got.speed[-1] == close(0.99 * want.balance_speed)
    assert (np.diff(got.speed) > 0).all()

    # Where the curve has a kink is its own choice: one point in six is enough, the last included.
    chosen = np.unique(np.append(np.arange(0, len(got.speed), 6), len(got.speed) - 1))
    speeds = got.speed[chosen]
    time, distance = want.run.at_speeds(speeds)
    np.testing.assert_allclose(got.time[chosen], time, rtol=CLOSE, atol=1e-9)
    np.testing.assert_allclose(got.distance[chosen], distance, rtol=CLOSE, atol=1e-9)

    state = want.run.state
    drives = [state.drive(float(v)) for v in speeds]
    each = {
        "current": [d.current for d in drives],
        "pack_current": [d.pack_current for d in drives],
        "force": [d.force for d in drives],
        "resistance": [state.resistance(float(v)) for v in speeds],
        "motor_speed": [float(v) * state.lever(float(v)) for v in speeds],
    }
    clear = np.array([slopes_of_the_force(state, float(v)) > 1e-3 for v in speeds])
    limits = np.array([d.limit for d in drives])
    np.testing.assert_array_equal(got.limit[chosen][clear], limits[clear])
    assert clear.sum() > len(clear) / 2
    for figure, values in each.items():
        # A jump of the pack's current where the switch opens has no value of its own.
        sure = clear if figure == "pack_current" else np.ones_like(clear)
        scale = np.abs(values).max()
        np.testing.assert_allclose(
            getattr(got, figure)[chosen][sure], np.array(values)[sure],
            rtol=CLOSE, atol=2e-4 * scale, err_msg=figure,
        )  # fmt: skip


@pytest.mark.parametrize("name", RUNNING)
def test_trace(name: str) -> None:
    want, trace = expected(name), predicted(name).trace
    assert trace is not None
    assert want.run is not None
    assert trace.distance[0] == 0.0
    assert trace.distance[-1] == close(CARS[name].road_length)
    assert trace.speed[0] == 0.0
    assert trace.speed[-1] == pytest.approx(0.0, abs=1e-9)
    top = int(np.argmax(trace.speed))
    assert trace.speed[top] == close(want.road_speed)
    assert trace.distance[top] <= want.lift_at * (1 + CLOSE)
    assert (np.diff(trace.distance) >= 0).all()

    # The way up is the run, the way down is the stopping distance.
    rising = np.arange(1, top + 1)[:: max(top // 20, 1)]
    below = rising[trace.speed[rising] < 0.97 * want.balance_speed]
    if len(below):
        _, distance = want.run.at_speeds(np.append(0.0, trace.speed[below]))
        np.testing.assert_allclose(trace.distance[below], distance[1:], rtol=CLOSE, atol=1e-9)
    stopping = want.run.state.stopping(want.run.balance_speed)
    falling = np.flatnonzero(trace.distance > want.lift_at * (1 + CLOSE))
    assert len(falling) > 10
    left = CARS[name].road_length - trace.distance[falling]
    np.testing.assert_allclose(
        left, [stopping(float(v)) for v in trace.speed[falling]],
        rtol=CLOSE, atol=CLOSE * want.stop_distance,
    )  # fmt: skip


def test_every_limit_is_met_by_some_car() -> None:
    won = set()
    for name in RUNNING:
        curve = predicted(name).curve
        assert curve is not None
        won |= set(curve.limit.tolist())
    assert won == set(range(len(LIMIT_NAMES)))


BATCH_FIGURES = (
    "top_speed", "balance_speed", "road_speed", "lift_at", "stop_distance", "charge_used",
    "motor_rise", "held_motor_temperature",
)  # fmt: skip


@pytest.mark.parametrize("figure", BATCH_FIGURES)
def test_batch(figure: str) -> None:
    got = getattr(batch(), figure)
    assert got.shape == (len(CARS),)
    want = [getattr(expected(name), figure) for name in CARS]
    far = {
        name: (float(g), w)
        for name, g, w in zip(CARS, got, want, strict=True)
        if g != pytest.approx(w, rel=CLOSE, abs=1e-6)
    }
    assert not far


@cache
def batch():  # type: ignore[no-untyped-def]
    return predict_many(stacked(list(CARS.values())))


def test_batch_states_of_charge() -> None:
    used = 1 - batch().held_state_of_charge
    want = [1 - expected(name).held_state_of_charge for name in CARS]
    np.testing.assert_allclose(used, want, rtol=CLOSE, atol=2e-7)


def test_batch_uses_both_its_paths() -> None:
    general = dict(zip(CARS, batch().general_path, strict=True))
    assert not general["all wheels, plain"]
    assert general["uphill"]


# --- the reference itself, against what can be solved on paper ------------------------------------


def test_reference_meets_constant_force_and_quadratic_drag() -> None:
    # All wheels at the tyres' edge: force mu·m·g. v = vT tanh(t/tau), x = vT tau ln cosh(t/tau);
    # 20 N, 2.5 kg, rho 1.225, CdA 0.008: 3 s -> 22.931324 m/s, 35.183838 m; 10 s -> 54.234159 m/s,
    # 325.310110 m (published formula evaluated; agrees with scipy solve_ivp at rtol 1e-12).
    car = make_car(
        grip=20 / (2.5 * 9.80665), mass=2.5, air_density=1.225, drag_coefficient=0.4,
        frontal_area=0.02, rolling=0.0, wheel_inertia=0.0, rotor_inertia=0.0, cg_height=0.0,
        driver_acceleration=1e3, cells_series=400, motor_resistance=1e-3, road_length=1e4,
        heat_capacity=float("inf"),
    )  # fmt: skip
    run = run_over_road(car, 1.0, 20.0)
    assert run.state.drive(50.0).limit == GRIP
    time, distance = run.at_speeds(np.array([0.0, 22.931324, 54.234159]))
    np.testing.assert_allclose(time[1:], [3, 10], rtol=1e-6)
    np.testing.assert_allclose(distance[1:], [35.183838, 325.310110], rtol=1e-6)


def test_reference_meets_the_linear_motor_without_air() -> None:
    # Constant k_t, no drag to speak of, no growth: v = v_free (1 - exp(-t/T)),
    # T = m R (k_v r/G)²; time and heat from a cold textbook integral.
    car = make_car(
        drag_coefficient=1e-9, rolling=0.0, growth=0.0, wheel_inertia=0.0, rotor_inertia=0.0,
        no_load_current=0.0, drivetrain_efficiency=1.0, grip=50.0, cg_height=0.0,
        driver_acceleration=1e3, road_length=200.0, heat_capacity=1e12, capacity=1e12,
    )  # fmt: skip
    run = run_over_road(car, 1.0, 20.0)
    assert run.state.drive(1.0).limit == VOLTAGE
    lever = car.gear_ratio / (car.tyre_diameter / 2)
    resistance = car.pack_resistance + car.controller_resistance + car.motor_resistance
    lag = car.mass * resistance * (car.kv / lever) ** 2
    free = 12.6 * car.kv / lever
    v = np.array([0.0, 0.5, 0.9]) * free
    time, distance = run.at_speeds(v)
    want = -lag * np.log1p(-v / free)
    np.testing.assert_allclose(time, want, rtol=1e-8, atol=1e-12)
    np.testing.assert_allclose(distance, free * want - lag * v, rtol=1e-8, atol=1e-12)
    # What the cells give is I_p = (U - E)/R over time: all of it moves the car or warms wires.
    charge = car.mass * run.road_speed * car.kv / lever
    assert run.charge == pytest.approx(charge, rel=1e-7)
