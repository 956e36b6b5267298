"""Jobs: what takes longer than a frame is done in a thread, so that no frame waits for it."""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, TypeVar

from PySide6.QtCore import QObject, Signal

from pennyspeed.domain.errors import UserError

Result = TypeVar("Result")


@dataclass(frozen=True, slots=True)
class Job:
    """Work for a thread, and what is called in the owner's thread when it is over."""

    work: Callable[[], Any]
    then: Callable[[Any], object]
    failed: Callable[[UserError], object] | None


class JobQueue(QObject):
    """Runs jobs in a thread of its own, one at a time, in the order in which they came.

    Parameters
    ----------
    parent : QObject or None
        Jobs that end after it is gone call nobody.
    newest_only : bool
        Whether a job takes the place of one that waits.
    """

    _finished = Signal(object, object, object)

    def __init__(self, parent: QObject | None = None, *, newest_only: bool = False) -> None:
        super().__init__(parent)
        self._newest_only = newest_only
        self._thread: threading.Thread | None = None
        self._waiting: list[Job] = []
        self._finished.connect(self._finish)

    @property
    def is_busy(self) -> bool:
        """Whether a job runs or waits."""
        return self._thread is not None or bool(self._waiting)

    def submit(
        self,
        work: Callable[[], Result],
        then: Callable[[Result], object],
        failed: Callable[[UserError], object] | None = None,
    ) -> None:
        """Have `work` done, at once or when its turn comes.

        Parameters
        ----------
        work : callable
            Called in the thread.
        then : callable
            Called with the result of `work`, in the owner's thread.
        failed : callable or None
            Called instead with a UserError that `work` raised. Other errors, and UserErrors where
            this is None, are raised in the owner's thread.
        """
        job = Job(work, then, failed)
        if self._newest_only:
            self._waiting.clear()
        if self._thread is None and not self._waiting:
            self._start(job)
        else:
            self._waiting.append(job)

    def wait(self) -> None:
        """Wait for the job that runs, and drop those that wait."""
        self._waiting.clear()
        if self._thread is not None:
            self._thread.join()

    def _start(self, job: Job) -> None:
        self._thread = threading.Thread(target=self._run, args=(job,), daemon=True)
        self._thread.start()

    def _run(self, job: Job) -> None:
        result: object = None
        error: Exception | None = None
        try:
            result = job.work()
        except Exception as raised:  # noqa: BLE001 – raised again in the owner's thread
            error = raised
        # The owner may have gone in the meantime, at the very end of the program.
        with contextlib.suppress(RuntimeError):
            self._finished.emit(job, result, error)

    def _finish(self, job: Job, result: object, error: Exception | None) -> None:
        self._thread = None
        try:
            if error is None:
                job.then(result)
            elif job.failed is not None and isinstance(error, UserError):
                job.failed(error)
            else:
                raise error
        finally:
            # Only now: the next one may need what this one has just changed.
            if self._waiting and self._thread is None:
                self._start(self._waiting.pop(0))
