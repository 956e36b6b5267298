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

CELLS = 256
"""Of the table, over the speeds from 0 to v*."""


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


def closed_stopping(car: Folded, top: FloatArray) -> tuple[ClosedStopping, BoolArray]:
    """The closed form, and for which cars it holds: those whose brake or whose tyres decide from
    `top` down to rest, well above the floor."""
    square = (top + car.wind) * (top + car.wind)
    tyres_slow = car.grip * (car.weight + car.down * (car.wind * car.wind)) / car.mass
    tyres_fast = car.grip * (car.weight + car.down * square) / car.mass
    by_tyres = tyres_slow < car.brake
    same = by_tyres == (tyres_fast < car.brake)
    hold = choose(by_tyres, car.grip * car.weight / car.mass, car.brake)
    grow = choose(by_tyres, car.grip * car.down, 0.0)
    rest = hold + (car.rolling * car.weight + car.grade) / car.mass
    bend = (grow + car.drag + car.rolling * car.down) / car.mass
    sound = (rest > 2.0 * REST_MARGIN) & (bend > 0.0)
    rest = choose(sound, rest, 1.0)
    bend = choose(sound, bend, 1.0)
    behind = car.drag / car.mass + bend
    return ClosedStopping(rest, bend, car.wind, behind), np.broadcast_to(same & sound, top.shape)


@dataclass(frozen=True, slots=True)
class TabledStopping:
    """Any b: Simpson's rule on equal cells, a parabola within each."""

    car: Folded
    step: FloatArray
    parabolas: FloatArray
    """v/b over the place in a cell, coefficients rising: shape ``(3, CELLS, n)``."""
    starts: FloatArray

    def distance(self, speed: FloatArray) -> FloatArray:
        """To rest [m]."""
        count = self.step.shape[0]
        place = speed / self.step
        cell = np.clip(place.astype(np.int64), 0, CELLS - 1)
        place = place - cell
        index = cell * count + np.arange(count)
        c0, c1, c2 = (part.ravel()[index] for part in self.parabolas)
        part = place * (c0 + place * (0.5 * c1 + place * (c2 / 3.0)))
        return np.asarray(self.starts.ravel()[index] + self.step * part)

    def deceleration(self, speed: FloatArray) -> FloatArray:
        """[m/s²]"""
        return self.car.braking(speed)


def tabled_stopping(car: Folded, top: FloatArray) -> TabledStopping:
    """Braking of any car from at most `top`."""
    step = np.maximum(top, 1.0e-6) / CELLS
    speeds = step * np.arange(0.0, CELLS + 0.25, 0.5)[:, None]
    values = speeds / car.braking(speeds)
    left, middle, right = values[:-1:2], values[1::2], values[2::2]
    parabolas = np.stack(
        (left, 4.0 * middle - 3.0 * left - right, 2.0 * (left + right) - 4.0 * middle)
    )
    starts = np.zeros((CELLS, step.shape[0]))
    np.cumsum(((left + 4.0 * middle + right) * (step / 6.0))[:-1], axis=0, out=starts[1:])
    return TabledStopping(car, step, parabolas, starts)
