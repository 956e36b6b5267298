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

from dataclasses import dataclass, replace
from typing import cast

import numpy as np

from pennyspeed.physics.car import ALL, REAR, REST_MARGIN, Car, FloatArray, Floats
from pennyspeed.physics.electrics import UNBOUNDED_POWER, Electrics, electrics
from pennyspeed.physics.elementwise import choose, greater
from pennyspeed.physics.road import UNBOUNDED_FORCE, grade_force, weight_on_road


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
    pack_bounds: bool
    """Whether any car's pack bounds its power."""
    weak_pack: bool
    """Whether any car's closed switch may draw more than U/(2 R_p): I_p is then the larger root."""
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

    def limits(self, speed: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Accelerations that the electrics allow, and that grip and driver allow [m/s²]."""
        room = self.room(speed)
        lever = self.lever / room
        emf = lever * speed
        current = np.maximum((self.voltage - emf) / self.whole, 0.0)
        current = np.minimum(current, self.current_limit)
        if self.pack_bounds:
            current = np.minimum(current, self.pack_bound(emf))
        no_load = self.loss + self.loss_per_volt * emf
        pull = (current - no_load) * lever
        pull = np.minimum(pull * self.efficiency, pull / self.efficiency)
        resistance, rolling, ahead = self.resistance(speed)
        effective = self.mass + self.spin / (room * room)
        electric = (pull - resistance) / effective

        tyre, lift = self.grip_bounds(rolling, ahead)
        grip = (np.maximum(np.minimum(tyre, lift), 0.0) - resistance) / self.mass
        driver = self.driver
        if self.coasts:
            free = -no_load * lever / self.efficiency
            driver = np.maximum(driver, (free - resistance) / effective)
        return electric, np.minimum(grip, driver)

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

    def switches(self, speed: FloatArray) -> FloatArray:
        """Functions whose zeros are the kinks of a run, shape ``(6, *speed.shape)``."""
        emf = self.lever / self.room(speed) * speed
        electric, road = self.limits(speed)
        resistance, rolling, ahead = self.resistance(speed)
        tyre, lift = self.grip_bounds(rolling, ahead)
        bound = self.pack_bound(emf)
        found = np.empty((6, *speed.shape))
        found[0] = electric - road
        found[1] = np.minimum(tyre, lift) - resistance - self.mass * self.driver
        found[2] = tyre - lift
        found[3] = (self.voltage - emf) / self.whole - np.minimum(self.current_limit, bound)
        found[4] = self.current_limit - bound
        found[5] = self.voltage - emf
        return found

    def acceleration(self, speed: FloatArray) -> FloatArray:
        """a(v) under the least limit [m/s²]."""
        return cast(FloatArray, np.minimum(*self.limits(speed)))

    def braking(self, speed: FloatArray) -> FloatArray:
        """Deceleration with the throttle closed, the floor `REST_MARGIN` included [m/s²]."""
        resistance, _, ahead = self.resistance(speed)
        tyres = self.grip * np.maximum(self.weight + self.down * ahead, 0.0)
        hold = np.minimum(tyres / self.mass, self.brake) + resistance / self.mass
        return cast(FloatArray, np.maximum(hold, REST_MARGIN))

    def uses(self, speed: FloatArray, acceleration: FloatArray) -> FloatArray:
        """Pack current [A] and the power that warms the motor [W], shape ``(2, k, n)``.

        At full throttle I_p = I: that is the smaller root of the pack's power as long as it is no
        more than U/(2 R_p), and is told apart where it may be more.
        """
        room = self.room(speed)
        lever = self.lever / room
        emf = lever * speed
        no_load = self.loss + self.loss_per_volt * emf
        effective = self.mass + self.spin / (room * room)
        torque = (acceleration * effective + self.resistance(speed)[0]) / lever
        torque = np.maximum(torque / self.efficiency, torque * self.efficiency)
        current = np.maximum(no_load + torque, 0.0)
        copper = current * current
        power = emf * current + self.behind_pack * copper
        inner = np.maximum(self.voltage * self.voltage - 4.0 * self.pack * power, 0.0)
        pack_current = 2.0 * power / (self.voltage + np.sqrt(inner))
        if self.weak_pack:
            full = (self.voltage - emf) / self.whole
            pack_current = np.where(current >= (1.0 - 1.0e-9) * full, current, pack_current)
        return np.stack((pack_current, copper * self.winding + emf * no_load))


def in_state(folded: Folded, car: Car, state_of_charge: Floats, temperature: Floats) -> Folded:
    """The same cars in another state of charge and at another winding temperature [°C]."""
    state = electrics(car, state_of_charge, temperature)
    return replace(
        folded,
        voltage=state.voltage,
        winding=state.winding,
        behind_pack=state.behind_pack,
        whole=state.whole,
        bound_power=state.bound_power,
        weak_pack=_any_weak(state),
        pack_bounds=_any_bound(state),
    )


def _any_bound(state: Electrics) -> bool:
    return bool(np.any(state.bound_power < UNBOUNDED_POWER))


def _any_weak(state: Electrics) -> bool:
    return bool(np.any(2.0 * state.pack > state.whole))


def fold(car: Car) -> Folded:
    """The coefficients of a car, or of many, in the state at the start."""
    state = electrics(car, car.state_of_charge, car.motor_temperature)
    radius = 0.5 * car.tyre_diameter
    gear = car.gear_ratio / radius
    weight = weight_on_road(car)
    grade = grade_force(car)
    pressure_area = 0.5 * car.air_density * car.frontal_area
    down_front = pressure_area * car.downforce_front
    down_rear = pressure_area * car.downforce_rear
    share = car.loss_speed_share

    height = greater(car.cg_height, 1.0e-9)
    arm = car.wheelbase / height
    tyre0, tyre1, tyre2 = _tyre_bound(car, weight, down_front, down_rear)
    drag = pressure_area * car.drag_coefficient
    at_rest = drag * car.head_wind * np.abs(car.head_wind) + car.rolling * weight + grade
    return Folded(
        mass=car.mass,
        spin=(car.wheel_inertia + car.rotor_inertia * car.gear_ratio * car.gear_ratio)
        / (radius * radius),
        lever=gear / car.kv,
        growth2=car.growth / (car.growth_speed * car.growth_speed),
        growth_max=car.growth_max,
        efficiency=car.drivetrain_efficiency,
        voltage=state.voltage,
        winding=state.winding,
        behind_pack=state.behind_pack,
        pack=state.pack,
        whole=state.whole,
        current_limit=car.current_limit,
        pack_limit=car.pack_current_limit,
        bound_power=state.bound_power,
        pack_bounds=_any_bound(state),
        weak_pack=_any_weak(state),
        loss=car.no_load_current * (1.0 - share),
        loss_per_volt=car.no_load_current * share / car.no_load_voltage,
        weight=weight,
        grade=grade,
        rolling=car.rolling,
        drag=drag,
        down=down_front + down_rear,
        wind=car.head_wind,
        tyre0=tyre0,
        tyre1=tyre1,
        tyre2=tyre2,
        lift0=car.front_share * weight * arm,
        lift1=down_front * arm,
        driver=car.driver_acceleration,
        never_pushed=bool(np.all(np.greater_equal(car.head_wind, 0.0))),
        coasts=bool(np.any(at_rest < 0.0)),
        brake=car.brake_deceleration,
        grip=car.grip,
    )


def _tyre_bound(
    car: Car, weight: Floats, down_front: Floats, down_rear: Floats
) -> tuple[Floats, Floats, Floats]:
    """Coefficients of the force that the driven tyres let pass, by layout."""
    if not isinstance(car.driven, np.ndarray):
        return _tyre_bound_of(int(car.driven), car, weight, down_front, down_rear)
    chosen: tuple[Floats, ...] = _tyre_bound_of(ALL, car, weight, down_front, down_rear)
    for layout in np.unique(car.driven):
        if layout != ALL:
            here = _tyre_bound_of(int(layout), car, weight, down_front, down_rear)
            chosen = tuple(
                choose(car.driven == layout, one, other)
                for one, other in zip(here, chosen, strict=True)
            )
    return chosen[0], chosen[1], chosen[2]


def _tyre_bound_of(
    layout: int, car: Car, weight: Floats, down_front: Floats, down_rear: Floats
) -> tuple[Floats, Floats, Floats]:
    if layout == ALL:
        return car.grip * weight, car.grip * (down_front + down_rear), 0.0
    leverage = car.grip * car.cg_height / car.wheelbase
    if layout == REAR:
        bounded = leverage < 1.0
        factor = car.grip / choose(bounded, 1.0 - leverage, 1.0)
        return (
            choose(bounded, factor * (1.0 - car.front_share) * weight, UNBOUNDED_FORCE),
            choose(bounded, factor * down_rear, 0.0),
            choose(bounded, factor * car.cg_height / car.wheelbase, 0.0),
        )
    factor = car.grip / (1.0 + leverage)
    return (
        factor * car.front_share * weight,
        factor * down_front,
        -factor * car.cg_height / car.wheelbase,
    )
