"""Changing: builds swapped, made, renamed and deleted, each as one step that can be undone."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from pennyspeed.desktop.known_parts import KnownParts
from pennyspeed.desktop.undoing import ReplaceBuild
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import EXTRAS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.names import free_name
from pennyspeed.domain.parts.parts import Part, is_same

if TYPE_CHECKING:
    from pennyspeed.services.catalogue import PartChange
    from pennyspeed.services.workshop import Workshop


class Changing(KnownParts):
    """The builds of the file. A change is stored, predicted and shown in one call.

    Signals
    -------
    builds_changed()
        A build was made, renamed or deleted.
    """

    builds_changed = Signal()

    def __init__(
        self,
        open_workshop: Callable[[], Workshop],
        measures: Measures | None = None,
        parent: QObject | None = None,
    ) -> None:
        super().__init__(open_workshop, measures, parent)
        self._entries: list[tuple[int, str]] | None = None

    def builds(self) -> list[tuple[int, str]]:
        """Return id and name of every build, the one changed last first."""
        if self._entries is None:
            with self.telling():
                self._entries = [(entry.id, entry.name) for entry in self.workshop.builds()]
        return self._entries or []

    def free_name(self, name: str) -> str:
        """Return `name`, with a number behind it where another build has it already."""
        return free_name(name, {one for _, one in self.builds()})

    def choose_build(self, build_id: int) -> None:
        """Show another build."""
        with self.telling():
            self._show(self.workshop.build(build_id))

    # Changing ---------------------------------------------------------------------------------

    def change(self, after: Build, did: str, undid: str, merge: str = "") -> bool:
        """Store `after` in place of the build shown, predict it, show it; one undo step.

        Returns False where it could not be stored; then nothing has changed.
        """
        before = self.build
        with self.telling() as telling:
            stored = self.workshop.save(after)
            self.undo_stack.push(ReplaceBuild(self, before, stored, did, undid, merge))
            self._renew_entries(before, stored)
            self._show(stored)
            self.said.emit(did)
        return telling.went_well

    def put_in(self, part: Part) -> bool:
        """Put a part into its slot; an extra comes beside the others."""
        if self.build is None:
            return False
        old = self.build.part(part.kind_key)
        if part.kind.many:
            undid = f"took {part.name} out again"
        elif old is None:
            undid = f"emptied the {part.kind.label} slot"
        else:
            if is_same(old, part):
                return False
            undid = f"put back {old.name}"
        return self.change(self.build.with_part(part), f"put in {part.name}", undid)

    def take_out(self, slot: str, part: Part | None = None) -> bool:
        """Empty a slot; of the extras, take out the one given or the last."""
        build = self.build
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

    def create(self, name: str) -> None:
        """Make an empty build and show it."""
        with self.telling():
            self._came(self.workshop.create(name), f"made {name}", f"removed {name}")

    def copy(self, name: str) -> None:
        """Copy the build shown under another name and show the copy."""
        if self.build is not None:
            with self.telling():
                made = self.workshop.copy(self.build, name)
                self._came(made, f"copied to {name}", f"removed {name}")

    def rename(self, name: str) -> bool:
        """Give the build shown another name."""
        if self.build is None:
            return False
        old = self.build.name
        return self.change(replace(self.build, name=name), f"renamed {old}", f"named it {old}")

    def delete(self) -> None:
        """Delete the build shown; undo brings it back."""
        build = self.build
        if build is None or build.id is None:
            return
        with self.telling():
            gone = self.workshop.delete(build.id)
            command = ReplaceBuild(
                self, gone, None, f"deleted {gone.name}", f"brought back {gone.name}"
            )
            self.undo_stack.push(command)
            self._gone(command.did)

    # Inside -----------------------------------------------------------------------------------

    def swap(self, gone: Build | None, back: Build | None, words: str) -> bool:
        """Store one build in place of another, as a step of the undo stack does.

        Returns False where it could not be stored; then nothing has changed.
        """
        with self.telling() as telling:
            if back is not None:
                # Read anew: parts of the catalogue may have been edited since.
                stored = self.workshop.build(self.workshop.save(back).id or 0)
                self._renew_entries(gone, stored)
                self._show(stored)
                self.said.emit(words)
            elif gone is not None:
                self.workshop.delete(self.workshop.build_named(gone.code).id or 0)
                self._gone(words)
        return telling.went_well

    def _came(self, build: Build, did: str, undid: str, changes: Sequence[PartChange] = ()) -> None:
        self.undo_stack.push(ReplaceBuild(self, None, build, did, undid, changes=changes))
        self._renew_entries(None, build)
        self._show(build)
        self.said.emit(did)

    def _gone(self, words: str) -> None:
        self._entries = None
        entries = self.builds()
        self.builds_changed.emit()
        self._show(self.workshop.build(entries[0][0]) if entries else None)
        self.said.emit(words)

    def _renew_entries(self, before: Build | None, after: Build) -> None:
        if before is None or before.name != after.name or before.id != after.id:
            self._entries = None
            self.builds_changed.emit()
