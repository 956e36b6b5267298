"""Currents of a run: what motor and pack carry, what that takes from the pack and adds in heat.

::

    I_p |*                        weak pack (R_p > R_m + R_c): at full throttle I_p is the larger
        | `*.  voltage            root of U I_p - R_p I_p² = P; as soon as another limit wins, the
        |    `*                   controller steps down to the smaller root, and I_p jumps
        |     |
        |     *---.__  current
        +------------------ v
"""

from __future__ import annotations

from typing import cast

import numpy as np

from pennyspeed.physics.car import VOLTAGE, Car, FloatArray, IntArray
from pennyspeed.physics.electrics import (
    Electrics,
    full_throttle_pack_current,
    motor_current,
    pack_current,
    wheel_force,
)
from pennyspeed.physics.forces import Forces, limit_codes
from pennyspeed.physics.single.run import Point, Run

_ON_LIMIT = 1.0 - 1.0e-9
"""So near I_v a current counts as full throttle: a peak takes both sides of a change of limit."""


def is_weak(state: Electrics) -> bool:
    """Whether the pack's resistance is the larger part: I_p may jump at a change of limit."""
    return bool(state.pack > state.behind_pack)


def currents_at(
    car: Car, state: Electrics, at: Forces, force: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Motor and pack current [A] for a wheel force, the switch closed where voltage wins."""
    motor = cast(FloatArray, motor_current(car, force, at.no_load, at.gear))
    pack = cast(FloatArray, pack_current(state, at.emf, motor))
    if is_weak(state):
        full = full_throttle_pack_current(state, at.emf, motor)
        pack = np.where(motor >= at.voltage_current * _ON_LIMIT, full, pack)
    return motor, pack


class Currents:
    """Motor and pack currents at the nodes of a run [A]."""

    __slots__ = ("_at", "_car", "_codes", "_full", "_run", "_state", "_stepped", "motor", "pack")

    def __init__(self, run: Run) -> None:
        self._run, self._car, self._state = run, run.car, run.course.state
        self._at = run.at
        self._codes: IntArray | None = None
        self.motor = cast(
            FloatArray, motor_current(run.car, run.force, self._at.no_load, self._at.gear)
        )
        self._stepped = cast(FloatArray, pack_current(self._state, self._at.emf, self.motor))
        self.pack = self._full = self._stepped
        if is_weak(self._state):
            full = self.motor >= self._at.voltage_current * _ON_LIMIT
            closed = full_throttle_pack_current(self._state, self._at.emf, self.motor)
            self._full = cast(FloatArray, closed)
            self.pack = np.where(full, self._full, self._stepped)

    @property
    def codes(self) -> IntArray:
        """Codes of the limit that wins; a node on a change of limit belongs to either side."""
        if self._codes is None:
            self._codes = cast(IntArray, limit_codes(self._car, self._state, self._at))
        return self._codes

    def charge(self, lift: Point) -> float:
        """Charge from the pack up to the lift point [A s]."""
        pack = self._stepped
        left, middle, right = pack[:-2:2], pack[1::2], pack[2::2]
        if is_weak(self._state):
            # the middle of a pair tells on which side of the jump its ends are
            full = self.codes[1::2] == VOLTAGE
            closed = self._full
            left = np.where(full, closed[:-2:2], left)
            middle = np.where(full, closed[1::2], middle)
            right = np.where(full, closed[2::2], right)
        return self._run.up_to(lift, left, middle, right)

    def heat(self, lift: Point) -> float:
        """Heat in the motor up to the lift point, ∫ (I² R_m + E I_0) dt [J]."""
        at = self._at
        heat = self.motor * self.motor * self._state.winding + at.emf * at.no_load
        return self._run.up_to(lift, heat[:-2:2], heat[1::2], heat[2::2])

    def peaks(self, lift: Point, here: Forces) -> tuple[float, float, float, float]:
        """Largest motor and pack current up to the lift point, and the largest asked for [A].

        `here` are the forces at the lift point. The last two currents are those that voltage, grip
        and driver alone would ask for.
        """
        car, state, at = self._car, self._state, self._at
        count = self._run.count(lift)
        force = min(here.electric, here.grip, here.driver)
        motor, pack = _at_one(car, state, here, float(force))
        peak = max(motor, float(self.motor[:count].max()))
        peak_pack = max(pack, float(self.pack[:count].max()))

        full = wheel_force(car, here.voltage_current, here.no_load, here.gear)
        asked, asked_pack = _at_one(car, state, here, float(min(full, here.grip, here.driver)))
        held_back = (at.electric_current < at.voltage_current) & (self._run.force >= at.electric)
        if not bool(np.asarray(held_back)[:count].any()):
            return peak, peak_pack, max(asked, peak), max(asked_pack, peak_pack)
        force = np.minimum(
            wheel_force(car, at.voltage_current, at.no_load, at.gear),
            np.minimum(at.grip, at.driver),
        )
        motors, packs = currents_at(car, state, at, force)
        return (
            peak,
            peak_pack,
            max(asked, float(motors[:count].max())),
            max(asked_pack, float(packs[:count].max())),
        )


def _at_one(car: Car, state: Electrics, at: Forces, force: float) -> tuple[float, float]:
    """Motor and pack current at one speed [A]."""
    motor = float(motor_current(car, force, at.no_load, at.gear))
    if is_weak(state) and motor >= at.voltage_current * _ON_LIMIT:
        return motor, float(full_throttle_pack_current(state, at.emf, motor))
    return motor, float(pack_current(state, at.emf, motor))
