"""Forces and currents at one speed: the formulas, each once, for plain numbers and arrays alike.

Everything is written with plain operators, so that a Python float stays one (fast for a single car)
and arrays broadcast. For many cars at many speeds put the speeds first: speeds of shape ``(k, n)``
meet the figures of a :class:`~pennyspeed.physics.car.Car` of shape ``(n,)``.

::

    cells, motor --> F_el(v)  electrics.py        limits on the wheel force F, the smallest wins:
    air, tyres  --> F_res(v)  road.py             voltage | current | pack | grip | driver
                    F_x <= grip
                                                  m_e dv/dt = F - F_res
    F  at the wheel;  F_x = (F - F_res) m/m_e + F_res  on the road: part of F spins up the wheels

The formulas of the parts are in :mod:`pennyspeed.physics.electrics` and
:mod:`pennyspeed.physics.road`.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy import ndarray

from pennyspeed.physics.car import (
    CURRENT,
    DRIVER,
    GRIP,
    NO_LIMIT,
    PACK,
    VOLTAGE,
    Car,
    Floats,
    Ints,
)
from pennyspeed.physics.electrics import (
    Electrics,
    back_emf,
    full_throttle_current,
    no_load_current,
    pack_bound_current,
    wheel_force,
)
from pennyspeed.physics.elementwise import greater, is_zero, lesser
from pennyspeed.physics.road import (
    Air,
    air_forces,
    front_axle_load,
    grade_force,
    grip_road_force,
    rear_axle_load,
    rolling_force,
    weight_on_road,
)


def tyre_growth(car: Car, speed: Floats) -> Floats:
    """Growth of the tyre as a share of its diameter: min(γ (v/v_γ)², γ_max).

    >>> from types import SimpleNamespace
    >>> tyre_growth(SimpleNamespace(growth=0.03, growth_speed=25.0, growth_max=0.05), 12.5)
    0.0075
    """
    if is_zero(car.growth):
        return 0.0
    share = speed / car.growth_speed
    return lesser(car.growth * (share * share), car.growth_max)


def rolling_radius(car: Car, speed: Floats) -> Floats:
    """Rolling radius r(v) = D_0/2 (1 + growth) [m]."""
    return (1.0 + tyre_growth(car, speed)) * (0.5 * car.tyre_diameter)


def gearing(car: Car, radius: Floats) -> Floats:
    """Motor radians for one metre of road, G/r [1/m]; motor speed is v times it."""
    return car.gear_ratio / radius


def effective_mass(car: Car, gear: Floats) -> Floats:
    """Mass that the wheel force accelerates, m + J_w/r² + J_m (G/r)² [kg].

    `gear` is :func:`gearing`, G/r. The change of r with speed is left out.
    """
    at_motor = car.wheel_inertia / (car.gear_ratio * car.gear_ratio) + car.rotor_inertia
    return car.mass + at_motor * (gear * gear)


class Forces(NamedTuple):
    """What acts on the car at the speeds asked for, and what would act under each limit."""

    gear: Floats
    """G/r [1/m]."""
    effective_mass: Floats
    emf: Floats
    """E [V]."""
    no_load: Floats
    """I_0 [A]."""
    resistance: Floats
    """F_res [N]."""
    air: Air
    rolling: Floats
    voltage_current: Floats
    """I_v [A]."""
    electric_current: Floats
    """The least of I_v, I_max and what the pack allows [A]."""
    electric: Floats
    """Wheel force of that current [N]."""
    grip: Floats
    """Wheel force that the grip allows [N]."""
    driver: Floats
    """Wheel force that the driver allows [N]."""


def forces_at(car: Car, state: Electrics, speed: Floats) -> Forces:
    """All forces at the speeds given [m/s], ≥ 0, in the state held.

    The wheel force is the least of `electric`, `grip` and `driver`; the net force that minus
    `resistance`; the acceleration that over `effective_mass`.
    """
    radius = rolling_radius(car, speed)
    gear = gearing(car, radius)
    mass = effective_mass(car, gear)
    emf = back_emf(car, speed, gear)
    no_load = no_load_current(car, emf)
    air = air_forces(car, speed)
    weight = weight_on_road(car)
    rolling = rolling_force(car, weight, air.front + air.rear)
    resistance = air.drag + (rolling + grade_force(car))

    full = full_throttle_current(state, emf)
    current = lesser(full, lesser(car.current_limit, pack_bound_current(state, emf)))

    road = grip_road_force(car, weight, air, rolling)
    grip = wheel_force_of_road_force(car, road, mass, resistance)
    driver = mass * car.driver_acceleration + resistance
    if not never_pushed(car):
        driver = greater(driver, wheel_force(car, 0.0, no_load, gear))
    return Forces(
        gear,
        mass,
        emf,
        no_load,
        resistance,
        air,
        rolling,
        full,
        current,
        wheel_force(car, current, no_load, gear),
        grip,
        driver,
    )


def wheel_force_of_road_force(
    car: Car, road_force: Floats, mass: Floats, resistance: Floats
) -> Floats:
    """F = (F_x - F_res) m_e/m + F_res [N]: part of F spins up rotor and wheels.

    The same as F_x m_e/m - F_res (m_e - m)/m.
    """
    return (road_force - resistance) * (mass / car.mass) + resistance


def road_force_of_wheel_force(car: Car, at: Forces, force: Floats) -> Floats:
    """F_x = (F - F_res) m/m_e + F_res [N], the inverse of :func:`wheel_force_of_road_force`."""
    return (force - at.resistance) * (car.mass / at.effective_mass) + at.resistance


def front_load_share(car: Car, at: Forces, road_force: Floats) -> Floats:
    """Load of the front axle while the tyres pass a force to the road, over its value at rest."""
    weight = weight_on_road(car)
    load = front_axle_load(car, weight, at.air, at.rolling, road_force)
    return load / (car.front_share * weight)


def rear_load_share(car: Car, at: Forces, road_force: Floats) -> Floats:
    """The same of the rear axle."""
    weight = weight_on_road(car)
    load = rear_axle_load(car, weight, at.air, at.rolling, road_force)
    return load / ((1.0 - car.front_share) * weight)


def never_pushed(car: Car) -> bool:
    """Whether neither slope nor wind ever pushes, so that the driver never meets F(0)."""
    slope, wind = car.slope, car.head_wind
    plain = not isinstance(slope, ndarray) and not isinstance(wind, ndarray)
    return plain and bool(slope >= 0.0 and wind >= 0.0)


def limit_codes(car: Car, state: Electrics, at: Forces) -> Ints:
    """Code of the limit that wins, ties to the first of voltage, current, pack, grip, driver."""
    pack = pack_bound_current(state, at.emf)
    if isinstance(at.electric, ndarray):
        code = np.where(at.electric_current < at.voltage_current, CURRENT, VOLTAGE)
        if isinstance(pack, ndarray) or pack < NO_LIMIT:
            packed = (pack < car.current_limit) & (pack < at.voltage_current)
            code = np.where(packed, PACK, code)
        code = np.where(at.grip < at.electric, GRIP, code)
        return np.where(at.driver < np.minimum(at.electric, at.grip), DRIVER, code)
    if at.driver < at.electric and at.driver < at.grip:
        return DRIVER
    if at.grip < at.electric:
        return GRIP
    if pack < car.current_limit and pack < at.voltage_current:
        return PACK
    return CURRENT if at.electric_current < at.voltage_current else VOLTAGE
