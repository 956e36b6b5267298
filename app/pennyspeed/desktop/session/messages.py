"""Messages: what a person is told of what was done, and of what did not work."""

from __future__ import annotations

from PySide6.QtCore import QObject, Signal

from pennyspeed.domain.errors import UserError


class Messages(QObject):
    """Passes sentences on to whoever shows them.

    Signals
    -------
    said(str)
        A short note of what was done, such as "put back Marl 80".
    noted(str)
        A short note that tells of no change, such as "opening club.sqlite3"; "" takes it away.
    troubled(str)
        One sentence about what did not work.
    """

    said = Signal(str)
    noted = Signal(str)
    troubled = Signal(str)

    def reporting(self) -> Report:
        """Return a context in which a UserError becomes one told sentence."""
        return Report(self)

    def report(self, error: UserError) -> None:
        """Tell what did not work."""
        self.troubled.emit(str(error))


class Report:
    """How the code in a :meth:`Messages.reporting` context went.

    Attributes
    ----------
    succeeded : bool
        Whether the context was left without an error.
    """

    def __init__(self, messages: Messages) -> None:
        self._messages = messages
        self.succeeded = False

    def __enter__(self) -> Report:
        return self

    def __exit__(self, kind: object, error: BaseException | None, trace: object) -> bool:
        self.succeeded = error is None
        if isinstance(error, UserError):
            self._messages.report(error)
            return True
        return False
