"""Candidates: what the whole car would do with each of thousands of parts, before one is chosen.

All rows come from one batch: speeds within 1e-3, costs exact, levels of checks by the rules that
the sentences use too. Rows that are looked at are worked out one by one (:meth:`Candidates.shown`,
:mod:`pennyspeed.services.shelf.bands`): they equal what taking the part then shows.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.assembly import assemble, mass_kg
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import BY_CODE, CHECKS, Facts, Outcome
from pennyspeed.domain.checks.seen import STOP
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part
from pennyspeed.physics.batch.runs import predict_many
from pennyspeed.physics.car import FloatArray, IntArray
from pennyspeed.physics.predict import predict
from pennyspeed.services.shelf.trials import Trials, paired, single

CODES = tuple(BY_CODE)
"""Codes of the checks in their order."""


@dataclass(frozen=True)
class Shown:
    """One row as it is looked at, exact.

    Attributes
    ----------
    speed : float or None
        On this road [m/s]; None where there is no whole car.
    change : float or None
        Against the build as it is [m/s].
    check : Outcome
        The worst; where several are as bad, the first in their order.
    """

    row: int
    speed: float | None
    change: float | None
    check: Outcome


@dataclass(frozen=True)
class Candidates:
    """Columns over trials, shape (n,).

    Attributes
    ----------
    trials : Trials
        Which parts each row takes, and the build that it makes.
    speed : array
        On this road [m/s]; NaN where there is no whole car.
    change : array
        Against the build as it is [m/s]; NaN where that is not whole.
    cost, cost_change : array of int
        What counts, and against the build as it is, in minor units of the build's currency.
    left : array of int or None
        Of the cap; None without one.
    unpriced : array of bool
        Something that counts has no price, so `cost` is too low.
    levels : array (checks, n)
        Places in :data:`pennyspeed.domain.checks.seen.LEVELS`, checks in the order of `CODES`.
    fits : array of bool
        No check stops it.
    """

    trials: Trials
    speed: FloatArray
    change: FloatArray
    cost: IntArray
    cost_change: IntArray
    left: IntArray | None
    unpriced: NDArray[np.bool_]
    levels: NDArray[np.int8]
    fits: NDArray[np.bool_]
    now: float
    """Speed of the build as it is [m/s]; NaN where it is not whole."""

    def __len__(self) -> int:
        return len(self.trials)

    def parts(self, row: int) -> tuple[Part, ...]:
        """Return the parts that a row takes."""
        return self.trials.parts(row)

    def build(self, row: int) -> Build:
        """Return the build that taking a row makes."""
        return self.trials.build_at(row)

    def money(self, minor: int) -> Money:
        """Return an amount of `cost`, `cost_change` or `left`."""
        return Money(int(minor), self.trials.original.currency)

    def shown(
        self,
        rows: Iterable[int],
        measures: Measures = METRIC,
        worst: Callable[[list[int]], int] = lambda levels: levels.index(min(levels)),
    ) -> list[Shown]:
        """Return rows worked out exactly, with their worst check in words: some 0.7 ms each.

        `worst` finds the place of the check that counts among a row's levels.
        """
        return [self._shown(int(row), measures, worst) for row in rows]

    def _shown(self, row: int, measures: Measures, worst: Callable[[list[int]], int]) -> Shown:
        build = self.build(row)
        car = assemble(build)
        found = None if car is None else predict(car)
        facts = Facts(build, found, costs(build), mass_kg(build), measures)
        check = CHECKS[worst([int(check.levels(facts)) for check in CHECKS])]
        speed = None if found is None else found.road_speed
        change = None if speed is None or math.isnan(self.now) else speed - self.now
        return Shown(row, speed, change, check.outcome(facts))


def candidates(build: Build, parts: Sequence[Part]) -> Candidates:
    """Return what the whole car would do with each part in its slot.

    There is at least one, all of one kind; extras come beside those that are in.
    """
    return outcomes(single(build, parts))


def pair_candidates(build: Build, ones: Sequence[Part], others: Sequence[Part]) -> Candidates:
    """Return the same for every one with every other: pinion with spur, motor with controller.

    Row `i * len(others) + j` takes part `i` of the ones and part `j` of the others.
    """
    return outcomes(paired(build, ones, others))


def speed_now(build: Build) -> float:
    """Return the speed of a build on its road [m/s]; NaN where it is not whole."""
    car = assemble(build)
    return math.nan if car is None else predict(car).road_speed


def outcomes(trials: Trials, now: float | None = None) -> Candidates:
    """Return what each trial would do; `now` is :func:`speed_now` where that is known already."""
    build, count = trials.original, len(trials)
    now = speed_now(build) if now is None else now
    car, heavy = trials.cars()
    speed = np.full(count, math.nan)
    if car is not None:
        found = predict_many(car)
        trials.answered(car, heavy, found)
        speed[:] = np.where(heavy, found.road_speed, math.nan)
    levels = np.empty((len(CHECKS), count), dtype=np.int8)
    with np.errstate(invalid="ignore"):
        for row, check in zip(levels, CHECKS, strict=True):
            row[:] = check.levels(trials)
    cost, cap = trials.cost, build.cap
    return Candidates(
        trials=trials,
        speed=speed,
        change=speed - now,
        cost=cost,
        cost_change=cost - costs(build).counted.minor,
        left=None if cap is None else cap.minor - cost,
        unpriced=np.broadcast_to(trials.unpriced, (count,)),
        levels=levels,
        fits=levels.min(axis=0) != STOP,
        now=now,
    )
