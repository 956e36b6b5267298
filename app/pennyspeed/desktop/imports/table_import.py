"""Taking a table in, as an undo step, and letting the window follow what it changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.undo_stack import UndoStep
from pennyspeed.domain.errors import UserError
from pennyspeed.services.catalogue import PartChange
from pennyspeed.services.importers.table_import import ImportedTable


def took(session: Session, taken: ImportedTable) -> None:
    """Make a table that was taken in an undo step, and show what it changed."""
    did, undid = f"took in {taken.name}", f"took {taken.name} out again"
    before, after = taken.build_before, taken.build_after
    if after is not None and after.id is not None:
        session.builds.record(before, after, did, undid)
        if session.bench.build is not None and session.bench.build.id == after.id:
            session.builds.choose(after.id)
    else:
        session.undo_stack.push(TookTable(session, taken, did, undid))
        session.catalogue.follow(taken.changes)
    session.messages.said.emit(taken.summary.rstrip("."))


class TookTable(UndoStep):
    """Parts or offers of a table in the catalogue; thousands of them are undone in a thread."""

    def __init__(self, session: Session, taken: ImportedTable, did: str, undid: str) -> None:
        super().__init__(did, undid)
        self._session, self._taken = session, taken

    def apply(self) -> None:
        """Take the table in once more."""
        workshop, changes = self._session.file.workshop, self._taken.changes
        self._do(lambda: workshop.redo_table(self._taken), changes, self.did)

    def revert(self) -> None:
        """Take the table out again."""
        workshop = self._session.file.workshop
        changes = [change.reversed() for change in self._taken.changes]
        self._do(lambda: workshop.undo_table(self._taken), changes, self.undid)

    def _do(self, act: Callable[[], None], changes: Sequence[PartChange], words: str) -> None:
        session = self._session

        def then(_: None) -> None:
            if session.file.is_open:
                session.catalogue.follow(changes)
                session.messages.said.emit(words)

        def failed(error: UserError) -> None:
            session.messages.report(error)
            session.undo_stack.refuse(self)

        session.jobs.submit(act, then, failed)
