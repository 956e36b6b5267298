"""A second opinion on the run of one car: slow, plain, and sharing no formula with the program.

Written from the equations of motion alone. The run is integrated in time by scipy's DOP853 at tight
tolerance, the program integrates over speed in closed form between kinks; what they have in common
is the physics and the `Car` that names its figures.

Sources: motor: Drela, First-order DC electric motor model (2007, from memory); copper: IEC 60028;
axle loads and grip limits: Gillespie, Fundamentals of Vehicle Dynamics, ch. 1 and 2 (from memory);
the cells' open-circuit voltage: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from math import cos, inf, sin, sqrt

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import minimize_scalar

from pennyspeed.physics.car import Car

G = 9.80665
LIMITS = ("voltage", "current", "pack", "grip", "driver")
CELL_VOLTS = (3.27, 3.69, 3.73, 3.77, 3.79, 3.82, 3.87, 3.95, 4.03, 4.10, 4.20)
LEAST_BRAKING = 0.05
RTOL = 1e-10


@dataclass
class Drive:
    """What the car does under power at one speed."""

    force: float
    limit: int
    current: float
    pack_current: float


class CarInState:
    """One car with its state of charge and motor temperature held."""

    def __init__(self, car: Car, soc: float, temperature: float) -> None:
        self.car = car
        self.soc, self.temperature = soc, temperature
        self.volts = car.cells_series * float(np.interp(soc, np.linspace(0, 1, 11), CELL_VOLTS))
        self.r_motor = car.motor_resistance * (1 + 0.00393 * (temperature - 20))
        self.r_pack = car.pack_resistance
        self.r_total = self.r_pack + car.controller_resistance + self.r_motor
        self.weight = car.mass * G * cos(car.slope)
        self.grade = car.mass * G * sin(car.slope)

    # --- the car at a speed -------------------------------------------------------------------

    def radius(self, v: float) -> float:
        c = self.car
        return c.tyre_diameter / 2 * (1 + min(c.growth * (v / c.growth_speed) ** 2, c.growth_max))

    def lever(self, v: float) -> float:
        """Motor turns through one radian while the car goes 1/lever metres."""
        return self.car.gear_ratio / self.radius(v)

    def back_emf(self, v: float) -> float:
        return v * self.lever(v) / self.car.kv

    def no_load(self, v: float) -> float:
        c = self.car
        at = v * self.lever(v) / (c.kv * c.no_load_voltage)
        return c.no_load_current * (1 - c.loss_speed_share + c.loss_speed_share * at)

    def dynamic_pressure(self, v: float) -> tuple[float, float]:
        """With its sign, for drag; and without the part that blows from behind, for downforce."""
        air = v + self.car.head_wind
        q = 0.5 * self.car.air_density * self.car.frontal_area * air * air
        return (q, q) if air >= 0 else (-q, 0.0)

    def downforce(self, v: float) -> tuple[float, float]:
        q = self.dynamic_pressure(v)[1]
        return q * self.car.downforce_front, q * self.car.downforce_rear

    def drag(self, v: float) -> float:
        return self.dynamic_pressure(v)[0] * self.car.drag_coefficient

    def rolling(self, v: float) -> float:
        return self.car.rolling * max(self.weight + sum(self.downforce(v)), 0.0)

    def resistance(self, v: float) -> float:
        return self.drag(v) + self.rolling(v) + self.grade

    def effective_mass(self, v: float) -> float:
        c = self.car
        return c.mass + c.wheel_inertia / self.radius(v) ** 2 + c.rotor_inertia * self.lever(v) ** 2

    # --- the drive ----------------------------------------------------------------------------

    def wheel_force(self, v: float, current: float) -> float:
        eta = self.car.drivetrain_efficiency
        surplus = current - self.no_load(v)
        return surplus / self.car.kv * self.lever(v) * (eta if surplus >= 0 else 1 / eta)

    def current_for(self, v: float, force: float) -> float:
        eta = self.car.drivetrain_efficiency
        surplus = force * self.car.kv / self.lever(v) * (1 / eta if force >= 0 else eta)
        return max(self.no_load(v) + surplus, 0.0)

    def full_throttle_current(self, v: float) -> float:
        return max((self.volts - self.back_emf(v)) / self.r_total, 0.0)

    def pack_bound_current(self, v: float) -> float:
        i_b = self.car.pack_current_limit
        if 2 * i_b * self.r_pack >= self.volts:
            return inf
        power = self.volts * i_b - self.r_pack * i_b**2
        r, e = self.r_motor + self.car.controller_resistance, self.back_emf(v)
        return 2 * power / (e + sqrt(e * e + 4 * r * power))

    def grip_force(self, v: float) -> float:
        c = self.car
        d_f, d_r = self.downforce(v)
        roll, lean = self.rolling(v), c.cg_height / c.wheelbase
        rest_f, rest_r = c.front_share * self.weight, (1 - c.front_share) * self.weight
        if c.driven == 0:
            slack = 1 - c.grip * lean
            road = c.grip * (rest_r + d_r - roll * lean) / slack if slack > 0 else inf
        elif c.driven == 1:
            road = c.grip * (rest_f + d_f + roll * lean) / (1 + c.grip * lean)
        else:
            road = c.grip * (self.weight + d_f + d_r)
        if lean > 0:
            road = min(road, (rest_f + d_f) / lean + roll)
        elif rest_f + d_f < 0:  # the air alone lifts the front, however low the weight lies
            road = 0.0
        road = max(road, 0.0)
        m_e = self.effective_mass(v)
        return (road * m_e - self.resistance(v) * (m_e - c.mass)) / c.mass

    def driver_force(self, v: float) -> float:
        asked = self.effective_mass(v) * self.car.driver_acceleration + self.resistance(v)
        return max(asked, self.wheel_force(v, 0.0))

    def drive(self, v: float, ratings: bool = True) -> Drive:
        """The smallest of the limits; without `ratings`, of voltage, grip and driver alone."""
        i_v = self.full_throttle_current(v)
        forces = [self.wheel_force(v, i_v)]
        if ratings:
            forces.append(self.wheel_force(v, self.car.current_limit))
            forces.append(self.wheel_force(v, self.pack_bound_current(v)))
        else:
            forces += [inf, inf]
        forces += [self.grip_force(v), self.driver_force(v)]
        limit = int(np.argmin(forces))
        if limit == 0:
            return Drive(forces[0], 0, i_v, i_v)
        current = self.current_for(v, forces[limit])
        r = self.r_motor + self.car.controller_resistance
        power = (self.back_emf(v) + r * current) * current
        root = sqrt(max(self.volts**2 - 4 * self.r_pack * power, 0.0))
        return Drive(forces[limit], limit, current, 2 * power / (self.volts + root))

    def net(self, v: float) -> float:
        return self.drive(v).force - self.resistance(v)

    def acceleration(self, v: float) -> float:
        return self.net(v) / self.effective_mass(v)

    # --- top speed ----------------------------------------------------------------------------

    def top_speed(self) -> float:
        """First v > 0 at which nothing is left to accelerate with; 0 where the car cannot move."""
        c = self.car
        if not self.net(0.0) > 0:
            return 0.0
        largest = c.tyre_diameter / 2 * (1 + max(c.growth_max, 0.0))
        free = c.kv * self.volts * largest / c.gear_ratio
        q_unit = 0.5 * c.air_density * c.drag_coefficient * c.frontal_area
        coasting = -c.head_wind + sqrt(max(-self.grade, 0.0) / q_unit)
        above = max(free, coasting, -c.head_wind) * 1.001 + 1.0
        grid = np.linspace(0.0, above, 4001)
        for low, high in pairwise(grid):
            if self.net(float(high)) <= 0:
                return self.bisected(float(low), float(high))
        raise AssertionError("the scan's end is above every speed that can be held")

    def bisected(self, low: float, high: float) -> float:
        """Where the net force ceases to be above zero; it may stay zero from there on."""
        while high - low > 1e-14 * high:
            middle = 0.5 * (low + high)
            if middle in (low, high):
                break
            low, high = (low, middle) if self.net(middle) <= 0 else (middle, high)
        return high

    # --- braking ------------------------------------------------------------------------------

    def braking(self, v: float) -> float:
        c = self.car
        tyres = c.grip * max(self.weight + sum(self.downforce(v)), 0.0) / c.mass
        return min(c.brake_deceleration, tyres) + self.resistance(v) / c.mass

    def stopping(self, fastest: float) -> Callable[[float], float]:
        """Stopping distance as a function of the speed, up to `fastest`."""
        sol = solve_ivp(
            lambda v, _: [v / max(self.braking(v), LEAST_BRAKING)],
            (0.0, fastest), [0.0], method="DOP853", rtol=RTOL, atol=1e-10,
            dense_output=True, max_step=fastest / 40,
        ).sol  # fmt: skip
        return lambda v: float(sol(min(max(v, 0.0), fastest))[0])

    def largest(self, f: Callable[[float], float], fastest: float) -> float:
        """Largest f(v) for 0 <= v <= fastest; f may have kinks and falling jumps."""
        grid = np.linspace(0.0, fastest, 1501)
        values = [f(float(v)) for v in grid]
        best = int(np.argmax(values))
        low, high = float(grid[max(best - 1, 0)]), float(grid[min(best + 1, len(grid) - 1)])
        if high <= low:
            return values[best]
        found = minimize_scalar(
            lambda v: -f(v), bounds=(low, high), method="bounded", options={"xatol": 1e-11}
        )
        return max(values[best], -float(found.fun), f(low), f(high))


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
    if v_star == 0 or car.road_length <= 0:
        return run
    stopping = s.stopping(v_star)

    def motion(_: float, y: np.ndarray) -> list[float]:
        v = min(max(float(y[1]), 0.0), v_star)
        d = s.drive(v)
        heat = d.current**2 * s.r_motor + s.back_emf(v) * s.no_load(v)
        a = (d.force - s.resistance(v)) / s.effective_mass(v)
        return [v, a, d.pack_current, heat]

    def road_full(_: float, y: np.ndarray) -> float:
        return float(y[0]) + stopping(float(y[1])) - car.road_length

    road_full.terminal = True  # type: ignore[attr-defined]
    # A car that crawls takes long, but never longer than its slowest part of the road does.
    sol = solve_ivp(
        motion, (0.0, 1e7), [0.0, 0.0, 0.0, 0.0], method="DOP853", rtol=RTOL, atol=1e-9,
        events=road_full, first_step=1e-6, max_step=0.25 * max(1.0, car.road_length / v_star / 40),
    )  # fmt: skip
    if sol.status != 1:
        raise AssertionError(f"the road's end was not found: {sol.message}")
    x, v, charge, heat = (float(q) for q in sol.y_events[0][0])
    run.road_speed, run.lift_at, run.stop_distance = v, x, stopping(v)
    run.time_to_lift = float(sol.t_events[0][0])
    run.charge, run.rise = charge, heat / car.heat_capacity
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
    shifted = (start.resistance(v) - start.rolling(v)) * car.cg_height / car.wheelbase
    out.top_front_load_share = (rest_front + start.downforce(v)[0] - shifted) / rest_front

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
    out.asked_motor_current = s.largest(lambda u: s.drive(u, ratings=False).current, v_x)
    out.asked_pack_current = s.largest(lambda u: s.drive(u, ratings=False).pack_current, v_x)
    out.time_to_top = float(run.at_speeds(np.array([0.0, 0.99 * run.balance_speed]))[0][-1])
    return out
