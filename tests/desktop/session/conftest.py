"""The objects of a session, each made of what it needs and no window."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from PySide6.QtWidgets import QApplication

from desktop.session.heard import Heard
from pennyspeed.desktop.session.bench import Bench
from pennyspeed.desktop.session.builds import Builds
from pennyspeed.desktop.session.catalogue import Catalogue
from pennyspeed.desktop.session.comparison import ComparedBuilds
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.imports import Imports
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.session.messages import Messages
from pennyspeed.desktop.session.undo_stack import UndoStack
from pennyspeed.services.workshop import Workshop


@pytest.fixture
def messages(qapp: QApplication) -> Messages:
    return Messages()


@pytest.fixture
def heard(messages: Messages) -> Heard:
    return Heard(messages)


@pytest.fixture
def jobs(qapp: QApplication) -> JobQueue:
    return JobQueue()


@pytest.fixture
def undo_stack(qapp: QApplication) -> UndoStack:
    return UndoStack()


@pytest.fixture
def open_file(file: Path, messages: Messages, jobs: JobQueue) -> Iterator[OpenFile]:
    made = OpenFile(lambda: Workshop.open(file), messages, jobs)
    yield made
    made.close()


@pytest.fixture
def bench(open_file: OpenFile) -> Bench:
    """The bench, with the demo's build on it."""
    made = Bench(open_file)
    made.show(open_file.workshop.builds.shown())
    return made


@pytest.fixture
def catalogue(
    open_file: OpenFile, bench: Bench, undo_stack: UndoStack, messages: Messages, jobs: JobQueue
) -> Catalogue:
    return Catalogue(open_file, bench, undo_stack, messages, jobs)


@pytest.fixture
def builds(
    open_file: OpenFile,
    bench: Bench,
    catalogue: Catalogue,
    undo_stack: UndoStack,
    messages: Messages,
) -> Builds:
    return Builds(open_file, bench, catalogue, undo_stack, messages)


@pytest.fixture
def imports(
    open_file: OpenFile,
    bench: Bench,
    catalogue: Catalogue,
    builds: Builds,
    messages: Messages,
    jobs: JobQueue,
) -> Imports:
    return Imports(open_file, bench, catalogue, builds, messages, jobs)


@pytest.fixture
def compared(
    open_file: OpenFile, bench: Bench, builds: Builds, undo_stack: UndoStack, messages: Messages
) -> ComparedBuilds:
    return ComparedBuilds(open_file, bench, builds, undo_stack, messages)
