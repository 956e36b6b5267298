"""The next step: the cheapest change that reaches the target, or the one that brings most."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.widgets.button import PUSHING, focus_ring
from pennyspeed.desktop.widgets.painter import baseline, painting, wrapped
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import KMH
from pennyspeed.services.shelf.change_words import change_title, say_with_chance

if TYPE_CHECKING:
    from pennyspeed.services.prediction.forecast import Forecast
    from pennyspeed.services.shelf.next_change import Change
    from pennyspeed.services.workshop import Workshop

Catalogue = dict[str, list[Part]]

MARGIN, TITLE, LINE = 24, 28, 18
WAIT = 250
"""Milliseconds from a change to looking for the next: the shelf's answers come first."""

MOST_LINES = 3
LOOKING = "looking through the shelf …"


class NextStep(QObject):
    """Looks for the next step beside the window.

    Signals
    -------
    found()
        `change` is that of `build`.
    """

    found = Signal()

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.build: Build | None = None
        self.change: Change | None = None
        self._jobs = JobQueue(self, newest_only=True)
        self._timer = QTimer(self, singleShot=True, interval=WAIT)
        self._timer.timeout.connect(self._look)
        session.bench.build_changed.connect(self._ask)
        session.catalogue.parts_changed.connect(lambda _: self._ask())
        session.file.closed.connect(self._stop)

    @property
    def is_current(self) -> bool:
        """Whether `change` is that of the build shown."""
        return self.build is not None and self.build is self._session.bench.build

    def _ask(self) -> None:
        self.build = None
        if self._session.bench.build is not None and self._session.file.is_open:
            self._timer.start()
        else:
            self._timer.stop()

    def _look(self) -> None:
        """Look through the catalogue; what was not read yet is read there too."""
        session = self._session
        build = session.bench.build
        if build is None or not session.file.is_open:
            return
        workshop, known = session.file.workshop, session.catalogue.loaded_parts()
        then = partial(self._done, build, session.catalogue.version)
        self._jobs.submit(lambda: _next(build, known, workshop), then)

    def _done(self, build: Build, version: int, found: tuple[Change | None, Catalogue]) -> None:
        change, read = found
        session = self._session
        session.catalogue.add_loaded(version, read)
        if build is session.bench.build and version == session.catalogue.version:
            self.build, self.change = build, change
            self.found.emit()

    def _stop(self) -> None:
        self._timer.stop()
        self._jobs.wait()


def _next(build: Build, known: Catalogue, workshop: Workshop) -> tuple[Change | None, Catalogue]:
    """Return the next step, and what had to be read for it."""
    from pennyspeed.services.shelf.next_change import cheapest_next_change

    keys = [kind.key for kind in KINDS if not kind.many]
    read = {key: workshop.catalogue.parts(key) for key in keys if key not in known}
    return cheapest_next_change(build, known | read), read


def _is_wanting(forecast: Forecast | None) -> bool:
    """Tell whether a whole car is slower than it is to be."""
    if forecast is None or forecast.prediction is None:
        return False
    target = forecast.build.target_kmh
    return target is None or forecast.prediction.road_speed < KMH.to_si(target)


class NextStepLine(Scaled, QAbstractButton):
    """The next step in words; Enter or a click tries it, once more puts it in.

    Signals
    -------
    changed()
        It says something else, or nothing: its height is another.
    """

    changed = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.step = NextStep(session, self)
        self.title, self.sentence = "", ""
        """What the step is, and the whole of it; empty where there is none to name."""
        self._lines: list[str] = []
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.clicked.connect(self.act)
        self.step.found.connect(self.refresh)
        session.bench.build_changed.connect(self.refresh)
        session.bench.measures_changed.connect(self.refresh)
        session.bench.tried_changed.connect(self._tried_changed)
        self._is_tried = False
        self.refresh()

    def refresh(self) -> None:
        """Take the step up; an old one stays until the new one is found."""
        session, step = self._session, self.step
        build = session.bench.build
        title, sentence = self.title, self.sentence
        if not _is_wanting(session.bench.forecast):
            title = sentence = ""
        elif build is not None and step.is_current:
            title = change_title(build, step.change, session.bench.measures)
            sentence = say_with_chance(build, step.change, session.bench.measures)
        elif build is not None and not title:
            title, sentence = change_title(build, None, session.bench.measures), LOOKING
        if (title, sentence) != (self.title, self.sentence):
            self.title, self.sentence = title, sentence
            self.setAccessibleName(title)
            self.setAccessibleDescription(f"{sentence}. Enter tries it, Enter again puts it in.")
            self.rescale()
            self.changed.emit()

    def _tried_changed(self) -> None:
        change = self.step.change
        is_tried = change is not None and self._session.bench.tried_parts == change.parts
        if is_tried != self._is_tried:
            self._is_tried = is_tried
            self.update()

    def rescale(self) -> None:
        room = self.width() - 2 * px(MARGIN)
        self._lines = wrapped(self.sentence, "label", room)[:MOST_LINES] if room > 0 else []
        self.setVisible(bool(self.title))
        self.update()

    def needed(self) -> int:
        """Return its height, 0 where it says nothing."""
        if not self.title:
            return 0
        return px(8) + px(TITLE) + px(LINE) * max(len(self._lines), 2) + px(8)

    def sizeHint(self) -> QSize:
        return QSize(px(240), self.needed())

    def resizeEvent(self, event: object) -> None:
        self.rescale()

    def act(self) -> None:
        """Try the step, or put it in where it is tried already."""
        session, step = self._session, self.step
        build, change = session.bench.build, step.change
        if build is None or change is None or not step.is_current:
            return
        name = " with ".join(part.name for part in change.parts)
        if session.bench.tried_parts != change.parts:
            session.bench.try_parts(change.parts, name)
            return
        old = [build.part(part.kind_key) for part in change.parts]
        names = " with ".join(part.name for part in old if part is not None)
        undid = f"put back {names}" if names else f"took {name} out again"
        session.builds.change(change.build, f"put in {name}", undid)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in PUSHING:
            self.click()
        elif event.key() == Qt.Key.Key_Escape and self._session.bench.tried_parts:
            self._session.bench.try_parts(())
        else:
            event.ignore()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "side") as painter:
            colours = painter.theme
            left, right = px(MARGIN), self.width() - px(MARGIN)
            painter.fill(left, 0, right - left, 1, colours.rule)
            top = px(8)
            line = baseline(top, px(TITLE), "label_strong")
            width = painter.text(left, line, self.title, "label_strong", colours.ink)
            change = self.step.change
            if change is not None and self.step.is_current:
                is_tried = self._session.bench.tried_parts == change.parts
                word = "Enter puts it in" if is_tried else "Enter tries it"
                room = right - left - width - px(16)
                if self.hasFocus() and room >= px(60):
                    painter.text(right, line, word, "label", colours.ink3, 1.0, room)
            top, room = top + px(TITLE), right - left
            painter.lines(left, top, px(LINE), self._lines, "label", colours.ink2, room)
            if self.hasFocus():
                focus_ring(painter, self)
