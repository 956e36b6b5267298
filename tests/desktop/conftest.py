"""A window on a small file of its own, worked as a person would."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from pathlib import Path
from time import monotonic

import pytest
from PySide6.QtCore import QEvent, QEventLoop, Qt, QTimer
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.app import dress
from pennyspeed.desktop.charts import BY_KEY, Canvas
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.window import Window
from pennyspeed.services.workshop import Workshop
from unsynced import writing_without_waiting


def go_by(milliseconds: int) -> None:
    """Let events go by as a running window does; QTest.qWait would hold up every other thread."""
    loop = QEventLoop()
    QTimer.singleShot(milliseconds, loop.quit)
    loop.exec()


def wait_until(is_so: Callable[[], bool], seconds: float = 20.0) -> None:
    """Let events go by until something is so."""
    end = monotonic() + seconds
    while not is_so():
        assert monotonic() < end, "waited too long"
        go_by(2)


@pytest.fixture
def settle() -> Callable[[Window], None]:
    """Waits until the shelf has worked everything out."""

    def settle(window: Window) -> None:
        wait_until(lambda: window.shelf.answer_queue.is_at_rest)
        go_by(20)
        wait_until(lambda: window.shelf.answer_queue.is_at_rest)

    return settle


@pytest.fixture
def keeper(qapp: QApplication) -> Iterator[theme.ThemeKeeper]:
    """Keeps the light theme and plain text, and puts the system's back afterwards."""
    found = theme.keeper()
    found.choose(theme.BRIGHT)
    found.choose_text(100)
    yield found
    found.choose(theme.SYSTEM)
    found.choose_text(100)


@pytest.fixture
def plot_of(keeper: theme.ThemeKeeper, qtbot: QtBot) -> Callable[..., Canvas]:
    """Makes a view in sight, by its key."""

    def make(key: str, width: int = 822, height: int = 328) -> Canvas:
        made = BY_KEY[key].make()
        assert isinstance(made, Canvas)
        qtbot.addWidget(made)
        made.resize(width, height)
        made.show()
        qtbot.waitExposed(made)
        return made

    return make


@pytest.fixture(autouse=True, scope="module")
def no_wait_for_the_disk() -> Iterator[None]:
    """No power fails here: what is stored need not lie on the disk before a test goes on."""
    with writing_without_waiting():
        yield


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file as the first start leaves it; to be copied, not opened."""
    path = tmp_path_factory.mktemp("window") / "demo.sqlite3"
    Workshop.open(path).close()
    return path


@pytest.fixture
def file(demo_file: Path, tmp_path: Path) -> Path:
    path = tmp_path / "file.sqlite3"
    shutil.copy(demo_file, path)
    return path


@pytest.fixture
def open_window(qapp: QApplication, file: Path) -> Iterator[Callable[..., Window]]:
    """Opens windows and destroys them afterwards: a scene must not outlive the application."""
    opened: list[Window] = []

    def make(settings: Settings | None = None, settings_path: Path | None = None) -> Window:
        chosen = settings or Settings(theme=theme.BRIGHT)
        dress(qapp, chosen)
        session = Session(lambda: Workshop.open(file))
        window = Window(session, chosen, settings_path)
        session.setParent(window)
        session.file.open()
        if not chosen.geometry:
            # The platform without a screen has one of 800 × 800, into which a window is fitted.
            window.resize(1366, 768)
        window.show()
        QTest.qWaitForWindowActive(window)
        qapp.processEvents()
        opened.append(window)
        wait_until(
            lambda: window.shelf.answer_queue.is_current or window.session.bench.build is None
        )
        return window

    yield make
    for window in opened:
        window.close()
        window.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    theme.keeper().choose(theme.SYSTEM)
    theme.keeper().choose_text(100)


@pytest.fixture
def window(open_window: Callable[..., Window]) -> Window:
    return open_window()


@pytest.fixture
def press() -> Callable[..., None]:
    """Presses keys on whatever has the keyboard."""

    def press(*keys: Qt.Key | str, to: QWidget | None = None) -> None:
        for key in keys:
            target = to or QApplication.focusWidget()
            assert target is not None, "nothing has the keyboard"
            if isinstance(key, str):
                QTest.keyClicks(target, key)
            else:
                QTest.keyClick(target, key)
            QApplication.processEvents()

    return press


@pytest.fixture
def shortcut(window: Window) -> Callable[[str], None]:
    """Presses a shortcut of the window, such as "Ctrl+Z"."""

    def shortcut(keys: str) -> None:
        QTest.keySequence(window, keys)
        QApplication.processEvents()

    return shortcut
