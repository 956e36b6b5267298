"""The catalogue's use cases: parts kept, changed, and all of that taken back."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from functools import partial
from typing import TYPE_CHECKING

from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.parts.parts import Part, Price, checked_name
from pennyspeed.services.transactions import InTransactions
from pennyspeed.storage.changes import Kept, PartChange

if TYPE_CHECKING:
    from pennyspeed.domain.estimates.work_out import Estimate, Estimator
    from pennyspeed.services.estimates.missing import MissingFigures
    from pennyspeed.services.estimates.peers import Estimators
    from pennyspeed.storage.database import Work

__all__ = ["Catalogue", "PartChange", "counted"]


class Catalogue(InTransactions):
    """The parts in one open file."""

    def parts(self, kind_key: str, archived: bool = False) -> list[Part]:
        """Return the parts of a kind by name; with `archived` those put away too."""
        with self._begin(reading=True) as work:
            return work.parts.of_kind(kind_key, archived)

    def part(self, id: int) -> Part:
        """Return one part, or raise NotFound."""
        with self._begin(reading=True) as work:
            return work.parts.get(id)

    def price_history(self, id: int) -> list[Price]:
        """Return what a part cost, newest first."""
        with self._begin(reading=True) as work:
            return work.parts.price_history(id)

    # Changing -------------------------------------------------------------------------------

    def change_part(self, part: Part) -> PartChange:
        """Add a part, or change the one of its number, in every build that uses it.

        A changed price becomes the current one; the old one stays in the history. Figures that are
        left out are worked out: all of a new part, else those that are taken out of it.
        """
        checked_name(part.name, "name")
        with self._begin() as work:
            before = Kept(0) if part.id is None else work.parts.kept(part.id)
            id = work.parts.save(_filled(work, part, before.part)).id
            assert id is not None
            after = work.parts.kept(id)
            work.commit()
        return PartChange(replace(before, id=id), after)

    def save_part(self, part: Part) -> Part:
        """Do :meth:`change_part` and return the part as it is stored."""
        stored = self.change_part(part).after.part
        assert stored is not None
        return stored

    def archive_part(self, id: int, archived: bool = True) -> PartChange:
        """Put a part away, or bring it back; builds keep it."""
        with self._begin() as work:
            before = work.parts.kept(id)
            work.parts.save(replace(work.parts.get(id), archived=archived))
            after = work.parts.kept(id)
            work.commit()
        return PartChange(before, after)

    def delete_part(self, id: int) -> PartChange:
        """Delete a part; InUse where builds use it, which the error names."""
        with self._begin() as work:
            before = work.parts.kept(id)
            work.parts.delete(id)
            work.commit()
        return PartChange(before, Kept(id))

    # Working out -----------------------------------------------------------------------------

    def work_out(
        self, ids: Iterable[int] | None = None, anew: bool = False
    ) -> tuple[PartChange, ...]:
        """Work out what parts lack, of all or of these numbers; return what has changed.

        With `anew` those figures are worked out again that were before. What a person or a maker
        says stays. :meth:`turn_back` takes the changes back.
        """
        from pennyspeed.services.estimates.missing import worked_out

        with self._begin() as work:
            parts = _parts(work, ids)
            work.parts.watch()
            work.parts.note(part.id for part in parts if part.id is not None)
            for before, after in zip(
                parts, worked_out(parts, estimators_of(work), anew), strict=True
            ):
                if after != before:
                    work.parts.save(after)
            changes = work.parts.changes()
            work.commit()
        return changes

    def estimates(self, part: Part, anew: bool = False) -> dict[str, Estimate]:
        """Return every figure that a part lacks and that can be worked out, by its key.

        With `anew` those that were worked out before are among them, as they would be now.
        """
        with self._begin(reading=True) as work:
            return estimators_of(work).of(part.kind_key).estimates(part, anew)

    def estimator(self, kind_key: str) -> Estimator:
        """Return the rules of a kind as the parts of today have taught them, to ask many times."""
        with self._begin(reading=True) as work:
            return estimators_of(work).of(kind_key)

    def missing_figures(
        self, ids: Iterable[int] | None = None, anew: bool = False
    ) -> MissingFigures:
        """Return what :meth:`work_out` would find, and the builds whose speed that changes."""
        from pennyspeed.services.estimates.missing import missing_figures

        with self._begin(reading=True) as work:
            builds = [work.builds.get(entry.id) for entry in work.builds.entries()]
            return missing_figures(_parts(work, ids), builds, estimators_of(work), anew)

    def turn_back(self, changes: Sequence[PartChange]) -> None:
        """Take changes back, the last one first, all of them or none.

        Prices that came from elsewhere in the meantime stay in the history. InUse names the builds
        that use a part which would go.
        """
        with self._begin() as work:
            work.parts.turn_back(reversed(changes))
            work.commit()


def _filled(work: Work, part: Part, before: Part | None) -> Part:
    """Return a part with what was left out worked out; one that comes back stays as it was."""
    from pennyspeed.services.estimates.filling import Entered, fill_in, left_out

    entered = Entered(part, before)
    if not left_out(entered) or (part.id is not None and before is None):
        return part
    return fill_in((entered,), estimators_of(work))[0]


def estimators_of(work: Work) -> Estimators:
    """Return the rules as an open transaction's own parts teach them."""
    from pennyspeed.services.estimates.peers import Estimators

    return Estimators(partial(work.parts.of_kind, archived=True))


def _parts(work: Work, ids: Iterable[int] | None) -> list[Part]:
    """Return the parts of these numbers, or all, those put away too."""
    if ids is not None:
        return [work.parts.get(id) for id in ids]
    return [part for kind in KINDS for part in work.parts.of_kind(kind.key, archived=True)]


def counted(number: int) -> str:
    """Return a number of parts in words."""
    return "1 part" if number == 1 else f"{number} parts"
