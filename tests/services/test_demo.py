"""The first start: the demo, all of it or nothing."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

from as_given import as_given
from pennyspeed import resources
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY, KINDS
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services import demo
from pennyspeed.services.build_files import read_build
from pennyspeed.services.workshop import Workshop
from services.demo_catalogue import parts


def test_every_part_of_the_tables_is_in_the_catalogue(workshop: Workshop) -> None:
    # The tables are read here without the program's importer.
    for kind in KINDS:
        stored = {part.name: part for part in workshop.catalogue.parts(kind.key)}
        assert len(stored) == len(parts(kind.key)), kind.plural
        for part in parts(kind.key):
            found = stored[part.name]
            assert as_given(found).same_article(part), part.name
            assert found.price is not None or part.price is None
            if part.price is not None and found.price is not None:
                assert found.price.amount == part.price.amount, part.name


def test_the_builds_are_there_and_take_their_parts_from_the_catalogue(workshop: Workshop) -> None:
    files = sorted(resources.path("demo/builds").glob("*.build.json"))
    assert len(files) >= 3
    expected = [read_build(file) for file in files]
    assert [workshop.builds.get(entry.id) for entry in workshop.builds.entries()] == [
        stored_prices(build, workshop) for build in expected
    ]


def stored_prices(build: Build, workshop: Workshop) -> Build:
    """A build file holds no price, note and picture of a part; the catalogue adds them."""

    def of_catalogue(part: Part) -> Part:
        return next(p for p in workshop.catalogue.parts(part.kind_key) if p.name == part.name)

    return replace(
        build,
        parts={slot: of_catalogue(part) for slot, part in build.parts.items()},
        extras=tuple(of_catalogue(part) for part in build.extras),
    )


def test_the_first_build_is_shown(workshop: Workshop) -> None:
    first = min(resources.path("demo/builds").glob("*.build.json"))
    shown = workshop.builds.shown()
    assert shown is not None
    assert shown.name == read_build(first).name
    assert workshop.builds.entries()[0].id == shown.id


def test_what_a_person_threw_away_stays_away(workshop: Workshop) -> None:
    for entry in workshop.builds.entries():
        workshop.builds.delete(entry.id)
    for kind in BY_KEY:
        for part in workshop.catalogue.parts(kind):
            assert part.id is not None
            workshop.catalogue.delete_part(part.id)
    workshop.close()
    with Workshop.open(workshop.path) as again:
        assert again.builds.entries() == []
        assert not any(again.catalogue.parts(kind) for kind in BY_KEY)


def test_a_first_start_that_fails_leaves_no_half_a_demo(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(_: object) -> None:
        raise RuntimeError("cut short")

    path = tmp_path / "file.sqlite3"
    with monkeypatch.context() as patch:
        patch.setattr(demo, "read_build", broken)
        with pytest.raises(RuntimeError):
            Workshop.open(path)
    with Workshop.open(path) as workshop:
        assert len(workshop.catalogue.parts("motor")) == len(parts("motor"))
        assert len(workshop.builds.entries()) >= 3


KILLED = """
import os, signal, sys
from pathlib import Path
from pennyspeed.storage import parts
from pennyspeed.services.workshop import Workshop
left, add_many = int(sys.argv[2]), parts.Parts.add_many
def counting(self, some):
    global left
    left -= 1
    if left < 0:
        os.kill(os.getpid(), signal.SIGKILL)
    return add_many(self, some)
parts.Parts.add_many = counting
Workshop.open(Path(sys.argv[1]))
"""


@pytest.mark.skipif(not hasattr(signal, "SIGKILL"), reason="signals of POSIX")
def test_a_first_start_that_is_killed_leaves_no_half_a_demo(tmp_path: Path) -> None:
    path = tmp_path / "file.sqlite3"
    done = subprocess.run(
        [sys.executable, "-c", KILLED, str(path), "5"],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        check=False,
    )
    assert done.returncode == -signal.SIGKILL
    with Workshop.open(path) as workshop:
        for kind in KINDS:
            assert len(workshop.catalogue.parts(kind.key)) == len(parts(kind.key))
