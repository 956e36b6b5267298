"""The catalogue's use cases: parts kept, changed, and all of that taken back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from pennyspeed.domain.parts.parts import Part, Price, checked_name
from pennyspeed.services.transactions import InTransactions
from pennyspeed.storage.changes import Kept, PartChange

if TYPE_CHECKING:
    pass

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

        A changed price becomes the current one; the old one stays in the history.
        """
        checked_name(part.name, "name")
        with self._begin() as work:
            before = Kept(0) if part.id is None else work.parts.kept(part.id)
            id = work.parts.save(part).id
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

    def turn_back(self, changes: Sequence[PartChange]) -> None:
        """Take changes back, the last one first, all of them or none.

        Prices that came from elsewhere in the meantime stay in the history. InUse names the builds
        that use a part which would go.
        """
        with self._begin() as work:
            work.parts.turn_back(reversed(changes))
            work.commit()


def counted(number: int) -> str:
    """Return a number of parts in words."""
    return "1 part" if number == 1 else f"{number} parts"
