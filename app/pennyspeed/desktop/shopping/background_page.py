"""Background page: a page of what is worked out beside the window."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.widgets.page import Page
from pennyspeed.domain.errors import UserError

T = TypeVar("T")


class BackgroundPage(Page):
    """A page whose answer comes from a job; while it runs, the note says so."""

    def __init__(self, title: str, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(title, parent)
        self._session = session
        self._jobs = JobQueue(self, newest_only=True)
        session.file.closed.connect(self._jobs.wait)

    @property
    def is_at_rest(self) -> bool:
        """Whether what stands there is worked out."""
        return not self._jobs.is_busy

    def work_out(self, note: str, work: Callable[[], T], then: Callable[[T], None]) -> None:
        """Do the work beside the window, then call back with its result."""
        self.note.say(note)
        self._jobs.submit(work, then, self._failed)

    def _failed(self, error: UserError) -> None:
        self.note.say("")
        self.trouble.say(str(error))
