"""The open file: opened when it is first needed, changed for another one, closed."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.session.messages import Messages
from pennyspeed.domain.errors import UserError

if TYPE_CHECKING:
    from pennyspeed.services.workshop import Workshop


class OpenFile(QObject):
    """One data file at a time.

    Parameters
    ----------
    open_workshop : callable
        Opens the first file; may raise FileTrouble.
    jobs : JobQueue
        Opens further files beside the window.

    Signals
    -------
    replaced()
        Another file has taken the place of this one, and is about to be read.
    content_read(Build or None)
        The file was opened, or has changed elsewhere: everything of it is to be read anew. Comes
        with the build that was shown last.
    opened()
        The file was opened and shown, or could not be.
    closed()
        The file is about to be closed for good.
    """

    replaced = Signal()
    content_read = Signal(object)
    opened = Signal()
    closed = Signal()

    def __init__(
        self,
        open_workshop: Callable[[], Workshop],
        messages: Messages,
        jobs: JobQueue,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._open_workshop = open_workshop
        self._messages, self._jobs = messages, jobs
        self._workshop: Workshop | None = None
        self._readers: list[Callable[[Workshop], None]] = []
        self.is_closed = False
        """Whether the file was closed for good."""

    @property
    def workshop(self) -> Workshop:
        """The open file; opened at the first call, which may raise FileTrouble."""
        if self._workshop is None:
            self._workshop = self._open_workshop()
        return self._workshop

    @property
    def is_open(self) -> bool:
        """Whether the file has been opened."""
        return self._workshop is not None

    def open(self) -> None:
        """Open the file and have it read; troubles are told, not raised."""
        self._read()
        self.opened.emit()

    def open_other(self, path: Path) -> None:
        """Open another file, new or old, in place of this one, which stays open where that fails.

        The file is opened in a thread; `opened`, or what is told, says how that ended.
        """
        if self._workshop is not None and _is_same_file(self._workshop.path, path):
            self._messages.noted.emit(f"{path.name} is open already")
            return

        def work() -> Workshop:
            from pennyspeed.services.workshop import Workshop

            workshop = Workshop.open(path)
            for read in self._readers:
                read(workshop)
            return workshop

        self._messages.noted.emit(f"opening {path.name}")
        self._jobs.submit(work, self._replace, self._fail_to_open)

    def read_ahead(self, reader: Callable[[Workshop], None]) -> None:
        """Have another file given to `reader` in the thread that opens it, before it is shown."""
        self._readers.append(reader)

    def check_for_changes(self) -> None:
        """Have the file read anew where another window or program changed it."""
        if self._workshop is not None and self._workshop.changed_elsewhere():
            self._read()

    def close(self) -> None:
        """Close the file for good."""
        self.is_closed = True
        self._jobs.wait()
        self.closed.emit()
        if self._workshop is not None:
            self._workshop.close()
            self._workshop = None

    def _read(self) -> None:
        with self._messages.reporting() as report:
            shown = self.workshop.builds.shown()
        if report.succeeded:
            self.content_read.emit(shown)

    def _replace(self, workshop: Workshop) -> None:
        if self.is_closed:
            workshop.close()
            return
        old, self._workshop = self._workshop, workshop
        self.replaced.emit()
        if old is not None:
            old.close()
        self.open()
        self._messages.noted.emit(f"opened {workshop.path.name}")

    def _fail_to_open(self, error: UserError) -> None:
        self._messages.noted.emit("")
        self._messages.report(error)
        if not self.is_open:
            self.opened.emit()


def _is_same_file(one: Path, other: Path) -> bool:
    try:
        return one.samefile(other)
    except OSError:
        return False
