"""Context menus: what can be done with the thing under the pointer, with the keys that do it too.

Each entry calls what its key calls. To add one: a line in the method of its place.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from PySide6.QtCore import QEvent, QObject, QPoint
from PySide6.QtGui import QAction, QContextMenuEvent, QGuiApplication
from PySide6.QtWidgets import QAbstractItemView, QMenu, QWidget

from pennyspeed.desktop.commands.targets import Targets
from pennyspeed.desktop.parts import MADE_KINDS
from pennyspeed.desktop.widgets.menu_style import dress
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.parts.parts import Part


@dataclass(frozen=True, slots=True)
class MenuEntry:
    """One entry.

    Attributes
    ----------
    text, keys : str
        What it does, and the key that does the same in that place.
    holds : bool or None
        Whether a choice holds; None where it is none.
    """

    text: str
    keys: str
    act: Callable[[], object]
    holds: bool | None = None


MenuEntries = list[MenuEntry | str]
"""Entries; a string is the key of one of the window's actions, "" a line between."""


class ContextMenus(QObject):
    """Opens a menu where the right button, or the menu key, asks for one.

    Parameters
    ----------
    actions : dict of QAction
        The window's, by their keys.
    """

    def __init__(self, targets: Targets, actions: dict[str, QAction]) -> None:
        super().__init__(targets.window)
        self._targets, self._actions = targets, actions
        self._session, self._home, self._parts = targets.session, targets.home, targets.parts
        self._shelf, self._slots = targets.home.shelf, targets.slots.view
        self._checks, self._columns = targets.verdict.checks, targets.columns
        self.menu: QMenu | None = None
        shelf, header = self._shelf.table, self._shelf.table.horizontalHeader()
        self._places: dict[QObject, Callable[[QPoint, bool], MenuEntries]] = {}
        for view, entries in (
            (self._slots, self._of_slot),
            (shelf, self._of_part),
            (header, self._of_columns),
            (self._checks, self._of_check),
        ):
            # The pointer's event comes to the viewport, the menu key's to the view.
            for place in (view.viewport(), view):
                self._places[place] = entries
                place.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() != QEvent.Type.ContextMenu or watched not in self._places:
            return False
        assert isinstance(event, QContextMenuEvent)
        assert isinstance(watched, QWidget)
        by_pointer = event.reason() == QContextMenuEvent.Reason.Mouse
        entries = self._places[watched](event.pos(), by_pointer)
        at = event.globalPos() if by_pointer else self._below(watched)
        self.open(entries, at)
        event.accept()
        return True

    def open(self, entries: MenuEntries, at: QPoint) -> QMenu:
        """Open a menu of these entries."""
        if self.menu is not None:
            self.menu.deleteLater()
        menu = self.menu = QMenu(self._targets.window)
        dress(menu)
        for entry in entries:
            if isinstance(entry, MenuEntry):
                text = entry.text.replace("&", "&&")
                action = menu.addAction(f"{text}\t{entry.keys}" if entry.keys else text)
                action.triggered.connect(lambda _=False, act=entry.act: act())
                if entry.holds is not None:
                    action.setCheckable(True)
                    action.setChecked(entry.holds)
            elif entry:
                menu.addAction(self._actions[entry])
            else:
                menu.addSeparator()
        menu.popup(at)
        return menu

    @staticmethod
    def _below(watched: QWidget) -> QPoint:
        view = watched if isinstance(watched, QAbstractItemView) else watched.parentWidget()
        if isinstance(view, QAbstractItemView) and view.currentIndex().isValid():
            here = view.visualRect(view.currentIndex())
            return view.viewport().mapToGlobal(QPoint(here.x() + here.height(), here.bottom()))
        return watched.mapToGlobal(watched.rect().center())

    def open_columns(self) -> None:
        """Open the menu of the shelf's columns below their titles."""
        header = self._shelf.table.horizontalHeader()
        at = header.mapToGlobal(QPoint(0, header.height()))
        self.open(self._of_columns(QPoint(), False), at)

    # Places ---------------------------------------------------------------------------------

    def _of_slot(self, at: QPoint, by_pointer: bool) -> MenuEntries:
        session, view, editing = self._session, self._slots, self._parts
        if by_pointer:
            index = view.indexAt(at)
            if index.isValid():
                view.setCurrentIndex(index)
        kind, build = BY_KEY[session.bench.slot], session.bench.build
        entries: MenuEntries = [
            MenuEntry(f"Show the {kind.plural}", "Enter", self._home.go_to_shelf)
        ]
        parts: list[Part] = []
        if build is not None:
            part = None if kind.many else build.part(kind.key)
            parts = list(build.extras) if kind.many else [part] if part is not None else []
        if parts:
            last = parts[-1]
            entries.append(MenuEntry(f"Edit {last.name}…", "F2", editing.edit_slot))
            take_out = partial(session.builds.take_out, kind.key)
            entries.append(MenuEntry(f"Take out {last.name}", "Del", take_out))
            entries.append("offers")
            if kind.key in MADE_KINDS:
                entries.append("recipe")
        return [*entries, "", "new_part", "narrow"]

    def _of_part(self, at: QPoint, by_pointer: bool) -> MenuEntries:
        shelf, table, editing = self._shelf, self._shelf.table, self._parts
        column = ""
        if by_pointer:
            index = table.indexAt(at)
            if index.isValid():
                table.setCurrentIndex(index)
                column = shelf.rows.columns[index.column()].key
        row, part = table.currentIndex().row(), shelf.part_here()
        if part is None:
            return ["new_part", "bring"]
        entries: MenuEntries = [
            MenuEntry(f"Put in {part.name}", "Enter", lambda: table.put_in.emit(row))
        ]
        if shelf.rows.count_in(row):
            out = MenuEntry(f"Take out {part.name}", "Del", lambda: table.taken_out.emit(row))
            entries.append(out)
        words = "Hold the car with it beside"
        held = MenuEntry(words, "Space", lambda: table.hold_wanted.emit(row))
        entries += [held, ""]
        figures = {field.key: field.label for field in part.kind.fields}
        if column in figures:
            text = f"Edit its {figures[column]}…"
            entries.append(MenuEntry(text, "", lambda: editing.edit_part(part, column)))
            entries.append(MenuEntry("Edit it in its row", "F3", editing.edit_figure))
        entries.append(MenuEntry(f"Edit {part.name}…", "F2", lambda: editing.edit_part(part)))
        if part.kind_key in MADE_KINDS:
            entries.append(MenuEntry("How it is made…", "", partial(editing.edit_recipe, part)))
        words = "Fetch it back" if part.archived else "Put it away (archive)"
        archive = self._session.catalogue.archive_part
        entries.append(MenuEntry(words, "", lambda: archive(part, not part.archived)))
        return [*entries, "", "new_part", "archived", "narrow", "columns"]

    def _of_columns(self, at: QPoint, by_pointer: bool) -> MenuEntries:
        table, columns = self._shelf.table, self._shelf.rows.columns
        column = table.horizontalHeader().logicalIndexAt(at) if by_pointer else -1
        entries: MenuEntries = []
        if 0 <= column < len(columns):
            title = columns[column].title
            order = self._shelf.model.sorted_by[1]
            entries.append(MenuEntry(f"Sort by {title}", "", lambda: table.sort_by(column, order)))
        entries += ["sort", "turn", ""]
        choices = self._columns
        for i, one in enumerate(columns):
            if choices.can_hide(i):
                turn = partial(choices.turn, one.key)
                entries.append(MenuEntry(f"Show {one.title}", "", turn, not choices.hides(one.key)))
        return [*entries, "", MenuEntry("Show all columns", "", choices.show_all)]

    def _of_check(self, at: QPoint, by_pointer: bool) -> MenuEntries:
        checks = self._checks
        if by_pointer and checks.indexAt(at).isValid():
            checks.setCurrentIndex(checks.indexAt(at))
        row = checks.currentIndex().row()
        shown = self._targets.verdict.model.shown
        if not 0 <= row < len(shown):
            return ["keys"]
        check = shown[row]
        entries: MenuEntries = []
        if check.slots:
            text = f"Go to the {BY_KEY[check.slots[0]].label}"
            entries.append(
                MenuEntry(text, "Enter", lambda: checks.slot_wanted.emit(check.slots[0]))
            )
            label = f"Show the {BY_KEY[check.slots[0]].plural} that could go in"
            entries.append(MenuEntry(label, "", lambda: self._home.go_to_slot(check.slots[0])))
        words = f"{check.text} {check.advice}".strip()
        clipboard = QGuiApplication.clipboard()
        entries.append(MenuEntry("Copy the sentence", "", lambda: clipboard.setText(words)))
        return entries
