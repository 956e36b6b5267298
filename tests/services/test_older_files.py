"""Files of older revisions: their builds answer as they did, to the last digit.

``second_revision.sql`` holds the rows of a file that the program of revision 0002 wrote, and
``second_revision.jsonl`` the same builds as that program wrote them as build files of version 1.
"""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from pennyspeed.domain.build_document import build_from_document
from pennyspeed.domain.builds import Build
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.reports.answer import answer
from pennyspeed.storage.database import Work, open_database
from pennyspeed.storage.files import NEWEST_REVISION, revision_of
from pennyspeed.storage.glance import glance

DATA = Path(__file__).parent.parent / "data"
WRITTEN = [
    build_from_document(json.loads(line))
    for line in (DATA / "second_revision.jsonl").read_text(encoding="utf-8").splitlines()
]


@pytest.fixture
def second_file(tmp_path: Path) -> Path:
    path = tmp_path / "second.sqlite3"
    open_database(path, newest="0002").dispose()
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript((DATA / "second_revision.sql").read_text(encoding="utf-8"))
        connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    assert revision_of(path) == "0002"
    return path


def stored_builds(path: Path) -> dict[str, Build]:
    engine = open_database(path)
    with Work(engine, reading=True) as work:
        found = {entry.name: work.builds.get(entry.id) for entry in work.builds.entries()}
    engine.dispose()
    return found


@pytest.mark.parametrize("written", WRITTEN, ids=lambda build: build.name)
def test_every_forecast_stays_as_it_was_to_the_last_digit(
    second_file: Path, written: Build
) -> None:
    stored = stored_builds(second_file)[written.name]
    assert stored == written
    assert answer(forecast(stored)) == answer(forecast(written))


def test_nothing_new_is_said_of_an_older_build(second_file: Path) -> None:
    builds = stored_builds(second_file)
    assert revision_of(second_file) == NEWEST_REVISION
    new = {"reaction_s", "reserve_m", "pack_temperature_c"}
    for build in builds.values():
        assert not {key for key in build.conditions if key in new or key.startswith("spread.")}
        assert [build.condition(key) for key in sorted(new)] == [20, 0, 0]
        assert all(part.spread == {} for part in build.parts.values())
    heath = builds["Ditch"].parts["motor"]
    assert heath.provenance == {"kv_rpm_per_v": "measured", "mass_g": "guessed"}


def test_the_first_frame_reads_what_was_brought_up_to_date(second_file: Path) -> None:
    assert glance(second_file) is None, "it needs its upgrade first"
    builds = stored_builds(second_file)
    found = glance(second_file)
    assert found is not None
    assert found.build == builds["Weir"], "the newest"
    assert {part.name for part in found.parts} == {"Greenhouse 3100", "Heath 36", "Rushes"}
