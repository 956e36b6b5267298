"""The catalogue: parts and the history of their prices."""

from __future__ import annotations

import sqlite3
from dataclasses import replace
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import Select, bindparam, delete, func, insert, select, update
from sqlalchemy.sql.elements import ColumnElement

from pennyspeed.domain.errors import InUse, NotFound
from pennyspeed.domain.parts import Part, Price
from pennyspeed.storage.changes import Kept, PartChange
from pennyspeed.storage.prepared import Prepared
from pennyspeed.storage.rows import (
    PART_COLUMNS,
    PRICE_COLUMNS,
    part_of,
    part_values,
    price_of,
    price_values,
)
from pennyspeed.storage.tables import BuildPartRow, BuildRow, PartRow, PriceRow, table_of

PART, PRICE = table_of(PartRow), table_of(PriceRow)
_BUILD, _PLACED = table_of(BuildRow), table_of(BuildPartRow)

WITH_PRICE: tuple[ColumnElement[Any], ...] = (
    *(PART.c[name] for name in PART_COLUMNS),
    *(PRICE.c[name] for name in PRICE_COLUMNS),
)
CURRENT = (PRICE.c.part_id == PART.c.id) & (PRICE.c.is_current == 1)
_VALUES = PART_COLUMNS[1:]

_PARTS: Select[Any] = select(*WITH_PRICE).select_from(PART.outerjoin(PRICE, CURRENT))
_KIND = _PARTS.where(PART.c.kind == bindparam("kind"))
_OF_KIND = Prepared(_KIND)
_IN_USE = Prepared(_KIND.where(PART.c.archived == 0))
_NAMED = Prepared(
    _KIND.where(PART.c.name == bindparam("name")).order_by(PART.c.archived, PART.c.id)
)
_BY_ID = Prepared(_PARTS.where(PART.c.id == bindparam("id")))
_COUNT = Prepared(select(func.count()).select_from(PART))
_STORED = Prepared(select(*(PART.c[name] for name in _VALUES)).where(PART.c.id == bindparam("id")))
_ADD = Prepared(insert(PART), ("id", *_VALUES, "created", "changed"))
_CHANGE = Prepared(update(PART).where(PART.c.id == bindparam("at")), (*_VALUES, "changed"))
_DELETE = Prepared(delete(PART).where(PART.c.id == bindparam("id")))
_HISTORY = Prepared(
    select(PRICE.c.id, PRICE.c.is_current, *(PRICE.c[name] for name in PRICE_COLUMNS))
    .where(PRICE.c.part_id == bindparam("part"))
    .order_by(PRICE.c.on_date.desc(), PRICE.c.id.desc())
)
_ADD_PRICE = Prepared(insert(PRICE), ("part_id", *PRICE_COLUMNS, "is_current"))
_SET_CURRENT = Prepared(update(PRICE).where(PRICE.c.id == bindparam("at")), ("is_current",))
_DROP_PRICE = Prepared(delete(PRICE).where(PRICE.c.id == bindparam("id")))
_USERS = Prepared(
    select(_BUILD.c.name)
    .where(
        _BUILD.c.id.in_(select(_PLACED.c.build_id).where(_PLACED.c.part_id == bindparam("part")))
    )
    .order_by(_BUILD.c.name)
)


def now_text() -> str:
    """Return the time as it is stored."""
    return datetime.now(UTC).isoformat(timespec="microseconds")


class Parts:
    """The catalogue within one transaction."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection
        self._before: dict[int, Kept] | None = None

    def of_kind(self, kind_key: str, archived: bool = False) -> list[Part]:
        """Return the parts of a kind by name; with `archived` those put away too."""
        rows = (_OF_KIND if archived else _IN_USE).run(self._connection, kind=kind_key)
        found = [part_of(row) for row in rows.fetchall()]
        found.sort(key=lambda part: (part.name.casefold(), part.id))
        return found

    def get(self, id: int) -> Part:
        """Return one part, or raise NotFound."""
        part = self.find(id)
        if part is None:
            raise NotFound(f"The catalogue has no part number {id}.")
        return part

    def find(self, id: int) -> Part | None:
        """Return one part, or None."""
        row = _BY_ID.run(self._connection, id=id).fetchone()
        return None if row is None else part_of(row)

    def count(self) -> int:
        """Return how many parts the catalogue has."""
        return int(_COUNT.run(self._connection).fetchone()[0])

    def named(self, kind_key: str, name: str) -> list[Part]:
        """Return the parts of a kind that have this very name, those in use first."""
        rows = _NAMED.run(self._connection, kind=kind_key, name=name)
        return [part_of(row) for row in rows.fetchall()]

    def like(self, part: Part) -> Part | None:
        """Return the catalogue's part for the same article, or None."""
        for found in self.named(part.kind_key, part.name):
            if found.same_article(part) and dict(found.unknown_keys) == dict(part.unknown_keys):
                return found
        return None

    def save(self, part: Part) -> Part:
        """Add the part, or change the one of its number; return it with its number.

        A price that differs from the current one becomes current, and the old one stays in the
        history.
        """
        values, now = part_values(part), now_text()
        stored = None
        self._note(part.id)
        if part.id is not None:
            stored = _STORED.run(self._connection, id=part.id).fetchone()
        if stored is None:
            added = _ADD.run(self._connection, id=part.id, **values, created=now, changed=now)
            id = added.lastrowid
            assert id is not None
            part = replace(part, id=id)
            self._note(id, is_new=True)
        elif stored != tuple(values[name] for name in _VALUES):
            _CHANGE.run(self._connection, at=part.id, **values, changed=now)
        assert part.id is not None
        self._make_current(part.id, part.price)
        return part

    def _make_current(self, id: int, price: Price | None) -> None:
        history = [
            (at, is_current, price_of(row))
            for at, is_current, *row in _HISTORY.run(self._connection, part=id).fetchall()
        ]
        current = next((at for at, is_current, _ in history if is_current), None)
        wanted = None
        if price is not None:
            wanted = next((at for at, _, old in history if old == price), None)
            if wanted is None:
                wanted = self._add_price(id, price)
        if current != wanted:
            # The old one steps down first: only one may be current at any time.
            for number, flag in ((current, 0), (wanted, 1)):
                if number is not None:
                    _SET_CURRENT.run(self._connection, at=number, is_current=flag)

    def _add_price(self, id: int, price: Price) -> int | None:
        values = price_values(price)
        return _ADD_PRICE.run(self._connection, part_id=id, is_current=0, **values).lastrowid

    def note_price(self, id: int, price: Price) -> None:
        """Keep a price in the history without making it the current one."""
        self._note(id)
        if price not in self.price_history(id):
            self._add_price(id, price)

    def price_history(self, id: int) -> list[Price]:
        """Return what a part cost, newest first."""
        rows = _HISTORY.run(self._connection, part=id).fetchall()
        return [price_of(row) for _, _, *row in rows]

    def delete(self, id: int) -> Part:
        """Delete a part and return it.

        Raises
        ------
        NotFound
        InUse
            Where builds use it; the error names them.
        """
        part = self.get(id)
        users = [name for (name,) in _USERS.run(self._connection, part=id).fetchall()]
        if users:
            raise InUse(part.name, users)
        self._note(id)
        _DELETE.run(self._connection, id=id)
        return part

    # Changes --------------------------------------------------------------------------------

    def watch(self) -> None:
        """Remember from now on how each part was before it was changed."""
        self._before = {}

    def changes(self) -> tuple[PartChange, ...]:
        """Return what has become of the parts that changed since :meth:`watch`, in that order."""
        made = [PartChange(kept, self.kept(id)) for id, kept in (self._before or {}).items()]
        return tuple(change for change in made if change.before != change.after)

    def kept(self, id: int) -> Kept:
        """Return all that the catalogue holds under a number."""
        part = self.find(id)
        return Kept(id, part, () if part is None else tuple(self.price_history(id)))

    def turn_back(self, change: PartChange) -> None:
        """Put a part and its prices back to what they were before a change.

        Prices that came from elsewhere in the meantime stay in the history.

        Raises
        ------
        InUse
            Where that takes away a part that builds use.
        """
        before = change.before
        if before.part is None:
            if self.find(before.id) is not None:
                self.delete(before.id)
            return
        # The part first and its price last, between them the history in its old order.
        self.save(replace(before.part, price=None))
        for price in reversed(before.prices):
            self.note_price(before.id, price)
        self._make_current(before.id, before.part.price)
        mistaken = set(change.after.prices) - set(before.prices)
        for at, _, *row in _HISTORY.run(self._connection, part=before.id).fetchall():
            if price_of(row) in mistaken:
                _DROP_PRICE.run(self._connection, id=at)

    def _note(self, id: int | None, is_new: bool = False) -> None:
        if self._before is not None and id is not None and id not in self._before:
            self._before[id] = Kept(id) if is_new else self.kept(id)
