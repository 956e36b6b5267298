"""Offers changed so that each change can be taken back exactly."""

from __future__ import annotations

from pennyspeed.domain.parts.parts import Price
from pennyspeed.services.money.supplier_book import SupplierBook
from pennyspeed.storage.changes import PartChange


class Offering(SupplierBook):
    """What a workshop does with offers; every method is one transaction."""

    def change_offer(self, part_id: int, before: Price | None, after: Price | None) -> PartChange:
        """Put one offer in place of another; None stands for one that is not there.

        The change holds what the part and its prices were and are;
        :meth:`~pennyspeed.services.catalogue.Catalogue.turn_back` undoes it. NotFound says that the
        part has no price `before`.
        """
        with self._work() as work:
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
