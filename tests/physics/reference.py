"""A second opinion on the run of one car: slow, plain, and sharing no formula with the program.

Written from the equations of motion alone. The run is integrated in time by scipy's DOP853 at tight
tolerance, the program integrates over speed in closed form between kinks; what they have in common
is the physics and the `Car` that names its figures.

Sources: motor: Drela, First-order DC electric motor model (2007, from memory); copper: IEC 60028;
what the commutation takes: Mohan, Undeland & Robbins, Power Electronics (from memory); axle loads
and grip limits: Gillespie, Fundamentals of Vehicle Dynamics, ch. 1 and 2 (from memory);
the cells' open-circuit voltage: common practice, no source.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise
from math import cos, exp, inf, pi, sin, sqrt

import numpy as np
from scipy.integrate import solve_ivp
from scipy.optimize import brentq, minimize_scalar

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
        self.r_pack = car.pack_resistance * exp(
            2800 * (1 / (273.15 + car.pack_temperature) - 1 / 293.15)
        )
        self.r_behind = car.controller_resistance + self.r_motor
        self.r_total = self.r_pack + self.r_behind
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

    def reactance(self, v: float) -> float:
        """Mean voltage lost to commutation, per ampere: six times a turn of the field."""
        electrical = v * self.lever(v) * self.car.pole_pairs
        return 3 / pi * electrical * self.car.inductance / 2

    def full_throttle_pack_current(self, v: float, current: float) -> float:
        """What the pack gives for it: the bridge passes on its volts, not all of its amperes."""
        x, e = self.reactance(v), self.back_emf(v)
        if x == 0:
            return current
        return current * (e + self.r_behind * current) / (e + (self.r_behind + x) * current)

    def full_throttle_current(self, v: float) -> float:
        """The current at which the pack's volts are all spent."""
        x, e = self.reactance(v), self.back_emf(v)
        if x == 0 or e >= self.volts:
            return max((self.volts - e) / self.r_total, 0.0)

        def missing(current: float) -> float:
            given = self.volts - self.r_pack * self.full_throttle_pack_current(v, current)
            return given - e - (self.r_behind + x) * current

        most = (self.volts - e) / (self.r_behind + x)
        return float(brentq(missing, 0.0, most, xtol=1e-13, rtol=1e-14))

    def pack_bound_current(self, v: float) -> float:
        i_b = self.car.pack_current_limit
        if 2 * i_b * self.r_pack >= self.volts:
            return inf
        power = self.volts * i_b - self.r_pack * i_b**2
        r, e = self.r_behind, self.back_emf(v)
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
            return Drive(forces[0], 0, i_v, self.full_throttle_pack_current(v, i_v))
        current = self.current_for(v, forces[limit])
        power = (self.back_emf(v) + self.r_behind * current) * current
        root = sqrt(max(self.volts**2 - 4 * self.r_pack * power, 0.0))
        return Drive(forces[limit], limit, current, 2 * power / (self.volts + root))

    def front_load(self, v: float, acceleration: float) -> float:
        """Load of the front axle while the road pushes the car, mass and resistances, along."""
        push = self.car.mass * acceleration + self.resistance(v) - self.rolling(v)
        rest = self.car.front_share * self.weight + self.downforce(v)[0]
        return rest - push * self.car.cg_height / self.car.wheelbase

    def rear_load(self, v: float, acceleration: float) -> float:
        return self.weight + sum(self.downforce(v)) - self.front_load(v, acceleration)

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
