"""Which file a start opens, and that its first frame does not wait for the database."""

from __future__ import annotations

import gc
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import QEvent
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.app import launch
from pennyspeed.desktop.session import settings as settings_file
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.window import Window
from pennyspeed.services import glance
from pennyspeed.services.workshop import Workshop


@pytest.fixture
def usual(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The person's usual file, with a build that tells it apart."""
    for name in ("XDG_DATA_HOME", "LOCALAPPDATA", "HOME"):
        monkeypatch.setenv(name, str(tmp_path / "home"))
    path = glance.usual_path()
    assert path.is_relative_to(tmp_path)
    path.parent.mkdir(parents=True)
    return filled(path, "Usual car")


def filled(path: Path, name: str) -> Path:
    with Workshop.open(path) as workshop:
        made = workshop.builds.create(name)
        assert made.id is not None
        workshop.builds.note_shown(made.id)
    return path


@pytest.fixture
def start(qapp: QApplication, qtbot: QtBot, tmp_path: Path) -> Iterator[Callable[..., Window]]:
    """Starts as from the desktop: without a path, with the settings that were kept."""
    windows: list[Window] = []
    kept_at = tmp_path / "settings.json"

    def start(recent: tuple[str, ...] = (), path: Path | None = None) -> Window:
        if recent:
            settings = replace(settings_file.load(kept_at), recent_files=recent)
            settings_file.save(settings, kept_at)
        _, window = launch(path, kept_at)
        windows.append(window)
        return window

    yield start
    for window in windows:
        if window.isVisible():
            qtbot.waitUntil(lambda window=window: window.session.file.is_open)
            window.close()
        window.deleteLater()
    qapp.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    gc.unfreeze()
    gc.enable()


def test_the_next_start_opens_what_was_open_last(
    start: Callable[..., Window], usual: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    other = filled(tmp_path / "club.sqlite3", "Club car")
    first = start()
    qtbot.waitUntil(lambda: first.session.file.is_open)
    assert first.session.bench.build.name == "Usual car"
    first.session.file.open_other(other)
    qtbot.waitUntil(lambda: first.session.file.workshop.path == other)
    first.close()
    second = start()
    # At a glance, before the database is there.
    assert not second.session.file.is_open
    assert second.session.bench.build.name == "Club car"
    qtbot.waitUntil(lambda: second.session.file.is_open)
    assert second.session.file.workshop.path == other
    assert not second.hints.trouble


def test_a_file_that_is_gone_is_told_once_and_the_usual_one_opens(
    start: Callable[..., Window], usual: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    gone = tmp_path / "stick" / "club.sqlite3"
    window = start(recent=(str(gone), str(usual)))
    qtbot.waitUntil(lambda: bool(window.hints.trouble))
    assert window.hints.trouble == (
        f"club.sqlite3 is no longer in {gone.parent}, so this is your usual file."
    )
    assert window.session.bench.build.name == "Usual car"
    assert not gone.exists()
    window.close()
    again = start()
    qtbot.waitUntil(lambda: again.session.file.is_open)
    assert again.session.bench.build.name == "Usual car"
    assert not again.hints.trouble


def test_a_file_asked_for_comes_before_the_last_one(
    start: Callable[..., Window], usual: Path, tmp_path: Path
) -> None:
    asked = filled(tmp_path / "asked.sqlite3", "Asked car")
    assert start(recent=(str(usual),), path=asked).session.bench.build.name == "Asked car"


def test_a_first_start_says_nothing_of_a_last_one(
    start: Callable[..., Window], usual: Path, qtbot: QtBot
) -> None:
    usual.unlink()
    window = start(recent=(str(usual),))
    qtbot.waitUntil(lambda: window.session.file.is_open)
    assert window.session.file.workshop.path == usual
    assert not window.hints.trouble


def test_settings_without_a_last_file_open_the_usual_one(
    start: Callable[..., Window], usual: Path
) -> None:
    assert Settings().recent_files == ()
    assert start().session.bench.build.name == "Usual car"
