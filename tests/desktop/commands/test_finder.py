"""The find line: from anywhere to a part, a build or an action, by a few letters."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, QObject, QPoint, Qt
from PySide6.QtGui import QAccessible
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.commands.find_line import FindLine
from pennyspeed.desktop.commands.search_index import listed
from pennyspeed.desktop.inline.inline_field import InlineField
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.window import Window
from pennyspeed.services.search import SearchEntry, find, plain

Key = Qt.Key
Press = Callable[..., None]


@pytest.fixture
def line(window: Window, shortcut: Callable[[str], None], qtbot: QtBot) -> FindLine:
    """The line, opened by its key, with the parts of every kind at hand."""
    shortcut("Ctrl+K")
    assert window.help.find_line is not None
    qtbot.waitUntil(lambda: {thing.group for thing in window.help.find_line._entries} >= {"spur"})
    return window.help.find_line


def thing(name: str, group: str = "motor", rank: int = 3) -> SearchEntry:
    return SearchEntry(group, name, "", lambda: None, rank=rank)


def names(things: list[SearchEntry], typed: str) -> list[str]:
    return [one.name for one in find(things, typed)]


def test_starts_of_words_come_before_the_middle_of_words() -> None:
    things = [thing("Kestrel 36-3650"), thing("Old Estrel"), thing("Estrel 28")]
    assert names(things, "estr") == ["Estrel 28", "Old Estrel", "Kestrel 36-3650"]
    assert names(things, "36 kes") == ["Kestrel 36-3650"]
    assert names(things, "650") == ["Kestrel 36-3650"]


def test_among_equals_the_shorter_name_comes_first_and_builds_before_parts() -> None:
    things = [thing("Lark 36 long"), thing("Lark 36"), thing("Lark 36", "build", rank=0)]
    assert [(one.group, one.name) for one in find(things, "lark")] == [
        ("build", "Lark 36"),
        ("motor", "Lark 36"),
        ("motor", "Lark 36 long"),
    ]


def test_a_build_is_found_by_the_code_of_its_printed_sheet(window: Window, line: FindLine) -> None:
    build = window.session.bench.build
    assert build is not None
    for typed in (build.code, f"pennyspeed:{build.code}@1"):
        assert names(line._entries, typed)[0] == build.name


def test_every_word_must_be_found_and_accents_do_not_matter() -> None:
    things = [thing("Lärche 36"), thing("Lark 36"), thing("Lark 28")]
    assert set(names(things, "lar 36")) == {"Lärche 36", "Lark 36"}
    assert names(things, "larche") == ["Lärche 36"]
    assert names(things, "lark 99") == []
    assert plain("  A–b_c 1.5") == "a b c 1 5"


def test_the_kind_of_a_part_narrows_too() -> None:
    things = [thing("Lark", "motor"), thing("Lark", "tyre set")]
    found = find(things, "lark tyre")
    assert [one.group for one in found] == ["tyre set"]


def test_typing_narrows_across_parts_builds_and_actions(line: FindLine, press: Press) -> None:
    groups = {one.group for one in line._entries}
    assert {"build", "shelf", "motor", "pinion", "tyres", "file", "units"} <= groups
    press("club")
    assert line.found[0].group == "build"
    assert all("club" in plain(f"{one.name} {one.group}") for one in line.found)


def test_enter_goes_to_a_part_on_another_shelf(
    window: Window, line: FindLine, press: Press
) -> None:
    part = window.session.catalogue.parts("tyres")[-1]
    before = window.session.bench.build
    press(part.name)
    assert line.found[0].name == part.name
    assert line.found[0].group == "tyres"
    assert "EUR" in line.found[0].note
    press(Key.Key_Return)
    assert not line.isVisible()
    assert window.session.bench.slot == "tyres"
    assert window.shelf.table.hasFocus()
    assert window.shelf.part_here() == part
    assert window.session.bench.build == before, "going there must not put it in"


def test_enter_shows_another_build(window: Window, line: FindLine, press: Press) -> None:
    shown = window.session.bench.build.id
    build_id, name = next(pair for pair in window.session.builds.entries() if pair[0] != shown)
    press(name)
    press(Key.Key_Return)
    assert window.session.bench.build.id == build_id


def test_a_deed_is_chosen_first_and_done_by_another_enter(
    window: Window, line: FindLine, press: Press
) -> None:
    press("units mph")
    assert line.found[0].name == "Units: mph"
    assert line.view.currentIndex().row() == -1
    assert line.view.accessibleDescription() == "Down chooses what to do"
    press(Key.Key_Return)
    assert line.isVisible()
    assert window.preferences.settings.speed_unit == "km/h"
    press(Key.Key_Return)
    assert window.preferences.settings.speed_unit == "mph"
    assert not line.isVisible()


def test_deeds_stand_last_however_well_they_match(
    window: Window, press: Press, shortcut: Callable[[str], None]
) -> None:
    motors = window.session.catalogue.parts("motor")
    part = motors[-1] if window.session.bench.build.part("motor") != motors[-1] else motors[0]
    window.session.builds.put_in(part)
    shortcut("Ctrl+K")
    found = window.help.find_line
    for typed in ("", "un", part.name, "motor", "o"):
        found.field.setText(typed)
        deeds = [one.is_deed for one in found.found]
        assert deeds == sorted(deeds), typed
    found.field.setText("undo")
    assert [one.name[:5] for one in found.found if one.is_deed] == ["Undo:"]


def test_the_first_hit_changes_nothing_whatever_is_typed(
    window: Window, press: Press, shortcut: Callable[[str], None]
) -> None:
    motors = window.session.catalogue.parts("motor")
    window.session.builds.put_in(motors[0])
    window.session.builds.put_in(motors[-1])
    before = window.session.bench.build
    steps, chosen = window.session.undo_stack.index(), window.preferences.settings
    builds, closed = window.session.builds.entries(), window.session.file.is_open
    for typed in (
        "undo",
        "copy",
        "delete",
        "new build",
        "take out",
        "dark",
        "close",
        "quit",
        "150",
    ):
        shortcut("Ctrl+K")
        press(typed, Key.Key_Return)
        window.help.find_line.leave()
        assert window.session.bench.build == before, typed
        assert window.session.undo_stack.index() == steps, typed
        assert window.session.builds.entries() == builds, typed
        assert window.session.file.is_open == closed, typed
    assert window.preferences.settings.theme == chosen.theme
    assert window.preferences.settings.text_percent == chosen.text_percent


def test_a_field_of_the_build_is_found_and_gone_to(
    window: Window, press: Press, shortcut: Callable[[str], None]
) -> None:
    for typed, key in (("target", "target"), ("air pressure", "air_pressure_hpa")):
        shortcut("Ctrl+K")
        press(typed)
        assert line_of(window).found[0].group == "field"
        press(Key.Key_Return)
        focus = QApplication.focusWidget()
        assert isinstance(focus, InlineField)
        assert focus.item.key == key
        assert focus.editor is None


def line_of(window: Window) -> FindLine:
    return window.help.find_line


def test_a_rule_sets_the_deeds_apart(line: FindLine, press: Press) -> None:
    press("build")
    first = next(row for row, one in enumerate(line.found) if one.is_deed)
    line.view.setCurrentIndex(line.model.index(first))
    line.view.scrollTo(line.model.index(first))
    QApplication.processEvents()
    box = line.view.visualRect(line.model.index(first))
    picture = line.view.viewport().grab().toImage()
    rule = theme.current().line
    assert picture.pixelColor(box.center().x(), box.top()) == rule
    assert picture.pixelColor(box.center().x(), box.top() - box.height()) != rule


def test_the_key_of_an_action_stands_beside_it(line: FindLine, press: Press) -> None:
    press("cautions")
    assert line.found[0].note == "Shift+F1"


def test_what_cannot_be_done_is_not_offered(window: Window, line: FindLine, press: Press) -> None:
    assert not window.menus.actions["undo"].isEnabled()
    press("undo")
    assert not [one for one in line.found if one.name.startswith("Undo")]


def test_arrows_choose_while_the_keyboard_stays_in_the_line(line: FindLine, press: Press) -> None:
    press("motor", Key.Key_Down, Key.Key_Down)
    assert line.view.currentIndex().row() == 2
    assert line.field.hasFocus()
    assert line.found[2].name in line.view.accessibleDescription()
    press(Key.Key_Up)
    assert line.view.currentIndex().row() == 1
    press(*[Key.Key_Down] * 100)
    assert line.view.currentIndex().row() == len(line.found) - 1
    assert line.view.viewport().rect().contains(line.view.visualRect(line.view.currentIndex()))


def test_escape_gives_the_keyboard_back(
    window: Window, press: Press, shortcut: Callable[[str], None]
) -> None:
    window.shelf.focus_table()
    shortcut("Ctrl+K")
    assert window.help.find_line.field.hasFocus()
    press("x", Key.Key_Escape)
    assert not window.help.find_line.isVisible()
    assert window.shelf.table.hasFocus()


def test_it_opens_out_of_a_line_that_is_typed_in(window: Window, press: Press) -> None:
    """Some systems cut the rest of a line by Ctrl+K; here it finds, and the text stays."""
    window.home.go_to_field()
    press("lark")
    window.shelf.field.home(False)
    QTest.keyClick(window.shelf.field, Key.Key_K, Qt.KeyboardModifier.ControlModifier)
    assert window.help.find_line is not None
    assert window.help.find_line.isVisible()
    assert window.shelf.field.text() == "lark"


def test_clicking_elsewhere_closes_it(window: Window, line: FindLine) -> None:
    QTest.mouseClick(window.slots.view.viewport(), Qt.MouseButton.LeftButton, pos=QPoint(100, 10))
    window.slots.view.setFocus()
    assert not line.isVisible()


def test_nothing_found_is_said(line: FindLine, press: Press) -> None:
    press("zzzz", Key.Key_Return)
    assert line.isVisible()
    assert not line.view.isVisible()
    assert "zzzz" in line.view.accessibleDescription()


def test_it_has_names_for_a_screen_reader(line: FindLine) -> None:
    for one in (line.field, line.view):
        interface = QAccessible.queryAccessibleInterface(one)
        assert interface.text(QAccessible.Text.Name).strip()
    index = line.model.index(0)
    said = index.data(Qt.ItemDataRole.AccessibleTextRole)
    assert line.found[0].name in said
    assert line.found[0].group in said


@pytest.mark.parametrize("percent", [100, 200])
def test_it_stands_inside_the_window(
    window: Window, shortcut: Callable[[str], None], percent: int
) -> None:
    window.resize(1366, 768)
    window.preferences.choose(text_percent=percent)
    QApplication.processEvents()
    shortcut("Ctrl+K")
    place = window.help.find_line.geometry()
    assert window.area.rect().contains(place)
    assert window.help.find_line.field.height() >= theme.px(30)


def test_right_to_left_is_mirrored(
    window: Window, shortcut: Callable[[str], None], qapp: QApplication
) -> None:
    qapp.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    try:
        shortcut("Ctrl+K")
        QApplication.processEvents()
        picture = window.help.find_line.view.grab().toImage()
        bar = theme.current().accent
        # The mark of the chosen row stands at the leading edge, which is the right one.
        right = picture.width() - 2
        assert any(
            picture.pixelColor(x, theme.px(16)) == bar for x in range(right - theme.px(14), right)
        )
        assert picture.pixelColor(1, theme.px(16)) != bar
    finally:
        qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)


def test_every_action_of_the_menus_can_be_found(window: Window, line: FindLine) -> None:
    found = {one.name for one in line._entries}
    for _, action in listed(window.menus.main):
        if action.isEnabled():
            text = action.text().replace("&&", "&").removesuffix("…")
            assert any(name == text or name.endswith(f": {text}") for name in found), text


def test_what_was_found_scrolls_by_its_bar_and_repaints_once(line: FindLine) -> None:
    class Paints(QObject):
        count = 0

        def eventFilter(self, watched: QObject, event: QEvent) -> bool:
            self.count += event.type() == QEvent.Type.Paint
            return False

    line.field.setText("m")
    assert len(line.found) > 12
    QApplication.processEvents()
    paints = Paints()
    line.view.viewport().installEventFilter(paints)
    line.view.verticalScrollBar().setValue(2)
    QApplication.processEvents()
    assert paints.count == 1
    assert line.view.visualRect(line.model.index(2)).top() == 0
    assert line.view.indexAt(QPoint(5, 5)).row() == 2
