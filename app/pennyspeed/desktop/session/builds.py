"""The builds of the file: shown, changed, made and deleted, each change as an undo step."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING
from zlib import crc32

from PySide6.QtCore import QObject, Signal
from PySide6.QtGui import QUndoCommand

from pennyspeed.desktop.session.bench import Bench
from pennyspeed.desktop.session.catalogue import Catalogue, reversed_changes
from pennyspeed.desktop.session.file import OpenFile
from pennyspeed.desktop.session.messages import Messages
from pennyspeed.desktop.session.undo_stack import UndoStack, UndoStep
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import EXTRAS
from pennyspeed.domain.names import free_name
from pennyspeed.domain.parts.parts import Part, is_same
from pennyspeed.services.money.questions import with_kind_counted
from pennyspeed.services.shelf.swaps import swap_of

if TYPE_CHECKING:
    from pennyspeed.services.catalogue import PartChange


class Builds(QObject):
    """The builds of the file. A change is stored, predicted and shown in one call.

    Signals
    -------
    list_changed()
        A build was made, renamed or deleted.
    first_build_wanted()
        A build is to be made, and nobody has chosen units and currency in this file yet.
    currency_wanted(Money or None)
        The build's currency is to be changed; comes with the cap that was typed in another one.
    """

    list_changed = Signal()
    first_build_wanted = Signal()
    currency_wanted = Signal(object)

    def __init__(
        self,
        file: OpenFile,
        bench: Bench,
        catalogue: Catalogue,
        undo_stack: UndoStack,
        messages: Messages,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(parent)
        self._file, self._bench, self._catalogue = file, bench, catalogue
        self._undo_stack, self._messages = undo_stack, messages
        self._entries: list[tuple[int, str]] | None = None
        file.replaced.connect(self._forget)

    # Reading ----------------------------------------------------------------------------------

    def entries(self) -> list[tuple[int, str]]:
        """Return id and name of every build, the one changed last first."""
        if self._entries is None:
            with self._messages.reporting():
                self._entries = [
                    (entry.id, entry.name) for entry in self._file.workshop.builds.entries()
                ]
        return self._entries or []

    def preload(self, entries: Sequence[tuple[int, str]]) -> None:
        """Keep a list of builds that was read ahead of opening the file."""
        self._entries = list(entries)

    def read_anew(self) -> None:
        """Have the list of builds read again, as it has changed."""
        self._forget()
        self.list_changed.emit()

    def free_name(self, name: str) -> str:
        """Return `name`, with a number behind it where another build has it already."""
        return free_name(name, {one for _, one in self.entries()})

    def choose(self, build_id: int) -> None:
        """Show another build."""
        with self._messages.reporting():
            self._bench.show(self._file.workshop.builds.get(build_id))

    # Changing ---------------------------------------------------------------------------------

    def change(self, after: Build, did: str, undid: str, merge: str = "") -> bool:
        """Store `after` in place of the build shown, predict it, show it; one undo step.

        Neighbours with the same `merge` become one step: a stepped value is one change.
        Returns False where it could not be stored; then nothing has changed.
        """
        before = self._bench.build
        with self._messages.reporting() as report:
            stored = self._file.workshop.builds.save(after)
            self.record(before, stored, did, undid, merge=merge)
            self._show(before, stored)
            self._messages.said.emit(did)
        return report.succeeded

    def take_care(self) -> bool:
        """Have the driver of the build shown react in time and keep some road in reserve."""
        build = self._bench.build
        if build is None:
            return False
        after = build.with_careful_driver()
        return after == build or self.change(
            after, "a reaction time and a reserve set", "reaction time and reserve as before"
        )

    def put_in(self, *parts: Part) -> bool:
        """Put parts into their slots as one step; an extra comes beside the others."""
        build = self._bench.build
        swap = None if build is None else swap_of(build, parts)
        return swap is not None and self.change(swap.build, swap.done, swap.undone)

    def take_out(self, slot: str, part: Part | None = None) -> bool:
        """Empty a slot; of the extras, take out the one given or the last."""
        build = self._bench.build
        if build is None:
            return False
        if slot == EXTRAS.key:
            places = [i for i, one in enumerate(build.extras) if part is None or is_same(one, part)]
            if not places:
                return False
            gone = build.extras[places[-1]]
            after = build.without_extra(places[-1])
        else:
            found = build.part(slot)
            if found is None:
                return False
            gone, after = found, build.without_part(slot)
        return self.change(after, f"took out {gone.name}", f"put back {gone.name}")

    @property
    def is_first(self) -> bool:
        """Whether the next build is the first of a person's own, before a currency was chosen."""
        with self._messages.reporting():
            workshop = self._file.workshop
            return workshop.settings.currency() is None and workshop.builds.are_demo()
        return False

    def choose_counting(self, kind_key: str, counts: bool) -> None:
        """Say for the whole file whether a kind of parts counts toward the cap, as one step."""
        before = self._bench.build
        if before is None:
            return
        chosen = {**before.counted_kinds, kind_key: counts}
        made = with_kind_counted(before, kind_key, counts)
        with self._messages.reporting():
            self._file.workshop.settings.note_counted_kinds(chosen)
            stored = self._file.workshop.builds.save(made.after)
            step = ChooseCounting(self, self._catalogue, before, stored, made.did, made.undid)
            self._undo_stack.push(step)
            self._show(before, stored)
            self._messages.said.emit(made.did)

    def note_counting(self, build: Build | None) -> None:
        """Have the file's kinds count as they did when it held a build so."""
        if build is not None:
            with self._messages.reporting():
                self._file.workshop.settings.note_counted_kinds(build.counted_kinds)

    def create(self, name: str) -> None:
        """Make an empty build and show it."""
        with self._messages.reporting():
            made = self._file.workshop.builds.create(name)
            self.add(made, f"made {name}", f"removed {name}")
            self._messages.said.emit(f"made {name}")

    def copy(self, name: str) -> None:
        """Copy the build shown under another name and show the copy."""
        if self._bench.build is not None:
            with self._messages.reporting():
                made = self._file.workshop.builds.copy(self._bench.build, name)
                self.add(made, f"copied to {name}", f"removed {name}")
                self._messages.said.emit(f"copied to {name}")

    def rename(self, name: str) -> bool:
        """Give the build shown another name."""
        build = self._bench.build
        if build is None:
            return False
        after = replace(build, name=name)
        return self.change(after, f"renamed {build.name}", f"named it {build.name}")

    def delete(self) -> None:
        """Delete the build shown; undo brings it back."""
        build = self._bench.build
        if build is None or build.id is None:
            return
        with self._messages.reporting():
            gone = self._file.workshop.builds.delete(build.id)
            did = f"deleted {gone.name}"
            self.record(gone, None, did, f"brought back {gone.name}")
            self._show_another(did)

    # Changes that are stored ------------------------------------------------------------------

    def add(self, build: Build, did: str, undid: str, changes: Sequence[PartChange] = ()) -> None:
        """Make a build that was stored just now an undo step, and show it.

        `changes` are those of the catalogue that came with it.
        """
        self.record(None, build, did, undid, changes)
        self._show(None, build)

    def record(
        self,
        before: Build | None,
        after: Build | None,
        did: str,
        undid: str,
        changes: Sequence[PartChange] = (),
        merge: str = "",
    ) -> None:
        """Make a stored change of a build, and of the catalogue with it, an undo step."""
        step = ReplaceBuild(self, self._catalogue, before, after, did, undid, changes, merge)
        self._undo_stack.push(step)

    def swap(self, gone: Build | None, back: Build | None, words: str, step: UndoStep) -> bool:
        """Store one build in place of another, as an undo step does; None stands for no build.

        Returns False where it could not be stored; then nothing has changed, and `step` stays
        where it was.
        """
        with self._messages.reporting() as report:
            if back is not None:
                # Read anew: parts of the catalogue may have been edited since.
                stored = self._file.workshop.builds.get(
                    self._file.workshop.builds.save(back).id or 0
                )
                self._show(gone, stored)
                self._messages.said.emit(words)
            elif gone is not None:
                workshop = self._file.workshop
                workshop.builds.delete(workshop.builds.named(gone.code).id or 0)
                self._show_another(words)
        if not report.succeeded:
            self._undo_stack.refuse(step)
        return report.succeeded

    def _show(self, before: Build | None, after: Build) -> None:
        if before is None or before.name != after.name or before.id != after.id:
            self.read_anew()
        self._bench.show(after)

    def _show_another(self, words: str) -> None:
        """Show the build changed last in place of one that was deleted."""
        self.read_anew()
        entries = self.entries()
        self._bench.show(self._file.workshop.builds.get(entries[0][0]) if entries else None)
        self._messages.said.emit(words)

    def _forget(self) -> None:
        self._entries = None


class ReplaceBuild(UndoStep):
    """One build in place of another; None stands for a build that is not there.

    Parameters
    ----------
    changes : sequence of PartChange
        What came into the catalogue along with the build.
    merge : str
        Neighbours with the same word here become one step.
    """

    def __init__(
        self,
        builds: Builds,
        catalogue: Catalogue,
        before: Build | None,
        after: Build | None,
        did: str,
        undid: str,
        changes: Sequence[PartChange] = (),
        merge: str = "",
    ) -> None:
        super().__init__(did, undid)
        self._builds, self._catalogue = builds, catalogue
        self._changes = tuple(changes)
        self._merge = merge
        self.before, self.after = before, after

    def id(self) -> int:
        return crc32(self._merge.encode()) & 0x7FFFFFFF if self._merge else -1

    def mergeWith(self, other: QUndoCommand) -> bool:
        if not isinstance(other, ReplaceBuild) or other._merge != self._merge:
            return False
        if self.after is None or other.before is None or self.after.id != other.before.id:
            return False  # the same value of two builds is two changes
        self.after, self.did = other.after, other.did
        self.setText(other.did)
        return True

    def apply(self) -> None:
        """Show the build after the change."""
        if self._changes:
            self._catalogue.revert(reversed_changes(self._changes))
        self._builds.swap(self.before, self.after, self.did, self)

    def revert(self) -> None:
        """Show the build before the change."""
        if self._builds.swap(self.after, self.before, self.undid, self) and self._changes:
            self._catalogue.revert(self._changes)


class ChooseCounting(ReplaceBuild):
    """A kind of parts that counts toward the cap, or no longer, with its lines in the build."""

    def apply(self) -> None:
        self._builds.note_counting(self.after)
        super().apply()

    def revert(self) -> None:
        self._builds.note_counting(self.before)
        super().revert()
