"""The application: creates everything once, and paints before the database is open.

Little is imported here, so that what is heavy comes in while the collector of garbage rests: it
would look through every object that the imports make, again and again, and find none to free.
"""

from __future__ import annotations

import gc
import linecache
import os
import sys
from functools import partial
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from PySide6.QtWidgets import QApplication

    from pennyspeed.desktop.session import Session
    from pennyspeed.desktop.session.settings import Settings
    from pennyspeed.desktop.window import Window
    from pennyspeed.services.workshop import Workshop

VIEWS, DATABASE = "pennyspeed.desktop.larger_views", "pennyspeed.storage.database"
"""Imported after the first frame, in a thread."""


def dress(app: QApplication, settings: Settings) -> None:
    """Give the application its style, font, theme and names."""
    from PySide6.QtGui import QIcon

    from pennyspeed.desktop.widgets import theme
    from pennyspeed.resources import path as resource_path

    app.setApplicationName("pennyspeed")
    app.setApplicationDisplayName("Pennyspeed")
    app.setStyle("Fusion")
    app.setWindowIcon(QIcon(str(resource_path("icons/pennyspeed.svg"))))
    keeper = theme.keeper()
    keeper.choose(settings.theme)
    keeper.choose_text(settings.text_percent)


def open_workshop(path: Path | None) -> Workshop:
    """Open the file at `path`; what that takes is imported only now."""
    from pennyspeed.services.workshop import Workshop

    return Workshop.open(path)


def file_to_open(path: Path | None, settings: Settings) -> tuple[Path | None, str]:
    """Return the file that a start opens, None for the usual one, and what is to be said of it.

    It is the one asked for, else the one that was open last; where that is gone, the usual one.

    Parameters
    ----------
    path : Path or None
        What was asked for.
    """
    if path is not None or not settings.recent_files:
        return path, ""
    last = Path(settings.recent_files[0])
    # Unlike Path.exists it answers for what may not be looked at, too.
    if os.path.exists(last):
        return last, ""
    from pennyspeed.services.glance import usual_path

    if last == usual_path():
        return None, ""
    return None, f"{last.name} is no longer in {last.parent}, so this is your usual file."


def open_window(path: Path | None, settings: Settings, settings_path: Path | None) -> Window:
    """Return the window on the file at `path`, ready to be shown.

    What a glance at the file tells is there at once; the file itself opens after the first frame.
    A file that a glance cannot read, a new one among them, is opened right away.
    """
    from pennyspeed.desktop.session import Session
    from pennyspeed.desktop.session.jobs import JobQueue
    from pennyspeed.desktop.session.settings import measures
    from pennyspeed.desktop.window import Window
    from pennyspeed.services.glance import glance

    session = Session(partial(open_workshop, path), measures(settings))
    seen = glance(path)
    window = Window(session, settings, settings_path)
    session.setParent(window)
    # First of what follows the first frame: opening the file imports much more.
    window.body.painted.connect(_collect_again)
    loading = JobQueue(window)
    # A process that ends in the middle of an import may crash.
    session.file.closed.connect(loading.wait)

    # Sources are forgotten between two imports: one that goes on may be reading them.
    def load_views() -> None:
        loading.submit(partial(import_module, VIEWS), lambda _: _forget_sources())

    def open_file(_: object) -> None:
        _forget_sources()
        session.file.open()

    def load_file() -> None:
        loading.submit(partial(import_module, DATABASE), open_file)
        load_views()

    if seen is not None and seen.build is not None:
        session.bench.slot = seen.kind_key
        session.preload(
            seen.build, [(entry.id, entry.name) for entry in seen.entries], list(seen.parts)
        )
        window.body.painted.connect(load_file)
    else:
        session.file.open()
        window.body.painted.connect(load_views)
    return window


def load() -> None:
    """Import what the window needs; ImportError where something is not installed."""
    gc.disable()
    # First what does without Qt: PySide reads the source of every module that comes after it.
    import pennyspeed.services.glance
    import pennyspeed.services.prediction.forecast

    # isort: split
    import pennyspeed.desktop.window  # noqa: F401

    _forget_sources()


def _forget_sources() -> None:
    """Let go of the text of every module imported so far.

    PySide looks for its own name in it, through `inspect`, and so all of it stays in memory: 25 MB
    that only a traceback would ask for, which reads the file again.
    """
    linecache.clearcache()


def launch(
    path: Path | None = None, settings_path: Path | None = None
) -> tuple[QApplication, Window]:
    """Return the application and its window, shown but not yet painted.

    Without a path the window is on the file that was open last.
    """
    load()
    from PySide6.QtWidgets import QApplication

    from pennyspeed.desktop.session import settings as settings_file

    app = QApplication.instance() or QApplication(sys.argv[:1])
    assert isinstance(app, QApplication)
    app.setApplicationName("pennyspeed")
    kept_at = settings_file.default_path() if settings_path is None else settings_path
    settings = settings_file.load(kept_at)
    dress(app, settings)
    path, sentence = file_to_open(path, settings)
    window = open_window(path, settings, kept_at)
    window.session.file.opened.connect(_settle)
    if sentence:
        _tell_once(window.session, sentence)
    window.show()
    return app, window


def _tell_once(session: Session, sentence: str) -> None:
    """Say a sentence as soon as the file is open: what opening shows would wipe it away."""
    if session.file.is_open:
        session.messages.troubled.emit(sentence)
        return

    def tell() -> None:
        session.file.opened.disconnect(tell)
        session.messages.troubled.emit(sentence)

    session.file.opened.connect(tell)


def _collect_again() -> None:
    """Let garbage be collected where it rested while the window was made, once it is on screen."""
    from PySide6.QtCore import QTimer

    if not gc.isenabled():
        QTimer.singleShot(0, _settle)


def _settle() -> None:
    """Collect what the start left over; what remains is here to stay and not looked at again."""
    gc.collect()
    gc.freeze()
    gc.enable()


def run(path: Path | None = None) -> int:
    """Open the window on the file at `path`, None for the last one; return the exit code."""
    app, window = launch(path)
    from PySide6.QtCore import QEvent

    try:
        return app.exec()
    finally:
        # A plot's scene must not outlive the application.
        window.close()
        window.deleteLater()
        app.sendPostedEvents(None, QEvent.Type.DeferredDelete)
