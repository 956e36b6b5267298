"""The session: its objects put together, when files come, change and go."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from builds import a_build
from pennyspeed.desktop.session import Session
from pennyspeed.services.workshop import Workshop


@pytest.fixture
def session(qapp: QApplication, file: Path) -> Iterator[Session]:
    made = Session(lambda: Workshop.open(file))
    yield made
    made.close()


@pytest.fixture
def told(session: Session) -> list[str]:
    """What a session tells, in order."""
    names: list[str] = []
    for name, signal in (
        ("builds", session.builds.list_changed),
        ("build", session.bench.build_changed),
        ("parts", session.catalogue.parts_changed),
        ("opened", session.file.opened),
    ):
        signal.connect(lambda *_, name=name: names.append(name))
    return names


def test_opening_shows_everything_and_then_tells_that_it_is_open(
    session: Session, told: list[str]
) -> None:
    session.file.open()
    assert told == ["builds", "build", "parts", "opened"]
    assert session.bench.build is not None
    assert session.bench.build.name in dict(session.builds.entries()).values()


def test_what_was_read_ahead_is_shown_without_opening(session: Session, told: list[str]) -> None:
    build = a_build()
    motor = build.part("motor")
    assert motor is not None
    session.preload(build, [(7, "Seven")], [motor])
    assert not session.file.is_open
    assert session.builds.entries() == [(7, "Seven")]
    assert session.catalogue.parts("motor") == [motor]
    assert session.bench.build is build
    assert told == ["build"]
    session.file.open()
    assert (7, "Seven") not in session.builds.entries()
    assert session.catalogue.parts("motor") != [motor]


def test_a_build_that_is_shown_already_is_not_shown_again(
    session: Session, told: list[str]
) -> None:
    session.file.open()
    del told[:]
    session.file.open()
    assert told == ["builds", "parts", "opened"]


def test_another_file_keeps_nothing_of_the_one_before(
    session: Session, tmp_path: Path, qtbot: QtBot
) -> None:
    session.file.open()
    session.builds.create("Only here")
    session.comparison.hold_present()
    session.catalogue.parts("pinion")
    session.bench.try_part(session.catalogue.parts("motor")[0])
    with qtbot.waitSignal(session.file.opened):
        session.file.open_other(tmp_path / "other.sqlite3")
    assert session.undo_stack.count() == 0
    assert session.comparison.entries == ()
    assert session.bench.tried_parts == ()
    assert session.bench.build is not None
    assert session.bench.build.name != "Only here"
    assert "Only here" not in dict(session.builds.entries()).values()
    assert set(session.catalogue.loaded_parts()) == {session.bench.slot}


def test_what_another_window_changed_is_shown(
    session: Session, file: Path, told: list[str]
) -> None:
    session.file.open()
    with Workshop.open(file) as other:
        made = other.builds.create("From elsewhere")
        other.builds.note_shown(made.id or 0)
    del told[:]
    session.file.check_for_changes()
    assert told == ["builds", "build", "parts"]
    assert session.bench.build is not None
    assert session.bench.build.name == "From elsewhere"


def test_closing_tells_nothing_of_the_steps_that_go(session: Session) -> None:
    session.file.open()
    session.builds.create("One")
    session.close()
    told: list[int] = []
    session.undo_stack.indexChanged.connect(told.append)
    session.undo_stack.clear()
    assert told == []
