"""Concern: which checks a choice has to do with, so that one fault elsewhere hides no other.

A pack that is too long stops the whole car whatever motor goes in. A row of motors is judged by
the checks that name the motor, and by those that some of the motors pass and others do not.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.assembly import mass_kg
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import CHECKS, Facts
from pennyspeed.domain.checks.seen import OK, STOP
from pennyspeed.domain.money.costs import costs
from pennyspeed.physics.car import IntArray
from pennyspeed.services.shelf.candidates import Candidates

GOES_WITH = {"pinion": "spur"}
"""What a check says of the one it says of the other: together they are the ratio."""


@dataclass(frozen=True)
class Concern:
    """How rows of candidates end by the checks that the choice has to do with.

    Attributes
    ----------
    own : array of bool, shape (checks,)
        Checks that name a slot that is tried.
    best : array of int, shape (checks,)
        Best level that any row reaches, as a place in :data:`~pennyspeed.domain.checks.seen.LEVELS`
        (a larger one is better).
    worst, check : array of int, shape (n,)
        Place of the worst level, and of the first check that has it.
    fits : array of bool, shape (n,)
        None of them stops the car.
    """

    own: NDArray[np.bool_]
    best: NDArray[np.int8]
    worst: IntArray
    check: IntArray
    fits: NDArray[np.bool_]

    def place(self, levels: list[int]) -> int:
        """Return the place of the worst of one row's checks, of all of them or fine."""
        judged = [
            level if own or level < best else OK
            for level, own, best in zip(levels, self.own, self.best, strict=True)
        ]
        return judged.index(min(judged))


def concern(found: Candidates) -> Concern:
    """Return how rows end by the checks that the choice of their parts has to do with."""
    own = _own(found.trials.original, tuple(found.trials.index))
    best = found.levels.max(axis=1)
    judged = np.where(own[:, None] | (found.levels < best[:, None]), found.levels, OK)
    worst = judged.min(axis=0)
    return Concern(own, best, worst, judged.argmin(axis=0), worst != STOP)


def _own(build: Build, tried: tuple[str, ...]) -> NDArray[np.bool_]:
    """Tell of each check whether it names a slot that is tried."""
    facts = Facts(build, None, costs(build), mass_kg(build))
    return np.array(
        [
            check.every_choice
            or any(
                slot in tried or GOES_WITH.get(slot) in tried for slot in check.outcome(facts).slots
            )
            for check in CHECKS
        ]
    )
