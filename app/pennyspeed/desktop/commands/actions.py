"""Commands: everything that can be done, each with its words and its key, as menus.

To add one: write the method on the window and a line in :func:`commands`. It then stands in the
menu, on the sheet of keys and in the find line.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence
from PySide6.QtWidgets import QMenu

if TYPE_CHECKING:
    from pennyspeed.desktop.window import Window


@dataclass(frozen=True, slots=True)
class Command:
    """One thing that can be done."""

    key: str
    text: str
    shortcuts: tuple[str | Standard, ...]
    act: Callable[[], object]


def sequences(shortcuts: tuple[str | Standard, ...]) -> list[QKeySequence]:
    """Return key sequences, each once; a standard key as the system at hand has it, if it has it.

    >>> [one.toString() for one in sequences(("Ctrl+K", "Ctrl+K"))]
    ['Ctrl+K']
    """
    found: list[QKeySequence] = []
    for one in shortcuts:
        bound = [QKeySequence(one)] if isinstance(one, str) else QKeySequence.keyBindings(one)
        found += [sequence for sequence in bound if sequence not in found]
    return found


Standard = QKeySequence.StandardKey
SEPARATOR = None
Entry = Command | QMenu | None


def commands(window: Window) -> dict[str, list[Entry]]:
    """Return every plain command by the menu it stands in."""
    shelf, session = window.shelf, window.session
    files = window.files
    return {
        "File": [
            Command("open", "Open another data file…", ("Ctrl+Shift+O",), files.ask_and_open),
            Command("begin", "Begin a new data file…", ("Ctrl+Alt+N",), files.ask_and_begin),
            files.recent_files,
            SEPARATOR,
            Command("bring", "Bring in a build or parts…", (Standard.Open,), files.ask_and_bring),
            files.recent_imports,
            Command(
                "take",
                "Write this build to a file…",
                ("Ctrl+E", Standard.SaveAs),
                files.ask_and_take,
            ),
            SEPARATOR,
            Command(
                "sheet", "Sheet to print or save", (Standard.Print, "Ctrl+P"), window.show_sheet
            ),
            SEPARATOR,
            Command("quit", "Close the window", (Standard.Quit, "Ctrl+Q"), window.close),
        ],
        "Build": [
            Command("builds", "Show another build", ("Ctrl+B",), window.open_builds),
            Command("new", "New build", (Standard.New,), window.new_build),
            Command("copy", "Copy this build", ("Ctrl+D",), window.copy_build),
            Command("rename", "Rename this build", ("F2",), window.rename_build),
            Command(
                "hold",
                "Hold the car beside, with what is tried",
                ("Ctrl+Shift+H",),
                lambda: window.session.comparison.hold_tried(),
            ),
            Command("delete", "Delete this build", ("Ctrl+Shift+Del",), session.builds.delete),
        ],
        "Part": [
            Command("narrow", "Narrow the shelf", ("/", Standard.Find), window.go_to_field),
            Command("take_out", "Take out of the slot", (), window.take_out),
            Command("new_part", "New part", ("Ctrl+Shift+N",), window.new_part),
            Command("edit_part", "Edit part", ("Ctrl+Shift+E",), window.edit_part),
            Command("edit_figure", "Edit a figure in its row", ("F3",), window.edit_figure),
            SEPARATOR,
            Command("columns", "Choose the columns…", ("Ctrl+Shift+C",), window.choose_columns),
            Command("sort", "Sort by the next column", ("Ctrl+Right",), shelf.sort_onward),
            Command("turn", "Sort the other way round", ("Ctrl+R",), shelf.turn_round),
            Command("fitting", "Hide what does not fit", ("Ctrl+G",), shelf.turn_fitting),
            Command("pairing", "With every part beside it", ("Ctrl+T",), shelf.turn_pairing),
        ],
        "Money": window.money_pages.commands(),
    }


def is_plain(sequence: QKeySequence) -> bool:
    """Tell whether every keyboard can press it; few have a key that is called Undo or Open.

    >>> is_plain(QKeySequence("Ctrl+Z")), is_plain(QKeySequence("Undo"))
    (True, False)
    """
    key = sequence[0].key()  # type: ignore[index]
    return bool(key <= Qt.Key.Key_F35 and key != Qt.Key.Key_Backspace)
