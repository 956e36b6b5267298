"""What a workshop knows of buying: offers, suppliers, and how long things took to come."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from pennyspeed.domain.money.calendar import Arrival, Leads, arrivals_of
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Price
from pennyspeed.services.transactions import InTransactions
from pennyspeed.storage.changes import PartChange

if TYPE_CHECKING:
    pass


class Suppliers(InTransactions):
    """The suppliers in one open file."""

    def all(self) -> list[Supplier]:
        """Return every supplier, by name."""
        with self._begin(reading=True) as work:
            return work.suppliers.all()

    def save(self, supplier: Supplier, was: str | None = None) -> Supplier:
        """Add a supplier, or change the one of its name, or of the name that it `was`."""
        with self._begin() as work:
            saved = work.suppliers.save(supplier, was)
            work.commit()
        return saved

    def delete(self, name: str) -> Supplier:
        """Delete a supplier and return what it was; prices and lines keep the name."""
        with self._begin() as work:
            gone = work.suppliers.delete(name)
            work.commit()
        return gone

    def arrivals(self) -> list[Arrival]:
        """Return supplier, day of order and day of arrival of whatever came, in every build.

        What stands in several builds, as in a build and its copy, came once.
        """
        with self._begin(reading=True) as work:
            builds = [work.builds.get(entry.id) for entry in work.builds.entries()]
        return arrivals_of(*builds)

    def leads(self, arrivals: Iterable[Arrival] | None = None) -> Leads:
        """Return how long suppliers take, by what came from them and by what they say.

        Whatever speaks of days to order on asks here. `arrivals` are :meth:`arrivals`, where these
        were read already.
        """
        return Leads.of(self.arrivals() if arrivals is None else arrivals, self.all())


class Offers(InTransactions):
    """The offers in one open file."""

    def of(self, ids: Iterable[int]) -> dict[int, tuple[Price, ...]]:
        """Return the newest price of every supplier for parts by their numbers."""
        with self._begin(reading=True) as work:
            return work.offers.of(ids)

    def save(self, part_id: int, price: Price) -> None:
        """Note what a supplier asks for a part.

        It becomes the part's price where the part has none, or one of that supplier that is older.
        """
        with self._begin() as work:
            work.offers.save(part_id, price)
            work.commit()

    def delete(self, part_id: int, price: Price) -> None:
        """Forget one price; :meth:`save` brings it back."""
        with self._begin() as work:
            work.offers.delete(part_id, price)
            work.commit()

    def change(self, part_id: int, before: Price | None, after: Price | None) -> PartChange:
        """Put one offer in place of another; None stands for one that is not there.

        The change holds what the part and its prices were and are;
        :meth:`~pennyspeed.services.catalogue.Catalogue.turn_back` undoes it.

        Raises
        ------
        NotFound
            Where the part has no price `before`.
        """
        with self._begin() as work:
            kept = work.parts.kept(part_id)
            if before is not None and after is not None and kept.part is not None:
                if kept.part.price == before:
                    # What stood as the part's own price goes on doing so.
                    work.parts.make_current(part_id, after)
                    work.parts.forget_price(part_id, before)
                else:
                    work.offers.delete(part_id, before)
                    work.offers.save(part_id, after)
            elif before is not None:
                work.offers.delete(part_id, before)
            elif after is not None:
                work.offers.save(part_id, after)
            change = PartChange(kept, work.parts.kept(part_id))
            work.commit()
        return change
