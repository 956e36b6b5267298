"""Top speeds on the fast path: the zero of each limit, and the least of them.

Ordinary is a slope within 6 %, wind between 5 m/s from behind and 10 m/s from ahead, a driver who
asks for more than slope and wind give, and resistance that grows with speed and is above zero at
v*. Then each limit has one zero: tyres and wheel lift in
closed form, voltage, current and pack by a few secants from a quadratic that holds growth. Whatever
is not ordinary is marked, and left to :mod:`pennyspeed.physics.batch.general`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

import numpy as np

from pennyspeed.physics.batch.arrays import SINGLE, BoolArray, bracketed_root, pick
from pennyspeed.physics.batch.folded import Folded
from pennyspeed.physics.car import FloatArray, Floats
from pennyspeed.physics.electrics import Electrics, full_throttle_pack_current
from pennyspeed.physics.elementwise import is_zero

STEEPEST = 0.06
"""Sine of the slope up to which the fast path goes."""

WIND_BEHIND, WIND_AHEAD = -5.0, 10.0
"""[m/s]"""

MOST_GROWTH = 0.5
"""Cap on tyre growth above which E may fall as speed rises."""

SECANTS = 5
"""Most secants to the top speed."""

CLOSE = 1.0e-4
"""Relative size of the last secant at which a top speed is taken as solved: the error that is left
is about its square."""

LEAST = 1.0e-30
"""Keeps quotients from 0/0 where what comes of them is not used."""


@dataclass(frozen=True, slots=True)
class Tops:
    """Top speeds, and for which cars they hold."""

    speed: FloatArray
    balance: FloatArray
    """Where the electrics alone would balance: the guess for a state nearby."""
    sound: BoolArray


def _frozen_balance(car: Folded, room: Floats) -> Floats:
    """Speed at which electrics and resistance balance, growth held at 1 + g = `room`.

    Reactance counts as so much more resistance, that at the balance without it.
    """
    found = _balance_behind(car, room, car.whole)
    if is_zero(car.reactance):
        return found
    emf = car.lever / room * found
    return _balance_behind(car, room, car.whole + car.reactance * emf)


def _balance_behind(car: Folded, room: Floats, whole: Floats) -> Floats:
    lever = car.lever / room
    pull = car.efficiency * lever
    per_speed = pull * lever
    bend = car.drag + car.rolling * car.down
    slope = 2.0 * bend * car.wind + per_speed * car.loss_per_volt
    base = car.rolling * car.weight + car.grade + bend * car.wind * car.wind + pull * car.loss
    voltage = _quadratic(bend, slope + per_speed / whole, pull * car.voltage / whole - base)
    current = _quadratic(bend, slope, pull * car.current_limit - base)
    return cast(FloatArray, np.minimum(voltage, current))


def _quadratic(bend: Floats, slope: Floats, drive: Floats) -> Floats:
    """Positive root of bend v² + slope v = drive, 0 where there is none."""
    drive = np.maximum(drive, 0.0)
    return cast(FloatArray, 2.0 * drive / (slope + np.sqrt(slope * slope + 4.0 * bend * drive)))


def _balance(car: Folded, guess: FloatArray) -> tuple[FloatArray, BoolArray]:
    """Speed at which voltage, current or pack balance the resistance, and where that is settled.

    One Newton step with growth held, then secants on the force itself.
    """
    bend = car.drag + car.rolling * car.down
    rest = car.rolling * car.weight + car.grade
    per_ohm = 1.0 / car.whole
    stall = car.voltage * per_ohm
    pull = car.efficiency * car.lever
    state, by_reactance = car.state, not is_zero(car.reactance)

    def net(speed: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray, FloatArray]:
        room = car.room(speed)
        emf = car.lever / room * speed
        air = speed + car.wind
        if by_reactance:
            need = car.loss + car.loss_per_volt * emf + (rest + bend * air * air) * room / pull
            current = need + _spare_current(state, emf, need)
        else:
            current = stall - emf * per_ohm
        current = np.minimum(current, car.current_limit)
        if car.pack_bounds:
            current = np.minimum(current, car.pack_bound(emf))
        force = pull * (current - car.loss - car.loss_per_volt * emf) / room
        return force - (rest + bend * air * air), room, emf, current

    def newton(
        force: FloatArray, room: FloatArray, emf: FloatArray, current: FloatArray, air: FloatArray
    ) -> FloatArray:
        """Step to the balance with growth held: how fast current falls with E decides."""
        falls = per_ohm
        if by_reactance:
            falls = (1.0 + state.reactance * current) / (car.whole + state.reactance * emf)
        stiff = car.loss_per_volt + (current < car.current_limit) * falls
        if car.pack_bounds:
            root = np.sqrt(emf * emf + 4.0 * car.behind_pack * car.bound_power)
            bound = 2.0 * car.bound_power / (emf + root) <= current
            by_pack = car.loss_per_volt + current / root
            stiff = np.minimum(stiff, by_pack * bound + ~bound * stiff)
        return force / (pull * car.lever * stiff / (room * room) + 2.0 * bend * air)

    force, room, emf, current = net(guess)
    step = newton(force, room, emf, current, guess + car.wind)
    speed = guess + step
    for _ in range(SECANTS):
        before = force
        force, room, emf, current = net(speed)
        change = before - force
        step = next_secant(step, force, change)
        air, speed = speed + car.wind, speed + step
        settled = np.abs(step) <= CLOSE * speed
        if settled.all():
            break
    # a secant across a kink may be short where the balance is far: the slope on this side tells
    return speed, settled & (np.abs(newton(force, room, emf, current, air)) <= 2.0 * CLOSE * speed)


def _spare_current(state: Electrics, emf: Floats, need: Floats) -> Floats:
    """How much more than it needs a motor carries at full throttle, to the first order [A].

    From the volts that are left, without the root of the quadratic: exact at the balance.
    """
    in_line = state.behind_pack + state.reactance * emf
    drawn = full_throttle_pack_current(state, emf, need)
    left = state.voltage - state.pack * drawn - emf - in_line * need
    return left / (state.pack + in_line)


def next_secant(step: FloatArray, value: FloatArray, change: FloatArray) -> FloatArray:
    """Next secant, never longer than the last: where nothing but rounding is left to divide, the
    quotient could be anything."""
    longest = np.abs(step)
    following = value * step / np.where(change == 0.0, 1.0, change)
    return cast(FloatArray, np.minimum(np.maximum(following, -longest), longest))


def fast_top(car: Folded, count: int, guess: FloatArray | None = None) -> Tops:
    """Top speeds: least of the zeros of electrics, tyres and wheel lift.

    A guess is :attr:`Tops.balance` in a state nearby.
    """
    if guess is None:
        guess = np.broadcast_to(
            np.asarray(_frozen_balance(car, 1.0 + car.growth_max), dtype=SINGLE), (count,)
        )
    speed, settled = _balance(car, guess)
    bend = car.drag + car.rolling * car.down
    rest = car.rolling * car.weight + car.grade
    index = np.flatnonzero(~settled)
    if index.size:
        speed[index] = _bracketed_balance(pick(car, index), speed[index])

    air = speed + car.wind
    square = air * air
    sound = (rest + bend * square > 0.0) & (bend > 0.0) & (air > 0.0)
    sound &= (car.weight + car.down * square > 0.0) & (car.growth_max <= MOST_GROWTH)
    balance = speed
    for rest, bend in road_lines(car):
        # a line that rises has its zero out of reach, one below zero at rest lets no car move
        zero = np.sqrt(np.maximum(rest, 0.0) / np.maximum(-np.asarray(bend), LEAST)) - car.wind
        speed = np.minimum(speed, zero)
    # below 0 where it cannot move off
    return Tops(np.fmax(speed, 0.0), balance, sound)


def _bracketed_balance(car: Folded, guess: FloatArray) -> FloatArray:
    """Zero of the electric net force, the pack's bound included, below the motor's free speed.

    The guess is where voltage and current balance: the pack's bound can only lower it.
    """
    low, high = 0.6 * guess, 1.002 * guess
    at_low, at_high = car.limits(low)[0], car.limits(high)[0]
    low[at_low <= 0.0] = 0.0
    high = np.where(at_high >= 0.0, car.voltage * (1.0 + car.growth_max) / car.lever, high)
    return bracketed_root(
        lambda speed: car.limits(speed)[0],
        low,
        high,
        car.limits(low)[0],
        car.limits(high)[0],
        20,
        close=3.0e-4,
    )


def ordinary(car: Folded) -> BoolArray:
    """Whether slope, wind and driver are the fast path's.

    Pushed harder at rest than the driver allows, the car is held back by its motor at first.
    """
    level = np.abs(np.asarray(car.grade)) <= STEEPEST * np.asarray(car.weight)
    wind = np.asarray(car.wind)
    at_rest = car.resistance(np.zeros(1, dtype=SINGLE))[0]
    pulls = at_rest + np.asarray(car.mass * car.driver) >= 0.0
    return cast(BoolArray, level & (wind >= WIND_BEHIND) & (wind <= WIND_AHEAD) & pulls)


def road_lines(car: Folded) -> tuple[tuple[Floats, Floats], tuple[Floats, Floats]]:
    """Net force [N] under tyre grip and at wheel lift, each as rest + bend (v+w)²."""
    passed = 1.0 + car.tyre2
    tyre = car.tyre0 - passed * car.rolling * car.weight - car.grade
    tyre_bend = car.tyre1 - passed * car.rolling * car.down - car.drag
    return (tyre, tyre_bend), (car.lift0 - car.grade, car.lift1 - car.drag)
