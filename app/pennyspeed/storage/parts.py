"""The catalogue: parts and the history of their prices."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import replace
from datetime import UTC, datetime
from itertools import groupby

from pennyspeed.domain.errors import InUse, NotFound
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.storage import part_statements as sql
from pennyspeed.storage.changes import Kept, PartChange
from pennyspeed.storage.rows import (
    part_of,
    part_values,
    price_of,
    price_values,
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
        rows = (sql.OF_KIND if archived else sql.IN_USE).run(self._connection, kind=kind_key)
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
        row = sql.BY_ID.run(self._connection, id=id).fetchone()
        return None if row is None else part_of(row)

    def count(self) -> int:
        """Return how many parts the catalogue has."""
        return int(sql.COUNT.run(self._connection).fetchone()[0])

    def named(self, kind_key: str, name: str) -> list[Part]:
        """Return the parts of a kind that have this very name, those in use first."""
        rows = sql.NAMED.run(self._connection, kind=kind_key, name=name)
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
        history. Lines of money follow a part's new name.
        """
        values, now = part_values(part), now_text()
        stored = None
        self._note(part.id)
        if part.id is not None:
            stored = sql.STORED.run(self._connection, id=part.id).fetchone()
        if stored is None:
            added = sql.ADD.run(self._connection, id=part.id, **values, created=now, changed=now)
            id = added.lastrowid
            assert id is not None
            part = replace(part, id=id)
            self._note(id, is_new=True)
        elif stored != tuple(values[name] for name in sql.VALUES):
            sql.CHANGE.run(self._connection, at=part.id, **values, changed=now)
            self._rename_lines(part, stored[sql.VALUES.index("name")])
        assert part.id is not None
        self.make_current(part.id, part.price)
        return part

    def _rename_lines(self, part: Part, old: str) -> None:
        """Let what was bought go along with a part's new name, or its drawer would lose it."""
        if old != part.name and not self.named(part.kind_key, old):
            sql.RENAME_LINES.run(self._connection, kind=part.kind_key, old=old, name=part.name)

    def add_many(self, parts: Sequence[Part]) -> list[Part]:
        """Add new parts in their order; return them with their numbers."""
        row = sql.LAST.run(self._connection).fetchone()
        first = 1 + (0 if row is None else int(row[0]))
        added = [replace(part, id=id) for id, part in enumerate(parts, first)]
        self.put_back(
            Kept(id, part, () if part.price is None else (part.price,))
            for id, part in enumerate(added, first)
        )
        return added

    def put_back(self, all_kept: Iterable[Kept]) -> None:
        """Add parts under their own numbers, which are free, with every price they had."""
        now, those = now_text(), list(all_kept)
        parts = [kept.part for kept in those if kept.part is not None]
        for id in [kept.id for kept in those] if self._before is not None else ():
            self._note(id, is_new=True)
        sql.ADD.run_many(
            self._connection,
            (
                {"id": part.id, **part_values(part), "created": now, "changed": now}
                for part in parts
            ),
        )
        sql.ADD_PRICE.run_many(
            self._connection,
            (
                {
                    "part_id": kept.id,
                    "is_current": int(kept.part is not None and price == kept.part.price),
                    **price_values(price),
                }
                for kept in those
                for price in reversed(kept.prices)
            ),
        )

    def make_current(self, id: int, price: Price | None) -> None:
        """Make a price the current one, old or new; None leaves the part without."""
        self._note(id)
        history = [
            (at, is_current, price_of(row))
            for at, is_current, *row in sql.HISTORY.run(self._connection, part=id).fetchall()
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
                    sql.SET_CURRENT.run(self._connection, at=number, is_current=flag)

    def _add_price(self, id: int, price: Price) -> int | None:
        values = price_values(price)
        return sql.ADD_PRICE.run(self._connection, part_id=id, is_current=0, **values).lastrowid

    def note_price(self, id: int, price: Price) -> None:
        """Keep a price in the history without making it the current one."""
        self._note(id)
        if price not in self.price_history(id):
            self._add_price(id, price)

    def forget_price(self, id: int, price: Price) -> None:
        """Take a price out of the history, unless it is the current one."""
        sql.DROP_PRICE.run(self._connection, part=id, **price_values(price))

    def price_history(self, id: int) -> list[Price]:
        """Return what a part cost, newest first."""
        rows = sql.HISTORY.run(self._connection, part=id).fetchall()
        return [price_of(row) for _, _, *row in rows]

    def delete(self, id: int) -> Part:
        """Delete a part and return it, or raise NotFound or InUse."""
        part = self.get(id)
        self.delete_many((id,))
        return part

    def delete_many(self, ids: Iterable[int]) -> None:
        """Delete parts; numbers that the catalogue does not have are gone already.

        Raises
        ------
        InUse
            Where builds use one; the error names them.
        """
        ids = list(ids)
        wanted = json.dumps(ids)
        users = sql.USERS.run(self._connection, ids=wanted).fetchall()
        if users:
            first = users[0][0]
            raise InUse(first, [build for part, build in users if part == first])
        self.note(ids)
        sql.DELETE.run(self._connection, ids=wanted)

    # Changes --------------------------------------------------------------------------------

    def watch(self) -> None:
        """Remember from now on how each part was before it was changed."""
        self._before = {}

    def changes(self) -> tuple[PartChange, ...]:
        """Return what has become of the parts that changed since :meth:`watch`, in that order."""
        before = self._before or {}
        made = [PartChange(before[now.id], now) for now in self.all_kept(before)]
        return tuple(change for change in made if change.before != change.after)

    def kept(self, id: int) -> Kept:
        """Return all that the catalogue holds under a number."""
        return self.all_kept((id,))[0]

    def all_kept(self, ids: Iterable[int]) -> list[Kept]:
        """Return the same for many numbers, in their order."""
        ids = list(ids)
        wanted = json.dumps(ids)
        rows = sql.THOSE.run(self._connection, ids=wanted).fetchall()
        parts = {part.id: part for part in map(part_of, rows)}
        prices: dict[int, list[Price]] = {}
        for id, *row in sql.THEIR_PRICES.run(self._connection, ids=wanted).fetchall():
            prices.setdefault(id, []).append(price_of(row))
        return [Kept(id, parts.get(id), tuple(prices.get(id, ()))) for id in ids]

    def turn_back(self, changes: Iterable[PartChange]) -> None:
        """Put parts and their prices back to what they were before each change, in this order.

        Prices that came from elsewhere in the meantime stay in the history.

        Raises
        ------
        InUse
            Where that takes away a part that builds use.
        """
        for (goes, comes), group in groupby(changes, _goes_or_comes):
            some = list(group)
            ids = [change.before.id for change in some]
            if goes:
                self.delete_many(ids)
                continue
            if comes:
                # What another window brought back already is only changed.
                rows = sql.PRESENT.run(self._connection, ids=json.dumps(ids)).fetchall()
                there = {id for (id,) in rows}
                self.put_back(one.before for one in some if one.before.id not in there)
                some = [one for one in some if one.before.id in there]
            known = {kept.id: set(kept.prices) for kept in self.all_kept(ids)}
            for change in some:
                # Of two changes of one part the second finds other prices than were read.
                prices = known.pop(change.before.id, None)
                self._turn_back(change, prices)

    def _turn_back(self, change: PartChange, prices: set[Price] | None) -> None:
        """Turn one back; `prices` are those that its part has now, None where that is not read."""
        before = change.before
        assert before.part is not None
        if prices is None or not prices.issuperset(before.prices):
            # The part first and its price last, between them the history in its old order.
            self.save(replace(before.part, price=None))
            for price in reversed(before.prices):
                self.note_price(before.id, price)
        self.save(before.part)
        for price in set(change.after.prices) - set(before.prices):
            self.forget_price(before.id, price)

    def note(self, ids: Iterable[int]) -> None:
        """Remember how parts are that will be changed, if any are to be remembered."""
        if self._before is not None:
            new = [id for id in ids if id not in self._before]
            self._before |= {kept.id: kept for kept in self.all_kept(new)}

    def _note(self, id: int | None, is_new: bool = False) -> None:
        if self._before is not None and id is not None and id not in self._before:
            self._before[id] = Kept(id) if is_new else self.kept(id)


def _goes_or_comes(change: PartChange) -> tuple[bool, bool]:
    """Tell whether taking a change back takes its part away, or brings it back."""
    return change.before.part is None, change.after.part is None
