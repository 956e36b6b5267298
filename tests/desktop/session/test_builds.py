"""The builds of a file: each change stored, shown, told, and one step to undo."""

from __future__ import annotations

from dataclasses import replace

import pytest

from desktop.session.heard import Heard
from pennyspeed.desktop.session.bench import Bench
from pennyspeed.desktop.session.builds import Builds
from pennyspeed.desktop.session.catalogue import Catalogue
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.undo_stack import UndoStack
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import FileTrouble
from pennyspeed.domain.kinds import EXTRAS
from pennyspeed.domain.parts.parts import Part


def shown(bench: Bench) -> Build:
    assert bench.build is not None
    return bench.build


def other_motor(bench: Bench, catalogue: Catalogue) -> Part:
    used = shown(bench).part("motor")
    assert used is not None
    return next(part for part in catalogue.parts("motor") if part.id != used.id)


def names(builds: Builds) -> list[str]:
    return [name for _, name in builds.entries()]


def test_a_change_is_stored_shown_and_told(
    builds: Builds, bench: Bench, open_file: OpenFile, undo_stack: UndoStack, heard: Heard
) -> None:
    before = shown(bench)
    assert builds.change(replace(before, target_kmh=61.0), "aimed at 61", "aimed as before")
    assert shown(bench).target_kmh == 61.0
    assert open_file.workshop.builds.get(before.id or 0).target_kmh == 61.0
    undo_stack.undo()
    assert shown(bench).target_kmh == before.target_kmh
    assert open_file.workshop.builds.get(before.id or 0).target_kmh == before.target_kmh
    undo_stack.redo()
    assert shown(bench).target_kmh == 61.0
    assert heard.said == ["aimed at 61", "aimed as before", "aimed at 61"]


def test_a_change_that_cannot_be_stored_changes_nothing(
    builds: Builds,
    bench: Bench,
    open_file: OpenFile,
    undo_stack: UndoStack,
    heard: Heard,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse(_: Build) -> Build:
        raise FileTrouble("The disk is full.")

    before = shown(bench)
    monkeypatch.setattr(open_file.workshop.builds, "save", refuse)
    assert not builds.change(replace(before, target_kmh=61.0), "did", "undid")
    assert bench.build is before
    assert undo_stack.count() == 0
    assert (heard.said, heard.troubled) == ([], ["The disk is full."])


def test_an_undo_that_is_refused_stays_to_be_undone(
    builds: Builds,
    bench: Bench,
    open_file: OpenFile,
    undo_stack: UndoStack,
    heard: Heard,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def refuse(_: Build) -> Build:
        raise FileTrouble("The disk is full.")

    builds.change(replace(shown(bench), target_kmh=61.0), "did", "undid")
    monkeypatch.setattr(open_file.workshop.builds, "save", refuse)
    undo_stack.undo()
    assert (undo_stack.index(), shown(bench).target_kmh) == (1, 61.0)
    assert heard.troubled == ["The disk is full."]


def test_neighbours_with_the_same_merge_word_are_one_step(
    builds: Builds, bench: Bench, undo_stack: UndoStack
) -> None:
    before = shown(bench).target_kmh
    for target in (61.0, 62.0):
        builds.change(replace(shown(bench), target_kmh=target), f"{target}", "back", "target")
    assert undo_stack.count() == 1
    assert undo_stack.undoText() == "62.0"
    builds.change(replace(shown(bench), target_kmh=63.0), "63", "back", "another word")
    assert undo_stack.count() == 2
    undo_stack.undo()
    undo_stack.undo()
    assert shown(bench).target_kmh == before


def test_a_part_is_put_in_and_the_words_say_what_undoing_does(
    builds: Builds, bench: Bench, catalogue: Catalogue, undo_stack: UndoStack, heard: Heard
) -> None:
    old, part = shown(bench).part("motor"), other_motor(bench, catalogue)
    assert old is not None
    assert builds.put_in(part)
    assert shown(bench).part("motor") == part
    assert not builds.put_in(part), "it is in already"
    undo_stack.undo()
    assert shown(bench).part("motor") == old
    assert heard.said == [f"put in {part.name}", f"put back {old.name}"]


def test_a_slot_is_emptied(
    builds: Builds, bench: Bench, undo_stack: UndoStack, heard: Heard
) -> None:
    old = shown(bench).part("motor")
    assert old is not None
    assert builds.take_out("motor")
    assert shown(bench).part("motor") is None
    assert not builds.take_out("motor")
    assert builds.put_in(old)
    undo_stack.undo()
    assert heard.said[-1] == "emptied the motor slot"


def test_of_the_extras_the_one_given_or_the_last_is_taken_out(builds: Builds, bench: Bench) -> None:
    bench.show(replace(shown(bench), extras=()))
    one, two = Part(EXTRAS.key, "Bell"), Part(EXTRAS.key, "Lamp")
    for part in (one, two, one):
        builds.put_in(part)
    assert [part.name for part in shown(bench).extras] == ["Bell", "Lamp", "Bell"]
    builds.take_out(EXTRAS.key, shown(bench).extras[1])
    builds.take_out(EXTRAS.key)
    assert [part.name for part in shown(bench).extras] == ["Bell"]
    assert not builds.take_out(EXTRAS.key, two)


def test_builds_are_made_copied_renamed_and_deleted(
    builds: Builds, bench: Bench, undo_stack: UndoStack, heard: Heard
) -> None:
    first, told = shown(bench), []
    builds.list_changed.connect(lambda: told.append(names(builds)))
    builds.create("Empty")
    assert (shown(bench).name, shown(bench).parts) == ("Empty", {})
    builds.choose(first.id or 0)
    builds.copy("Twin")
    assert shown(bench).parts == first.parts
    builds.rename("Sister")
    assert names(builds)[:1] == ["Sister"]
    builds.delete()
    assert "Sister" not in names(builds)
    assert shown(bench).name != "Sister"
    assert len(told) == 4
    for _ in range(4):
        undo_stack.undo()
    assert first.name in names(builds)
    assert not {"Empty", "Twin", "Sister"} & set(names(builds))
    assert heard.said == [
        "made Empty",
        "copied to Twin",
        "renamed Twin",
        "deleted Sister",
        "brought back Sister",
        "named it Twin",
        "removed Twin",
        "removed Empty",
    ]


def test_a_free_name_has_a_number_only_where_it_needs_one(builds: Builds) -> None:
    builds.create("Hedge")
    assert builds.free_name("Shed") == "Shed"
    assert builds.free_name("Hedge") == "Hedge 2"
    builds.create("Hedge 2")
    assert builds.free_name("Hedge") == "Hedge 3"


def test_what_came_with_a_build_goes_and_comes_with_it(
    builds: Builds, bench: Bench, catalogue: Catalogue, open_file: OpenFile, undo_stack: UndoStack
) -> None:
    part = replace(other_motor(bench, catalogue), id=None, name="Came along 3000")
    change = open_file.workshop.catalogue.change_part(part)
    assert change.after.part is not None
    catalogue.follow((change,))
    build = open_file.workshop.builds.save(Build("Guest").with_part(change.after.part))
    builds.add(build, "brought in Guest", "removed Guest", (change,))
    undo_stack.undo()
    assert "Came along 3000" not in [one.name for one in catalogue.parts("motor")]
    undo_stack.redo()
    assert "Came along 3000" in [one.name for one in catalogue.parts("motor")]
    assert shown(bench).name == "Guest"


def test_a_build_that_is_gone_is_told_of(builds: Builds, bench: Bench, heard: Heard) -> None:
    before = bench.build
    builds.choose(9999)
    assert bench.build is before
    assert len(heard.troubled) == 1


def test_without_a_build_there_is_nothing_to_change(
    builds: Builds, bench: Bench, catalogue: Catalogue, undo_stack: UndoStack
) -> None:
    part = other_motor(bench, catalogue)
    bench.show(None)
    assert not builds.put_in(part)
    assert not builds.take_out("motor")
    assert not builds.rename("Nobody")
    builds.copy("Nobody")
    builds.delete()
    assert undo_stack.count() == 0
