"""What the margin costs, with this pinion and its neighbours, worked out beside the window."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import QSize
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import baseline, painting
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.builds import Build
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.prediction.margin_costs import MarginCost, cost_words, margin_costs

TITLE = "What the margin costs"
WORKING = "working it out …"
GAP = 16


class CostLine(QWidget):
    """One line: what the reserve costs in speed."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self._jobs = JobQueue(self, newest_only=True)
        self._build: Build | None = None
        self._words: list[tuple[str, str]] = []
        self._remark = ""
        session.file.closed.connect(self._jobs.wait)

    @property
    def is_current(self) -> bool:
        """Whether it speaks of the build shown."""
        return self._build is self._session.bench.build and not self._jobs.is_busy

    def refresh(self) -> None:
        """Have the costs of the build shown worked out."""
        session = self._session
        build = session.bench.build
        if build is None or not session.file.is_open:
            self._say([], "")
            return
        known = session.catalogue.loaded_parts().get("pinion")
        workshop = session.file.workshop

        def work() -> tuple[MarginCost, ...]:
            pinions: Sequence[Part] = known or workshop.catalogue.parts("pinion")
            return margin_costs(build, pinions)

        if not self._words:
            self._say([], WORKING)
        self._jobs.submit(work, partial(self._done, build))

    def _done(self, build: Build, costs: tuple[MarginCost, ...]) -> None:
        if build is self._session.bench.build:
            self._build = build
            self._say(*cost_words(costs, build, self._session.bench.measures))

    def _say(self, words: list[tuple[str, str]], remark: str) -> None:
        self._words, self._remark = words, remark
        said = "; ".join(f"{what}: {cost}" for what, cost in words)
        self.setAccessibleName(TITLE)
        self.setAccessibleDescription(": ".join(filter(None, (said, remark))))
        self.setToolTip(remark)
        self.update()

    def sizeHint(self) -> QSize:
        return QSize(px(400), px(28))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours, line = painter.theme, baseline(0, self.height(), "label")
            x = painter.text(0, line, TITLE, "label_strong", colours.ink) + px(20)
            for what, cost in self._fitting(self.width() - x):
                x += painter.text(x, line, f"{what} ", "label", colours.ink2)
                x += painter.text(x, line, cost, "label_strong", colours.ink) + px(GAP)
            room = self.width() - x
            if not self._words:
                painter.text(x, line, self._remark, "label", colours.ink2, room=room)
            elif theme.words(self._remark, "label").width <= room:
                painter.text(x, line, self._remark, "label", colours.ink2)

    def _fitting(self, room: float) -> list[tuple[str, str]]:
        """Return the words that have room, the larger pinions rather than the smaller ones."""
        words = list(self._words)

        def wide(what: str, cost: str) -> float:
            figure = theme.words(cost, "label_strong").width
            return theme.words(f"{what} ", "label").width + figure + px(GAP)

        while len(words) > 1 and sum(wide(*one) for one in words) - px(GAP) > room:
            words.pop(0)
        return words
