"""Stopping distance for many cars: closed where deceleration is one parabola, else a table.

Braking is dv/dt = -b, b = min(a_b, μ max(m g cosθ + D, 0)/m) + F_res/m, and never less than the
floor :data:`~pennyspeed.physics.car.REST_MARGIN`. The distance to rest is ∫ v/b dv.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pennyspeed.physics.batch.arrays import BoolArray
from pennyspeed.physics.batch.folded import Folded
from pennyspeed.physics.car import REST_MARGIN, FloatArray, Floats
from pennyspeed.physics.elementwise import choose, greater

CELLS = 48
"""Of the table, between two kinks."""

LEAST_WIDTH = 1.0e-30
NO_KNEE = 1.0e6

MOST_PUSHED = 0.05
"""Share of b that a following wind may take away: its square is what the closed form leaves."""

_PLACES = np.linspace(0.0, 1.0, CELLS + 1)
_CROWDED = np.where(_PLACES < 0.5, 2.0 * _PLACES**2, 1.0 - 2.0 * (1.0 - _PLACES) ** 2)


@dataclass(frozen=True, slots=True)
class ClosedStopping:
    """b = rest + bend (v+w)² from 0 to v*: a logarithm, and an arc tangent in wind.

    ::

        ∫ v/b dv = [ln b(v) - ln b(0)]/(2 bend) - w/√(rest bend) [atan q√(bend/rest)] from w to v+w

    Where the wind is still the faster one, drag pushes and nothing presses down: b is then less by
    `behind` (v+w)², of which the first order is taken.
    """

    rest: Floats
    bend: Floats
    wind: Floats
    behind: Floats
    """[1/m]"""

    def distance(self, speed: FloatArray) -> FloatArray:
        """To rest [m]."""
        bend, wind = self.bend, self.wind
        growth = bend * speed * (speed + 2.0 * wind)
        whole = np.log1p(growth / (self.rest + bend * wind * wind)) / (2.0 * bend)
        if not isinstance(wind, np.ndarray) and wind == 0.0:
            return whole
        scale = np.sqrt(bend / self.rest)
        turned = np.arctan((speed + wind) * scale) - np.arctan(wind * scale)
        whole = whole - wind / (self.rest * scale) * turned
        pushed = greater(-wind, 0.0)
        share = np.minimum(speed / greater(pushed, 1.0e-6), 1.0)
        moment = share * share * (0.5 - share * (2.0 / 3.0 - 0.25 * share))
        return np.asarray(whole + self.behind * moment * (pushed * pushed / self.rest) ** 2)

    def deceleration(self, speed: FloatArray) -> FloatArray:
        """[m/s²]"""
        air = speed + self.wind
        return self.rest + self.bend * air * air


@dataclass(frozen=True, slots=True)
class KneedStopping:
    """Brake and tyres change places at one speed, with a closed form on either side."""

    slow: ClosedStopping
    fast: ClosedStopping
    knee: FloatArray
    """[m/s]; beyond all speeds where there is none."""

    def distance(self, speed: FloatArray) -> FloatArray:
        """To rest [m]."""
        slower = np.minimum(speed, self.knee)
        beyond = self.fast.distance(speed) - self.fast.distance(slower)
        return self.slow.distance(slower) + beyond

    def deceleration(self, speed: FloatArray) -> FloatArray:
        """[m/s²]"""
        return np.where(
            speed < self.knee, self.slow.deceleration(speed), self.fast.deceleration(speed)
        )


def closed_stopping(
    car: Folded, top: FloatArray
) -> tuple[ClosedStopping | KneedStopping, BoolArray]:
    """The closed form, and for which cars it holds: those that brake well above the floor."""
    slowest = greater(car.wind, 0.0)
    least, most = slowest * slowest, (top + car.wind) * (top + car.wind)
    by_tyres = car.grip * (car.weight + car.down * least) < car.brake * car.mass
    at_last = car.grip * (car.weight + car.down * most) < car.brake * car.mass
    slow, sound = _closed(car, by_tyres)
    if np.array_equal(np.broadcast_to(by_tyres, top.shape), np.broadcast_to(at_last, top.shape)):
        return slow, np.broadcast_to(sound, top.shape)
    fast, also = _closed(car, at_last)
    # equal at (v+w)², in which the tyres' force is linear
    square = (car.brake * car.mass / car.grip - car.weight) / car.down
    knee = np.where(by_tyres != at_last, np.sqrt(np.maximum(square, 0.0)) - car.wind, NO_KNEE)
    return KneedStopping(slow, fast, knee.astype(top.dtype)), np.broadcast_to(
        sound & also, top.shape
    )


def _closed(car: Folded, by_tyres: BoolArray | bool) -> tuple[ClosedStopping, BoolArray]:
    """One closed form, and whether it is one well above the floor."""
    hold = choose(by_tyres, car.grip * car.weight / car.mass, car.brake)
    grow = choose(by_tyres, car.grip * car.down, 0.0)
    rest = hold + (car.rolling * car.weight + car.grade) / car.mass
    bend = (grow + car.drag + car.rolling * car.down) / car.mass
    sound = np.asarray((rest > 2.0 * REST_MARGIN) & (bend > 0.0))
    rest, bend = choose(sound, rest, 1.0), choose(sound, bend, 1.0)
    behind = car.drag / car.mass + bend
    pushed = greater(-np.asarray(car.wind), 0.0)
    sound &= behind * pushed * pushed <= MOST_PUSHED * rest
    return ClosedStopping(rest, bend, car.wind, behind), sound


@dataclass(frozen=True, slots=True)
class TabledStopping:
    """Any b: between its kinks 1/b is a parabola within each cell, and v/b integrated exactly.

    ::

        0 ||| | | | |||| | |||  | | | |||      pieces that end on the kinks of b, each with `CELLS`
          kink         kink                    cells that crowd, as the square, towards both ends
    """

    car: Folded
    kinks: FloatArray
    """Ends of the pieces [m/s], rising: shape ``(pieces + 1, n)``."""
    ends: FloatArray
    """Of the cells [m/s]: shape ``(pieces CELLS + 1, n)``."""
    parabolas: FloatArray
    """1/b over the place in a cell, coefficients rising: shape ``(3, pieces CELLS, n)``."""
    starts: FloatArray
    """Distance at the cells' left ends [m]."""

    def distance(self, speed: FloatArray) -> FloatArray:
        """To rest [m]."""
        cars = np.arange(self.kinks.shape[1])
        piece = np.zeros(speed.shape, dtype=np.intp)
        for kink in self.kinks[1:-1]:
            piece += speed >= kink
        low = self.kinks[piece, cars]
        share = (speed - low) / np.maximum(self.kinks[piece + 1, cars] - low, LEAST_WIDTH)
        share = np.minimum(np.maximum(share, 0.0), 1.0)
        half = np.sqrt(0.5 * np.minimum(share, 1.0 - share))
        place = CELLS * np.where(share < 0.5, half, 1.0 - half)
        index = (piece * CELLS + np.minimum(place.astype(np.intp), CELLS - 1)) * cars.size + cars
        start = self.ends.ravel()[index]
        width = self.ends.ravel()[index + cars.size] - start
        place = (speed - start) / np.maximum(width, LEAST_WIDTH)
        part = _cell(self.parabolas.reshape(3, -1)[:, index], start, width, place)
        return np.asarray(self.starts.ravel()[index] + part)

    def deceleration(self, speed: FloatArray) -> FloatArray:
        """[m/s²]"""
        return self.car.braking(speed)


def tabled_stopping(car: Folded, top: FloatArray) -> TabledStopping:
    """Braking of any car from at most `top`."""
    kinks = _kinks(car, top)
    width = np.diff(kinks, axis=0)
    ends = np.concatenate(
        ((kinks[:-1, None] + width[:, None] * _CROWDED[:-1, None]).reshape(-1, top.size), top[None])
    )
    left = 1.0 / car.braking(ends)
    middle = 1.0 / car.braking(0.5 * (ends[:-1] + ends[1:]))
    left, right = left[:-1], left[1:]
    parabolas = np.stack(
        (left, 4.0 * middle - 3.0 * left - right, 2.0 * (left + right) - 4.0 * middle)
    )
    starts = np.zeros_like(left)
    whole = _cell(parabolas, ends[:-1], np.diff(ends, axis=0), 1.0)
    np.cumsum(whole[:-1], axis=0, out=starts[1:])
    return TabledStopping(car, kinks, ends, parabolas, starts)


def _cell(shape: FloatArray, start: FloatArray, width: FloatArray, place: Floats) -> FloatArray:
    """∫ v/b dv from the start of a cell to a place in it, 1/b being a parabola."""
    c0, c1, c2 = shape
    by_start = c0 + place * (0.5 * c1 + place * (c2 / 3.0))
    by_width = 0.5 * c0 + place * (c1 / 3.0 + place * (0.25 * c2))
    return np.asarray(width * place * (start * by_start + width * place * by_width))


def _kinks(car: Folded, top: FloatArray) -> FloatArray:
    """Ends of the pieces on which b is one parabola, from 0 to `top`.

    Where the air stands still; where tyres bear nothing; brake ↔ tyres; the floor. All but the
    first are zeros of what is linear in s = (v+w)|v+w| between those before.
    """
    square = (top + car.wind) * np.abs(top + car.wind)
    least = np.broadcast_to(car.wind * np.abs(car.wind), top.shape)

    def inside(found: Floats) -> FloatArray:
        # what does not exist folds back onto the start
        kept = np.isfinite(found) & (found > least) & (found < square)
        return np.where(kept, found, least)

    still = inside(np.zeros(top.shape))
    bare = inside(-car.weight / np.asarray(car.down))
    spared = inside((car.brake * car.mass / np.asarray(car.grip) - car.weight) / car.down)
    squares = np.sort(np.stack([least, still, bare, spared, square]), axis=0)
    speeds = _speed(car, squares)
    excess = car.hold(speeds) - REST_MARGIN
    low, high = excess[:-1], excess[1:]
    share = low / np.where(low == high, 1.0, low - high)
    crossed = (low > 0.0) != (high > 0.0)
    floors = np.where(crossed, squares[:-1] + share * np.diff(squares, axis=0), least)
    kinks = _speed(car, np.sort(np.concatenate((squares, floors)), axis=0))
    kinks[0], kinks[-1] = 0.0, top
    return np.minimum(np.maximum(kinks, 0.0), top)


def _speed(car: Folded, square: FloatArray) -> FloatArray:
    """v at which (v+w)|v+w| has a value."""
    return np.asarray(np.copysign(np.sqrt(np.abs(square)), square) - car.wind)
