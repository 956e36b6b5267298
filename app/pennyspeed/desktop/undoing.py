"""Undoing: the steps on the undo stack, and the words that tell them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING
from zlib import crc32

from PySide6.QtCore import QObject
from PySide6.QtGui import QUndoCommand, QUndoStack

from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import NOT_KNOWN, Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.catalogue import counted

if TYPE_CHECKING:
    from pennyspeed.desktop.changing import Changing
    from pennyspeed.desktop.known_parts import KnownParts
    from pennyspeed.services.catalogue import PartChange


class Step(QUndoCommand):
    """One step of a person's.

    Parameters
    ----------
    did, undid : str
        What a person reads: "put in Larch 36-3300", "put back Marl 80".
    """

    def __init__(self, did: str, undid: str) -> None:
        super().__init__(did)
        self.did, self.undid = did, undid
        self._passes = True

    def pass_over(self) -> None:
        """Do nothing at the next undo or redo: things are as they shall be already."""
        self._passes = True

    def redo(self) -> None:
        """Do it again; the first time it is done already."""
        if self._passes:
            self._passes = False
        else:
            self.again()

    def undo(self) -> None:
        """Take it back."""
        if self._passes:
            self._passes = False
        else:
            self.back()

    def again(self) -> None:
        """Do it once more, after it was undone."""
        raise NotImplementedError

    def back(self) -> None:
        """Make it undone."""
        raise NotImplementedError


class Steps(QUndoStack):
    """The undo stack; a step that was refused stays where it was.

    Qt moves on whatever a step did, so that the step goes back over itself without doing anything.
    """

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._is_moving = False
        self._refused: list[Step] = []

    def undo(self) -> None:
        """Take the last step back."""
        self._move(super().undo)

    def redo(self) -> None:
        """Make the next step once more."""
        self._move(super().redo)

    def refuse(self, step: Step) -> None:
        """Let a step stay that could not be undone, or not be done again."""
        if self._is_moving:
            self._refused.append(step)
        else:
            self._put_back(step)

    def _move(self, move: Callable[[], None]) -> None:
        self._is_moving = True
        try:
            move()
        finally:
            self._is_moving = False
        refused, self._refused = self._refused, []
        for step in refused:
            self._put_back(step)

    def _put_back(self, step: Step) -> None:
        """Move over the step again; where others came or went meanwhile, it is as it is."""
        at = self.index()
        if self.canRedo() and self.command(at) is step:
            step.pass_over()
            super().redo()
        elif self.canUndo() and self.command(at - 1) is step:
            step.pass_over()
            super().undo()


class ReplaceBuild(Step):
    """One build in place of another; None stands for a build that is not there.

    Parameters
    ----------
    session : Changing
    before, after : Build or None
    did, undid : str
    merge : str
        Neighbours with the same word here become one step: a stepped value is one change.
    changes : sequence of PartChange
        What came into the catalogue along with the build.
    """

    def __init__(
        self,
        session: Changing,
        before: Build | None,
        after: Build | None,
        did: str,
        undid: str,
        merge: str = "",
        changes: Sequence[PartChange] = (),
    ) -> None:
        super().__init__(did, undid)
        self._session = session
        self._merge = merge
        self._changes = tuple(changes)
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

    def again(self) -> None:
        """Show the build after the change."""
        if self._changes:
            self._session.take_back(_reversed(self._changes))
        if not self._session.swap(self.before, self.after, self.did):
            self._session.undo_stack.refuse(self)

    def back(self) -> None:
        """Show the build before the change."""
        if not self._session.swap(self.after, self.before, self.undid):
            self._session.undo_stack.refuse(self)
        elif self._changes:
            self._session.take_back(self._changes)


class ChangeParts(Step):
    """Parts of the catalogue after a change in place of what they were before.

    Parameters
    ----------
    session : KnownParts
    changes : sequence of PartChange
    did, undid : str
    """

    def __init__(
        self, session: KnownParts, changes: Sequence[PartChange], did: str, undid: str
    ) -> None:
        super().__init__(did, undid)
        self._session = session
        self.changes = tuple(changes)

    def again(self) -> None:
        """Make the changes once more."""
        self._session.take_back(_reversed(self.changes), self.did, self)

    def back(self) -> None:
        """Take the changes back."""
        self._session.take_back(self.changes, self.undid, self)


def _reversed(changes: Sequence[PartChange]) -> tuple[PartChange, ...]:
    return tuple(change.reversed() for change in reversed(changes))


def words_of(change: PartChange, measures: Measures) -> tuple[str, str]:
    """Return what was done to a part, and what undoing it does.

    "Kv 3400 of Larch 36" and "put back Kv 3300 of Larch 36"; where more than one thing is another,
    the part is named alone.
    """
    before, after = change.before.part, change.after.part
    if before is None:
        assert after is not None
        return f"wrote down {after.name}", f"removed {after.name}"
    if after is None:
        return f"deleted {before.name}", f"brought back {before.name}"
    things = _differing(before, after, measures)
    if before.archived != after.archived and not things:
        away, here = f"archived {after.name}", f"fetched back {after.name}"
        return (away, here) if after.archived else (here, away)
    if len(things) != 1:
        return f"changed {after.name}", f"put {before.name} back as it was"
    was, now = things[0]
    if before.name != after.name:
        return f"named it {after.name}", f"named it {before.name} again"
    return f"{now} of {after.name}", f"put back {was} of {after.name}"


def words_of_import(name: str, changes: Sequence[PartChange]) -> str:
    """Return what undoing an import does."""
    added = sum(change.before.part is None for change in changes)
    texts = []
    if added:
        texts.append(f"took {counted(added)} of {name} out again")
    if len(changes) > added:
        texts.append(f"put {counted(len(changes) - added)} back as before {name}")
    return ", ".join(texts) or f"took back {name}"


def _differing(before: Part, after: Part, measures: Measures) -> list[tuple[str, str]]:
    """Return what differs, each thing as it was and as it is."""
    from pennyspeed.services.importers.part_changes import changes_of, price_changes

    changes = list(changes_of(before, replace(after, price=before.price), measures))
    # A new price comes with its day and its shop: that is one thing.
    changes += price_changes(before.price, after.price, measures)[:1]
    things = [(_said(one.what, one.old), _said(one.what, one.new)) for one in changes]
    if before.name != after.name:
        things.append((before.name, after.name))
    return things


def _said(what: str, text: str) -> str:
    if what in ("note", "picture", "supplier"):
        return what
    return f"{what} ({NOT_KNOWN})" if text == NOT_KNOWN else f"{what} {text}"
