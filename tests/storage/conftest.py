"""Databases of the tests' own."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from sqlalchemy import Engine

from pennyspeed.storage.database import MEMORY, open_database


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A database file that nobody has open."""
    path = tmp_path / "file.sqlite3"
    open_database(path).dispose()
    return path


@pytest.fixture(scope="module")
def memory() -> Iterator[Engine]:
    """A database in memory, opened as a file is."""
    engine = open_database(MEMORY)
    yield engine
    engine.dispose()
