"""Panel ends on the fast path: every kink of a run, nearly all in closed form.

- voltage ↔ current ↔ pack are values of E, and with growth E → v is a quadratic (with inductance,
  voltage ↔ pack takes a few of Newton's steps first);
- driver ↔ tyres ↔ wheel lift, taken as accelerations, are linear in (v+w)²;
- electrics ↔ road alone needs a search.

Cars with more than one change between electrics and road, or whose pack gives nearly all it can,
are marked, and left to :mod:`pennyspeed.physics.batch.general`.
"""

from __future__ import annotations

from functools import cache
from typing import cast

import numpy as np

from pennyspeed.physics.batch.arrays import BoolArray, sort_columns
from pennyspeed.physics.batch.folded import Folded
from pennyspeed.physics.batch.tops import LEAST, next_secant, road_lines
from pennyspeed.physics.car import FloatArray, Floats
from pennyspeed.physics.electrics import (
    UNBOUNDED_POWER,
    full_throttle_current,
    full_throttle_emfs,
    full_throttle_pack_current,
)
from pennyspeed.physics.elementwise import is_zero

CRAWL = 0.02
"""Acceleration at rest below which a car is left to the general path [m/s²]."""

SHARES = (0.30, 0.55, 0.72, 0.84, 0.92, 0.97)
"""Panel ends as shares of the speed in reach where a kink does not exist."""

SEARCHES = 6
"""Most secants for the change between electrics and road, after the chord of the bracket."""

SETTLED = 1.0e-3
"""Last secant, relative to the speed, at which that change is taken as found: what is left is some
hundredth of it."""

SAME = 1.0e-4
"""Ends closer than this share of the speed in reach are one."""

MOVES = 2
"""Rounds of moving one of them."""

NEWTON = 6
"""Steps to the pack's burst current at full throttle."""

STRONG = 0.75
"""Share of U/(2 R_p) that the pack may be asked for where panels are cut, and"""

STRONG_WHOLE = 0.5
"""where they are not."""


def fast_ends(
    car: Folded, top: FloatArray, road: Floats, cuts: int = 1
) -> tuple[FloatArray, BoolArray, FloatArray]:
    """Ends of the panels from 0 to v*, for which cars they hold, and the acceleration at rest.

    The ends are an array ``(panels + 1, n)``.

    Parameters
    ----------
    top : array (n,)
        v* [m/s].
    road : float or array (n,)
        Its length [m]: panels crowd in the speeds that it lets the car reach.
    cuts : int
        Equal parts of each panel.
    """
    count = top.shape[0]
    (tyre, tyre_bend), (lift, lift_bend) = road_lines(car)
    push = car.mass * car.driver
    squares = [np.divide(push - tyre, tyre_bend)]
    if np.any(np.asarray(car.lift0) < 4.0 * push):
        squares.append(np.divide(push - lift, lift_bend))
        squares.append(np.divide(lift - tyre, tyre_bend - lift_bend))
    knees: list[Floats] = [np.sqrt(np.maximum(square, 0.0)) - car.wind for square in squares]
    knees += [_speed_of_emf(car, emf) for emf in _electric_knees(car)]
    if np.any(np.asarray(car.growth2) > 0.0):
        knees.append(np.sqrt(car.growth_max / np.maximum(car.growth2, 1.0e-30)))
    places = np.zeros((len(knees) + 2, count), dtype=top.dtype)
    places[-1] = top
    for row, knee in enumerate(knees):
        # fmin passes over NaN, which two limits that never meet leave
        np.fmin(np.maximum(knee, 0.0), top, out=places[row + 1])
    sort_columns(places)
    electric, road_limit = car.limits(places)
    ahead = electric > road_limit
    changes = ahead[1:] != ahead[:-1]
    crossings = np.count_nonzero(changes, axis=0)
    cell = np.argmax(changes, axis=0)
    cars = np.arange(count)
    start, stop = cell * count + cars, (cell + 1) * count + cars
    difference = electric - road_limit
    crossing, settled = _crossing(
        car, places.take(start), places.take(stop), difference.take(start), difference.take(stop)
    )
    crossing = np.where(crossings == 0, 0.0, crossing)
    knees.insert(0, crossing)

    # at constant pull and brake a road of length X ends at v² = 2 X a b/(a + b)
    # and where electrics take over from the road there is most of it, if it has risen so far
    pull = np.minimum(electric, road_limit).max(axis=0)
    pull = np.fmax(pull, car.acceleration(crossing))
    brake = car.brake + (car.drag + car.rolling * car.down) / car.mass * top * top + 0.5
    bound = np.sqrt(2.0 * road * pull * brake / (pull + brake))
    last = np.minimum(bound, SHARES[-1] * top)

    ends = np.empty((len(knees) + 3, count), dtype=top.dtype)
    ends[0] = 0.0
    ends[-2] = last
    ends[-1] = top
    reach = last / SHARES[-1]
    least, most = 1.0e-3 * last, np.where(last < bound, 0.999999 * top, last)
    for row, (knee, share) in enumerate(zip(knees, _shares(len(knees)), strict=True)):
        there = (knee > least) & (knee < most)
        ends[row + 1] = np.where(there, knee, share * reach)
    sort_columns(ends)
    _spread(ends)
    first = np.where(
        crossings == 0, np.where(ahead[0], top, 0.0), np.where(ahead[0], crossing, 0.0)
    )
    at_rest = np.minimum(electric[0], road_limit[0])
    if cuts > 1:
        ends = _cut(ends, cuts)
    strong = _strong_pack(car, first, STRONG_WHOLE if cuts == 1 else STRONG)
    return ends, settled & (crossings <= 1) & strong, at_rest


def _cut(ends: FloatArray, cuts: int) -> FloatArray:
    """Ends of panels that are cut into equal parts."""
    share = (np.arange(cuts, dtype=ends.dtype) / cuts)[:, None]
    inner = ends[:-1, None] + share * np.diff(ends, axis=0)[:, None]
    return np.concatenate((inner.reshape(-1, ends.shape[1]), ends[-1:]))


def _spread(ends: FloatArray) -> None:
    """Move ends that share a speed, as knees that coincide do, into the widest panel."""
    for _ in range(MOVES):
        gap = np.diff(ends[:-1], axis=0)
        cars = np.flatnonzero(gap.min(axis=0) < SAME * ends[-2])
        if not cars.size:
            return
        gap, few = gap[:, cars], ends[:, cars]
        each = np.arange(cars.size)
        wide = gap.argmax(axis=0)
        # never the end that crowds the panels: of the first two it is the other one
        spare = np.maximum(gap.argmin(axis=0), 1)
        few[spare, each] = few[wide, each] + 0.5 * gap[wide, each]
        sort_columns(few)
        ends[:, cars] = few


@cache
def _shares(count: int) -> list[float]:
    """As many shares as there may be kinks, spread like `SHARES`."""
    inner = SHARES[:-1]
    places = np.linspace(0.0, len(inner) - 1.0, count)
    return [float(share) for share in np.interp(places, np.arange(len(inner)), inner)]


def _crossing(
    car: Folded, low: FloatArray, high: FloatArray, at_low: FloatArray, at_high: FloatArray
) -> tuple[FloatArray, BoolArray]:
    """Where electrics and road change places within a bracket, by secants, and where that settled.

    Without a change of sign the answer means nothing.
    """

    def gap(speed: FloatArray) -> FloatArray:
        electric, road = car.limits(speed)
        return electric - road

    span = at_low - at_high
    one: FloatArray = low + at_low / (span + LEAST) * (high - low)
    at_one: FloatArray = gap(one)
    same = (at_one > 0.0) == (at_low > 0.0)
    step = np.where(same, high, low) - one
    change = np.where(same, at_high, at_low) - at_one
    crossed = (at_low > 0.0) != (at_high > 0.0)
    close = SETTLED * high
    for _ in range(SEARCHES):
        step = -next_secant(step, at_one, change)
        astray = crossed & ~(np.abs(step) <= close)
        two = np.minimum(np.maximum(one + step, low), high)
        if not astray.any():
            break
        step = one - two
        at_two = gap(two)
        one, change, at_one = two, at_one - at_two, at_two
    return two, ~astray


def _strong_pack(car: Folded, first: FloatArray, share: float) -> BoolArray:
    """Whether the closed switch stays clear of U/(2 R_p) from the speed on where it first may win.

    Beyond that pack current is the larger root of the pack's power, and jumps where another limit
    takes over; just below it turns like a square root, which no parabola follows.
    """
    emf = car.lever * first / car.room(first)
    current = full_throttle_current(car.state, emf)
    if is_zero(car.reactance):
        current = np.minimum(current, car.current_limit)
        return np.asarray(2.0 * car.pack * current <= share * car.voltage)
    # as long as inductance relieves a weak pack, I_v rises with speed: from U = R_p I_p + U_b
    reactance = car.reactance * current
    terminal = emf + (car.behind_pack + car.reactance * emf) * current
    relief = car.pack * car.behind_pack * reactance * current * current
    falls = relief < (1.0 + reactance) * terminal * terminal
    drawn = full_throttle_pack_current(car.state, emf, np.minimum(current, car.current_limit))
    return np.asarray((2.0 * car.pack * drawn <= share * car.voltage) & falls)


def _electric_knees(car: Folded) -> list[Floats]:
    """Back-EMF at which voltage, current and pack change places [V]."""
    by_current = full_throttle_emfs(car.state, car.current_limit)[0]
    if not car.pack_bounds:
        return [by_current]
    bounded = np.asarray(car.bound_power) < UNBOUNDED_POWER
    stronger = bounded & (car.pack_limit < car.current_limit)
    handed_over = car.bound_power / car.current_limit - car.behind_pack * car.current_limit
    by_pack = _emf_at_pack_limit(car)
    if not is_zero(car.reactance):
        # the pack gives less than the motor carries: current may hand over to voltage before it
        stronger &= handed_over < by_pack
    return [
        np.maximum(np.where(stronger, handed_over, by_current), 0.0),
        np.maximum(np.where(stronger, by_pack, by_current), 0.0),
    ]


def _emf_at_pack_limit(car: Folded) -> Floats:
    """Back-EMF at which full throttle takes the pack's burst current [V].

    Of P = (E + R_w I) I and P = U_b I_b, U_b = E + (R_w + X) I, E goes out: what is left is a cubic
    in I, convex, and Newton's steps come down to its one root from anywhere above.
    """
    if is_zero(car.reactance):
        return car.voltage - car.whole * car.pack_limit
    power, behind = car.bound_power, np.maximum(car.behind_pack, LEAST)
    line = car.voltage - car.pack * car.pack_limit - car.reactance * power
    cube = car.reactance * behind
    # at rest, and where the cube is left out: the root lies below both
    current = np.sqrt(power / behind)
    current = np.where(line > 0.0, np.minimum(current, power / line), current)
    for _ in range(NEWTON):
        square = cube * current * current
        excess = (square + line) * current - power
        current = current - excess / (3.0 * square + line)
    return cast(FloatArray, power / current - behind * current)


def _speed_of_emf(car: Folded, emf: Floats) -> Floats:
    """v at which E is reached: the lesser root of g2 E v² - lever v + E = 0, or past the cap."""
    inner = np.maximum(car.lever * car.lever - 4.0 * car.growth2 * emf * emf, 0.0)
    growing = 2.0 * emf / (car.lever + np.sqrt(inner))
    capped = emf * (1.0 + car.growth_max) / car.lever
    # before the cap the growing tyre is the smaller one, hence the least is right on both sides
    beyond = car.growth2 * growing * growing > car.growth_max
    return cast(FloatArray, np.where(beyond, capped, growing))
