"""Files of parts and builds come in as one step each, and a build goes out."""

from __future__ import annotations

from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desktop.session.heard import Heard
from pennyspeed.desktop.session.bench import Bench
from pennyspeed.desktop.session.builds import Builds
from pennyspeed.desktop.session.catalogue import Catalogue
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.imports import Imports
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.session.undo_stack import UndoStack


@pytest.fixture
def pinions(tmp_path: Path) -> Path:
    path = tmp_path / "pinion.csv"
    path.write_text("name,teeth,module_mm\nP0,12,0.8\nP1,13,0.8\n", encoding="utf-8")
    return path


def names(catalogue: Catalogue) -> set[str]:
    return {part.name for part in catalogue.parts("pinion")}


def test_a_file_of_parts_is_one_step(
    imports: Imports, catalogue: Catalogue, undo_stack: UndoStack, heard: Heard, pinions: Path
) -> None:
    told: list[object] = []
    imports.imported.connect(told.append)
    imports.import_file(pinions)
    assert names(catalogue) >= {"P0", "P1"}
    assert told == [[pinions]]
    assert undo_stack.count() == 1
    assert undo_stack.undoText() == "brought in pinion.csv"
    undo_stack.undo()
    assert not names(catalogue) & {"P0", "P1"}
    assert heard.said[-1] == "took 2 parts of pinion.csv out again"


def test_a_file_that_is_already_here_is_no_step(
    imports: Imports, undo_stack: UndoStack, heard: Heard, pinions: Path
) -> None:
    imports.import_file(pinions)
    imports.import_file(pinions)
    assert undo_stack.count() == 1
    assert len(heard.said) == 2


def test_a_build_goes_out_and_comes_in_again_as_one_step(
    imports: Imports,
    builds: Builds,
    bench: Bench,
    undo_stack: UndoStack,
    tmp_path: Path,
    heard: Heard,
) -> None:
    path, told = tmp_path / "car.build.json", []
    imports.build_written.connect(told.append)
    imports.write_build(path)
    assert told == [path]
    assert heard.said == ["written to car.build.json"]
    before = bench.build
    assert before is not None
    imports.import_file(path)
    assert bench.build is not None
    assert bench.build.id != before.id
    assert bench.build.parts.keys() == before.parts.keys()
    assert undo_stack.count() == 1
    undo_stack.undo()
    assert len(builds.entries()) == len(set(builds.entries()))
    assert bench.build.id == before.id


def test_a_place_where_nothing_can_be_written_is_told(
    imports: Imports, heard: Heard, tmp_path: Path
) -> None:
    told: list[object] = []
    imports.build_written.connect(told.append)
    imports.write_build(tmp_path / "no such folder" / "car.build.json")
    assert len(heard.troubled) == 1
    assert (told, heard.said) == ([], [])


def test_several_files_come_in_beside_the_window_and_each_stands_for_itself(
    imports: Imports,
    catalogue: Catalogue,
    undo_stack: UndoStack,
    jobs: JobQueue,
    heard: Heard,
    pinions: Path,
    tmp_path: Path,
    qtbot: QtBot,
) -> None:
    bad = tmp_path / "bad.build.json"
    bad.write_text("{}", encoding="utf-8")
    told: list[object] = []
    imports.imported.connect(told.append)
    imports.import_files([bad, pinions])
    assert told == []
    qtbot.waitUntil(lambda: not jobs.is_busy, timeout=10_000)
    assert names(catalogue) >= {"P0", "P1"}
    assert told == [[pinions]]
    assert undo_stack.count() == 1
    assert len(heard.troubled) == 1
    assert "bad.build.json" in heard.troubled[0]


def test_of_tables_that_need_a_look_the_first_is_asked_for(
    imports: Imports, jobs: JobQueue, heard: Heard, tmp_path: Path, qtbot: QtBot
) -> None:
    paths = [tmp_path / "one.csv", tmp_path / "two.csv"]
    for path in paths:
        path.write_text("what,is,this\n1,2,3\n", encoding="utf-8")
    told: list[object] = []
    imports.preview_requested.connect(told.append)
    imports.import_files(paths)
    qtbot.waitUntil(lambda: not jobs.is_busy, timeout=10_000)
    assert told == [paths[0]]
    assert heard.troubled == ["One table is looked at at a time: two.csv stayed out."]


def test_what_comes_in_after_closing_is_let_be(
    imports: Imports, open_file: OpenFile, jobs: JobQueue, heard: Heard, pinions: Path, qtbot: QtBot
) -> None:
    imports.import_files([pinions])
    open_file.close()
    qtbot.waitUntil(lambda: not jobs.is_busy, timeout=10_000)
    assert (heard.said, heard.troubled) == ([], [])


def test_no_files_are_no_job(imports: Imports, jobs: JobQueue) -> None:
    imports.import_files([])
    assert not jobs.is_busy
