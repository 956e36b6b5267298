"""The hints line: which keys it names, and what it leaves out where it is short of room."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication

from pennyspeed.desktop.commands.key_hints import HintsLine
from pennyspeed.desktop.commands.places import PLACES
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.shelf import FIGURE, SHELF
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.window import Window


@pytest.fixture
def line(window: Window) -> HintsLine:
    window.shelf.focus_table()
    return window.hints


def keys_of(hints: list[tuple[tuple[str, ...], str]]) -> set[str]:
    return {" ".join(keys) for keys, _ in hints}


def test_the_shelf_s_own_keys_are_named(line: HintsLine) -> None:
    assert keys_of(line.hints) >= {"Space", "Ctrl G", "Ctrl T", "F3", "F2", "/", "Enter"}


def test_the_car_s_own_keys_are_named(line: HintsLine, window: Window) -> None:
    window.slots.view.setFocus()
    for said in ("up down: slot", "Enter: to the shelf", "Del: take out", "F2: edit the part"):
        assert said in line.accessibleDescription()


def test_what_went_wrong_is_told_until_the_next_change(
    line: HintsLine, window: Window, press: Callable[..., None], shortcut: Callable[[str], None]
) -> None:
    other = next(
        name
        for _, name in window.session.builds.entries()
        if name != window.session.bench.build.name
    )
    shortcut("F2")
    press(other, Qt.Key.Key_Return)
    assert "a name that no other build has" in line.accessibleName()
    press(Qt.Key.Key_Escape)
    window.slots.view.setFocus()
    press(Qt.Key.Key_Delete)
    assert line.accessibleName() == "keys"


def test_what_is_left_out_is_left_out_whole_and_never_undo_nor_the_sheet(
    line: HintsLine,
) -> None:
    every = line.hints
    assert line.fitting(5000) == every
    whole = sum(line._width(hint) + theme.px(20) for hint in every) - theme.px(20)
    assert line.fitting(whole) == every
    assert line.fitting(whole - 1) != every
    line.show_undo("put back a thing with quite a long name")
    for room in range(200, 1600, 20):
        fitting = line.fitting(room)
        assert [hint for hint in line.hints if hint in fitting] == fitting
        assert {"Ctrl Z", "F1"} <= keys_of(fitting)
        if room >= 450:
            wide = sum(line._width(hint) + theme.px(20) for hint in fitting) - theme.px(20)
            assert wide <= room


def test_a_narrow_window_names_what_matters_most(window: Window, line: HintsLine) -> None:
    window.resize(1366, 768)
    QApplication.processEvents()
    shown = keys_of(line.fitting(line.width() - theme.px(32)))
    assert {"up down", "Enter", "Space", "F3", "Ctrl Z", "F1"} <= shown


def test_large_text_leaves_out_more(open_window: Callable[..., Window]) -> None:
    window = open_window(Settings(theme=theme.BRIGHT))
    window.shelf.focus_table()
    window.resize(1366, 768)
    QApplication.processEvents()
    before = len(window.hints.fitting(800))
    window.preferences.choose(text_percent=200)
    assert len(window.hints.fitting(800)) < before


def test_every_place_has_a_name_on_the_sheet() -> None:
    assert all(place.title and place.own for place in PLACES)
    assert {FIGURE, SHELF} <= set(PLACES)
