"""A second opinion on the driver who is late: the run goes on in time, then brakes in time.

Beside `reference.py`, and like it from the equations of motion alone.
"""

from __future__ import annotations

from dataclasses import dataclass

from scipy.integrate import solve_ivp

from physics.reference import LEAST_BRAKING, RTOL
from physics.reference_runs import Run


@dataclass
class Late:
    """The throttle goes off later than planned."""

    lift_at: float
    lift_speed: float
    stop_at: float
    end_speed: float


def marker(run: Run) -> tuple[float, float]:
    """Where the car is, and how fast, the reaction time before the lift."""
    time = run.time_to_lift - run.state.car.reaction
    if run.motion is None or time <= 0:
        return 0.0, 0.0
    x, v, *_ = run.motion(time)
    return float(x), float(v)


def late(run: Run, seconds: float) -> Late:
    """Full demand goes on from the lift for some seconds, then the driver brakes."""
    s, fastest = run.state, run.balance_speed
    road = s.car.road_length
    held = solve_ivp(
        lambda _, y: [y[1], s.acceleration(min(float(y[1]), fastest))],
        (0.0, seconds), [run.lift_at, run.road_speed], method="DOP853", rtol=RTOL, atol=1e-10,
        events=lambda _, y: y[0] - road,
    )  # fmt: skip
    x, v = (float(one) for one in held.y[:, -1])
    over = [float(y[0][1]) for y in held.y_events if len(y)]

    def stands(_: float, y: list[float]) -> float:
        return y[1] - 1e-9

    stands.terminal = True  # type: ignore[attr-defined]
    braked = solve_ivp(
        lambda _, y: [y[1], -max(s.braking(max(float(y[1]), 0.0)), LEAST_BRAKING)],
        (0.0, 1e5), [x, v], method="DOP853", rtol=RTOL, atol=1e-10, max_step=0.5,
        events=[stands, lambda _, y: y[0] - road],
    )  # fmt: skip
    over += [float(y[1]) for y in braked.y_events[1]]
    return Late(x, v, float(braked.y[0, -1]), over[0] if over else 0.0)
