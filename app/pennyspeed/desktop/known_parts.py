"""Known parts: the catalogue as it was read, and every change of it that can be undone."""

from __future__ import annotations

from bisect import insort
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from pennyspeed.desktop.on_bench import OnBench
from pennyspeed.desktop.undoing import ChangeParts, Step, words_of
from pennyspeed.domain.errors import InUse, UserError
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part

if TYPE_CHECKING:
    from pennyspeed.services.catalogue import PartChange
    from pennyspeed.services.workshop import Workshop

AT_ONCE = 100
"""Changes of parts that are taken back while the window waits; more go to a thread."""
PartLists = dict[tuple[str, bool], list[Part]]
"""Parts by their kind and whether archived ones are among them."""


class KnownParts(OnBench):
    """The catalogue's lists of parts; the build shown follows their changes.

    Signals
    -------
    parts_changed(str)
        The catalogue of that kind changed.
    """

    parts_changed = Signal(str)

    def __init__(
        self,
        open_workshop: Callable[[], Workshop],
        measures: Measures | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(open_workshop, measures, parent)
        self._parts: PartLists = {}
        self._catalogue_state = 0

    def parts(self, kind_key: str, archived: bool = False) -> list[Part]:
        """Return the catalogue's parts of a kind, archived ones too where asked."""
        key = (kind_key, archived)
        if key not in self._parts:
            self._parts[key] = self.workshop.parts(kind_key, archived=archived)
        return self._parts[key]

    def has_parts(self, kind_key: str, archived: bool) -> bool:
        """Tell whether :meth:`parts` would answer without opening the file."""
        return self.is_open or (kind_key, archived) in self._parts

    @property
    def catalogue_state(self) -> int:
        """Another number whenever the catalogue has changed."""
        return self._catalogue_state

    def parts_at_hand(self) -> dict[str, list[Part]]:
        """Return the parts that have been read already, by kind, without the archived ones."""
        return {key: parts for (key, archived), parts in self._parts.items() if not archived}

    def keep_parts(self, state: int, parts: dict[str, list[Part]]) -> bool:
        """Take parts that were read elsewhere while the catalogue stood at `state`, or refuse."""
        if self._is_closed or state != self._catalogue_state:
            return False
        for key, those in parts.items():
            self._parts.setdefault((key, False), those)
        return True

    def _wanted_parts(self) -> list[tuple[str, bool]]:
        """Return which parts are shown, to be read ahead in a thread."""
        return [key for key in self._parts if key[0] == self.slot] or [(self.slot, False)]

    def _forget_parts(self) -> None:
        self._parts.clear()
        self._catalogue_state += 1

    # Changing ---------------------------------------------------------------------------------

    def save_part(self, part: Part) -> Part:
        """Store a part; builds that hold it follow. UserError where that is refused."""
        change = self.workshop.change_part(part)
        self._changed(change)
        assert change.after.part is not None
        return change.after.part

    def archive_part(self, part: Part, archived: bool) -> None:
        """Archive a part, or fetch it back."""
        assert part.id is not None
        self._changed(self.workshop.archive_part(part.id, archived))

    def delete_part(self, part: Part) -> None:
        """Delete a part; InUse where builds hold it."""
        assert part.id is not None
        self._changed(self.workshop.delete_part(part.id))

    def _changed(self, change: PartChange) -> None:
        if change.before != change.after:
            self.note_change(change, *words_of(change, self.measures))

    def note_change(self, change: PartChange, did: str, undid: str) -> None:
        """Make a stored change of one part an undo step, and let what is shown follow it."""
        self.undo_stack.push(ChangeParts(self, (change,), did, undid))
        self.follow((change,))
        self.said.emit(did)

    def take_back(
        self, changes: Sequence[PartChange], words: str = "", step: Step | None = None
    ) -> None:
        """Take changes of the catalogue back, all or none; many of them in a thread.

        Without `words` nothing is said, nor that parts stay because builds hold them by now.
        `step` is whose changes they are: refused, it stays where it was.
        """

        def work() -> UserError | None:
            try:
                self.workshop.turn_back(changes)
            except UserError as error:
                return error
            return None

        def then(trouble: object) -> None:
            if self._is_closed:
                return
            if trouble is None:
                self.follow([change.reversed() for change in changes])
                if words:
                    self.said.emit(words)
                return
            if step is not None:
                self.undo_stack.refuse(step)
            if words or not isinstance(trouble, InUse):
                self.troubled.emit(str(trouble))

        if len(changes) > AT_ONCE or self.errands.is_busy:
            self.errands.ask(work, then)
        else:
            then(work())

    def follow(self, changes: Sequence[PartChange]) -> None:
        """Let the lists of parts and the build shown follow changes of the catalogue."""
        if not changes:
            return
        self._catalogue_state += 1
        for key, parts in self._parts.items():
            self._parts[key] = _renewed(parts, key, changes)
        if self.build is not None and self.build.id is not None:
            fresh = self.workshop.build(self.build.id)
            if fresh != self.build:
                self._show(fresh)
        for kind_key in dict.fromkeys(change.kind_key for change in changes):
            self.parts_changed.emit(kind_key)


def _renewed(parts: list[Part], key: tuple[str, bool], changes: Sequence[PartChange]) -> list[Part]:
    """Return a list of parts after changes: reading thousands anew takes longer than a frame."""
    kind_key, archived = key
    changed = {one.after.id: one.after.part for one in changes if one.kind_key == kind_key}
    if not changed:
        return parts
    found = [part for part in parts if part.id not in changed]
    back = [one for one in changed.values() if one and (archived or not one.archived)]
    if len(back) > AT_ONCE:
        return sorted(found + back, key=_order)
    for one in back:
        insort(found, one, key=_order)
    return found


def _order(part: Part) -> tuple[str, int | None]:
    return part.name.casefold(), part.id
