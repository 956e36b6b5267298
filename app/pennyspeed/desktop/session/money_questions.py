"""Questions about money: asked when they arise, each answered as one undo step."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import partial

from PySide6.QtCore import QObject, Signal

from pennyspeed.desktop.session.bench import Bench
from pennyspeed.desktop.session.builds import Builds
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.money.lines import Status
from pennyspeed.services.money import line_changes, questions
from pennyspeed.services.money.line_changes import LineChange


@dataclass(frozen=True, slots=True)
class Question:
    """One sentence, what an answer means, and the answers."""

    sentence: str
    detail: str
    answers: tuple[tuple[str, Callable[[], object]], ...]
    takes_keyboard: bool = False


class MoneyQuestions(QObject):
    """Knows what is to be asked about the build shown.

    Signals
    -------
    changed()
        `question` is another one, or None.
    """

    changed = Signal()

    def __init__(self, bench: Bench, builds: Builds, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._bench, self._builds = bench, builds
        self.question: Question | None = None
        self._shown: Build | None = None
        self._kind = ""
        self._left: set[tuple[int | None, str]] = set()
        """Lines whose price was not wanted, by build and name."""
        bench.build_changed.connect(self._build_changed)

    # What is asked ----------------------------------------------------------------------------

    def note_owned(self, places: Sequence[int]) -> bool:
        """Note lines as owned, once it is known where they were paid; False if they are already."""
        build = self._bench.build
        if build is None:
            return False
        if not questions.paid_before_is_asked(build, places):
            made = line_changes.with_status(build, places, Status.OWNED, date.today())
            return made is not None and self._change(made)
        names = "it" if len(places) == 1 else "them"
        called = build.lines[places[0]].called if len(places) == 1 else f"{len(places)} lines"

        def answer(paid_here: bool) -> None:
            made = questions.with_owned(build, places, paid_here, date.today())
            if made is not None and self._bench.build == build:
                self._change(made)

        self._ask(
            Question(
                f"Was {called} paid in this build?",
                f"Paid here, {names} counts as spent; owned before, {names} counts as nothing.",
                (("paid here", partial(answer, True)), ("owned before", partial(answer, False))),
                takes_keyboard=True,
            )
        )
        return True

    def leave(self) -> None:
        """Leave the question without an answer."""
        build = self._bench.build
        if build is not None:
            places = questions.priced_later(build)
            self._left |= {(build.id, build.lines[place].called) for place in places}
        self._kind = ""
        self._ask(None)

    def answer(self, index: int) -> None:
        """Take an answer by its place."""
        question = self.question
        self._ask(None)
        if question is not None:
            question.answers[index][1]()

    def _build_changed(self) -> None:
        before, build = self._shown, self._bench.build
        self._shown = build
        if build is None:
            self._ask(None)
            return
        is_there = any(line.part == self._kind for line in build.lines)
        if before is None or before.id != build.id or not is_there:
            self._kind = ""
        self._kind = questions.undecided_kind(before, build) or self._kind
        places = [
            place
            for place in questions.priced_later(build)
            if (build.id, build.lines[place].called) not in self._left
        ]
        if places:
            self._ask(self._about_prices(build, places))
        elif self._kind and self._kind not in build.counted_kinds:
            self._ask(self._about_kind(self._kind))
        else:
            self._ask(None)

    def _about_prices(self, build: Build, places: Sequence[int]) -> Question:
        after = questions.with_prices(build, places)
        return Question(
            questions.price_sentence(build, places, self._bench.measures),
            "Its line takes that price." if len(places) == 1 else "Their lines take these prices.",
            (("take it", partial(self._change, after)), ("leave it", self.leave)),
        )

    def _about_kind(self, kind_key: str) -> Question:
        plural = BY_KEY[kind_key].plural
        choose = partial(self._builds.choose_counting, kind_key)
        return Question(
            f"Do {plural} count toward the cap?",
            f"Asked once for {plural}; K in the money list changes a single line.",
            (("they count", partial(choose, True)), ("they do not", partial(choose, False))),
        )

    def _change(self, made: LineChange) -> bool:
        return self._builds.change(made.after, made.did, made.undid)

    def _ask(self, question: Question | None) -> None:
        if question is not None or self.question is not None:
            self.question = question
            self.changed.emit()
