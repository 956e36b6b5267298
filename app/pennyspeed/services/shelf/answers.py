"""What the shelf answers: how the whole car would do with each row of a question about a build.

What works it out is heavy, and is imported when something is asked: the first frame does without.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level, Outcome
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part

if TYPE_CHECKING:
    from pennyspeed.services.shelf.bands import Bands
    from pennyspeed.services.shelf.candidates import Candidates, Shown
    from pennyspeed.services.shelf.concern import Concern
    from pennyspeed.services.shelf.stock import Stock

Rows = NDArray[np.integer]


@dataclass(frozen=True, eq=False)
class Question:
    """A build, and the parts that could go in: of one kind, or every one with every other.

    Attributes
    ----------
    ones, others : list of Part
        `others` is empty where parts go in alone.
    """

    build: Build
    ones: list[Part]
    others: list[Part]
    measures: Measures

    @classmethod
    def about(cls, build: Build, stock: Stock) -> Question:
        """Return the question of what a build would do with each row of a stock."""
        return cls(build, *stock.asked, stock.measures)

    def is_of(self, other: Question) -> bool:
        """Tell whether both are about the same rows."""
        return (
            self.ones is other.ones
            and self.others is other.others
            and self.measures == other.measures
        )

    def has_same_cars(self, other: Question) -> bool:
        """Tell whether the rows make the same cars: what differs is in their own slots."""
        one, two = self.build, other.build
        if not self.is_of(other) or not self.ones or self.ones[0].kind.many:
            return False
        own = {parts[0].kind_key for parts in (self.ones, self.others) if parts}

        def rest(build: Build) -> dict[str, Part]:
            return {slot: part for slot, part in build.parts.items() if slot not in own}

        return (
            one.target_kmh == two.target_kmh
            and dict(one.conditions) == dict(two.conditions)
            and one.extras == two.extras
            and rest(one) == rest(two)
        )


class Answers:
    """What the whole car would do with each row; filled in as it is worked out.

    Attributes
    ----------
    speed, gain : array
        [m/s]; NaN where there is no whole car. Of rows looked at, exact.
    p10, p90, chance : array
        NaN until worked out, and where there is no whole car or no target.
    has_band, is_drawn : array of bool
        Whether a row has a band; whether from all draws, as a row in sight must.
    checks : dict of int to Outcome
        Worst checks of the rows looked at.
    """

    def __init__(self, question: Question, found: Candidates, concern: Concern) -> None:
        self.question, self.found, self.concern = question, found, concern
        self.speed, self.gain = found.speed.copy(), found.change.copy()
        self.p10, self.p90, self.chance = (np.full(len(found), np.nan) for _ in range(3))
        self.has_band, self.is_drawn = (np.zeros(len(found), dtype=bool) for _ in range(2))
        self.checks: dict[int, Outcome] = {}

    def __len__(self) -> int:
        return len(self.found)

    @property
    def now(self) -> float:
        """Speed of the build as it is [m/s]; NaN where it is not whole."""
        return self.found.now

    def take(self, sight: Sight) -> None:
        """Take in rows that were looked at."""
        for one in sight.shown:
            self.checks[one.row] = one.check
            self.speed[one.row] = np.nan if one.speed is None else one.speed
            self.gain[one.row] = np.nan if one.change is None else one.change
        if sight.bands is not None:
            self._take_bands(sight.bands)
            self.is_drawn[sight.bands.rows] = True

    def take_behind(self, bands: Bands) -> None:
        """Take in bands of rows that nobody looks at."""
        self._take_bands(bands, ~self.is_drawn[bands.rows])

    def _take_bands(self, bands: Bands, which: slice | NDArray[np.bool_] = slice(None)) -> None:
        rows = bands.rows[which]
        self.p10[rows], self.p90[rows] = bands.p10[which], bands.p90[which]
        self.chance[rows] = bands.chance[which]
        self.has_band[rows] = True

    def keep_bands(self, old: Answers) -> None:
        """Keep the bands of the same cars."""
        self.p10, self.p90, self.chance = old.p10, old.p90, old.chance
        self.has_band, self.is_drawn = old.has_band, old.is_drawn

    def lacking(self, rows: Rows) -> list[int]:
        """Return which of these rows were not looked at yet."""
        return [int(i) for i in rows if int(i) not in self.checks or not self.is_drawn[i]]

    def level(self, i: int) -> Level:
        """Return how a row ends."""
        check = self.checks.get(i)
        if check is not None:
            return check.level
        return tuple(Level)[int(self.concern.worst[i])]


@dataclass(frozen=True)
class Sight:
    """Rows that were looked at."""

    shown: list[Shown]
    bands: Bands | None


Choose = Callable[[Answers], Rows]
"""Which rows of new answers will be in sight."""


def answer(question: Question, choose: Choose, old: Answers | None) -> Answers:
    """Return the answers to a question, the rows that `choose` names looked at already.

    Bands of `old` answers are kept where their rows make the same cars.
    """
    from pennyspeed.services.shelf.candidates import candidates, pair_candidates
    from pennyspeed.services.shelf.concern import concern

    if question.others:
        found = pair_candidates(question.build, question.ones, question.others)
    else:
        found = candidates(question.build, question.ones)
    answers = Answers(question, found, concern(found))
    if old is not None and question.has_same_cars(old.question):
        answers.keep_bands(old)
    answers.take(look_at(answers, [int(i) for i in choose(answers)]))
    return answers


def look_at(answers: Answers, rows: list[int]) -> Sight:
    """Work rows out exactly, with bands from all draws where they have none yet."""
    from pennyspeed.services.shelf.bands import bands

    shown = answers.found.shown(rows, answers.question.measures, answers.concern.place)
    undrawn = [i for i in rows if not answers.is_drawn[i]]
    return Sight(shown, bands(answers.found, undrawn) if undrawn else None)
