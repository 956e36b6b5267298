"""The catalogue: its parts as they were read, and every change of them as an undo step."""

from __future__ import annotations

from bisect import insort
from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from pennyspeed.desktop.session.bench import Bench
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.jobs import JobQueue
from pennyspeed.desktop.session.messages import Messages
from pennyspeed.desktop.session.step_words import words_of
from pennyspeed.desktop.session.undo_stack import UndoStack, UndoStep
from pennyspeed.domain.errors import InUse, UserError
from pennyspeed.domain.parts.parts import Part

if TYPE_CHECKING:
    from pennyspeed.services.catalogue import PartChange
    from pennyspeed.services.workshop import Workshop

AT_ONCE = 100
"""Changes of parts that are taken back while the window waits; more go to a thread."""
PartLists = dict[tuple[str, bool], list[Part]]
"""Parts by their kind and whether archived ones are among them."""


class Catalogue(QObject):
    """The catalogue's lists of parts; the bench follows their changes.

    Signals
    -------
    parts_changed(str)
        The catalogue of that kind changed.
    """

    parts_changed = Signal(str)

    def __init__(
        self,
        file: OpenFile,
        bench: Bench,
        undo_stack: UndoStack,
        messages: Messages,
        jobs: JobQueue,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._file, self._bench, self._undo_stack = file, bench, undo_stack
        self._messages, self._jobs = messages, jobs
        self._lists: PartLists = {}
        self._lists_ahead: PartLists = {}
        self.version = 0
        """Another number whenever the catalogue has changed."""
        file.read_ahead(self._read_ahead)

    # Reading ----------------------------------------------------------------------------------

    def parts(self, kind_key: str, archived: bool = False) -> list[Part]:
        """Return the parts of a kind, archived ones too where asked."""
        key = (kind_key, archived)
        if key not in self._lists:
            self._lists[key] = self._file.workshop.catalogue.parts(kind_key, archived=archived)
        return self._lists[key]

    def has_parts(self, kind_key: str, archived: bool) -> bool:
        """Tell whether :meth:`parts` would answer without opening the file."""
        return self._file.is_open or (kind_key, archived) in self._lists

    def loaded_parts(self) -> dict[str, list[Part]]:
        """Return the parts that have been read already, by kind, without the archived ones."""
        return {key: parts for (key, archived), parts in self._lists.items() if not archived}

    def add_loaded(self, version: int, parts: dict[str, list[Part]]) -> bool:
        """Keep parts that were read elsewhere; False where the catalogue has changed since."""
        if self._file.is_closed or version != self.version:
            return False
        for key, those in parts.items():
            self._lists.setdefault((key, False), those)
        return True

    def preload(self, parts: Sequence[Part]) -> None:
        """Keep all parts of one kind that were read ahead of opening the file."""
        if parts:
            self._lists[parts[0].kind_key, False] = list(parts)

    def forget(self) -> None:
        """Drop what was read, as the file has changed or is another one."""
        self._lists, self._lists_ahead = self._lists_ahead, {}
        self.version += 1

    def _read_ahead(self, workshop: Workshop) -> None:
        """Read what is shown, in a thread: thousands of parts take longer than a frame."""
        slot = self._bench.slot
        shown = [key for key in list(self._lists) if key[0] == slot] or [(slot, False)]
        self._lists_ahead = {
            key: workshop.catalogue.parts(key[0], archived=key[1]) for key in shown
        }

    # Changing ---------------------------------------------------------------------------------

    def save_part(self, part: Part) -> Part:
        """Store a part; builds that hold it follow. UserError where that is refused."""
        change = self._file.workshop.catalogue.change_part(part)
        self._changed(change)
        assert change.after.part is not None
        return change.after.part

    def archive_part(self, part: Part, archived: bool) -> None:
        """Archive a part, or fetch it back."""
        assert part.id is not None
        self._changed(self._file.workshop.catalogue.archive_part(part.id, archived))

    def delete_part(self, part: Part) -> None:
        """Delete a part; InUse where builds hold it."""
        assert part.id is not None
        self._changed(self._file.workshop.catalogue.delete_part(part.id))

    def _changed(self, change: PartChange) -> None:
        if change.before != change.after:
            did, undid = words_of(change, self._bench.measures)
            self.record((change,), did, undid)
            self._messages.said.emit(did)

    def record(self, changes: Sequence[PartChange], did: str, undid: str) -> None:
        """Make stored changes an undo step, and have what is shown follow them."""
        self._undo_stack.push(ChangeParts(self, changes, did, undid))
        self.follow(changes)

    def revert(
        self, changes: Sequence[PartChange], words: str = "", step: UndoStep | None = None
    ) -> None:
        """Take changes of the catalogue back, all or none; many of them in a thread.

        Without `words` nothing is said, nor that parts stay because builds hold them by now.
        `step` is whose changes they are: refused, it stays where it was.
        """

        def work() -> None:
            self._file.workshop.catalogue.turn_back(changes)

        def then(_: None) -> None:
            if self._file.is_closed:
                return
            self.follow([change.reversed() for change in changes])
            if words:
                self._messages.said.emit(words)

        def failed(error: UserError) -> None:
            if self._file.is_closed:
                return
            if step is not None:
                self._undo_stack.refuse(step)
            if words or not isinstance(error, InUse):
                self._messages.report(error)

        if len(changes) > AT_ONCE or self._jobs.is_busy:
            self._jobs.submit(work, then, failed)
            return
        try:
            work()
        except UserError as error:
            failed(error)
        else:
            then(None)

    def follow(self, changes: Sequence[PartChange]) -> None:
        """Let the lists of parts and the build shown follow stored changes."""
        if not changes:
            return
        self.version += 1
        for key, parts in self._lists.items():
            self._lists[key] = _renewed(parts, key, changes)
        self._bench.read_anew()
        for kind_key in dict.fromkeys(change.kind_key for change in changes):
            self.parts_changed.emit(kind_key)


class ChangeParts(UndoStep):
    """Parts of the catalogue after a change in place of what they were before."""

    def __init__(
        self, catalogue: Catalogue, changes: Sequence[PartChange], did: str, undid: str
    ) -> None:
        super().__init__(did, undid)
        self._catalogue = catalogue
        self._changes = tuple(changes)

    def apply(self) -> None:
        """Make the changes once more."""
        self._catalogue.revert(reversed_changes(self._changes), self.did, self)

    def revert(self) -> None:
        """Take the changes back."""
        self._catalogue.revert(self._changes, self.undid, self)


def reversed_changes(changes: Sequence[PartChange]) -> tuple[PartChange, ...]:
    """Return what takes changes back: the last one first, each the other way round."""
    return tuple(change.reversed() for change in reversed(changes))


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
