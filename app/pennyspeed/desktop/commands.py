"""Commands: everything that can be done, each with its words and its key, as menus.

To add one: write the method on the window and a line in :func:`commands`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu

from pennyspeed.desktop import theme
from pennyspeed.domain.measures import LENGTH_UNITS, MASS_UNITS, SPEED_UNITS

if TYPE_CHECKING:
    from pennyspeed.desktop.window import Window


@dataclass(frozen=True, slots=True)
class Command:
    """One thing that can be done."""

    key: str
    text: str
    shortcuts: tuple[str, ...]
    act: Callable[[], object]


SEPARATOR = None
Entry = Command | None


def commands(window: Window) -> dict[str, list[Entry]]:
    """Return every plain command by the menu it stands in."""
    shelf, session = window.shelf, window.session
    return {
        "Build": [
            Command("builds", "Show another build", ("Ctrl+B",), window.open_builds),
            Command("new", "New build", ("Ctrl+N",), window.new_build),
            Command("copy", "Copy this build", ("Ctrl+D",), window.copy_build),
            Command("rename", "Rename this build", ("F2",), window.rename_build),
            Command("delete", "Delete this build", ("Ctrl+Shift+Del",), session.delete),
            SEPARATOR,
            Command("bring", "Bring in a build or parts…", ("Ctrl+O",), window.ask_and_bring),
            Command("take", "Write this build to a file…", ("Ctrl+E",), window.ask_and_take),
            SEPARATOR,
            Command("quit", "Close the window", ("Ctrl+Q",), window.close),
        ],
        "Part": [
            Command("narrow", "Narrow the shelf", ("/", "Ctrl+F"), window.go_to_field),
            Command("take_out", "Take out of the slot", (), window.take_out),
            Command("new_part", "New part", ("Ctrl+Shift+N",), window.new_part),
            Command("edit_part", "Edit part", ("Ctrl+Shift+E",), window.edit_part),
            SEPARATOR,
            Command("sort", "Sort by the next column", ("Ctrl+Right",), shelf.sort_onward),
            Command("turn", "Sort the other way round", ("Ctrl+R",), shelf.turn_round),
        ],
    }


class Menus:
    """The window's actions and the menus that show them.

    Parameters
    ----------
    window : Window
    """

    def __init__(self, window: Window) -> None:
        self._window = window
        self.actions: dict[str, QAction] = {}
        self.main = QMenu("Menu", window)
        self.builds = QMenu("Builds", window)
        self.builds.aboutToShow.connect(self._fill_builds)
        for title, entries in commands(window).items():
            self._add(self.main.addMenu(title), entries)
            if title == "Build":
                self._edit_menu()
        self._view_menu()
        self._units_menu()
        self._add(
            self.main.addMenu("Help"),
            [Command("cautions", "Cautions", ("F1",), window.show_cautions)],
        )
        for action in self.actions.values():
            window.addAction(action)
        self.restyle()

    def restyle(self) -> None:
        """Take up another text size."""
        for menu in self.main.findChildren(QMenu):
            menu.setFont(theme.font("body"))
        for menu in (self.main, self.builds):
            menu.setFont(theme.font("body"))

    def _add(self, menu: QMenu, entries: list[Entry]) -> None:
        for entry in entries:
            if entry is None:
                menu.addSeparator()
            else:
                menu.addAction(self._action(entry))

    def _action(self, command: Command) -> QAction:
        action = QAction(command.text, self._window)
        action.setShortcuts([QKeySequence(keys) for keys in command.shortcuts])
        action.triggered.connect(lambda _=False: command.act())
        self.actions[command.key] = action
        return action

    def _edit_menu(self) -> None:
        stack = self._window.session.undo_stack
        menu = self.main.addMenu("Edit")
        self._add(
            menu,
            [
                Command("undo", "Undo", ("Ctrl+Z",), stack.undo),
                Command("redo", "Redo", ("Ctrl+Shift+Z", "Ctrl+Y"), stack.redo),
            ],
        )
        stack.indexChanged.connect(lambda _: self._renew_undo())
        self._renew_undo()

    def _renew_undo(self) -> None:
        from pennyspeed.desktop.session import ReplaceBuild

        stack = self._window.session.undo_stack
        back = stack.command(stack.index() - 1) if stack.canUndo() else None
        again = stack.command(stack.index()) if stack.canRedo() else None
        undo, redo = self.actions["undo"], self.actions["redo"]
        undo.setEnabled(back is not None)
        redo.setEnabled(again is not None)
        undo.setText(f"Undo: {back.undid}" if isinstance(back, ReplaceBuild) else "Undo")
        redo.setText(f"Redo: {again.did}" if isinstance(again, ReplaceBuild) else "Redo")

    def _view_menu(self) -> None:
        window = self._window
        menu = self.main.addMenu("View")
        words = {
            theme.SYSTEM: "As the system has it",
            theme.BRIGHT: "Light",
            theme.DARKNESS: "Dark",
        }
        self._choice(menu, "theme", [(words[one], one) for one in theme.CHOICES])
        menu.addSeparator()
        sizes = menu.addMenu("Text size")
        percents: list[tuple[str, object]] = [(f"{one} %", one) for one in theme.TEXT_PERCENTS]
        self._choice(sizes, "text_percent", percents)
        self._add(
            menu,
            [
                Command("larger", "Larger text", ("Ctrl++", "Ctrl+="), lambda: window.size_text(1)),
                Command("smaller", "Smaller text", ("Ctrl+-",), lambda: window.size_text(-1)),
                SEPARATOR,
                Command("taller", "Taller plot", ("Ctrl+Alt+Down",), lambda: window.share(1)),
                Command("lower", "Taller shelf", ("Ctrl+Alt+Up",), lambda: window.share(-1)),
            ],
        )
        archived = QAction("Show archived parts", window)
        archived.setCheckable(True)
        archived.setShortcut(QKeySequence("Ctrl+H"))
        archived.setChecked(window.settings.show_archived)
        archived.toggled.connect(lambda on: window.choose(show_archived=on))
        self.actions["archived"] = archived
        menu.addAction(archived)

    def _units_menu(self) -> None:
        menu = self.main.addMenu("Units")
        for key, units in (
            ("speed_unit", SPEED_UNITS),
            ("length_unit", LENGTH_UNITS),
            ("mass_unit", MASS_UNITS),
        ):
            self._choice(menu, key, [(unit.symbol, unit.symbol) for unit in units])
            menu.addSeparator()

    def _choice(self, menu: QMenu, key: str, options: list[tuple[str, object]]) -> None:
        """Add a group of which one holds."""
        window = self._window
        group = QActionGroup(menu)
        for text, value in options:
            action = QAction(text, menu)
            action.setCheckable(True)
            action.setChecked(getattr(window.settings, key) == value)
            action.triggered.connect(lambda _=False, value=value: window.choose(**{key: value}))
            group.addAction(action)
            menu.addAction(action)
            self.actions[f"{key}={value}"] = action

    def show_choice(self, key: str, value: object) -> None:
        """Mark a choice that was made elsewhere."""
        action = self.actions.get(f"{key}={value}")
        if action is not None:
            action.setChecked(True)

    def _fill_builds(self) -> None:
        window, menu = self._window, self.builds
        session = window.session
        menu.clear()
        group = QActionGroup(menu)
        shown = session.build.id if session.build is not None else None
        for build_id, name in session.builds():
            action = menu.addAction(name.replace("&", "&&"))
            action.setCheckable(True)
            action.setChecked(build_id == shown)
            action.triggered.connect(lambda _=False, it=build_id: session.choose_build(it))
            group.addAction(action)
        menu.addSeparator()
        for key in ("new", "copy", "rename", "delete"):
            menu.addAction(self.actions[key])
        menu.addSeparator()
        for key in ("bring", "take"):
            menu.addAction(self.actions[key])
