"""Builds in the window: made, copied, renamed, deleted, switched, brought in and taken away."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QMenu, QWidget
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.window import Window
from pennyspeed.services.workshop import Workshop

Key = Qt.Key
Press = Callable[..., None]
Shortcut = Callable[[str], None]


def names(window: Window) -> list[str]:
    return [name for _, name in window.session.builds.entries()]


def test_copy_is_named_where_it_stands(window: Window, press: Press, shortcut: Shortcut) -> None:
    original = window.session.bench.build
    shortcut("Ctrl+D")
    assert window.top.name.editor is not None
    press("taller gears", Key.Key_Return)
    assert window.session.bench.build.name == "taller gears"
    assert window.top.name.value == "taller gears"
    assert dict(window.session.bench.build.parts) == dict(original.parts)
    assert {"taller gears", original.name} <= set(names(window))
    assert window.windowTitle().startswith("taller gears")


def test_a_new_build_is_empty_and_says_what_is_missing(
    window: Window, press: Press, shortcut: Shortcut
) -> None:
    shortcut("Ctrl+N")
    window.pages.currentWidget().save()  # units and currency as the region has them
    press("from scratch", Key.Key_Return)
    assert window.session.bench.build.name == "from scratch"
    assert all(row.is_empty or row.kind.many for row in window.slots.model.rows)
    assert window.verdict.speed == "–"
    assert window.verdict.money == "0.00"


def test_rename_and_undo(window: Window, press: Press, shortcut: Shortcut) -> None:
    old = window.session.bench.build.name
    window.slots.view.setFocus()
    shortcut("F2")
    press("another name", Key.Key_Return)
    assert window.top.name.value == "another name"
    assert "another name" in names(window)
    shortcut("Ctrl+Z")
    assert window.top.name.value == old
    assert "another name" not in names(window)


def test_a_name_that_is_taken_is_refused_in_one_sentence(
    window: Window, press: Press, shortcut: Shortcut
) -> None:
    other = next(name for name in names(window) if name != window.session.bench.build.name)
    before = window.session.bench.build.name
    shortcut("F2")
    press(other, Key.Key_Return)
    assert "a name that no other build has" in window.hints.trouble
    assert window.session.bench.build.name == before


def test_delete_is_undone(window: Window, shortcut: Shortcut) -> None:
    gone = window.session.bench.build
    count = len(names(window))
    shortcut("Ctrl+Shift+Del")
    assert gone.name not in names(window)
    assert len(names(window)) == count - 1
    assert window.session.bench.build.id != gone.id
    shortcut("Ctrl+Z")
    assert window.session.bench.build == gone
    assert window.session.bench.build.code == gone.code
    assert len(names(window)) == count


def test_deleting_all_leaves_an_open_window(window: Window, shortcut: Shortcut) -> None:
    for _ in range(len(names(window))):
        shortcut("Ctrl+Shift+Del")
    assert window.session.bench.build is None
    shortcut("Ctrl+N")
    window.pages.currentWidget().save()
    assert window.session.bench.build is not None


def test_undo_of_a_copy_takes_it_away_again(window: Window, shortcut: Shortcut) -> None:
    before = window.session.bench.build.name
    count = len(names(window))
    shortcut("Ctrl+D")
    window.top.name.cell.close_up()
    shortcut("Ctrl+Z")
    assert len(names(window)) == count
    assert before in names(window)


@pytest.mark.qt_log_ignore("This plugin does not support")
def test_the_builds_menu_switches(window: Window) -> None:
    window.menus.open_builds()
    menu = window.menus.builds
    shown = [action for action in menu.actions() if action.isCheckable()]
    assert [action.text() for action in shown] == names(window)
    assert [a.text() for a in shown if a.isChecked()] == [window.session.bench.build.name]
    other = next(action for action in shown if not action.isChecked())
    name = other.text()
    other.trigger()
    menu.close()
    assert window.session.bench.build.name == name
    assert window.top.name.value == name


@pytest.mark.qt_log_ignore("This plugin does not support")
def test_ctrl_b_opens_the_builds_and_enter_switches(
    window: Window, press: Press, shortcut: Shortcut
) -> None:
    shortcut("Ctrl+B")
    menu = QApplication.activePopupWidget()
    assert isinstance(menu, QMenu)
    shown = [action for action in menu.actions() if action.isCheckable()]
    other = next(action for action in shown if not action.isChecked())
    menu.setActiveAction(other)
    press(Key.Key_Return, to=menu)
    assert window.top.name.value == other.text()


def test_a_build_travels_by_file(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "mine.build.json"
    build = window.session.bench.build
    window.session.imports.write_build(path)
    assert path.exists()
    window.session.imports.import_file(path)
    brought = window.session.bench.build
    assert brought.id != build.id
    assert {slot: part.name for slot, part in brought.parts.items()} == {
        slot: part.name for slot, part in build.parts.items()
    }
    window.session.undo_stack.undo()
    assert brought.name not in names(window)


def test_a_bad_file_is_refused_in_one_sentence(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "bad.build.json"
    path.write_text('{"format": "pennyspeed-build", "version": 1, "name": 5, "parts": {}}')
    before = window.session.bench.build
    window.session.imports.import_file(path)
    assert "name" in window.hints.trouble
    assert "5" in window.hints.trouble
    assert window.session.bench.build is before


def test_parts_brought_in_are_on_the_shelf(window: Window, tmp_path: Path) -> None:
    path = tmp_path / "motor.csv"
    path.write_text(
        "name,kv_rpm_per_v,resistance_mohm,price,currency\nHeron 3333,3333,9.5,41.00,EUR\n"
    )
    count = window.shelf.model.rowCount()
    window.session.imports.import_file(path)
    assert window.shelf.model.rowCount() == count + 1
    assert any(p.name == "Heron 3333" for p in window.shelf.rows.stock.parts)


def test_a_change_by_another_window_is_taken_up(window: Window, file: Path) -> None:
    with Workshop.open(file) as other:
        build = other.builds.get(window.session.bench.build.id)
        other.builds.save(replace(build, target_kmh=99.0))
    window.session.file.check_for_changes()
    assert window.top.field("target").value == "99 km/h"


def test_a_change_elsewhere_is_taken_up_when_one_goes_back_to_the_window(
    window: Window, file: Path, qtbot: QtBot
) -> None:
    elsewhere = QWidget()
    qtbot.addWidget(elsewhere)
    elsewhere.show()
    elsewhere.activateWindow()
    qtbot.waitUntil(lambda: not window.isActiveWindow())
    with Workshop.open(file) as other:
        build = other.builds.get(window.session.bench.build.id)
        other.builds.save(replace(build, target_kmh=98.0))
    window.activateWindow()
    qtbot.waitUntil(lambda: window.top.field("target").value == "98 km/h")
