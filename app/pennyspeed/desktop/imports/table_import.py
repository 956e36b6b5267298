"""Taking a table in, as an undo step, and letting the window follow what it changed."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.undoing import ReplaceBuild, Step
from pennyspeed.domain.errors import UserError
from pennyspeed.services.catalogue import PartChange
from pennyspeed.services.importers.table_import import ImportedTable


def took(session: Session, taken: ImportedTable) -> None:
    """Make a table that was taken in an undo step, and show what it changed."""
    did, undid = f"took in {taken.name}", f"took {taken.name} out again"
    before, after = taken.build_before, taken.build_after
    if after is not None and after.id is not None:
        session.undo_stack.push(ReplaceBuild(session, before, after, did, undid))
        if session.build is not None and session.build.id == after.id:
            session.choose_build(after.id)
    else:
        session.undo_stack.push(TookTable(session, taken, did, undid))
        session.follow(taken.changes)
    session.said.emit(taken.summary.rstrip("."))


class TookTable(Step):
    """Parts or offers of a table in the catalogue; thousands of them are undone in a thread."""

    def __init__(self, session: Session, taken: ImportedTable, did: str, undid: str) -> None:
        super().__init__(did, undid)
        self._session, self._taken = session, taken

    def again(self) -> None:
        """Take the table in once more."""
        workshop, changes = self._session.workshop, self._taken.changes
        self._do(lambda: workshop.redo_table(self._taken), changes, self.did)

    def back(self) -> None:
        """Take the table out again."""
        workshop = self._session.workshop
        changes = [change.reversed() for change in self._taken.changes]
        self._do(lambda: workshop.undo_table(self._taken), changes, self.undid)

    def _do(self, act: Callable[[], None], changes: Sequence[PartChange], words: str) -> None:
        session = self._session

        def work() -> UserError | None:
            try:
                act()
            except UserError as error:
                return error
            return None

        def then(trouble: object) -> None:
            if isinstance(trouble, UserError):
                session.troubled.emit(str(trouble))
                session.undo_stack.refuse(self)
            elif session.is_open:
                session.follow(changes)
                session.said.emit(words)

        session.errands.ask(work, then)
