"""The undo stack, and what every step on it has in common."""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QObject
from PySide6.QtGui import QUndoCommand, QUndoStack

UNDO_LIMIT = 500


class UndoStep(QUndoCommand):
    """A change that is made already when its step is pushed.

    Parameters
    ----------
    did, undid : str
        What a person reads: "put in Larch 36-3300", "put back Marl 80".
    """

    def __init__(self, did: str, undid: str) -> None:
        super().__init__(did)
        self.did, self.undid = did, undid
        self._skips = True

    def skip_next(self) -> None:
        """Do nothing at the next undo or redo: things are as they shall be already."""
        self._skips = True

    def redo(self) -> None:
        """Make the change again; the first time it is made already."""
        if self._skips:
            self._skips = False
        else:
            self.apply()

    def undo(self) -> None:
        """Take the change back."""
        if self._skips:
            self._skips = False
        else:
            self.revert()

    def apply(self) -> None:
        """Make the change again, after it was undone."""
        raise NotImplementedError

    def revert(self) -> None:
        """Take the change back."""
        raise NotImplementedError


class UndoStack(QUndoStack):
    """An undo stack on which a step that was refused stays where it was.

    Qt moves on whatever a step did, so the step goes back over itself without doing anything.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.setUndoLimit(UNDO_LIMIT)
        self._is_moving = False
        self._refused: list[UndoStep] = []

    @property
    def undid(self) -> str:
        """What undo would do, in words; "" where there is nothing to undo."""
        step = self.command(self.index() - 1) if self.canUndo() else None
        return step.undid if isinstance(step, UndoStep) else ""

    @property
    def did(self) -> str:
        """What redo would do, in words; "" where there is nothing to do again."""
        step = self.command(self.index()) if self.canRedo() else None
        return step.did if isinstance(step, UndoStep) else ""

    def undo(self) -> None:
        """Take the last step back."""
        self._move(super().undo)

    def redo(self) -> None:
        """Make the next step once more."""
        self._move(super().redo)

    def refuse(self, step: UndoStep) -> None:
        """Let a step stay that could not be undone, or not be done again."""
        if self._is_moving:
            self._refused.append(step)
        else:
            self._put_back(step)

    def _move(self, move: Callable[[], None]) -> None:
        self._is_moving = True
        try:
            move()
        finally:
            self._is_moving = False
        refused, self._refused = self._refused, []
        for step in refused:
            self._put_back(step)

    def _put_back(self, step: UndoStep) -> None:
        """Move over the step again; where others came or went meanwhile, it is as it is."""
        at = self.index()
        if self.canRedo() and self.command(at) is step:
            step.skip_next()
            super().redo()
        elif self.canUndo() and self.command(at - 1) is step:
            step.skip_next()
            super().undo()
