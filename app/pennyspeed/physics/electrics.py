"""Motor, controller and pack: currents, and the force they make at the wheel.

::

    cells --U--[R_p]--[R_c]--[R_m]--[X]--(E)--> torque k_t (I - I_0) --> G/r, eta --> F

At full throttle the winding's inductance takes X I of the voltage, and no power: each commutation
needs time. The pack then gives less than the motor carries. Below full throttle the controller
steps the voltage down anyhow, and X does not show.

Sources: Drela, *First-order DC electric motor model* (2007), with a no-load current that grows with
speed; copper: IEC 60028; X: Mohan, Undeland & Robbins, *Power Electronics*, overlapping commutation
of a three-phase bridge (from memory). Speed enters as the back-EMF E = v (G/r)/k_v.
"""

from __future__ import annotations

import math
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
from pennyspeed.physics.elementwise import choose, exponential, greater, is_zero, square_root
from pennyspeed.physics.pack import open_circuit_voltage

UNBOUNDED_POWER = 1.0e12
"""Stands for a pack that does not bound the power [W]."""

PACK_REFERENCE_C = 20.0
"""Temperature at which a pack's resistance is given [°C]."""

_CELL_ACTIVATION_K = 2800.0
"""A pack's resistance doubles from 20 to 0 °C (from memory)."""

_FREEZING_K = 273.15

_LEAST_VOLTAGE = 1.0e-30
"""Keeps a motor that neither turns nor carries current from a division by 0 [V]."""


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
    reactance: Floats
    """X/E [ohm/V]; a plain 0 where no motor of the batch has inductance."""


def winding_resistance(car: Car, temperature: Floats) -> Floats:
    """R_m(T) = R_m (1 + 0.00393 (T - 20 °C)) [ohm] (IEC 60028).

    >>> from types import SimpleNamespace
    >>> round(winding_resistance(SimpleNamespace(motor_resistance=0.1), 100.0), 5)
    0.13144
    """
    rise = temperature - COPPER_REFERENCE_C
    return car.motor_resistance * (1.0 + COPPER_COEFFICIENT * rise)


def cold_factor(temperature: Floats) -> Floats:
    """How many times its resistance at 20 °C a pack has, exp(2800 K (1/T - 1/293.15 K)).

    >>> round(cold_factor(0.0), 2), cold_factor(20.0)
    (2.01, 1.0)
    """
    below = PACK_REFERENCE_C - temperature
    if is_zero(below):
        return 1.0
    scale = _CELL_ACTIVATION_K / (PACK_REFERENCE_C + _FREEZING_K)
    return exponential(below * scale / (temperature + _FREEZING_K))


def pack_resistance(car: Car) -> Floats:
    """R_p at the pack's temperature [ohm]."""
    return car.pack_resistance * cold_factor(car.pack_temperature)


def reactance_per_volt(car: Car) -> Floats:
    """X/E of the commutations [ohm/V], with X = 3/π p/2 ω L/2 and ω = k_v E; p/2 pole pairs."""
    inductance = car.inductance
    if isinstance(inductance, ndarray):
        if not inductance.any():
            return 0.0
    elif inductance == 0.0:
        return 0.0
    return (1.5 / math.pi) * car.pole_pairs * car.kv * inductance


def electrics(car: Car, state_of_charge: Floats, temperature: Floats) -> Electrics:
    """Motor, controller and pack as they are in the state that a run holds.

    The pack's bound is its terminal power U I_b - R_p I_b², none where I_b ≥ U/(2 R_p). Nor does it
    ever bound where I_b is not below I_max or U/R: the pack's current never exceeds the motor's.
    """
    voltage = car.cells_series * open_circuit_voltage(state_of_charge)
    winding = winding_resistance(car, temperature)
    behind = winding + car.controller_resistance
    pack = pack_resistance(car)
    whole = behind + pack
    burst = car.pack_current_limit
    least = greater(
        greater(2.0 * pack, whole) * burst / voltage,
        burst / greater(car.current_limit, 1.0e-9),
    )
    bound = choose(least < 1.0, (voltage - pack * burst) * burst, UNBOUNDED_POWER)
    return Electrics(voltage, winding, behind, pack, whole, bound, reactance_per_volt(car))


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
    """I_v [A], 0 from E = U on: the controller freewheels, no current flows backwards.

    (U - E)/R where there is no inductance. With it, and S = R_m + R_c + X, the positive root of
    (S² + R_p (R_m + R_c)) I² + (2 E S + R_p E - U S) I + E² - U E = 0, so written that nothing
    cancels.
    """
    voltage, pack, behind = state.voltage, state.pack, state.behind_pack
    if is_zero(state.reactance):
        return greater((voltage - emf) / state.whole, 0.0)
    in_line = behind + state.reactance * emf
    square = in_line * in_line + pack * behind
    line = (2.0 * emf - voltage) * in_line + pack * emf
    rest = emf * greater(voltage - emf, 0.0)
    root = square_root(line * line + 4.0 * square * rest)
    if isinstance(root, ndarray):
        return cast(
            FloatArray,
            np.where(
                line < 0.0,
                (root - line) / (2.0 * square),
                2.0 * rest / greater(root + line, _LEAST_VOLTAGE),
            ),
        )
    return (root - line) / (2.0 * square) if line < 0.0 else 2.0 * rest / (root + line)


def full_throttle_pack_current(state: Electrics, emf: Floats, current: Floats) -> Floats:
    """I_p at full throttle [A]: I without inductance, else I (E + R_w I)/(E + (R_w + X) I).

    R_w is R_m + R_c. `current` is the motor's, I.
    """
    if is_zero(state.reactance):
        return current
    taken = emf + state.behind_pack * current
    return current * taken / greater(taken + state.reactance * emf * current, _LEAST_VOLTAGE)


def full_throttle_emfs(state: Electrics, current: Floats) -> tuple[Floats, Floats]:
    """Back-EMFs at which full throttle gives a current [V], the larger first; below 0 for none.

    One of them is ever met but where the pack is weak: there X relieves the pack, and from rest I_v
    may rise before it falls. Without inductance the only one is U - R I.
    """
    if is_zero(state.reactance):
        return state.voltage - state.whole * current, -1.0
    voltage, behind = state.voltage, state.behind_pack
    # a quadratic in E (1 + I X/E), as X/E is constant
    stretch = 1.0 + state.reactance * current
    line = (2.0 * behind + state.pack / stretch) * current - voltage
    rest = behind * current * (state.whole * current - voltage)
    inside = line * line - 4.0 * rest
    far = greater(line, -line) + square_root(inside)
    near = 2.0 * rest / far
    met = inside >= 0.0
    larger = choose(met, choose(line < 0.0, 0.5 * far, -near), -1.0)
    smaller = choose(met, choose(line < 0.0, near, -far), -1.0)
    return larger / stretch, smaller / stretch


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
    voltage down. At full throttle, which the caller knows, it is
    :func:`full_throttle_pack_current`; that is the same but where the pack is weak.
    """
    power = (emf + state.behind_pack * current) * current
    voltage = state.voltage
    root = square_root(voltage * voltage - 4.0 * state.pack * power)
    return 2.0 * power / (voltage + root)
