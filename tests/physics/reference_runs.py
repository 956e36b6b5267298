"""Runs of the reference car: two passes in time, and every figure that a prediction says.

The car itself is in `reference.py`; the run is integrated by scipy's DOP853 at tight tolerance.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from scipy.integrate import OdeSolution, solve_ivp

from pennyspeed.physics.car import Car
from physics.reference import RTOL, CarInState

SCALARS = (
    "standstill_current", "top_speed", "balance_speed", "road_speed", "lift_at", "stop_distance",
    "time_to_top", "peak_current", "charge_used", "first_pass_charge", "motor_rise",
    "asked_motor_current", "asked_pack_current", "lowest_cell_voltage", "least_deceleration",
    "held_motor_temperature",
)  # fmt: skip
"""Every figure of an answer that is one number."""


@dataclass
class Run:
    """One pass over the road."""

    state: CarInState
    balance_speed: float
    road_speed: float = 0.0
    lift_at: float = 0.0
    stop_distance: float = 0.0
    time_to_lift: float = 0.0
    charge: float = 0.0
    rise: float = 0.0
    motion: OdeSolution | None = None
    """Distance, speed, charge and heat at any time up to the lift."""

    def at_speeds(self, speeds: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        """Time and distance from rest to each of `speeds` (rising, below the balance speed)."""
        s = self.state

        def slope(v: float, _: np.ndarray) -> list[float]:
            a = s.acceleration(v)
            return [1 / a, v / a]

        end = float(speeds[-1])
        sol = solve_ivp(
            slope, (0.0, end), [0.0, 0.0], method="DOP853", rtol=RTOL, atol=1e-11,
            t_eval=np.minimum(speeds, end), max_step=end / 60,
        )  # fmt: skip
        return sol.y[0], sol.y[1]


def run_over_road(car: Car, soc: float, temperature: float) -> Run:
    """Under power from rest to the point from which braking just stops the car on the road."""
    s = CarInState(car, soc, temperature)
    v_star = s.top_speed()
    run = Run(s, v_star)
    if v_star == 0 or car.road_length <= car.reserve:
        return run
    stopping = s.stopping(v_star)

    def motion(_: float, y: np.ndarray) -> list[float]:
        v = min(max(float(y[1]), 0.0), v_star)
        d = s.drive(v)
        heat = d.current**2 * s.r_motor + s.back_emf(v) * s.no_load(v)
        a = (d.force - s.resistance(v)) / s.effective_mass(v)
        return [v, a, d.pack_current, heat]

    def road_full(_: float, y: np.ndarray) -> float:
        return float(y[0]) + stopping(float(y[1])) + car.reserve - car.road_length

    road_full.terminal = True  # type: ignore[attr-defined]
    # A car that crawls takes long, but never longer than its slowest part of the road does.
    sol = solve_ivp(
        motion, (0.0, 1e7), [0.0, 0.0, 0.0, 0.0], method="DOP853", rtol=RTOL, atol=1e-9,
        events=road_full, first_step=1e-6, max_step=0.25 * max(1.0, car.road_length / v_star / 40),
        dense_output=True,
    )  # fmt: skip
    if sol.status != 1:
        raise AssertionError(f"the road's end was not found: {sol.message}")
    x, v, charge, heat = (float(q) for q in sol.y_events[0][0])
    run.road_speed, run.lift_at, run.stop_distance = v, x, stopping(v)
    run.time_to_lift = float(sol.t_events[0][0])
    run.charge, run.rise = charge, heat / car.heat_capacity
    run.motion = sol.sol
    return run


@dataclass
class Answer:
    """Everything that a prediction says, under the same names."""

    standstill_current: float
    top_speed: float
    top_motor_speed: float = 0.0
    top_current: float = 0.0
    top_pack_current: float = 0.0
    top_power: float = 0.0
    top_limit: int = 0
    top_front_load_share: float = 0.0
    top_rear_load_share: float = 0.0
    balance_speed: float = 0.0
    road_speed: float = 0.0
    lift_at: float = 0.0
    stop_distance: float = 0.0
    least_deceleration: float | None = None
    time_to_top: float | None = None
    peak_current: float | None = None
    charge_used: float = 0.0
    first_pass_charge: float = 0.0
    motor_rise: float = 0.0
    lowest_cell_voltage: float | None = None
    least_front_share: float | None = None
    asked_motor_current: float | None = None
    asked_pack_current: float | None = None
    held_state_of_charge: float = 0.0
    held_motor_temperature: float = 0.0
    pack_runs_flat: bool = False
    run: Run | None = None


def answer(car: Car) -> Answer:
    """Both passes, and every figure."""
    start = CarInState(car, car.state_of_charge, car.motor_temperature)
    out = Answer(
        standstill_current=start.volts / start.r_total,
        top_speed=start.top_speed(),
        held_state_of_charge=car.state_of_charge,
        held_motor_temperature=car.motor_temperature,
    )
    if out.top_speed == 0:
        return out
    v = out.top_speed
    d = start.drive(v)
    out.top_motor_speed = v * start.lever(v)
    out.top_current, out.top_pack_current, out.top_limit = d.current, d.pack_current, d.limit
    out.top_power = start.volts * d.pack_current - start.r_pack * d.pack_current**2
    rest_front = car.front_share * start.weight
    out.top_front_load_share = start.front_load(v, 0.0) / rest_front
    out.top_rear_load_share = start.rear_load(v, 0.0) / (start.weight - rest_front)

    first = run_over_road(car, car.state_of_charge, car.motor_temperature)
    left = car.state_of_charge - first.charge / car.capacity
    out.first_pass_charge = first.charge
    out.pack_runs_flat = left < 0
    out.held_state_of_charge = max(left, 0.0)
    out.held_motor_temperature = car.motor_temperature + first.rise

    run = run_over_road(car, out.held_state_of_charge, out.held_motor_temperature)
    out.run = run
    out.balance_speed = run.balance_speed
    if run.balance_speed == 0:
        return out
    s, v_x = run.state, run.road_speed
    out.road_speed, out.lift_at, out.stop_distance = v_x, run.lift_at, run.stop_distance
    out.charge_used, out.motor_rise = run.charge, run.rise
    out.least_deceleration = -s.largest(lambda u: -s.braking(u), v_x)
    out.peak_current = s.largest(lambda u: s.drive(u).current, v_x)
    worst = s.largest(lambda u: s.drive(u).pack_current, v_x)
    out.lowest_cell_voltage = (s.volts - s.r_pack * worst) / car.cells_series
    lightest = -s.largest(lambda u: -s.front_load(u, s.acceleration(u)), v_x)
    out.least_front_share = lightest / rest_front
    out.asked_motor_current = s.largest(lambda u: s.drive(u, ratings=False).current, v_x)
    out.asked_pack_current = s.largest(lambda u: s.drive(u, ratings=False).pack_current, v_x)
    out.time_to_top = float(run.at_speeds(np.array([0.0, 0.99 * run.balance_speed]))[0][-1])
    return out
