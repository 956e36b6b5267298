"""Has the shelf's answers worked out in a thread, the most urgent first.

::

    a build or a slot changes --> one batch of all rows, and the rows in sight exactly
    rows come into sight      --> those, exactly, with their bands
    nothing is asked          --> bands of the rest, a few at a time

What belongs to another build is dropped.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from typing import TYPE_CHECKING

import numpy as np
from PySide6.QtCore import QObject, QTimer, Signal

from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.services.shelf.answers import (
    Answers,
    Choose,
    Question,
    Rows,
    Sight,
    answer,
    look_at,
)

if TYPE_CHECKING:
    from pennyspeed.services.shelf.bands import Bands

SOON, QUIET, LATE = 12, 60, 200
"""Milliseconds: from a change to asking, so that its frame is painted first; from the last key to
going on behind; and until old answers are marked as such."""


class AnswerQueue(QObject):
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
        timer = QTimer(self, singleShot=True, interval=wait)
        timer.timeout.connect(act)
        return timer

    # Asking ---------------------------------------------------------------------------------

    def ask(
        self, question: Question | None, choose: Choose | None = None, wait: int = SOON
    ) -> None:
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
                self._submit(lambda: answer(question, choose, old))
            return
        answers = self.answers
        assert answers is not None
        if self._wanted:
            rows, self._wanted = self._wanted, []
            self._submit(lambda: look_at(answers, rows))
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
