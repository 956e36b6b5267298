"""The car folded into few coefficients: the formulas of :mod:`pennyspeed.physics.forces`, with
everything that does not depend on speed multiplied out once.

::

    g(v)   = min(growth2 v², growth_max)              growth of the tyre
    e(v)   = lever/(1+g)                              k_t G/r, newtons per ampere; E = e v
    F_el   = e (I_el - i0 - i1 E) η                   1/η where it drags
    q      = v + wind,  q2 = q|q|,  qp = max(q2, 0)
    F_res  = drag q2 + rolling max(weight + down qp, 0) + grade
    a      = min((F_el - F_res)/m_e, (F_x - F_res)/m, a_drv),   m_e = mass + spin/(1+g)²

The last line takes each limit as an acceleration: grip and driver are then free of growth, and
nearly linear in qp. Forty operations per speed instead of ninety; the tests hold the two together.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import numpy as np

from pennyspeed.physics.car import REST_MARGIN, FloatArray, Floats
from pennyspeed.physics.electrics import (
    Electrics,
    full_throttle_current,
    full_throttle_pack_current,
)
from pennyspeed.physics.elementwise import is_zero


@dataclass(frozen=True, slots=True)
class Along:
    """What charge and heat need of the forces, at the same speeds."""

    lever: FloatArray
    emf: FloatArray
    no_load: FloatArray
    effective: FloatArray
    resistance: FloatArray


@dataclass(frozen=True, slots=True)
class Folded:
    """Coefficients of the formulas above, plain numbers or ``(n,)``; a state is held throughout."""

    mass: Floats
    spin: Floats
    """(J_w + J_m G²)/r_0² [kg]."""
    lever: Floats
    """k_t G/r_0 [N/A]."""
    growth2: Floats
    """γ/v_γ² [s²/m²]."""
    growth_max: Floats
    efficiency: Floats

    voltage: Floats
    winding: Floats
    behind_pack: Floats
    pack: Floats
    whole: Floats
    current_limit: Floats
    pack_limit: Floats
    """Burst current of the pack [A]."""
    bound_power: Floats
    reactance: Floats
    """X/E [ohm/V]; a plain 0 where no car of the batch has inductance."""
    pack_bounds: bool
    """Whether any car's pack bounds its power."""
    weak_pack: bool
    """Whether any car's pack may give more than U/(2 R_p) at full throttle: I_p is then the larger
    root."""
    loss: Floats
    """i0: no-load current at rest [A]."""
    loss_per_volt: Floats
    """i1: growth of the no-load current with E [A/V]."""

    weight: Floats
    grade: Floats
    rolling: Floats
    drag: Floats
    down: Floats
    """Downforce of both axles over (v+w)² [N s²/m²]."""
    wind: Floats

    tyre0: Floats
    tyre1: Floats
    """The tyres let pass tyre0 + tyre1 qp - tyre2 F_r [N]."""
    tyre2: Floats
    lift0: Floats
    lift1: Floats
    """Front wheels lift at lift0 + lift1 qp + F_r [N]."""
    driver: Floats
    never_pushed: bool
    """Whether no car has the wind behind it."""
    coasts: bool
    """Whether any car may be pushed harder by slope or wind than its driver allows."""
    brake: Floats
    grip: Floats

    def resistance(self, speed: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
        """F_res, F_r [N] and qp [m²/s²]."""
        air = speed + self.wind
        if self.never_pushed:
            air_squared = ahead = air * air
        else:
            air_squared = air * np.abs(air)
            ahead = np.maximum(air_squared, 0.0)
        rolling = np.maximum(self.weight + self.down * ahead, 0.0) * self.rolling
        return self.drag * air_squared + rolling + self.grade, rolling, ahead

    @property
    def state(self) -> Electrics:
        """Motor, controller and pack, as the formulas take them."""
        return Electrics(
            self.voltage,
            self.winding,
            self.behind_pack,
            self.pack,
            self.whole,
            self.bound_power,
            self.reactance,
        )

    def limits(self, speed: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Accelerations that the electrics allow, and that grip and driver allow [m/s²]."""
        electric, road, _ = self._limits(speed)
        return electric, road

    def _limits(self, speed: FloatArray) -> tuple[FloatArray, FloatArray, Along]:
        room = self.room(speed)
        lever = self.lever / room
        emf = lever * speed
        current = np.minimum(full_throttle_current(self.state, emf), self.current_limit)
        if self.pack_bounds:
            current = np.minimum(current, self.pack_bound(emf))
        no_load = self.loss + self.loss_per_volt * emf
        pull = (current - no_load) * lever
        pull = np.minimum(pull * self.efficiency, pull / self.efficiency)
        resistance, rolling, ahead = self.resistance(speed)
        room *= room
        effective = self.mass + self.spin / room
        electric = (pull - resistance) / effective

        tyre, lift = self.grip_bounds(rolling, ahead)
        grip = (np.maximum(np.minimum(tyre, lift), 0.0) - resistance) / self.mass
        driver = self.driver
        if self.coasts:
            free = -no_load * lever / self.efficiency
            pushed = (free - resistance) / effective
            # max(pushed, 0) touches zero and stays there, where rounding would decide; without the
            # bound the first zero is the same, and beyond it the sign is one
            driver = np.where(np.greater(driver, 0.0), np.maximum(driver, pushed), pushed)
        return electric, np.minimum(grip, driver), Along(lever, emf, no_load, effective, resistance)

    def room(self, speed: FloatArray) -> FloatArray:
        """1 + g, the growth of the tyre."""
        return 1.0 + np.minimum(self.growth2 * speed * speed, self.growth_max)

    def pack_bound(self, emf: FloatArray) -> FloatArray:
        """Motor current at which the pack reaches its bound [A]."""
        root = np.sqrt(emf * emf + 4.0 * self.behind_pack * self.bound_power)
        return 2.0 * self.bound_power / (emf + root)

    def grip_bounds(self, rolling: FloatArray, ahead: FloatArray) -> tuple[FloatArray, FloatArray]:
        """F_x at which the driven tyres let go, and at which the front wheels lift [N]."""
        tyre = self.tyre0 + self.tyre1 * ahead - self.tyre2 * rolling
        return tyre, self.lift0 + self.lift1 * ahead + rolling

    def switches(self, speed: FloatArray) -> list[FloatArray]:
        """Functions whose zeros are the kinks of a run, each of the shape of `speed`."""
        room = self.room(speed)
        lever = self.lever / room
        emf = lever * speed
        electric, road = self.limits(speed)
        resistance, rolling, ahead = self.resistance(speed)
        tyre, lift = self.grip_bounds(rolling, ahead)
        bound = np.minimum(self.pack_bound(emf), self.current_limit)
        free = (self.voltage - emf) / self.whole
        by_voltage: FloatArray = free
        if not is_zero(self.reactance):
            by_voltage = cast(FloatArray, full_throttle_current(self.state, emf))
        least = np.minimum(tyre, lift)
        no_load = self.loss + self.loss_per_volt * emf
        effective = self.mass + self.spin / (room * room)
        # what passes the gears under the least limit: its sign decides which way they lose
        torque = (np.minimum(electric, road) * effective + resistance) / lever
        asked = no_load + np.maximum(torque / self.efficiency, torque * self.efficiency)
        found = [
            electric - road,
            least - resistance - self.mass * self.driver,
            tyre - lift,
            by_voltage - bound,
            self.current_limit - self.pack_bound(emf),
            free,
            least,
            np.minimum(by_voltage, bound) - no_load,
            torque,
            # where the motor freewheels rounding would decide the sign of 0
            asked - 1.0e-6 * no_load,
            self.weight + self.down * ahead,
        ]
        if self.coasts:
            pushed = -no_load * lever / self.efficiency - resistance
            found.append(pushed - effective * self.driver)
        if not self.never_pushed:
            found.append(speed + self.wind)
        return found

    def acceleration(self, speed: FloatArray) -> FloatArray:
        """a(v) under the least limit [m/s²]."""
        return cast(FloatArray, np.minimum(*self.limits(speed)))

    def motion(self, speed: FloatArray) -> tuple[FloatArray, Along]:
        """The same, and what :meth:`uses` then needs."""
        electric, road, along = self._limits(speed)
        return np.minimum(electric, road), along

    def braking(self, speed: FloatArray) -> FloatArray:
        """Deceleration with the throttle closed, the floor `REST_MARGIN` included [m/s²]."""
        return np.maximum(self.hold(speed), REST_MARGIN)

    def hold(self, speed: FloatArray) -> FloatArray:
        """Deceleration with the throttle closed, before that floor [m/s²]."""
        resistance, _, ahead = self.resistance(speed)
        tyres = self.grip * np.maximum(self.weight + self.down * ahead, 0.0)
        return cast(FloatArray, np.minimum(tyres / self.mass, self.brake) + resistance / self.mass)

    def uses(self, acceleration: FloatArray, along: Along) -> FloatArray:
        """Pack current [A] and the power that warms the motor [W], shape ``(2, k, n)``.

        At full throttle I_p is the smaller root of the pack's power as long as it is no more than
        U/(2 R_p), and is told apart where it may be more.
        """
        emf, no_load = along.emf, along.no_load
        current = acceleration * along.effective
        current += along.resistance
        current /= along.lever
        current = np.maximum(current / self.efficiency, current * self.efficiency)
        current += no_load
        np.maximum(current, 0.0, out=current)
        copper = current * current
        power = emf * current
        power += self.behind_pack * copper
        inner = power * (-4.0 * self.pack)
        inner += self.voltage * self.voltage
        np.maximum(inner, 0.0, out=inner)
        root = np.sqrt(inner, out=inner)
        root += self.voltage
        used = np.empty((2, *acceleration.shape), dtype=acceleration.dtype)
        np.divide(2.0 * power, root, out=used[0])
        if self.weak_pack:
            state = self.state
            full = full_throttle_current(state, emf)
            closed = full_throttle_pack_current(state, emf, current)
            np.copyto(used[0], closed, where=current >= (1.0 - 1.0e-9) * full)
        np.multiply(copper, self.winding, out=used[1])
        used[1] += emf * no_load
        return used
