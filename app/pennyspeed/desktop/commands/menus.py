"""Menus: the rows of the actions as a window's menus and keys."""

from __future__ import annotations

from PySide6.QtCore import QObject, QPoint
from PySide6.QtGui import QAction, QActionGroup
from PySide6.QtWidgets import QMenu

from pennyspeed.desktop.commands.actions import (
    MENUS,
    Choice,
    Command,
    Entry,
    Submenu,
    Toggle,
    sequences,
)
from pennyspeed.desktop.commands.targets import Targets
from pennyspeed.desktop.widgets.menu_style import dress


class Menus(QObject):
    """A window's actions and the menus that show them.

    Parameters
    ----------
    main : QMenu
        Takes up everything.
    actions : dict of QAction
        Takes them up by the keys of their rows.
    """

    def __init__(self, targets: Targets, main: QMenu, actions: dict[str, QAction]) -> None:
        window = targets.window
        super().__init__(window)
        self._targets, self._session = targets, targets.session
        self._preferences = targets.preferences
        self.main, self.actions = main, actions
        self.builds = QMenu("Builds", window)
        self.builds.aboutToShow.connect(self._fill_builds)
        for title, entries in MENUS.items():
            self._add(self.main.addMenu(title), entries)
        opener = self.main.menuAction()
        opener.setShortcut("F10")
        opener.triggered.connect(self.open_main)
        window.addAction(opener)
        targets.preferences.chosen.connect(self._show_choices)
        stack = targets.session.undo_stack
        stack.indexChanged.connect(lambda _: self._renew_undo())
        self._renew_undo()
        recent = self._targets.files.recent.values()
        for menu in (self.main, self.builds, *recent, *self.main.findChildren(QMenu)):
            dress(menu)

    # Filling --------------------------------------------------------------------------------

    def _add(self, menu: QMenu, entries: tuple[Entry, ...]) -> None:
        for entry in entries:
            match entry:
                case None:
                    menu.addSeparator()
                case Submenu(recent=key) if key:
                    menu.addMenu(self._targets.files.recent[key])
                case Submenu():
                    self._add(menu.addMenu(entry.title), entry.entries)
                case Choice():
                    self._add_choice(menu, entry)
                case Command() | Toggle():
                    menu.addAction(self._action(entry))

    def _action(self, row: Command | Toggle) -> QAction:
        action = QAction(row.text, self._targets.window)
        action.setShortcuts(sequences(row.shortcuts))
        action.setData(row.key)
        if isinstance(row, Command):
            act, targets = row.act, self._targets
            action.triggered.connect(lambda _=False: act(targets))
        else:
            setting = row.setting
            action.setCheckable(True)
            action.setChecked(bool(getattr(self._preferences.settings, setting)))
            action.toggled.connect(lambda on: self._preferences.choose(**{setting: on}))
        self._targets.window.addAction(action)
        self.actions[row.key] = action
        return action

    def _add_choice(self, menu: QMenu, choice: Choice) -> None:
        """Add a group of which one holds."""
        group, key = QActionGroup(menu), choice.key
        for text, value in choice.options:
            action = QAction(text, menu)
            action.setCheckable(True)
            action.setChecked(getattr(self._preferences.settings, key) == value)
            action.triggered.connect(
                lambda _=False, value=value: self._preferences.choose(**{key: value})
            )
            group.addAction(action)
            menu.addAction(action)
            self.actions[f"{key}={value}"] = action

    def _show_choices(self, choices: dict[str, object]) -> None:
        """Mark choices that were made elsewhere."""
        for key, value in choices.items():
            action = self.actions.get(f"{key}={value}")
            if action is not None:
                action.setChecked(True)

    def _renew_undo(self) -> None:
        stack = self._session.undo_stack
        undo, redo = self.actions["undo"], self.actions["redo"]
        undo.setEnabled(stack.canUndo())
        redo.setEnabled(stack.canRedo())
        undo.setText(f"Undo: {stack.undid}" if stack.undid else "Undo")
        redo.setText(f"Redo: {stack.did}" if stack.did else "Redo")

    def _fill_builds(self) -> None:
        session, menu = self._session, self.builds
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

    # Opening --------------------------------------------------------------------------------

    def open_builds(self) -> None:
        """Open the list of builds below the name."""
        name = self._targets.top.name
        self.builds.popup(name.mapToGlobal(QPoint(0, name.height())))

    def open_main(self) -> None:
        """Open the menu with everything."""
        button = self._targets.top.menu
        width = self.main.sizeHint().width()
        self.main.popup(button.mapToGlobal(QPoint(button.width() - width, button.height())))
