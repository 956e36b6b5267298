"""Figures that are missing in the file: looked for when it is opened, worked out when asked."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QTimer, Signal

from pennyspeed.desktop.session.catalogue import Catalogue
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.session.messages import Messages

if TYPE_CHECKING:
    from pennyspeed.services.catalogue import PartChange
    from pennyspeed.services.estimates.missing import MissingFigures

WAIT = 400
"""Milliseconds from opening a file to looking: what is shown comes first."""


class MissingInFile(QObject):
    """Knows what is missing in the person's own parts, and works it out as one undo step.

    Signals
    -------
    changed()
        `missing` is another one, or None where there is nothing to say.
    """

    changed = Signal()

    def __init__(
        self,
        file: OpenFile,
        catalogue: Catalogue,
        messages: Messages,
        jobs: JobQueue,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._file, self._catalogue = file, catalogue
        self._messages, self._jobs = messages, jobs
        self.missing: MissingFigures | None = None
        self._ids: list[int] = []
        self._looks = JobQueue(self, newest_only=True)
        self._wait = QTimer(self, singleShot=True, interval=WAIT)
        self._wait.timeout.connect(self._look)
        file.opened.connect(self._ask)
        file.replaced.connect(self._forget)
        file.closed.connect(self._stop)

    @property
    def is_at_rest(self) -> bool:
        """Whether the file has been looked through."""
        return not self._wait.isActive() and not self._looks.is_busy

    def work_out_missing(self) -> None:
        """Work out what is missing in the person's own parts."""
        ids = self._ids
        self._forget()
        self.work_out(ids)

    def work_out(self, ids: Iterable[int] | None = None, anew: bool = False) -> None:
        """Work out what parts lack, of these numbers or of all, as one step; anew also the rest."""
        numbers = None if ids is None else list(ids)

        def work() -> tuple[PartChange, ...]:
            changes = self._file.workshop.catalogue.work_out(numbers, anew)
            return tuple(one for one in changes if one.before != one.after)

        self._jobs.submit(work, self._worked_out, self._messages.report)

    def leave(self) -> None:
        """Leave what is missing as it is, and do not say so again."""
        missing = self.missing
        self._forget()
        if missing is not None:
            with self._messages.reporting():
                self._file.workshop.settings.note_missing_left(missing.figures)

    def _worked_out(self, changes: tuple[PartChange, ...]) -> None:
        from pennyspeed.services.estimates.missing import words_of

        if self._file.is_closed:
            return
        if not changes:
            self._messages.noted.emit("every figure is as it was worked out before")
            return
        did, undid = words_of(changes)
        self._catalogue.record(changes, did, undid)
        self._messages.said.emit(did)

    def _ask(self) -> None:
        if self._file.is_open:
            self._wait.start()

    def _look(self) -> None:
        if self._file.is_closed or not self._file.is_open:
            return
        workshop = self._file.workshop

        def work() -> tuple[list[int], MissingFigures | None]:
            ids = workshop.catalogue.own_ids()
            if not ids:
                return ids, None
            found = workshop.catalogue.missing_figures(ids)
            return ids, found if found.figures > workshop.settings.missing_left() else None

        def then(found: tuple[list[int], MissingFigures | None]) -> None:
            if not self._file.is_closed and workshop is self._file.workshop:
                self._ids, self.missing = found
                self.changed.emit()

        self._looks.submit(work, then, lambda _: None)

    def _forget(self) -> None:
        self.missing = None
        self.changed.emit()

    def _stop(self) -> None:
        self._wait.stop()
        self._looks.wait()
