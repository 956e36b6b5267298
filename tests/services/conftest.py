"""A workshop with the demo, a copy of its own for each test."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

from builds import a_build
from pennyspeed.services.workshop import Workshop
from unsynced import writing_without_waiting


@pytest.fixture(autouse=True, scope="module")
def no_wait_for_the_disk() -> Iterator[None]:
    """No power fails here: what is stored need not lie on the disk before a test goes on."""
    with writing_without_waiting():
        yield


@pytest.fixture(scope="session")
def demo_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A file as the first start leaves it; to be copied, not opened."""
    path = tmp_path_factory.mktemp("demo") / "demo.sqlite3"
    Workshop.open(path).close()
    return path


@pytest.fixture
def workshop(demo_file: Path, tmp_path: Path) -> Iterator[Workshop]:
    path = tmp_path / "file.sqlite3"
    shutil.copy(demo_file, path)
    with Workshop.open(path) as workshop:
        yield workshop


@pytest.fixture
def data(tmp_path: Path) -> Path:
    """A data file with the demo and one build of the tests' own."""
    path = tmp_path / "parts.sqlite"
    with Workshop.open(path) as workshop:
        workshop.builds.save(a_build())
    return path
