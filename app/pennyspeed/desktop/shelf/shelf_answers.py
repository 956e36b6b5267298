"""What the shelf answers: how the whole car would do with each row, and who works it out.

::

    a build or a slot changes --> one batch of all rows, and the rows in sight exactly
    rows come into sight      --> those, exactly, with their bands
    nothing is asked          --> bands of the rest, a few at a time

All of it is worked out beside the window; what belongs to another build is dropped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray
from PySide6.QtCore import QObject, QTimer, Signal

from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level, Outcome
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part

if TYPE_CHECKING:
    from pennyspeed.services.shelf.bands import Bands
    from pennyspeed.services.shelf.candidates import Candidates, Shown
    from pennyspeed.services.shelf.concern import Concern

Floats = NDArray[np.floating]
Rows = NDArray[np.integer]

SOON, QUIET, LATE = 12, 60, 200
"""Milliseconds: from a change to asking, so that its frame is painted first; from the last key to
going on behind; and until old answers are marked as such."""


@dataclass(frozen=True, eq=False)
class Question:
    """A build, and the parts that could go in: of one kind, or every one with every other.

    Attributes
    ----------
    build : Build
    ones, others : list of Part
        `others` is empty where parts go in alone.
    measures : Measures
    """

    build: Build
    ones: list[Part]
    others: list[Part]
    measures: Measures

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
    question : Question
    found : Candidates
    concern : Concern
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


class Answerer(QObject):
    """Works out answers for the shelf, the most urgent first.

    Signals
    -------
    answered(Answers)
        To another question; the rows in sight were looked at already.
    looked_at()
        Rows were looked at: those that :meth:`look` asked for.
    went_on()
        Bands behind came in.
    went_late()
        What is shown is of another build for longer than a moment.
    """

    answered = Signal(object)
    looked_at = Signal()
    went_on = Signal()
    went_late = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.answers: Answers | None = None
        self.question: Question | None = None
        self._choose: Choose | None = None
        self._asked: Question | None = None
        self._kept: list[Answers] = []
        self._errands: list[Callable[[], object]] = []
        self._wanted: list[int] = []
        self._behind: Iterator[Bands] | None = None
        self._order: Rows = np.arange(0)
        self._jobs = JobQueue(self, newest_only=True)
        self._soon = self._timer(SOON, self._pump)
        self._quiet = self._timer(QUIET, self._pump)
        self._late = self._timer(LATE, self._tell_late)

    def _timer(self, wait: int, act: Callable[[], None]) -> QTimer:
        timer = QTimer(self)
        timer.setSingleShot(True)
        timer.setInterval(wait)
        timer.timeout.connect(act)
        return timer

    # Asking ---------------------------------------------------------------------------------

    def ask(self, question: Question | None, choose: Choose, wait: int = SOON) -> None:
        """Ask something else; answers to what was asked before are dropped when they come.

        `wait` is in milliseconds. What was answered before of the same build is there at once.
        """
        self.question, self._choose = question, choose
        self._asked, self._behind, self._wanted = None, None, []
        self._order = np.arange(0)
        if question is None or not question.ones:
            self.answers, self.question = None, None
            self._soon.stop()
            self._late.stop()
            return
        self._kept = [one for one in self._kept if one.question.build is question.build]
        kept = next((one for one in self._kept if one.question.is_of(question)), None)
        if kept is not None:
            self._soon.stop()
            self._late.stop()
            self.question, self.answers = kept.question, kept
            self.answered.emit(kept)
            return
        if self.answers is not None and not self.answers.question.is_of(question):
            self.answers = None
        self._soon.start(wait)
        self._late.start()

    def look(self, rows: Rows) -> None:
        """Ask for the rows in sight."""
        if self.is_current:
            assert self.answers is not None
            self._wanted = self.answers.lacking(rows)
            if self._wanted:
                self._pump()

    def go_on(self, order: Rows) -> None:
        """Work out the bands of all rows, in this order, when nothing else is asked."""
        answers = self.answers
        if answers is None or not self.is_current:
            return
        self._order = order[~answers.has_band[order]]
        self._behind = None
        if self._order.size and not self._quiet.isActive():
            self._pump()

    def run(self, errand: Callable[[], object]) -> None:
        """Have something done that will be needed, before the bands behind."""
        self._errands.append(errand)
        self._pump()

    def hold(self) -> None:
        """Leave the processor to the person's hands for a moment."""
        self._quiet.start()

    @property
    def is_current(self) -> bool:
        """Whether the answers are those to the last question."""
        return self.answers is not None and self.answers.question is self.question

    @property
    def is_at_rest(self) -> bool:
        """Whether nothing is worked out or waits to be."""
        waits = self._soon.isActive() or bool(self._wanted or self._errands or self._order.size)
        return not (waits or self._jobs.is_busy) and (self.question is None or self.is_current)

    def wait(self) -> None:
        """Wait for what is worked out and ask no more."""
        for timer in (self._soon, self._quiet, self._late):
            timer.stop()
        self.question = None
        self._jobs.wait()

    # Working --------------------------------------------------------------------------------

    def _pump(self) -> None:
        """Have the most urgent thing worked out."""
        question = self.question
        if self._jobs.is_busy or self._soon.isActive() or question is None:
            return
        if not self.is_current:
            if self._asked is not question:
                self._asked = question
                choose, old = self._choose, self.answers
                assert choose is not None
                self._submit(lambda: _answer(question, choose, old))
            return
        answers = self.answers
        assert answers is not None
        if self._wanted:
            rows, self._wanted = self._wanted, []
            self._submit(lambda: _sight(answers, rows))
        elif self._errands:
            self._submit(self._errands.pop(0), self._errands)
        elif self._order.size and not self._quiet.isActive():
            if self._behind is None:
                from pennyspeed.services.shelf.bands import bands_behind

                self._behind = bands_behind(answers.found, self._order)
            behind = self._behind
            self._submit(lambda: next(behind, None), behind)

    def _submit(self, work: Callable[[], object], behind: object = None) -> None:
        self._jobs.submit(work, partial(self._done, self.question, behind))

    def _done(self, question: Question | None, behind: object, came: object) -> None:
        if question is self.question:
            if isinstance(came, Answers):
                self._late.stop()
                self.answers = came
                self._kept.append(came)
                self.answered.emit(came)
            elif self.answers is not None and isinstance(came, Sight):
                self.answers.take(came)
                self.looked_at.emit()
            elif self.answers is not None and behind is not None and behind is self._behind:
                if came is None:
                    self._order, self._behind = np.arange(0), None
                else:
                    self.answers.take_behind(came)  # type: ignore[arg-type]
                self.went_on.emit()
        self._pump()

    def _tell_late(self) -> None:
        if not self.is_current:
            self.went_late.emit()


def _answer(question: Question, choose: Choose, old: Answers | None) -> Answers:
    from pennyspeed.services.shelf.candidates import candidates, pair_candidates
    from pennyspeed.services.shelf.concern import concern

    if question.others:
        found = pair_candidates(question.build, question.ones, question.others)
    else:
        found = candidates(question.build, question.ones)
    answers = Answers(question, found, concern(found))
    if old is not None and question.has_same_cars(old.question):
        answers.keep_bands(old)
    answers.take(_sight(answers, [int(i) for i in choose(answers)]))
    return answers


def _sight(answers: Answers, rows: list[int]) -> Sight:
    from pennyspeed.services.shelf.bands import bands
    from pennyspeed.services.shelf.concern import looked_at

    measures = answers.question.measures
    shown = looked_at(answers.found, answers.concern, rows, measures)
    undrawn = [i for i in rows if not answers.is_drawn[i]]
    return Sight(shown, bands(answers.found, undrawn) if undrawn else None)
