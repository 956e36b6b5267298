"""Offers: the newest price of every supplier for a part, among the prices of its history."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable

from sqlalchemy import bindparam, select

from pennyspeed.domain.errors import NotFound
from pennyspeed.domain.money.offers import newest
from pennyspeed.domain.parts.parts import Price
from pennyspeed.storage.parts import Parts
from pennyspeed.storage.prepared import Prepared
from pennyspeed.storage.rows import PRICE_COLUMNS, price_of
from pennyspeed.storage.tables import PRICE

_EVERY = Prepared(
    select(PRICE.c.part_id, *(PRICE.c[name] for name in PRICE_COLUMNS)).order_by(PRICE.c.id)
)
_OF_PART = Prepared(
    select(*(PRICE.c[name] for name in PRICE_COLUMNS))
    .where(PRICE.c.part_id == bindparam("part"))
    .order_by(PRICE.c.id)
)
FEW = 50
"""Up to so many parts are read one by one, which beats a look at every price there is."""


class Offers:
    """The offers within one transaction."""

    def __init__(self, connection: sqlite3.Connection, parts: Parts) -> None:
        self._connection, self._parts = connection, parts

    def of(self, ids: Iterable[int]) -> dict[int, tuple[Price, ...]]:
        """Return the offers for parts by their numbers, each by the supplier's name."""
        wanted = list(dict.fromkeys(ids))
        found: dict[int, list[Price]] = {id: [] for id in wanted}
        if len(wanted) <= FEW:
            for id in wanted:
                rows = _OF_PART.run(self._connection, part=id).fetchall()
                found[id] = [price_of(row) for row in rows]
        else:
            for id, *row in _EVERY.run(self._connection).fetchall():
                if id in found:
                    found[id].append(price_of(row))
        return {id: newest(prices) for id, prices in found.items()}

    def save(self, part_id: int, price: Price) -> None:
        """Note what a supplier asks.

        It becomes the part's price where the part has none, or one of that supplier that is older.
        """
        old = self._parts.get(part_id).price
        if old is None or (old.supplier == price.supplier and price.on >= old.on):
            self._parts.make_current(part_id, price)
        else:
            self._parts.note_price(part_id, price)

    def delete(self, part_id: int, price: Price) -> None:
        """Forget one price, or raise NotFound; was it the part's own, the newest other one is."""
        part = self._parts.get(part_id)
        history = self._parts.price_history(part_id)
        if price not in history:
            raise NotFound(f"{part.name} has no such price.")
        if part.price == price:
            others = [one for one in history if one != price]
            self._parts.make_current(part_id, others[0] if others else None)
        self._parts.forget_price(part_id, price)
