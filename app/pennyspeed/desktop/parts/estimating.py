"""The rules of a kind, and what each figure does to the speed, asked for beside the window."""

from __future__ import annotations

from PySide6.QtCore import QObject, QTimer, Signal

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.domain.estimates.work_out import Estimator
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.services.editing.entered_part import EnteredPart

REST_MS = 150
"""How long the hand rests before the speeds are worked out anew."""


class Estimating(QObject):
    """Knows the rules as the person's own parts have taught them, and what is asked of them last.

    Signals
    -------
    changed()
        `estimator` or `widens` is another one.

    Attributes
    ----------
    estimator : Estimator or None
        None until the parts have been read.
    widens : dict
        Key of a figure to by how much it widens the speed, in words.
    """

    changed = Signal()

    def __init__(self, session: Session, parent: QObject) -> None:
        super().__init__(parent)
        self._session = session
        self._jobs = JobQueue(self, newest_only=True)
        self._kind_key = ""
        self.estimator: Estimator | None = None
        self.widens: dict[str, str] = {}
        self._entered: EnteredPart | None = None
        self._rest = QTimer(self, singleShot=True, interval=REST_MS)
        self._rest.timeout.connect(self._work)
        session.file.closed.connect(self._stop)

    @property
    def is_at_rest(self) -> bool:
        """Whether all that was asked has been answered."""
        return not self._rest.isActive() and not self._jobs.is_busy

    @property
    def plain_keys(self) -> list[str]:
        """Keys of the figures that are typed, not chosen."""
        return [field.key for field in BY_KEY[self._kind_key].fields if not field.choices]

    def begin(self, kind_key: str) -> None:
        """Turn to the parts of a kind, as they are now."""
        self._kind_key, self.estimator, self.widens = kind_key, None, {}
        self._entered = None

    def ask(self, entered: EnteredPart) -> None:
        """Ask what follows from a part; once the hand rests also what it does to the speed."""
        self._entered = entered
        if self.estimator is None:
            self._work()
        else:
            self._rest.start()

    def _stop(self) -> None:
        self._rest.stop()
        self._jobs.wait()

    def _work(self) -> None:
        file, entered, kind_key = self._session.file, self._entered, self._kind_key
        if file.is_closed or not file.is_open or entered is None:
            return
        workshop, known = file.workshop, self.estimator
        build, measures = self._session.bench.build, self._session.bench.measures

        def work() -> tuple[str, Estimator, dict[str, str]]:
            from pennyspeed.services.estimates.part_widenings import part_widenings

            estimator = known or workshop.catalogue.estimator(kind_key)
            part = entered.filled(estimator)
            return kind_key, estimator, part_widenings(build, part, measures)

        self._jobs.submit(work, self._answered, lambda _: None)

    def _answered(self, answer: tuple[str, Estimator, dict[str, str]]) -> None:
        kind_key, estimator, widens = answer
        if kind_key == self._kind_key and not self._session.file.is_closed:
            self.estimator, self.widens = estimator, widens
            self.changed.emit()
