"""The data file: opened when it is first needed, what is said about it, what can be undone."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from pennyspeed.desktop.background import Errands
from pennyspeed.desktop.undoing import Steps
from pennyspeed.domain.errors import UserError

if TYPE_CHECKING:
    from pennyspeed.services.workshop import Workshop

UNDO_LIMIT = 500


class DataFile(QObject):
    """One file at a time, with its errands and its undo stack.

    Signals
    -------
    said(str)
        A short note of what was done, such as "put back Marl 80".
    noted(str)
        A short note that tells of no change, such as "opening club.sqlite3"; "" takes it away.
    troubled(str)
        One sentence about what did not work.
    closed()
        The file is about to be closed.
    """

    said = Signal(str)
    noted = Signal(str)
    troubled = Signal(str)
    closed = Signal()

    def __init__(
        self, open_workshop: Callable[[], Workshop], parent: QObject | None = None
    ) -> None:
        super().__init__(parent)
        self._open_workshop = open_workshop
        self._workshop: Workshop | None = None
        self.undo_stack = Steps(self)
        self.undo_stack.setUndoLimit(UNDO_LIMIT)
        self.errands = Errands(self)
        self._is_closed = False

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

    def close(self) -> None:
        """Close the file."""
        self._is_closed = True
        self.errands.wait()
        self.closed.emit()
        self.undo_stack.blockSignals(True)
        if self._workshop is not None:
            self._workshop.close()
            self._workshop = None

    def telling(self) -> Telling:
        """Return a context in which a person's mistake becomes one told sentence."""
        return Telling(self)


class Telling:
    """Turns a person's mistake into one told sentence; `went_well` says whether there was none."""

    def __init__(self, file: DataFile) -> None:
        self._file = file
        self.went_well = False

    def __enter__(self) -> Telling:
        return self

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> bool:
        self.went_well = error is None
        if isinstance(error, UserError):
            self._file.troubled.emit(str(error))
            return True
        return False
