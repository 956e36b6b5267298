"""Motor, controller and pack: currents, and the force they make at the wheel.

::

    cells --U--[R_p]--[R_c]--[R_m]--(E)--> torque k_t (I - I_0) --> G/r, eta --> F

Source: Drela, *First-order DC electric motor model* (2007), with a no-load current that grows with
speed; copper: IEC 60028. Speed enters as the back-EMF E = v (G/r)/k_v.
"""

from __future__ import annotations

from typing import NamedTuple, cast

import numpy as np
from numpy import ndarray

from pennyspeed.physics.car import (
    COPPER_COEFFICIENT,
    COPPER_REFERENCE_C,
    NO_LIMIT,
    Car,
    FloatArray,
    Floats,
)
from pennyspeed.physics.elementwise import choose, greater, square_root
from pennyspeed.physics.pack import open_circuit_voltage

UNBOUNDED_POWER = 1.0e12
"""Stands for a pack that does not bound the power [W]."""


class Electrics(NamedTuple):
    """Motor, controller and pack in one state of charge and at one winding temperature."""

    voltage: Floats
    """U of the rested pack [V]."""
    winding: Floats
    """R_m, warm [ohm]."""
    behind_pack: Floats
    """R_m + R_c [ohm]."""
    pack: Floats
    """R_p [ohm]."""
    whole: Floats
    """R = R_p + R_c + R_m [ohm]."""
    bound_power: Floats
    """What leaves the pack's terminals at its burst current [W]; `UNBOUNDED_POWER` if that never
    bounds the motor."""


def winding_resistance(car: Car, temperature: Floats) -> Floats:
    """R_m(T) = R_m (1 + 0.00393 (T - 20 °C)) [ohm] (IEC 60028).

    >>> from types import SimpleNamespace
    >>> round(winding_resistance(SimpleNamespace(motor_resistance=0.1), 100.0), 5)
    0.13144
    """
    rise = temperature - COPPER_REFERENCE_C
    return car.motor_resistance * (1.0 + COPPER_COEFFICIENT * rise)


def electrics(car: Car, state_of_charge: Floats, temperature: Floats) -> Electrics:
    """Motor, controller and pack as they are in the state that a run holds.

    The pack's bound is its terminal power U I_b - R_p I_b², none where I_b ≥ U/(2 R_p). Nor does it
    ever bound where I_b is not below I_max or U/R: the pack's current never exceeds the motor's.
    """
    voltage = car.cells_series * open_circuit_voltage(state_of_charge)
    winding = winding_resistance(car, temperature)
    behind = winding + car.controller_resistance
    whole = behind + car.pack_resistance
    burst = car.pack_current_limit
    least = greater(
        greater(2.0 * car.pack_resistance, whole) * burst / voltage,
        burst / greater(car.current_limit, 1.0e-9),
    )
    bound = choose(least < 1.0, (voltage - car.pack_resistance * burst) * burst, UNBOUNDED_POWER)
    return Electrics(voltage, winding, behind, car.pack_resistance, whole, bound)


def back_emf(car: Car, speed: Floats, gear: Floats) -> Floats:
    """E = ω/k_v [V], with ω = v G/r."""
    return speed * (gear / car.kv)


def no_load_current(car: Car, emf: Floats) -> Floats:
    """I_0(ω) = I_00 ((1 - λ) + λ ω/ω_0) [A], ω_0 being the speed at `no_load_voltage`.

    Takes the back-EMF, as ω/ω_0 = E/U_0. Air and eddy losses grow with speed: makers' rows of
    brushless motors fall 3-13 % short of the straight line.
    """
    rising = car.no_load_current * car.loss_speed_share
    return (car.no_load_current - rising) + (rising / car.no_load_voltage) * emf


def full_throttle_current(state: Electrics, emf: Floats) -> Floats:
    """I_v = max((U - E)/R, 0) [A]: the controller freewheels, no current flows backwards."""
    return greater((state.voltage - emf) / state.whole, 0.0)


def pack_bound_current(state: Electrics, emf: Floats) -> Floats:
    """Motor current at which the pack reaches its burst current [A].

    The solution of (R_m + R_c) I² + E I = U I_b - R_p I_b², written so that nothing cancels.
    """
    power = state.bound_power
    if not isinstance(power, ndarray) and power == UNBOUNDED_POWER:
        return NO_LIMIT
    root = square_root(emf * emf + 4.0 * state.behind_pack * power)
    return 2.0 * power / (emf + root)


def wheel_force(car: Car, current: Floats, no_load: Floats, gear: Floats) -> Floats:
    """F(I) = k_t (I - I_0) G/r (η if I ≥ I_0, else 1/η) [N]: a motor that drags is dragged."""
    net = current - no_load
    eta = car.drivetrain_efficiency
    pull = net * (gear / car.kv)
    if isinstance(pull, ndarray):
        # eta <= 1, hence pull*eta is the smaller one exactly where the motor pulls
        return cast(FloatArray, np.minimum(pull * eta, pull / eta))
    return pull * eta if net >= 0.0 else pull / eta


def motor_current(car: Car, force: Floats, no_load: Floats, gear: Floats) -> Floats:
    """I = I_0 + F/(k_t G/r) (1/η if F ≥ 0, else η), never below zero [A].

    The inverse of :func:`wheel_force`.
    """
    eta = car.drivetrain_efficiency
    torque = force * (car.kv / gear)
    return greater(no_load + greater(torque / eta, torque * eta), 0.0)


def pack_current(state: Electrics, emf: Floats, current: Floats) -> Floats:
    """Pack current below full throttle [A].

    The smaller root of U I_p - R_p I_p² = E I + (R_m + R_c) I²: the controller steps the pack's
    voltage down. At full throttle the switch stays closed and I_p = I, which the caller knows.
    """
    power = (emf + state.behind_pack * current) * current
    voltage = state.voltage
    root = square_root(voltage * voltage - 4.0 * state.pack * power)
    return 2.0 * power / (voltage + root)
