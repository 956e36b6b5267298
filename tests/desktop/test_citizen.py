"""What a person expects of any window: files, keys, menus, and choices that last."""

from __future__ import annotations

import json
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from PySide6.QtCore import QMimeData, QPoint, QPointF, Qt, QUrl
from PySide6.QtGui import (
    QAccessible,
    QAction,
    QContextMenuEvent,
    QDragEnterEvent,
    QDragLeaveEvent,
    QDropEvent,
    QFontInfo,
    QGuiApplication,
)
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QFileDialog, QWidget
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.commands.actions import is_plain
from pennyspeed.desktop.commands.key_hints import hints_of
from pennyspeed.desktop.commands.key_sheet import KeysPage
from pennyspeed.desktop.commands.places import PLACES
from pennyspeed.desktop.commands.search_index import listed
from pennyspeed.desktop.imports.preview import PreviewPage
from pennyspeed.desktop.parts.part_form import PartForm
from pennyspeed.desktop.session import settings as settings_file
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.keys import LAST
from pennyspeed.desktop.window import Window
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.parts.glossary import TERMS, explain, field_help
from pennyspeed.services.build_files import write_build
from pennyspeed.services.exporters import write_table
from pennyspeed.services.exporters.table import Table as ExportedTable
from pennyspeed.services.workshop import Workshop

pytestmark = pytest.mark.qt_log_ignore("This plugin does not support")
"""What the platform without a screen says of every menu that opens."""

Key = Qt.Key
Press = Callable[..., None]
COPY, LEFT = Qt.DropAction.CopyAction, Qt.MouseButton.LeftButton
NONE = Qt.KeyboardModifier.NoModifier


# Data files ---------------------------------------------------------------------------------


@pytest.fixture
def other_file(demo_file: Path, tmp_path: Path) -> Path:
    """A second data file, with one build that the first one lacks."""
    path = tmp_path / "other.sqlite3"
    shutil.copy(demo_file, path)
    with Workshop.open(path) as workshop:
        workshop.builds.note_shown(workshop.builds.create("Rain car").id or 0)
    return path


def choose_file(monkeypatch: pytest.MonkeyPatch, *paths: Path) -> None:
    """Answer the next questions for a file with these."""
    names = [str(path) for path in paths]
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_, **__: (names[0], ""))
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *_, **__: (names[0], ""))
    monkeypatch.setattr(QFileDialog, "getOpenFileNames", lambda *_, **__: (names, ""))


def test_another_data_file_opens_in_place_of_this_one(
    window: Window,
    file: Path,
    other_file: Path,
    shortcut: Callable[[str], None],
    monkeypatch: pytest.MonkeyPatch,
    qtbot: QtBot,
) -> None:
    window.session.builds.put_in(window.session.catalogue.parts("motor")[0])
    kept = window.session.bench.build
    assert window.session.undo_stack.canUndo()
    choose_file(monkeypatch, other_file)
    shortcut("Ctrl+Shift+O")
    qtbot.waitUntil(lambda: window.session.bench.build.name == "Rain car")
    assert window.session.file.workshop.path == other_file
    assert window.top.name.value == "Rain car"
    assert not window.session.undo_stack.canUndo(), "undo would change the wrong file"
    assert not window.menus.actions["undo"].isEnabled()
    assert "Rain car" in [name for _, name in window.session.builds.entries()]
    window.session.builds.rename("Dry car")
    with Workshop.open(file) as first:
        assert "Dry car" not in [entry.name for entry in first.builds.entries()]
        assert first.builds.get(kept.id).part("motor") == kept.part("motor")
    with Workshop.open(other_file) as second:
        assert "Dry car" in [entry.name for entry in second.builds.entries()]


def test_a_new_data_file_is_begun_with_the_demo(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    choose_file(monkeypatch, tmp_path / "fresh")
    window.menus.actions["begin"].trigger()
    fresh = tmp_path / "fresh.sqlite3"
    qtbot.waitUntil(lambda: window.session.file.workshop.path == fresh)
    assert fresh.exists()
    assert window.shelf.rows.total == len(window.session.file.workshop.catalogue.parts("motor")) > 0


def test_a_file_that_cannot_be_opened_leaves_this_one_open(
    window: Window, file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    strange = tmp_path / "letter.sqlite3"
    strange.write_text("Dear Kim")
    build = window.session.bench.build
    choose_file(monkeypatch, strange)
    window.menus.actions["open"].trigger()
    qtbot.waitUntil(lambda: bool(window.hints.trouble))
    assert "letter.sqlite3 is no Pennyspeed file" in window.hints.trouble
    assert (window.session.bench.build, window.session.file.workshop.path) == (build, file)
    assert window.session.builds.put_in(window.session.catalogue.parts("motor")[0])
    assert strange.read_text() == "Dear Kim"


def test_opening_does_not_hold_up_the_window(
    window: Window, other_file: Path, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    """The call comes back while the file is still being opened."""
    import threading

    gate = threading.Event()
    real = Workshop.open

    def slow(path: Path | None = None) -> Workshop:
        assert gate.wait(5)
        return real(path)

    monkeypatch.setattr(Workshop, "open", slow)
    window.session.file.open_other(other_file)
    assert window.session.bench.build.name != "Rain car"
    assert "opening other.sqlite3" in window.top.accessibleDescription()
    gate.set()
    qtbot.waitUntil(lambda: window.session.bench.build.name == "Rain car")


@pytest.fixture
def shut_window(qapp: QApplication, tmp_path: Path) -> Window:
    """A window whose file cannot be opened; "mend" it by removing what stands there."""
    from PySide6.QtCore import QEvent

    from pennyspeed.desktop.app import open_window

    path = tmp_path / "club.sqlite3"
    path.write_text("not a database")
    made = open_window(path, Settings(theme=theme.BRIGHT), None)
    made.show()
    qapp.processEvents()
    yield made
    made.close()
    made.deleteLater()
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)


def test_no_file_says_why_in_the_middle_and_what_to_do(
    shut_window: Window, tmp_path: Path, press: Press
) -> None:
    page = shut_window.files.page
    assert shut_window.pages.currentWidget() is page
    assert all(field.isHidden() for field in shut_window.top.fields)
    assert "club.sqlite3 is no Pennyspeed file" in page.sentence
    assert page.sentence in page.accessibleDescription()
    assert page.pushes[0].hasFocus()
    press(Key.Key_Down)
    assert page.pushes[1].hasFocus()
    press(Key.Key_Up)
    (tmp_path / "club.sqlite3").unlink()
    press(Key.Key_Return)
    QApplication.processEvents()
    assert shut_window.session.file.is_open
    assert shut_window.files.page is None
    assert shut_window.pages.currentWidget() is shut_window.home.widget
    assert shut_window.session.bench.build is not None
    assert shut_window.top.field("target").isVisible()


def test_another_file_can_be_opened_when_the_first_cannot(
    shut_window: Window,
    other_file: Path,
    monkeypatch: pytest.MonkeyPatch,
    press: Press,
    qtbot: QtBot,
) -> None:
    choose_file(monkeypatch, other_file)
    press(Key.Key_Down, Key.Key_Return)
    qtbot.waitUntil(lambda: shut_window.session.file.is_open)
    assert shut_window.session.bench.build.name == "Rain car"
    assert shut_window.pages.currentWidget() is shut_window.home.widget


@pytest.mark.parametrize(
    "key",
    [
        *("new", "copy", "delete", "take_out", "edit_part", "edit_figure"),
        *("new_part", "narrow", "find", "keys"),
    ],
)
def test_without_a_file_no_command_fails(shut_window: Window, key: str) -> None:
    """An exception in a slot fails the test by itself."""
    shut_window.menus.actions[key].trigger()
    shut_window.menus.builds.aboutToShow.emit()
    QApplication.processEvents()
    assert not shut_window.session.file.is_open


# Recent files -------------------------------------------------------------------------------


def texts(actions: list[QAction]) -> list[str]:
    return [action.text() for action in actions if not action.isSeparator()]


def test_recent_files_are_kept_and_open_again(
    open_window: Callable[..., Window], file: Path, other_file: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    path = tmp_path / "settings.json"
    window = open_window(None, path)
    window.session.file.open_other(other_file)
    qtbot.waitUntil(lambda: window.session.bench.build.name == "Rain car")
    assert texts(window.files.recent_files.actions())[:2] == ["other.sqlite3", "file.sqlite3"]
    window.close()
    kept = settings_file.load(path)
    assert kept.recent_files == (str(other_file), str(file))
    again = open_window(kept, path)
    assert texts(again.files.recent_files.actions())[:2] == ["file.sqlite3", "other.sqlite3"]
    again.files.recent_files.actions()[1].trigger()
    qtbot.waitUntil(lambda: again.session.bench.build.name == "Rain car")
    again.files.recent_files.actions()[-1].trigger()
    assert again.preferences.settings.recent_files == ()
    assert not again.files.recent_files.isEnabled()


def test_imported_and_written_files_are_among_the_recent(
    window: Window, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, qtbot: QtBot
) -> None:
    target = tmp_path / "out.build.json"
    choose_file(monkeypatch, target)
    window.menus.actions["take"].trigger()
    assert texts(window.files.recent_imports.actions())[0] == "out.build.json"
    before = len(window.session.builds.entries())
    window.files.recent_imports.actions()[0].trigger()
    qtbot.waitUntil(lambda: len(window.session.builds.entries()) == before + 1)


def test_recent_files_of_one_name_are_told_apart(window: Window) -> None:
    window.preferences.choose(recent_files=("/a/cars.sqlite3", "/b/cars.sqlite3"))
    window.files._fill()
    assert texts(window.files.recent_files.actions())[:2] == ["/a/cars.sqlite3", "/b/cars.sqlite3"]


@pytest.mark.parametrize("bad", [5, "x", [1, 2], {"a": 1}])
def test_a_damaged_list_of_recent_files_costs_the_list(tmp_path: Path, bad: object) -> None:
    path = tmp_path / "settings.json"
    path.write_text(json.dumps({"recent_files": bad, "speed_unit": "mph"}))
    kept = settings_file.load(path)
    assert kept.recent_files == ()
    assert kept.speed_unit == "mph"


# Files dropped ------------------------------------------------------------------------------


@pytest.fixture
def parts_file(tmp_path: Path) -> Path:
    path = tmp_path / "gears.csv"
    path.write_text("kind,name,teeth,module_mm\npinion,31 teeth from the club,31,0.8\n")
    return path


@pytest.fixture
def build_file(window: Window, tmp_path: Path) -> Path:
    from dataclasses import replace

    path = tmp_path / "night.build.json"
    write_build(replace(window.session.bench.build, name="Night car"), path)
    return path


def carried(*paths: Path) -> QMimeData:
    mime = QMimeData()
    mime.setUrls([QUrl.fromLocalFile(str(path)) for path in paths])
    return mime


def hover(window: Window, mime: QMimeData) -> QDragEnterEvent:
    event = QDragEnterEvent(QPoint(400, 300), COPY, mime, LEFT, NONE)
    QApplication.sendEvent(window.windowHandle(), event)
    QApplication.processEvents()
    return event


def let_go(window: Window, mime: QMimeData) -> None:
    event = QDropEvent(QPointF(400, 300), COPY, mime, LEFT, NONE)
    QApplication.sendEvent(window.windowHandle(), event)
    QApplication.processEvents()


def test_several_files_dropped_at_once_come_in(
    window: Window, parts_file: Path, build_file: Path, qtbot: QtBot
) -> None:
    mime = carried(parts_file, build_file)
    assert hover(window, mime).isAccepted()
    sheet = window.files.ground.sheet
    assert sheet.isVisible()
    assert "2 files" in sheet.heading
    assert sheet.lines == ["gears.csv", "night.build.json"]
    let_go(window, mime)
    assert not sheet.isVisible()
    qtbot.waitUntil(lambda: window.session.bench.build.name == "Night car")
    assert "31 teeth from the club" in [p.name for p in window.session.catalogue.parts("pinion")]
    assert {Path(one).name for one in window.preferences.settings.recent_imports} == {
        "gears.csv",
        "night.build.json",
    }
    window.session.undo_stack.undo()
    assert "Night car" not in [name for _, name in window.session.builds.entries()]


def test_what_cannot_come_in_is_said_before_and_after(
    window: Window, parts_file: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    notes = tmp_path / "notes.txt"
    notes.write_text("tyres!\nnew ones, and glue\n")
    hover(window, carried(parts_file, notes))
    assert "notes.txt stays out" in window.files.ground.sheet.lines
    let_go(window, carried(parts_file, notes))
    qtbot.waitUntil(lambda: bool(window.hints.trouble))
    assert "notes.txt" in window.hints.trouble
    assert not isinstance(window.pages.currentWidget(), PreviewPage)
    assert "31 teeth from the club" in [p.name for p in window.session.catalogue.parts("pinion")]


def test_nothing_good_is_refused_and_told(window: Window, tmp_path: Path) -> None:
    event = hover(window, carried(tmp_path / "photo.jpg"))
    assert not event.isAccepted()
    sheet = window.files.ground.sheet
    assert sheet.isVisible()
    assert "Nothing" in sheet.heading
    assert any(".csv" in line and ".build.json" in line for line in sheet.lines)


def test_the_sheet_goes_when_the_files_go_on(window: Window, parts_file: Path) -> None:
    hover(window, carried(parts_file))
    before = theme.current().ground.alpha()
    window.files.ground.sheet.grab()
    assert theme.current().ground.alpha() == before == 255
    QApplication.sendEvent(window.windowHandle(), QDragLeaveEvent())
    assert not window.files.ground.sheet.isVisible()


def looked_at(window: Window, qtbot: QtBot) -> PreviewPage:
    qtbot.waitUntil(lambda: isinstance(window.pages.currentWidget(), PreviewPage))
    page = window.pages.currentWidget()
    assert isinstance(page, PreviewPage)
    qtbot.waitUntil(lambda: page.is_at_rest)
    assert page.preview is not None
    return page


def names(window: Window) -> list[str]:
    return [part.name for part in window.session.catalogue.parts("pinion")]


def test_one_bad_table_of_several_is_looked_at_and_the_others_come_in(
    window: Window, parts_file: Path, tmp_path: Path, qtbot: QtBot
) -> None:
    bad, worse = tmp_path / "bad.csv", tmp_path / "worse.csv"
    bad.write_text("kind,name,teeth,module_mm\npinion,Bent one,many,0.8\n")
    worse.write_text("Bezeichnung;Zahn\nKrummes;viele\n")
    let_go(window, carried(bad, worse, parts_file))
    page = looked_at(window, qtbot)
    assert page.preview.path == bad
    assert "'many'" in str(page.preview.refused[0].refusals[0])
    assert "worse.csv" in window.hints.trouble
    assert "31 teeth from the club" in names(window)
    assert "Bent one" not in names(window)
    # One whose columns nobody understands can be put right there too.
    let_go(window, carried(worse))
    qtbot.waitUntil(lambda: looked_at(window, qtbot).preview.path == worse)


def test_a_workbook_is_looked_at_first(
    window: Window, tmp_path: Path, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "gears.xlsx"
    header = ("kind", "name", "teeth", "module_mm")
    write_table(ExportedTable("gears", header, [("pinion", "31 of a sheet", 31, 0.8)]), path)
    hover(window, carried(path))
    assert window.files.ground.sheet.lines == ["gears.xlsx, to be looked at first"]
    let_go(window, carried(path))
    page = looked_at(window, qtbot)
    assert "31 of a sheet" not in names(window)
    page.take()
    qtbot.waitUntil(window.session.undo_stack.canUndo)
    assert "31 of a sheet" in names(window)
    window.session.undo_stack.undo()
    qtbot.waitUntil(lambda: "31 of a sheet" not in names(window))
    # The same by hand.
    asked: list[str] = []

    def choose(*given: str) -> tuple[list[str], str]:
        asked.append(given[-1])
        return [str(path)], ""

    monkeypatch.setattr(QFileDialog, "getOpenFileNames", choose)
    window.menus.actions["bring"].trigger()
    assert looked_at(window, qtbot).preview.path == path
    assert all(f"*{end}" in asked[0] for end in (".build.json", ".csv", ".xlsx", ".ods"))


def test_plain_text_comes_in_where_it_is_a_table(
    window: Window, parts_file: Path, qtbot: QtBot
) -> None:
    path = parts_file.rename(parts_file.with_suffix(".txt"))
    hover(window, carried(path))
    assert window.files.ground.sheet.lines == ["gears.txt"]
    let_go(window, carried(path))
    qtbot.waitUntil(window.session.undo_stack.canUndo)
    assert "31 teeth from the club" in names(window)
    assert not isinstance(window.pages.currentWidget(), PreviewPage)
    window.session.undo_stack.undo()
    qtbot.waitUntil(lambda: "31 teeth from the club" not in names(window))


def test_a_dropped_data_file_is_opened(window: Window, other_file: Path, qtbot: QtBot) -> None:
    hover(window, carried(other_file))
    assert "open" in window.files.ground.sheet.heading
    let_go(window, carried(other_file))
    qtbot.waitUntil(lambda: window.session.bench.build.name == "Rain car")


# Keys ---------------------------------------------------------------------------------------


def test_the_sheet_of_keys_has_every_key_that_works(
    window: Window, shortcut: Callable[[str], None], press: Press
) -> None:
    window.shelf.focus_table()
    shortcut("F1")
    page = window.pages.currentWidget()
    assert isinstance(page, KeysPage)
    assert page.hasFocus()
    for _, action in listed(window.menus.main):
        for sequence in filter(is_plain, action.shortcuts()):
            assert sequence.toString() in page.text, action.text()
    for place in PLACES:
        for hint in hints_of(place.rows):
            assert hint in hints_of(LAST) or hint[1] in page.text, (place, hint)
    press(Key.Key_Escape)
    assert window.pages.currentWidget() is window.home.widget
    assert window.shelf.table.hasFocus()


def test_a_new_command_comes_onto_the_sheet_by_itself(window: Window) -> None:
    action = QAction("Weigh the cat", window)
    action.setShortcut("Ctrl+Alt+W")
    window.menus.main.actions()[0].menu().addAction(action)
    window.help.turn_keys()
    page = window.pages.currentWidget()
    assert "Ctrl+Alt+W: Weigh the cat" in page.text


@pytest.mark.parametrize("percent", [100, 200])
def test_no_word_of_the_sheet_is_cut(window: Window, percent: int) -> None:
    window.resize(1366, 768)
    window.preferences.choose(text_percent=percent)
    window.help.turn_keys()
    QApplication.processEvents()
    lines = window.pages.currentWidget().lines
    advance = theme.metrics("body").horizontalAdvance
    places = lines._places
    assert [group.title for group, *_ in places] == [group.title for group in lines.groups]
    columns = [*sorted({x for _, x, *_ in places}), lines.width()]
    for group, x, top, laid in places:
        end = columns[columns.index(x) + 1]
        for start, texts_of_row in laid:
            assert all(x + start + advance(text) <= end for text in texts_of_row), group.title
        assert top + sum(len(row[1]) for row in laid) * theme.px(24) <= lines.height()


def test_standard_keys_are_the_system_s(window: Window) -> None:
    from PySide6.QtGui import QKeySequence

    standard = QKeySequence.StandardKey
    for key, which in (
        ("bring", standard.Open),
        ("new", standard.New),
        ("undo", standard.Undo),
        ("redo", standard.Redo),
        ("narrow", standard.Find),
        ("keys", standard.HelpContents),
        ("larger", standard.ZoomIn),
        ("smaller", standard.ZoomOut),
    ):
        for sequence in QKeySequence.keyBindings(which):
            assert sequence in window.menus.actions[key].shortcuts(), key


def test_keys_share_the_height_between_plot_and_shelf(
    window: Window, shortcut: Callable[[str], None]
) -> None:
    heights = [window.home.stack.road.height()]
    for keys in ("Ctrl+Alt+Down", "Ctrl+Alt+Up", "Ctrl+Alt+Up"):
        shortcut(keys)
        heights.append(window.home.stack.road.height())
    start, taller, back, lower = heights
    assert taller > start == back > lower


def test_keys_make_all_text_larger_and_smaller(
    window: Window, shortcut: Callable[[str], None]
) -> None:
    def size() -> int:
        return QFontInfo(QApplication.font()).pixelSize()

    start = size()
    shortcut("Ctrl+=")
    larger = size()
    shortcut("Ctrl+-")
    assert larger > start == size()


def test_ctrl_h_shows_archived_parts_and_hides_them_again(
    window: Window, shortcut: Callable[[str], None]
) -> None:
    session = window.session
    away = next(
        part
        for part in session.catalogue.parts("motor")
        if part != session.bench.build.part("motor")
    )
    session.catalogue.archive_part(away, True)
    for is_there in (True, False):
        shortcut("Ctrl+H")
        model = window.shelf.model
        names = [model.rows.part(row).name for row in range(model.rowCount())]
        assert (away.name in names) is is_there


# Context menus ------------------------------------------------------------------------------


def ask(widget: QWidget, at: QPoint | None = None) -> None:
    """Ask for the menu with the right button, or with the menu key where no place is given."""
    reason = QContextMenuEvent.Reason
    where = widget.rect().center() if at is None else at
    kind = reason.Keyboard if at is None else reason.Mouse
    QApplication.sendEvent(widget, QContextMenuEvent(kind, where, widget.mapToGlobal(where)))
    QApplication.processEvents()


def entries(window: Window) -> dict[str, QAction]:
    assert window.context.menu is not None
    return {
        action.text().split("\t")[0]: action
        for action in window.context.menu.actions()
        if not action.isSeparator()
    }


def test_the_menu_of_a_row_does_what_its_keys_do(window: Window) -> None:
    table = window.shelf.table
    window.shelf.focus_table()
    row = next(r for r in range(window.shelf.model.rowCount()) if r != window.shelf.rows.row_now)
    part = window.shelf.rows.part(row)
    table.stand_on(row)
    ask(table.viewport(), table.visualRect(window.shelf.model.index(row, 0)).center())
    found = entries(window)
    assert found[f"Put in {part.name}"].text().endswith("\tEnter")
    assert found[f"Edit {part.name}…"].text().endswith("\tF2")
    assert f"Take out {part.name}" not in found
    window.context.menu.close()
    found[f"Put in {part.name}"].trigger()
    assert window.session.bench.build.part("motor") == part


def test_the_menu_key_opens_the_menu_where_the_keyboard_stands(window: Window) -> None:
    window.shelf.focus_table()
    here = window.shelf.part_here()
    ask(window.shelf.table)
    assert f"Edit {here.name}…" in entries(window)
    window.context.menu.close()


def test_the_menu_of_a_slot_takes_out_and_edits(window: Window) -> None:
    view = window.slots.view
    row = next(i for i, one in enumerate(window.slots.model.rows) if one.kind.key == "body")
    part = window.session.bench.build.part("body")
    ask(view.viewport(), view.visualRect(window.slots.model.index(row)).center())
    assert window.session.bench.slot == "body"
    found = entries(window)
    window.context.menu.close()
    assert found[f"Take out {part.name}"].text().endswith("\tDel")
    found[f"Take out {part.name}"].trigger()
    assert window.session.bench.build.part("body") is None


def test_the_menu_of_a_check_goes_to_its_slot_and_copies(window: Window) -> None:
    checks, shown = window.verdict.checks, window.verdict.model.shown
    place = next(i for i, check in enumerate(shown) if check.slots)
    checks.setCurrentIndex(window.verdict.model.index(place))
    checks.setFocus()
    ask(checks)
    found = entries(window)
    window.context.menu.close()
    found["Copy the sentence"].trigger()
    assert shown[place].text in QGuiApplication.clipboard().text()
    slot = shown[place].slots[0]
    found[f"Go to the {BY_KEY[slot].label}"].trigger()
    assert window.session.bench.slot == slot


# Words and figures --------------------------------------------------------------------------


def test_the_hints_and_the_menu_say_what_undo_would_do(window: Window) -> None:
    old = window.session.bench.build.part("motor").name
    other = next(p for p in window.session.catalogue.parts("motor") if p.name != old)
    window.session.builds.put_in(other)
    assert (("Ctrl Z",), f"put back {old}") in window.hints.hints
    assert f"put back {old}" in window.hints.accessibleDescription()
    assert window.menus.actions["undo"].text() == f"Undo: put back {old}"
    window.session.undo_stack.undo()
    assert (("Ctrl Z",), "undo") in window.hints.hints


def test_stepping_is_one_change_but_not_across_builds(window: Window, press: Press) -> None:
    window.top.field("target").setFocus()
    target = window.session.bench.build.target_kmh
    first = window.session.bench.build.id
    press(Key.Key_Plus, Key.Key_Plus, Key.Key_Plus)
    assert window.session.undo_stack.count() == 1
    second = next(one for one, _ in window.session.builds.entries() if one != first)
    window.session.builds.choose(second)
    before = window.session.bench.build.target_kmh
    window.top.field("target").setFocus()
    press(Key.Key_Plus)
    assert window.session.undo_stack.count() == 2
    window.session.undo_stack.undo()
    assert (window.session.bench.build.id, window.session.bench.build.target_kmh) == (
        second,
        before,
    )
    window.session.undo_stack.undo()
    assert (window.session.bench.build.id, window.session.bench.build.target_kmh) == (first, target)


def test_every_figure_of_the_car_is_explained_with_its_formula(window: Window) -> None:
    rows = {row.label: row.help for row in window.slots._figures}
    assert set(rows) > {"mass", "final drive ratio", "roll-out", "drag area"}
    for label, help in rows.items():
        assert help == explain(label)
    assert "spur teeth / pinion teeth × internal ratio" in rows["final drive ratio"]
    assert "π × tyre diameter / final drive ratio" in rows["roll-out"]


def test_every_term_is_one_sentence_and_its_fields_are_there() -> None:
    names = [term.name for term in TERMS]
    assert len(set(names)) == len(names)
    for term in TERMS:
        assert term.sentence.endswith(".")
        assert ". " not in term.sentence
        for place in term.fields:
            kind, key = place.split(".")
            assert term.formula in field_help(kind, BY_KEY[kind].field(key))


def test_headers_and_verdict_explain_terms_too(window: Window) -> None:
    model = window.shelf.model
    column = next(i for i, one in enumerate(model.rows.columns) if one.key == "kv_rpm_per_v")
    tip = model.headerData(column, Qt.Orientation.Horizontal, Qt.ItemDataRole.ToolTipRole)
    assert "no-load rpm = Kv × voltage" in tip
    helps = [row.help for row in window.verdict.rows]
    assert explain("likely range") in helps
    assert explain("held back by") in helps


def test_the_form_explains_terms_with_their_formula(window: Window) -> None:
    window.parts.new_part("motor")
    form = window.pages.currentWidget()
    assert isinstance(form, PartForm)
    editor = form.body.row("kv_rpm_per_v").editor
    assert "no-load rpm = Kv × voltage" in editor.toolTip()
    assert editor.accessibleDescription() == editor.toolTip()


def test_f2_edits_the_part_of_the_slot_or_of_the_row(window: Window, press: Press) -> None:
    window.session.bench.choose_slot("body")
    window.slots.view.setFocus()
    press(Key.Key_F2)
    form = window.pages.currentWidget()
    assert isinstance(form, PartForm)
    assert form.body.row("name").text == window.session.bench.build.part("body").name
    press(Key.Key_Escape)
    window.session.bench.choose_slot("motor")
    window.shelf.focus_table()
    press(Key.Key_F2)
    assert form.body.row("name").text == window.shelf.part_here().name


def test_a_figure_is_edited_from_its_column(window: Window, press: Press) -> None:
    window.resize(1920, 1080)
    QApplication.processEvents()
    window.home.go_to_slot("motor")
    table, model = window.shelf.table, window.shelf.model
    column = next(i for i, one in enumerate(model.rows.columns) if one.key == "resistance_mohm")
    row = table.currentIndex().row()
    part = model.rows.part(row)
    assert not table.isColumnHidden(column)
    ask(table.viewport(), table.visualRect(model.index(row, column)).center())
    entry = entries(window)["Edit its winding resistance…"]
    window.context.menu.close()
    entry.trigger()
    form = window.pages.currentWidget()
    assert form.body.row("resistance_mohm").editor.hasFocus()
    press(Key.Key_Escape)
    cell = model.index(model.rows.row_of(part), column)
    QTest.mouseClick(table.viewport(), LEFT, pos=table.visualRect(cell).center())
    press(Key.Key_F2, to=table)
    line = form.body.row("resistance_mohm")
    assert line.editor.hasFocus()
    press("0.0213 ohm", to=line.editor)
    line.source.setCurrentIndex(line.source.findData("measured"))
    QTest.keySequence(line.editor, "Ctrl+S")
    stored = next(p for p in window.session.catalogue.parts("motor") if p.id == part.id)
    assert stored.number("resistance_mohm") == pytest.approx(21.3)
    assert stored.provenance_of("resistance_mohm") == "measured"


# Choices that last --------------------------------------------------------------------------


def test_size_and_share_are_there_again(open_window: Callable[..., Window], tmp_path: Path) -> None:
    path = tmp_path / "settings.json"
    window = open_window(None, path)
    # The platform without a screen has one of 800 × 800, into which a window is fitted.
    window.resize(1024, 700)
    QApplication.processEvents()
    handle = window.home.widget.handle(1)
    middle = handle.rect().center()
    QTest.mousePress(handle, LEFT, pos=middle)
    QTest.mouseMove(handle, middle - QPoint(0, 96))
    QTest.mouseRelease(handle, LEFT, pos=middle - QPoint(0, 96))
    QApplication.processEvents()
    height, size = window.home.stack.road.height(), window.size()
    assert window.preferences.settings.plot_share < 0.5
    window.close()
    again = open_window(settings_file.load(path), path)
    QApplication.processEvents()
    assert again.size() == size
    assert size.height() == 700
    assert again.home.stack.road.height() == pytest.approx(height, abs=theme.px(32))


def test_columns_are_chosen_by_their_menu_and_stay(
    open_window: Callable[..., Window], tmp_path: Path
) -> None:
    path = tmp_path / "settings.json"
    window = open_window(None, path)
    table, model = window.shelf.table, window.shelf.model
    keys = [column.key for column in model.rows.columns]
    chance = keys.index("chance")
    assert not table.isColumnHidden(chance)
    window.menus.actions["columns"].trigger()
    offer = entries(window)["Show chance %"]
    assert offer.isChecked()
    window.context.menu.close()
    offer.trigger()
    assert table.isColumnHidden(chance)
    table.sort_by(0, Qt.SortOrder.DescendingOrder)
    window.close()
    again = open_window(settings_file.load(path), path)
    assert again.shelf.table.isColumnHidden(chance)
    assert again.shelf.model.sorted_by == (0, Qt.SortOrder.DescendingOrder)
    names = [again.shelf.rows.part(row).name for row in range(3)]
    assert names == sorted(names, key=str.casefold, reverse=True)
    again.session.bench.choose_slot("tyres")
    assert not again.shelf.table.isColumnHidden(
        [c.key for c in again.shelf.rows.columns].index("chance")
    ), "another shelf has its own columns"
    again.session.bench.choose_slot("motor")
    assert again.shelf.table.isColumnHidden(chance)
    again.menus.actions["columns"].trigger()
    found = entries(again)
    again.context.menu.close()
    assert not found["Show chance %"].isChecked()
    found["Show all columns"].trigger()
    assert not again.shelf.table.isColumnHidden(chance)


@pytest.mark.parametrize("bad", [5, [], {"motor": 3}, {"motor": {"hidden": 3, "sort": 7}}])
def test_damaged_column_choices_cost_the_choice(
    open_window: Callable[..., Window], tmp_path: Path, bad: object
) -> None:
    path = tmp_path / "settings.json"
    path.write_text(json.dumps({"columns": bad}))
    window = open_window(settings_file.load(path), path)
    assert window.shelf.model.rowCount() > 0
    assert window.shelf.table.hidden == frozenset()


def test_space_holds_the_car_with_the_row_s_part_beside(window: Window, press: Press) -> None:
    window.shelf.focus_table()
    row = next(r for r in range(window.shelf.model.rowCount()) if r != window.shelf.rows.row_now)
    window.shelf.table.stand_on(row)
    part = window.shelf.rows.part(row)
    press(Key.Key_Space, to=window.shelf.table)
    assert [entry.build.part("motor").name for entry in window.session.comparison.entries] == [
        part.name
    ]


def test_every_new_control_has_a_name(window: Window, shut_window: Window) -> None:
    window.help.find_anything()
    window.help.turn_keys()
    for one in (
        window.help.find_line,
        window.help.find_line.field,
        window.help.find_line.view,
        window.pages.currentWidget(),
        shut_window.files.page,
        *shut_window.files.page.pushes,
    ):
        interface = QAccessible.queryAccessibleInterface(one)
        assert interface.text(QAccessible.Text.Name).strip(), one


def test_pages_are_mirrored_right_to_left(shut_window: Window, qapp: QApplication) -> None:
    left = shut_window.files.page.pushes[0].x()
    qapp.setLayoutDirection(Qt.LayoutDirection.RightToLeft)
    try:
        QApplication.processEvents()
        shut_window.files.page.rescale()
        push = shut_window.files.page.pushes[0]
        assert shut_window.files.page.width() - push.geometry().right() - 1 == left
        assert not shut_window.grab().isNull()
    finally:
        qapp.setLayoutDirection(Qt.LayoutDirection.LeftToRight)
