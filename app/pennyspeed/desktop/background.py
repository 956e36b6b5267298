"""What goes on beside the window, so that no frame waits for it: an import, and long sums."""

from __future__ import annotations

import contextlib
import importlib
import threading
from collections.abc import Callable

from PySide6.QtCore import QObject, Signal


class Loader(QObject):
    """Imports a module in a thread of its own.

    Signals
    -------
    ready()
        It is there; told in the thread of whoever listens.
    """

    ready = Signal()

    def __init__(self, module: str, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._thread = threading.Thread(target=self._load, args=(module,), daemon=True)

    def start(self) -> None:
        """Begin."""
        self._thread.start()

    def wait(self) -> None:
        """Wait until it is over: a process that ends in the middle of an import may crash."""
        if self._thread.ident is not None:
            self._thread.join()

    def _load(self, module: str) -> None:
        importlib.import_module(module)
        self.ready.emit()


class Worker(QObject):
    """Works things out in a thread of its own: one at a time, and of those that wait the newest.

    What is asked while something is worked out takes the place of what waited before it.

    Signals
    -------
    done(object, object)
        The key that was asked with, and what came of it; told in the thread of the worker's owner.
    """

    done = Signal(object, object)
    _over = Signal(object, object, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._thread: threading.Thread | None = None
        self._waiting: tuple[object, Callable[[], object]] | None = None
        self._over.connect(self._take)

    @property
    def is_busy(self) -> bool:
        """Whether something is worked out or waits."""
        return self._thread is not None

    def ask(self, key: object, work: Callable[[], object]) -> None:
        """Have `work` done, at once or as soon as the thread is free."""
        if self._thread is None:
            self._thread = threading.Thread(target=self._run, args=(key, work), daemon=True)
            self._thread.start()
        else:
            self._waiting = key, work

    def wait(self) -> None:
        """Wait for what is worked out, and forget what waits."""
        self._waiting = None
        if self._thread is not None:
            self._thread.join()

    def _run(self, key: object, work: Callable[[], object]) -> None:
        found: object = None
        trouble: BaseException | None = None
        try:
            found = work()
        except Exception as error:  # noqa: BLE001 – raised again where it was asked for
            trouble = error
        # The owner may have gone in the meantime, at the very end of the program.
        with contextlib.suppress(RuntimeError):
            self._over.emit(key, found, trouble)

    def _take(self, key: object, found: object, trouble: BaseException | None) -> None:
        self._thread = None
        waiting, self._waiting = self._waiting, None
        if waiting is not None:
            self.ask(*waiting)
        if trouble is not None:
            raise trouble
        self.done.emit(key, found)


class Errands(QObject):
    """Runs what has to be done in a thread of its own, one after the other, none left out.

    Unlike :class:`Worker` it drops nothing: every errand is run, in the order of asking.
    """

    _over = Signal(object, object, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._thread: threading.Thread | None = None
        self._waiting: list[tuple[Callable[[], object], Callable[[object], None]]] = []
        self._over.connect(self._take)

    @property
    def is_busy(self) -> bool:
        """Whether an errand runs or waits."""
        return self._thread is not None

    def ask(self, work: Callable[[], object], then: Callable[[object], None]) -> None:
        """Have `work` done; `then` is called with what came of it, in the owner's thread."""
        if self._thread is None:
            self._thread = threading.Thread(target=self._run, args=(work, then), daemon=True)
            self._thread.start()
        else:
            self._waiting.append((work, then))

    def wait(self) -> None:
        """Wait for the errand that runs, and forget those that wait."""
        self._waiting.clear()
        if self._thread is not None:
            self._thread.join()

    def _run(self, work: Callable[[], object], then: Callable[[object], None]) -> None:
        found: object = None
        trouble: BaseException | None = None
        try:
            found = work()
        except Exception as error:  # noqa: BLE001 – raised again where it was asked for
            trouble = error
        with contextlib.suppress(RuntimeError):
            self._over.emit(then, found, trouble)

    def _take(
        self, then: Callable[[object], None], found: object, trouble: BaseException | None
    ) -> None:
        self._thread = None
        try:
            if trouble is not None:
                raise trouble
            then(found)
        finally:
            # Only now: the next one may need what this one has just changed.
            if self._waiting and self._thread is None:
                self.ask(*self._waiting.pop(0))
