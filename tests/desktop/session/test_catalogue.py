"""The catalogue: lists that follow its changes, each of which can be undone."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from pytestqt.qtbot import QtBot

from desktop.session.heard import Heard
from pennyspeed.desktop.session.bench import Bench
from pennyspeed.desktop.session.catalogue import AT_ONCE, Catalogue
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.session.messages import Messages
from pennyspeed.desktop.session.undo_stack import UndoStack
from pennyspeed.domain.errors import InUse
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.workshop import Workshop


def names(catalogue: Catalogue, archived: bool = False) -> list[str]:
    return [part.name for part in catalogue.parts("motor", archived)]


def spare(catalogue: Catalogue, bench: Bench) -> Part:
    """Return a motor that is not in the car."""
    assert bench.build is not None
    used = bench.build.part("motor")
    assert used is not None
    return next(part for part in catalogue.parts("motor") if part.id != used.id)


def test_parts_are_read_once(catalogue: Catalogue) -> None:
    assert catalogue.parts("motor") is catalogue.parts("motor")
    assert set(catalogue.loaded_parts()) == {"motor"}


def test_before_the_file_is_open_it_has_what_was_read_ahead(
    file: Path, undo_stack: UndoStack, messages: Messages, jobs: JobQueue, catalogue: Catalogue
) -> None:
    motors = catalogue.parts("motor")
    closed = OpenFile(lambda: Workshop.open(file), messages, jobs)
    other = Catalogue(closed, Bench(closed), undo_stack, messages, jobs)
    assert not other.has_parts("motor", False)
    other.preload(motors)
    assert other.has_parts("motor", False)
    assert not other.has_parts("motor", True)
    assert other.parts("motor") == motors
    assert not closed.is_open


def test_a_saved_part_is_in_its_list_and_can_be_undone(
    catalogue: Catalogue, bench: Bench, undo_stack: UndoStack, heard: Heard
) -> None:
    part, told = spare(catalogue, bench), []
    catalogue.parts_changed.connect(told.append)
    version = catalogue.version
    saved = catalogue.save_part(replace(part, name="Zinc pail 2900"))
    assert saved.name == "Zinc pail 2900"
    assert names(catalogue)[-1] == "Zinc pail 2900"
    assert told == ["motor"]
    assert catalogue.version != version
    assert heard.said == ["named it Zinc pail 2900"]
    undo_stack.undo()
    assert part.name in names(catalogue)
    assert "Zinc pail 2900" not in names(catalogue)
    undo_stack.redo()
    assert "Zinc pail 2900" in names(catalogue)
    assert heard.said == [
        "named it Zinc pail 2900",
        f"named it {part.name} again",
        "named it Zinc pail 2900",
    ]


def test_a_part_that_is_stored_as_it_was_is_no_step(
    catalogue: Catalogue, bench: Bench, undo_stack: UndoStack, heard: Heard
) -> None:
    catalogue.save_part(spare(catalogue, bench))
    assert undo_stack.count() == 0
    assert heard.said == []


def test_an_archived_part_is_only_in_the_list_with_archived_ones(
    catalogue: Catalogue, bench: Bench, undo_stack: UndoStack
) -> None:
    part = spare(catalogue, bench)
    assert part.name in names(catalogue, archived=True)
    catalogue.archive_part(part, True)
    assert part.name not in names(catalogue)
    assert part.name in names(catalogue, archived=True)
    undo_stack.undo()
    assert part.name in names(catalogue)


def test_a_deleted_part_comes_back(
    catalogue: Catalogue, bench: Bench, undo_stack: UndoStack
) -> None:
    part, before = spare(catalogue, bench), names(catalogue)
    catalogue.delete_part(part)
    assert part.name not in names(catalogue)
    undo_stack.undo()
    assert names(catalogue) == before


def test_a_part_that_is_in_use_is_not_deleted(
    catalogue: Catalogue, bench: Bench, undo_stack: UndoStack
) -> None:
    assert bench.build is not None
    used = bench.build.part("motor")
    assert used is not None
    with pytest.raises(InUse):
        catalogue.delete_part(used)
    assert undo_stack.count() == 0


def test_the_build_on_the_bench_follows_its_part(catalogue: Catalogue, bench: Bench) -> None:
    assert bench.build is not None
    used = bench.build.part("motor")
    assert used is not None
    catalogue.save_part(replace(used, name="Renamed 3000"))
    motor = bench.build.part("motor")
    assert motor is not None
    assert motor.name == "Renamed 3000"


def test_parts_that_were_read_before_a_change_are_refused(
    catalogue: Catalogue, bench: Bench, open_file: OpenFile
) -> None:
    part = spare(catalogue, bench)
    version, read = catalogue.version, {"spur": open_file.workshop.catalogue.parts("spur")}
    catalogue.archive_part(part, True)
    assert not catalogue.add_loaded(version, read)
    assert "spur" not in catalogue.loaded_parts()
    assert catalogue.add_loaded(catalogue.version, read)
    assert catalogue.parts("spur") is read["spur"]


def test_after_closing_nothing_is_taken_up(catalogue: Catalogue, open_file: OpenFile) -> None:
    open_file.close()
    assert not catalogue.add_loaded(catalogue.version, {})


def test_forgotten_parts_are_read_again(
    catalogue: Catalogue, bench: Bench, open_file: OpenFile
) -> None:
    part, version = spare(catalogue, bench), catalogue.version
    open_file.workshop.catalogue.archive_part(part.id or 0)  # as another window would
    assert part.name in names(catalogue)
    catalogue.forget()
    assert part.name not in names(catalogue)
    assert catalogue.version != version


def test_another_file_brings_the_shown_parts_along(
    catalogue: Catalogue, bench: Bench, open_file: OpenFile, tmp_path: Path, qtbot: QtBot
) -> None:
    bench.choose_slot("spur")
    catalogue.parts("motor")
    with qtbot.waitSignal(open_file.opened):
        open_file.open_other(tmp_path / "other.sqlite3")
    catalogue.forget()
    assert set(catalogue.loaded_parts()) == {"spur"}


def test_many_changes_are_taken_back_beside_the_window(
    catalogue: Catalogue,
    open_file: OpenFile,
    undo_stack: UndoStack,
    jobs: JobQueue,
    tmp_path: Path,
    qtbot: QtBot,
) -> None:
    lines = "".join(f"Many {i:03},{12 + i % 30},0.8\n" for i in range(AT_ONCE + 1))
    path = tmp_path / "pinion.csv"
    path.write_text("name,teeth,module_mm\n" + lines, encoding="utf-8")
    before = [part.name for part in catalogue.parts("pinion")]
    changes = open_file.workshop.import_file(path).changes
    catalogue.record(changes, "brought them in", "took them out")
    assert len(catalogue.parts("pinion")) == len(before) + AT_ONCE + 1
    undo_stack.undo()
    assert jobs.is_busy
    qtbot.waitUntil(lambda: not jobs.is_busy, timeout=10_000)
    assert [part.name for part in catalogue.parts("pinion")] == before


def test_an_undo_that_is_refused_says_why_and_stays(
    catalogue: Catalogue,
    bench: Bench,
    open_file: OpenFile,
    undo_stack: UndoStack,
    heard: Heard,
) -> None:
    part = replace(spare(catalogue, bench), id=None, name="New 2800")
    new = catalogue.save_part(part)
    assert bench.build is not None
    open_file.workshop.builds.save(
        replace(bench.build.with_part(new), id=None, code="", name="Elsewhere")
    )
    undo_stack.undo()
    assert len(heard.troubled) == 1
    assert "Elsewhere" in heard.troubled[0]
    assert undo_stack.index() == 1
    assert "New 2800" in names(catalogue)
