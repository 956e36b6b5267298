"""Adding what can be done: one row, and menu, key, hints, sheet of keys and find line have it.

A copy of the program gets a command and a key of a place, as DEVELOPERS.md says, and a process of
its own presses them.
"""

from __future__ import annotations

import json
import sys
from pathlib import Path
from typing import Any

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication

import pennyspeed
from copies import copy_program, run_copy
from pennyspeed.desktop.app import dress, open_window
from pennyspeed.desktop.commands.key_sheet import KeysPage
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.widgets import theme
from pennyspeed.services.workshop import Workshop

ADDED = {
    "commands/actions.py": (
        '        Command("new_part", "New part"',
        '        Command("weigh", "Weigh the car", ("Ctrl+Alt+W",),\n'
        '                lambda to: to.session.messages.noted.emit("weighed")),\n',
    ),
    "car/__init__.py": (
        '    command("narrow", "narrow"),',
        '    command("weigh", "weigh it"),\n    KeyRow(("J",), "to the tyres", "jump"),\n',
    ),
    "car/slots_view.py": (
        "            edit=self.edit_wanted.emit,",
        "            jump=lambda: self.setCurrentIndex(self.model().index(6, 0)),\n",
    ),
}
"""In each file the line that something is written before, and what."""


def ask(folder: Path) -> None:
    """Write what the copy's window says into `folder`."""
    assert Path(pennyspeed.__file__).is_relative_to(folder)
    app = QApplication([])
    settings, file = Settings(theme=theme.BRIGHT), folder / "cars.sqlite3"
    Workshop.open(file).close()
    dress(app, settings)
    window = open_window(file, settings, None)
    window.show()
    QTest.qWaitForWindowActive(window)
    while not window.session.file.is_open:
        app.processEvents()
    said: dict[str, Any] = {"text": window.menus.actions["weigh"].text()}
    part_menu = next(one.menu() for one in window.menus.main.actions() if one.text() == "Part")
    said["menu"] = [action.text() for action in part_menu.actions()]

    window.slots.view.setFocus()
    app.processEvents()
    said["hints"] = [[" ".join(keys), what] for keys, what in window.hints.hints]
    QTest.keySequence(window, "Ctrl+Alt+W")
    said["done"] = window.top.accessibleDescription()
    QTest.keyClick(window.slots.view, Qt.Key.Key_J)
    said["jumped"] = window.session.bench.slot

    window.help.find_anything()
    QTest.keyClicks(window.help.find_line.field, "weigh")
    said["found"] = [[one.name, one.note] for one in window.help.find_line.found[:1]]
    window.help.find_line.leave()
    window.help.turn_keys()
    page = window.pages.currentWidget()
    assert isinstance(page, KeysPage)
    said["sheet"] = page.text.splitlines()
    (folder / "said.json").write_text(json.dumps(said))
    window.close()
    window.deleteLater()
    app.processEvents()


@pytest.fixture(scope="module")
def said(tmp_path_factory: pytest.TempPathFactory) -> Any:
    """What the window of a copy says that has the command and the key."""
    folder = tmp_path_factory.mktemp("copy").resolve()
    package = copy_program(folder)
    for name, (before, added) in ADDED.items():
        path = package / "desktop" / name
        text = path.read_text(encoding="utf-8")
        assert text.count(before) == 1, name
        path.write_text(text.replace(before, added + before), encoding="utf-8")
    run_copy(folder, __file__, str(folder))
    return json.loads((folder / "said.json").read_text())


def test_it_stands_in_its_menu_and_its_key_does_it(said: Any) -> None:
    assert said["text"] == "Weigh the car"
    assert said["menu"].index("Weigh the car") == said["menu"].index("New part") - 1
    assert "weighed" in said["done"]


def test_the_find_line_finds_it_with_its_key(said: Any) -> None:
    assert said["found"] == [["Weigh the car", "Ctrl+Alt+W"]]


def test_the_place_that_names_it_hints_at_it_in_its_own_words(said: Any) -> None:
    assert ["Ctrl Alt W", "weigh it"] in said["hints"]


def test_a_key_of_a_place_acts_there_and_is_said(said: Any) -> None:
    assert ["J", "to the tyres"] in said["hints"]
    assert said["jumped"] == "tyres"


def test_the_sheet_of_keys_has_both(said: Any) -> None:
    groups = dict(line.split(": ", 1) for line in said["sheet"])
    assert "Ctrl+Alt+W: Weigh the car" in groups["Part"]
    assert "Ctrl Alt W: weigh it; J: to the tyres" in groups["In the car"]


if __name__ == "__main__":
    ask(Path(sys.argv[1]))
