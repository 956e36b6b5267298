"""Undo and redo of what was done to the catalogue, as a person does it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.parts.part_form import PartForm
from pennyspeed.desktop.session.catalogue import AT_ONCE
from pennyspeed.desktop.session.step_words import words_of, words_of_import
from pennyspeed.desktop.window import Window
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import FileTrouble
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.services.catalogue import PartChange
from pennyspeed.storage.changes import Kept

Shortcut = Callable[[str], None]


def names(window: Window, slot: str) -> list[str]:
    return [part.name for part in window.session.catalogue.parts(slot)]


def edited(window: Window, part: Part, **texts: str) -> None:
    """Edit a part in its form."""
    window.parts.edit_part(part)
    form = window.pages.currentWidget()
    assert isinstance(form, PartForm)
    for key, text in texts.items():
        editor = form.body.row(key).editor
        editor.setFocus()
        editor.selectAll()
        QTest.keyClicks(editor, text)
    QTest.keySequence(form.body.row("name").editor, "Ctrl+S")
    QApplication.processEvents()


def test_an_edited_figure_is_put_back_and_the_build_follows(
    window: Window, shortcut: Shortcut
) -> None:
    session = window.session
    motor, build, speed = (
        session.bench.build.part("motor"),
        session.bench.build,
        window.verdict.speed,
    )
    edited(window, motor, kv_rpm_per_v="2000")
    changed = window.verdict.speed
    assert changed != speed
    kv = session.bench.measures.figure(
        motor.kind.field("kv_rpm_per_v"), motor.number("kv_rpm_per_v")
    )
    assert window.menus.actions["undo"].text() == f"Undo: put back Kv {kv} of {motor.name}"
    shortcut("Ctrl+Z")
    assert session.bench.build == build
    assert window.verdict.speed == speed
    assert next(p for p in session.catalogue.parts("motor") if p.id == motor.id) == motor
    shortcut("Ctrl+Shift+Z")
    assert session.bench.build.part("motor").number("kv_rpm_per_v") == 2000
    assert window.verdict.speed == changed


def test_undo_goes_on_past_an_edited_part(window: Window, shortcut: Shortcut) -> None:
    session = window.session
    start = session.bench.build
    other = next(p for p in session.catalogue.parts("motor") if p.id != start.part("motor").id)
    session.builds.put_in(other)
    edited(window, other, mass_g="321")
    session.builds.change(session.bench.build.with_condition("road_m", 150.0), "road", "road back")
    assert session.bench.build.part("motor").number("mass_g") == 321
    for _ in range(3):
        shortcut("Ctrl+Z")
    assert session.bench.build == start
    assert not session.undo_stack.canUndo()
    assert next(p for p in session.catalogue.parts("motor") if p.id == other.id) == other
    for _ in range(3):
        shortcut("Ctrl+Shift+Z")
    assert session.bench.build.part("motor").number("mass_g") == 321
    assert session.bench.build.condition("road_m") == 150.0


def test_a_mistyped_price_leaves_no_trace(window: Window, shortcut: Shortcut) -> None:
    session = window.session
    motor = session.bench.build.part("motor")
    history = session.file.workshop.catalogue.price_history(motor.id)
    edited(window, motor, price="999.00")
    assert len(session.file.workshop.catalogue.price_history(motor.id)) == len(history) + 1
    was = session.bench.measures.money(motor.price.amount)
    assert window.menus.actions["undo"].text() == f"Undo: put back price {was} of {motor.name}"
    shortcut("Ctrl+Z")
    assert session.file.workshop.catalogue.price_history(motor.id) == history
    assert (
        next(p for p in session.catalogue.parts("motor") if p.id == motor.id).price == motor.price
    )


def test_new_archived_and_deleted_parts_are_undone_in_turn(
    window: Window, shortcut: Shortcut
) -> None:
    session = window.session
    session.bench.choose_slot("pinion")
    before = names(window, "pinion")
    made = session.catalogue.save_part(Part("pinion", "one more", {"teeth": 33, "module_mm": 0.8}))
    session.catalogue.archive_part(made, True)
    session.catalogue.archive_part(made, False)
    session.catalogue.delete_part(made)
    told = []
    for there in (True, False, True, False):
        told.append(window.menus.actions["undo"].text())
        shortcut("Ctrl+Z")
        assert ("one more" in names(window, "pinion")) is there
    assert told == [
        "Undo: brought back one more",
        "Undo: archived one more",
        "Undo: fetched back one more",
        "Undo: removed one more",
    ]
    assert names(window, "pinion") == before
    for there in (True, False, True, False):
        shortcut("Ctrl+Shift+Z")
        assert ("one more" in names(window, "pinion")) is there


def pinions(path: Path, count: int) -> Path:
    rows = "".join(f"P{i},{12 + i % 30},0.8,4.50\n" for i in range(count))
    path.write_text(f"name,teeth,module_mm,price\n{rows}")
    return path


@pytest.mark.parametrize("count", [3, AT_ONCE + 20])
def test_an_import_is_one_step(
    window: Window, shortcut: Shortcut, qtbot: QtBot, tmp_path: Path, count: int
) -> None:
    session = window.session
    session.bench.choose_slot("pinion")
    before = names(window, "pinion")
    path = pinions(tmp_path / "pinion.csv", count)
    session.imports.import_files([path])
    qtbot.waitUntil(lambda: len(names(window, "pinion")) == len(before) + count)
    after = names(window, "pinion")
    assert session.undo_stack.count() == 1
    undo = window.menus.actions["undo"]
    assert undo.text() == f"Undo: took {count} parts of pinion.csv out again"
    shortcut("Ctrl+Z")
    qtbot.waitUntil(lambda: names(window, "pinion") == before)
    assert window.shelf.rows.total == len(before)
    assert [p.name for p in session.file.workshop.catalogue.parts("pinion")] == before
    shortcut("Ctrl+Shift+Z")
    qtbot.waitUntil(lambda: names(window, "pinion") == after)
    assert [p.name for p in session.file.workshop.catalogue.parts("pinion")] == after


def test_an_import_that_a_build_uses_by_now_stays_and_says_so(
    window: Window, shortcut: Shortcut, tmp_path: Path
) -> None:
    session = window.session
    session.imports.import_file(pinions(tmp_path / "pinion.csv", 2))
    used = next(p for p in session.catalogue.parts("pinion") if p.name == "P1")
    build = session.file.workshop.builds.create("Elsewhere")  # as another window would
    session.file.workshop.builds.save(build.with_part(used))
    told = window.menus.actions["undo"].text()
    for _ in range(2):
        shortcut("Ctrl+Z")
        assert "P1 is used by Elsewhere" in window.hints.trouble
        assert {"P0", "P1"} <= set(names(window, "pinion"))
        assert window.menus.actions["undo"].text() == told, "the step is still there to undo"
        assert not session.undo_stack.canRedo()
    session.file.workshop.builds.delete(build.id)
    shortcut("Ctrl+Z")
    assert not {"P0", "P1"} & set(names(window, "pinion"))
    shortcut("Ctrl+Shift+Z")
    assert {"P0", "P1"} <= set(names(window, "pinion"))


def test_many_parts_that_a_build_uses_by_now_stay_where_they_are(
    window: Window, shortcut: Shortcut, qtbot: QtBot, tmp_path: Path
) -> None:
    session = window.session
    session.imports.import_file(pinions(tmp_path / "pinion.csv", AT_ONCE + 20))
    used = next(p for p in session.catalogue.parts("pinion") if p.name == "P1")
    session.file.workshop.builds.save(
        session.file.workshop.builds.create("Elsewhere").with_part(used)
    )
    with qtbot.waitSignal(session.messages.troubled):
        shortcut("Ctrl+Z")
    assert session.undo_stack.canUndo()
    assert not session.undo_stack.canRedo()


def test_a_build_that_cannot_be_put_back_is_still_there_to_undo(
    window: Window, shortcut: Shortcut, monkeypatch: pytest.MonkeyPatch
) -> None:
    session = window.session
    before = session.bench.build
    other = next(p for p in session.catalogue.parts("motor") if p.id != before.part("motor").id)
    session.builds.put_in(other)
    after = session.bench.build

    def refuse(build: Build) -> Build:
        raise FileTrouble("the disk is full")

    with monkeypatch.context() as patch:
        patch.setattr(session.file.workshop.builds, "save", refuse)
        shortcut("Ctrl+Z")
        assert window.hints.trouble == "the disk is full"
        assert (session.bench.build, session.undo_stack.index()) == (after, 1)
    shortcut("Ctrl+Z")
    assert session.bench.build == before
    with monkeypatch.context() as patch:
        patch.setattr(session.file.workshop.builds, "save", refuse)
        shortcut("Ctrl+Shift+Z")
        assert (session.bench.build, session.undo_stack.index()) == (before, 0)
    shortcut("Ctrl+Shift+Z")
    assert session.bench.build == after


def test_a_build_brought_in_goes_with_its_new_parts(
    window: Window, shortcut: Shortcut, tmp_path: Path
) -> None:
    session = window.session
    path = tmp_path / "car.build.json"
    fast = session.bench.build.part("motor")
    session.imports.write_build(path)
    path.write_text(path.read_text().replace(fast.name, "Strange 1"))
    before, builds = names(window, "motor"), session.builds.entries()
    session.imports.import_file(path)
    assert "Strange 1" in names(window, "motor")
    brought = session.bench.build
    shortcut("Ctrl+Z")
    assert names(window, "motor") == before
    assert session.builds.entries() == builds
    shortcut("Ctrl+Shift+Z")
    assert session.bench.build == brought
    assert "Strange 1" in names(window, "motor")


MOTOR = Part("motor", "Larch 36", {"kv_rpm_per_v": 3300.0, "mass_g": 180.0}, id=7)


@pytest.mark.parametrize(
    ("after", "did", "undid"),
    [
        (
            MOTOR.with_figure("kv_rpm_per_v", 3400.0),
            "Kv 3,400 rpm/V of Larch 36",
            "put back Kv 3,300 rpm/V of Larch 36",
        ),
        (
            MOTOR.with_figure("kv_rpm_per_v", 3300.0, Provenance.MEASURED),
            "Kv (measured) of Larch 36",
            "put back Kv (maker’s figure) of Larch 36",
        ),
        (
            MOTOR.with_figure("mass_g", None),
            "mass (not known) of Larch 36",
            "put back mass 180 g of Larch 36",
        ),
        (
            MOTOR.with_figure("mass_g", 90.0).with_figure("kv_rpm_per_v", 1.0),
            "changed Larch 36",
            "put Larch 36 back as it was",
        ),
        (replace(MOTOR, name="Birch"), "named it Birch", "named it Larch 36 again"),
        (replace(MOTOR, note="hot"), "note of Larch 36", "put back note of Larch 36"),
        (replace(MOTOR, archived=True), "archived Larch 36", "fetched back Larch 36"),
    ],
)
def test_a_change_is_told_by_what_it_changes(after: Part, did: str, undid: str) -> None:
    change = PartChange(Kept(7, MOTOR), Kept(7, after))
    assert words_of(change, Measures()) == (did, undid)


def test_an_import_is_told_by_what_it_brought() -> None:
    new, changed = PartChange(Kept(7), Kept(7, MOTOR)), PartChange(Kept(7, MOTOR), Kept(7, MOTOR))
    assert words_of_import("a.csv", [new]) == "took 1 part of a.csv out again"
    assert words_of_import("a.csv", [new, changed, changed]) == (
        "took 1 part of a.csv out again, put 2 parts back as before a.csv"
    )
