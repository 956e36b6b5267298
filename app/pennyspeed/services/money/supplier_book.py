"""The purse of a workshop: offers, suppliers, and how long things took to come."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import TYPE_CHECKING

from pennyspeed.domain.money.calendar import Arrival, Leads, arrivals_of
from pennyspeed.domain.money.offers import Supplier
from pennyspeed.domain.parts.parts import Price

if TYPE_CHECKING:
    from pennyspeed.domain.builds import Build
    from pennyspeed.services.money.baskets import Basket
    from pennyspeed.storage.database import Work


class SupplierBook:
    """What a workshop knows of buying; every method is one transaction."""

    def _work(self, reading: bool = False) -> Work:
        raise NotImplementedError

    def offers(self, ids: Iterable[int]) -> dict[int, tuple[Price, ...]]:
        """Return the newest price of every supplier for parts by their numbers."""
        with self._work(reading=True) as work:
            return work.offers.of(ids)

    def save_offer(self, part_id: int, price: Price) -> None:
        """Note what a supplier asks for a part.

        It becomes the part's price where the part has none, or one of that supplier that is older.
        """
        with self._work() as work:
            work.offers.save(part_id, price)
            work.commit()

    def delete_offer(self, part_id: int, price: Price) -> None:
        """Forget one price; :meth:`save_offer` brings it back."""
        with self._work() as work:
            work.offers.delete(part_id, price)
            work.commit()

    def suppliers(self) -> list[Supplier]:
        """Return every supplier, by name."""
        with self._work(reading=True) as work:
            return work.suppliers.all()

    def save_supplier(self, supplier: Supplier, was: str | None = None) -> Supplier:
        """Add a supplier, or change the one of its name, or of the name that it `was`."""
        with self._work() as work:
            saved = work.suppliers.save(supplier, was)
            work.commit()
        return saved

    def delete_supplier(self, name: str) -> Supplier:
        """Delete a supplier and return what it was; prices and lines keep the name."""
        with self._work() as work:
            gone = work.suppliers.delete(name)
            work.commit()
        return gone

    def arrivals(self) -> list[Arrival]:
        """Return supplier, day of order and day of arrival of whatever came, in every build.

        What stands in several builds, as in a build and its copy, came once.
        """
        with self._work(reading=True) as work:
            builds = [work.builds.get(entry.id) for entry in work.builds.entries()]
        return arrivals_of(*builds)

    def leads(self) -> Leads:
        """Return how long suppliers take, by what came from them and by what they say."""
        return Leads.of(self.arrivals(), self.suppliers())

    def basket(self, build: Build, today: date) -> Basket:
        """Return where a build's planned lines are cheapest together, here by its event."""
        from pennyspeed.services.money.shopping import basket_of

        ids = [part.id for part in (*build.parts.values(), *build.extras) if part.id is not None]
        return basket_of(build, self.offers(ids), self.suppliers(), today, self.leads())
