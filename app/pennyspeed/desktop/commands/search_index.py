"""Search index: everything that the find line finds – builds, fields, slots, actions and parts."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu

from pennyspeed.desktop.commands.actions import SHOWING
from pennyspeed.desktop.home_page import HomePage
from pennyspeed.desktop.session import Session
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.editing.build_fields import items
from pennyspeed.services.search import SearchEntry

BUILD, FIELD, SLOT, DO, PART = range(5)
"""Among equals builds come first, then what is typed about them, slots, actions and parts."""

NATIVE = QKeySequence.SequenceFormat.NativeText


def listed(menu: QMenu, title: str = "") -> Iterator[tuple[str, QAction]]:
    """Yield every action below a menu with the title of the menu that it stands in."""
    for action in menu.actions():
        below = action.menu()
        if isinstance(below, QMenu):
            yield from listed(below, below.title())
        elif not action.isSeparator():
            yield title, action


def words_of(title: str, action: QAction) -> str:
    """Return what an action does, in words that stand without its menu.

    A choice among several says what is chosen: "Units: mph".
    """
    text = action.text().replace("&&", "&").removesuffix("…")
    return f"{title}: {text}" if action.actionGroup() is not None else text


Kept = tuple[list[Part], Measures, list[SearchEntry]]
"""Parts of one kind, the measures they were written in, and what they are found by."""


class SearchIndex(QObject):
    """Gathers what can be found; what did not change is kept from one time to the next.

    Parameters
    ----------
    home : HomePage
        Where slots and parts are shown.
    go_to_field : callable
        Goes to what is typed about the build, by its key.
    main : QMenu
        The menu with everything that can be done.

    Signals
    -------
    fetched()
        The parts of every kind are among what can be found.
    """

    fetched = Signal()

    def __init__(
        self,
        session: Session,
        home: HomePage,
        go_to_field: Callable[[str], object],
        main: QMenu,
        parent: QObject,
    ) -> None:
        super().__init__(parent)
        self._go_to_field = go_to_field
        self._session, self._home, self._main = session, home, main
        self._parts: dict[str, Kept] = {}

    def gather(self) -> list[SearchEntry]:
        """Return everything that can be found at once, and send for the parts that are missing."""
        found = [*self._builds(), *self._fields(), *self._slots(), *self._actions()]
        missing = False
        session = self._session
        at_hand, measures = session.catalogue.loaded_parts(), session.bench.measures
        for kind in KINDS:
            kept = self._parts.get(kind.key)
            if kept is None or kept[0] is not at_hand.get(kind.key) or kept[1] != measures:
                missing = True
            else:
                found += kept[2]
        if missing and session.file.is_open:
            self._fetch(at_hand, measures)
        return found

    def _fetch(self, at_hand: dict[str, list[Part]], measures: Measures) -> None:
        """Read and write out the parts in a thread: thousands take longer than a frame."""
        session = self._session
        before = dict(self._parts)

        def work() -> dict[str, Kept]:
            made = {}
            for kind in KINDS:
                kept = before.get(kind.key)
                parts = at_hand.get(kind.key)
                if parts is None:
                    parts = session.file.workshop.catalogue.parts(kind.key)
                if kept is None or kept[0] is not parts or kept[1] != measures:
                    entries = [self._part_entry(part, kind.label, measures) for part in parts]
                    kept = parts, measures, entries
                made[kind.key] = kept
            return made

        session.jobs.submit(work, partial(self._keep, session.catalogue.version))

    def _keep(self, version: int, made: dict[str, Kept]) -> None:
        parts = {key: kept[0] for key, kept in made.items()}
        if self._session.catalogue.add_loaded(version, parts):
            self._parts = made
            self.fetched.emit()

    def _builds(self) -> list[SearchEntry]:
        session = self._session
        shown = session.bench.build.id if session.bench.build is not None else None
        codes = {}
        if session.file.is_open:
            codes = {entry.id: entry.code for entry in session.file.workshop.builds.entries()}
        return [
            SearchEntry(
                "build",
                name,
                "on the bench" if build_id == shown else "",
                partial(session.builds.choose, build_id),
                rank=BUILD,
                more=codes.get(build_id, ""),
            )
            for build_id, name in session.builds.entries()
        ]

    def _fields(self) -> list[SearchEntry]:
        build, measures = self._session.bench.build, self._session.bench.measures
        if build is None:
            return []
        found = []
        for item in items():
            go = partial(self._go_to_field, item.key)
            shown = item.show(build, measures)
            found.append(SearchEntry("field", item.label, shown, go, rank=FIELD))
        return found

    def _slots(self) -> list[SearchEntry]:
        build = self._session.bench.build
        found = []
        for kind in KINDS:
            part = build.part(kind.key) if build is not None and not kind.many else None
            name = f"{kind.plural[0].upper()}{kind.plural[1:]} that could go in"
            note = f"now {part.name}" if part is not None else ""
            go = partial(self._home.go_to_slot, kind.key)
            found.append(SearchEntry("shelf", name, note, go, kind.key, rank=SLOT))
        return found

    def _actions(self) -> list[SearchEntry]:
        found = []
        for title, action in listed(self._main):
            if not action.isEnabled():
                continue
            keys = action.shortcut().toString(NATIVE)
            holds = "chosen" if action.isCheckable() and action.isChecked() else ""
            note = ", ".join(filter(None, (holds, keys)))
            name, group = words_of(title, action), title.casefold()
            is_deed = action.data() not in SHOWING
            found.append(SearchEntry(group, name, note, action.trigger, "", DO, "do", is_deed))
        return found

    def _part_entry(self, part: Part, label: str, measures: Measures) -> SearchEntry:
        price = measures.money(part.price.amount) if part.price is not None else "no price"
        go = partial(self._home.go_to_part, part)
        return SearchEntry(label, part.name, price, go, part.kind_key, PART)
