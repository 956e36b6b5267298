"""Menus: the window's actions, by menu, and the sheet of all their keys."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PySide6.QtGui import QAction, QActionGroup, QKeySequence
from PySide6.QtWidgets import QMenu

from pennyspeed.desktop.commands.actions import (
    SEPARATOR,
    Command,
    Entry,
    Standard,
    commands,
    is_plain,
    sequences,
)
from pennyspeed.desktop.commands.menu_style import dress
from pennyspeed.desktop.widgets import theme
from pennyspeed.domain.measures import LENGTH_UNITS, MASS_UNITS, SPEED_UNITS

if TYPE_CHECKING:
    from pennyspeed.desktop.commands.key_hints import Hint
    from pennyspeed.desktop.commands.key_sheet import KeyGroup
    from pennyspeed.desktop.window import Window


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
            [
                Command("find", "Find anything", ("Ctrl+K",), window.find_anything),
                Command("keys", "All keys", (Standard.HelpContents, "F1"), window.show_keys),
                Command("cautions", "Cautions", ("Shift+F1",), window.show_cautions),
            ],
        )
        for action in self.actions.values():
            window.addAction(action)
        more = (window.files.recent_files, window.files.recent_imports)
        for menu in (self.main, self.builds, *more, *self.main.findChildren(QMenu)):
            dress(menu)

    def _add(self, menu: QMenu, entries: list[Entry]) -> None:
        for entry in entries:
            if entry is None:
                menu.addSeparator()
            elif isinstance(entry, QMenu):
                menu.addMenu(entry)
            else:
                menu.addAction(self._action(entry))

    def _action(self, command: Command) -> QAction:
        action = QAction(command.text, self._window)
        action.setShortcuts(sequences(command.shortcuts))
        action.triggered.connect(lambda _=False: command.act())
        self.actions[command.key] = action
        return action

    def _edit_menu(self) -> None:
        stack = self._window.session.undo_stack
        menu = self.main.addMenu("Edit")
        self._add(
            menu,
            [
                Command("undo", "Undo", (Standard.Undo,), stack.undo),
                Command("redo", "Redo", (Standard.Redo, "Ctrl+Shift+Z", "Ctrl+Y"), stack.redo),
            ],
        )
        stack.indexChanged.connect(lambda _: self._renew_undo())
        self._renew_undo()

    def _renew_undo(self) -> None:
        stack = self._window.session.undo_stack
        back = stack.command(stack.index() - 1) if stack.canUndo() else None
        again = stack.command(stack.index()) if stack.canRedo() else None
        undo, redo = self.actions["undo"], self.actions["redo"]
        undo.setEnabled(back is not None)
        redo.setEnabled(again is not None)
        undid, did = getattr(back, "undid", ""), getattr(again, "did", "")
        undo.setText(f"Undo: {undid}" if undid else "Undo")
        redo.setText(f"Redo: {did}" if did else "Redo")
        self._window.hints.show_undo(undid)

    def _view_menu(self) -> None:
        window = self._window
        menu = self.main.addMenu("View")
        entries: list[Entry] = [
            Command(
                f"view_{view.key}",
                f"{view.title}: {view.help[0].lower()}{view.help[1:]}",
                (str(place),),
                partial(window.choose_view, view.key),
            )
            for place, view in enumerate(window.row.views, start=1)
        ]
        what_if = Command("what_if", "What if: a tenth more, other roads", ("F4",),
                          window.ask_what_if)  # fmt: skip
        save = Command("save_plot", "Save the plot…", ("Ctrl+Alt+S",), window.save_plot)
        self._add(menu, [*entries, what_if, save, SEPARATOR])
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
                Command(
                    "larger",
                    "Larger text",
                    (Standard.ZoomIn, "Ctrl+="),
                    lambda: window.size_text(1),
                ),
                Command(
                    "smaller", "Smaller text", (Standard.ZoomOut,), lambda: window.size_text(-1)
                ),
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

    def key_groups(self) -> list[KeyGroup]:
        """Return every key that does something, by menu and then by place."""
        from pennyspeed.desktop.commands.key_hints import HINTS, LAST, PLACES
        from pennyspeed.desktop.commands.key_sheet import KeyGroup
        from pennyspeed.desktop.commands.search_index import NATIVE, listed, words_of

        gathered: dict[str, list[Hint]] = {}
        for title, action in listed(self.main):
            keys = [one.toString(NATIVE) for one in action.shortcuts() if is_plain(one)]
            if keys:
                gathered.setdefault(title, []).append(
                    ((" or ".join(keys),), words_of(title, action))
                )
        own = self.main.menuAction().shortcut().toString(NATIVE)
        gathered.setdefault("Help", []).append(((own,), "Menu with everything"))
        groups = [KeyGroup(title, tuple(hints)) for title, hints in gathered.items()]
        for place, hints in HINTS.items():
            here = tuple(hint for hint in hints if hint not in LAST)
            groups.append(KeyGroup(PLACES.get(place, place.capitalize()), here))
        return groups

    def _fill_builds(self) -> None:
        window, menu = self._window, self.builds
        session = window.session
        menu.clear()
        group = QActionGroup(menu)
        shown = session.bench.build.id if session.bench.build is not None else None
        for build_id, name in session.builds.entries():
            action = menu.addAction(name.replace("&", "&&"))
            action.setCheckable(True)
            action.setChecked(build_id == shown)
            action.triggered.connect(lambda _=False, it=build_id: session.builds.choose(it))
            group.addAction(action)
        menu.addSeparator()
        for key in ("new", "copy", "rename", "delete"):
            menu.addAction(self.actions[key])
        menu.addSeparator()
        for key in ("bring", "take"):
            menu.addAction(self.actions[key])
