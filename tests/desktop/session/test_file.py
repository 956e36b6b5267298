"""The open file, with a workshop that only notes what is asked of it."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from types import SimpleNamespace

import pytest
from pytestqt.qtbot import QtBot

from builds import a_build
from desktop.session.heard import Heard
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.session.messages import Messages
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import UnwritableFile
from pennyspeed.services import workshop as workshop_module


class FakeWorkshop:
    """A file with one build."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.shown: Build | None = a_build()
        self.builds = SimpleNamespace(shown=lambda: self.shown)
        self.has_changed = False
        self.is_closed = False

    def changed_elsewhere(self) -> bool:
        return self.has_changed

    def close(self) -> None:
        self.is_closed = True


class Story:
    """The signals of a file, in order."""

    def __init__(self, file: OpenFile) -> None:
        self.told: list[object] = []
        file.replaced.connect(lambda: self.told.append("replaced"))
        file.content_read.connect(self.told.append)
        file.opened.connect(lambda: self.told.append("opened"))
        file.closed.connect(lambda: self.told.append("closed"))


@pytest.fixture
def first(tmp_path: Path) -> FakeWorkshop:
    path = tmp_path / "first.sqlite3"
    path.touch()
    return FakeWorkshop(path)


@pytest.fixture
def make(messages: Messages, jobs: JobQueue) -> Callable[..., OpenFile]:
    return lambda opens: OpenFile(opens, messages, jobs)


def refuse(*_: object) -> FakeWorkshop:
    raise UnwritableFile("The file is read-only.")


def test_the_file_is_opened_once_and_only_when_it_is_needed(
    make: Callable[..., OpenFile], first: FakeWorkshop
) -> None:
    opened = []
    file = make(lambda: opened.append(first) or first)
    assert not file.is_open
    assert opened == []
    assert file.workshop is first
    assert file.workshop is first
    assert opened == [first]
    assert file.is_open


def test_opening_tells_what_was_shown_last_and_then_that_it_is_open(
    make: Callable[..., OpenFile], first: FakeWorkshop
) -> None:
    file = make(lambda: first)
    story = Story(file)
    file.open()
    assert story.told == [first.shown, "opened"]


def test_a_file_that_cannot_be_opened_is_told_and_not_raised(
    make: Callable[..., OpenFile], heard: Heard
) -> None:
    file = make(refuse)
    story = Story(file)
    file.open()
    assert heard.troubled == ["The file is read-only."]
    assert story.told == ["opened"]
    assert not file.is_open


def test_another_file_takes_the_place_of_the_first(
    make: Callable[..., OpenFile],
    first: FakeWorkshop,
    heard: Heard,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    qtbot: QtBot,
) -> None:
    second = FakeWorkshop(tmp_path / "second.sqlite3")
    monkeypatch.setattr(workshop_module.Workshop, "open", lambda _: second)
    file = make(lambda: first)
    file.open()
    story, read = Story(file), []
    file.read_ahead(lambda workshop: read.append((workshop, list(story.told))))
    with qtbot.waitSignal(file.opened):
        file.open_other(second.path)
    assert read == [(second, [])], "read before anybody heard of it"
    assert story.told == ["replaced", second.shown, "opened"]
    assert file.workshop is second
    assert first.is_closed
    assert heard.noted == ["opening second.sqlite3", "opened second.sqlite3"]


def test_the_same_file_is_not_opened_twice(
    make: Callable[..., OpenFile], first: FakeWorkshop, heard: Heard, jobs: JobQueue
) -> None:
    file = make(lambda: first)
    file.open()
    file.open_other(first.path)
    assert not jobs.is_busy
    assert heard.noted == ["first.sqlite3 is open already"]


@pytest.mark.parametrize("is_open", [True, False])
def test_where_another_cannot_be_opened_this_one_stays(
    make: Callable[..., OpenFile],
    first: FakeWorkshop,
    heard: Heard,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    qtbot: QtBot,
    is_open: bool,
) -> None:
    monkeypatch.setattr(workshop_module.Workshop, "open", refuse)
    file = make(lambda: first)
    if is_open:
        file.open()
    story = Story(file)
    file.open_other(tmp_path / "other.sqlite3")
    qtbot.waitUntil(lambda: bool(heard.troubled), timeout=10_000)
    assert heard.noted == ["opening other.sqlite3", ""]
    assert heard.troubled == ["The file is read-only."]
    assert story.told == ([] if is_open else ["opened"])
    assert not first.is_closed


def test_what_another_program_changed_is_read_anew(
    make: Callable[..., OpenFile], first: FakeWorkshop
) -> None:
    file = make(lambda: first)
    file.check_for_changes()
    assert not file.is_open, "looking is no reason to open it"
    file.open()
    story = Story(file)
    file.check_for_changes()
    assert story.told == []
    first.has_changed, first.shown = True, None
    file.check_for_changes()
    assert story.told == [None]


def test_closing_tells_first_and_lets_the_file_go(
    make: Callable[..., OpenFile], first: FakeWorkshop
) -> None:
    file = make(lambda: first)
    file.open()
    was_open = []
    file.closed.connect(lambda: was_open.append((file.is_open, first.is_closed)))
    file.close()
    assert was_open == [(True, False)]
    assert (file.is_open, file.is_closed, first.is_closed) == (False, True, True)


def test_a_file_that_opens_after_closing_is_closed_at_once(
    make: Callable[..., OpenFile],
    first: FakeWorkshop,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
    jobs: JobQueue,
    qtbot: QtBot,
) -> None:
    second = FakeWorkshop(tmp_path / "second.sqlite3")
    monkeypatch.setattr(workshop_module.Workshop, "open", lambda _: second)
    file = make(lambda: first)
    file.open()
    story = Story(file)
    file.open_other(second.path)
    file.close()
    qtbot.waitUntil(lambda: not jobs.is_busy, timeout=10_000)
    assert second.is_closed
    assert story.told == ["closed"]
