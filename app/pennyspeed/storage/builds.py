"""Builds: stored whole, changed only where they differ."""

from __future__ import annotations

import json
import secrets
import sqlite3
from dataclasses import replace
from functools import lru_cache

from sqlalchemy import and_, bindparam, delete, insert, select, update

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput, NotFound
from pennyspeed.domain.kinds import EXTRAS
from pennyspeed.domain.names import free_name
from pennyspeed.domain.parts.parts import Part
from pennyspeed.storage.listed import Listed
from pennyspeed.storage.money_rows import (
    EMPTY,
    LINE_COLUMNS,
    ORDER_COLUMNS,
    RATE_COLUMNS,
    line_values,
    order_values,
    rate_values,
)
from pennyspeed.storage.part_statements import CURRENT, WITH_PRICE
from pennyspeed.storage.parts import Parts, now_text
from pennyspeed.storage.prepared import Prepared
from pennyspeed.storage.rows import (
    BUILD_COLUMNS,
    COUNTED_KINDS,
    ENTRY_COLUMNS,
    BuildEntry,
    build_of,
    build_values,
    entry_of,
    part_of,
    placed_parts,
)
from pennyspeed.storage.settings import Settings
from pennyspeed.storage.tables import (
    BUILD,
    BUILD_LINE,
    BUILD_ORDER,
    BUILD_PART,
    BUILD_RATE,
    PART,
    PRICE,
)

_ENTRIES = Prepared(
    select(*(BUILD.c[name] for name in ENTRY_COLUMNS)).order_by(
        BUILD.c.changed.desc(), BUILD.c.id.desc()
    )
)
_BY_ID = Prepared(
    select(*(BUILD.c[name] for name in BUILD_COLUMNS)).where(BUILD.c.id == bindparam("id"))
)
_PARTS = Prepared(
    select(BUILD_PART.c.slot, BUILD_PART.c.position, *WITH_PRICE)
    .select_from(BUILD_PART.join(PART, PART.c.id == BUILD_PART.c.part_id).outerjoin(PRICE, CURRENT))
    .where(BUILD_PART.c.build_id == bindparam("id"))
    .order_by(BUILD_PART.c.slot, BUILD_PART.c.position)
)
_ID_BY_NAME = Prepared(select(BUILD.c.id).where(BUILD.c.name == bindparam("wanted")))
_ID_BY_CODE = Prepared(select(BUILD.c.id).where(BUILD.c.code == bindparam("wanted")))

_VALUES = tuple(name for name in BUILD_COLUMNS if name not in ("id", "code", "revision"))
_ADD = Prepared(insert(BUILD), (*BUILD_COLUMNS, "created", "changed"))
_CHANGE = Prepared(
    update(BUILD).where(BUILD.c.id == bindparam("at")), (*_VALUES, "revision", "changed")
)
_DELETE = Prepared(delete(BUILD).where(BUILD.c.id == bindparam("id")))
_AT_SLOT = and_(
    BUILD_PART.c.build_id == bindparam("at"),
    BUILD_PART.c.slot == bindparam("at_slot"),
    BUILD_PART.c.position == bindparam("at_position"),
)
_PLACE = Prepared(insert(BUILD_PART), ("build_id", "slot", "position", "part_id"))
_REPLACE = Prepared(update(BUILD_PART).where(_AT_SLOT), ("part_id",))
_CLEAR = Prepared(delete(BUILD_PART).where(_AT_SLOT))
_LINES = Listed(BUILD_LINE, LINE_COLUMNS)
_ORDERS = Listed(BUILD_ORDER, ORDER_COLUMNS)
_RATES = Listed(BUILD_RATE, RATE_COLUMNS)

# Every save reads the build's parts again, nearly always as they were.
_part = lru_cache(maxsize=256)(part_of)

# Read aloud and typed from a printed sheet: no letter that looks like a digit, no vowel.
_ALPHABET = "23456789BCDFGHJKMNPQRSTVWXZ"
_CODE_LENGTH = 6


class Builds:
    """The builds within one transaction."""

    def __init__(self, connection: sqlite3.Connection, parts: Parts) -> None:
        self._connection, self._parts = connection, parts

    def entries(self) -> list[BuildEntry]:
        """Return every build, the one changed last first."""
        return [entry_of(row) for row in _ENTRIES.run(self._connection).fetchall()]

    def get(self, id: int) -> Build:
        """Return one build, or raise NotFound."""
        row = _BY_ID.run(self._connection, id=id).fetchone()
        if row is None:
            raise NotFound(f"There is no build number {id}.")
        placed = [(slot, part) for (slot, _), part in self._placed(id).items()]
        money = (table.of(self._connection, id) for table in (_LINES, _ORDERS, _RATES))
        counted = Settings(self._connection).get(COUNTED_KINDS)
        return build_of(row, placed, *money, counted=counted)

    def _placed(self, id: int) -> dict[tuple[str, int], Part]:
        """Return the stored parts by slot and position."""
        rows = _PARTS.run(self._connection, id=id).fetchall()
        return {(row[0], row[1]): _part(row[2:]) for row in rows}

    def free_name(self, name: str) -> str:
        """Return `name`, with a number behind it where another build has it already."""
        return free_name(name, {entry.name for entry in self.entries()}, "{} ({})")

    def save(self, build: Build) -> Build:
        """Store a build and return it as stored.

        One without a number, or whose number is gone, is added. Parts without a number are looked
        up in the catalogue, and added to it where it lacks them. What did not change is not
        written; where nothing did, the revision stays.

        Raises
        ------
        BadInput
            Where another build has the name.
        """
        counted = Settings(self._connection).get(COUNTED_KINDS)
        build = self._with_numbered_parts(build)
        build = replace(build, counted_kinds=json.loads(counted or EMPTY))
        values = build_values(build)
        row = None
        if build.id is not None:
            row = _BY_ID.run(self._connection, id=build.id).fetchone()
        stored = {} if row is None else dict(zip(BUILD_COLUMNS, row, strict=True))
        # A name of its own is in nobody else's way.
        is_named_anew = stored.get("name") != build.name
        if is_named_anew and _ID_BY_NAME.run(self._connection, wanted=build.name).fetchone():
            raise BadInput("name", build.name, "a name that no other build has")
        if not stored:
            return self._add(build)
        id, code, revision = stored["id"], stored["code"], stored["revision"]
        build, other_parts = self._change_parts(id, build)
        other_money = self._change_money(id, build)
        if other_parts or other_money or any(stored[key] != values[key] for key in _VALUES):
            revision += 1
            _CHANGE.run(self._connection, at=id, **values, revision=revision, changed=now_text())
        return replace(build, code=code, revision=revision)

    def _with_numbered_parts(self, build: Build) -> Build:
        if all(part.id is not None for part in (*build.parts.values(), *build.extras)):
            return build
        return replace(
            build,
            parts={slot: self._numbered(part) for slot, part in build.parts.items()},
            extras=tuple(self._numbered(part) for part in build.extras),
        )

    def _numbered(self, part: Part) -> Part:
        if part.id is not None:
            return part
        return self._parts.like(part) or self._parts.save(part)

    def _add(self, build: Build) -> Build:
        code = build.code
        while not code or _ID_BY_CODE.run(self._connection, wanted=code).fetchone():
            code = "".join(secrets.choice(_ALPHABET) for _ in range(_CODE_LENGTH))
        now = now_text()
        build = replace(build, code=code, revision=build.revision + 1)
        added = _ADD.run(
            self._connection,
            id=build.id,
            code=code,
            revision=build.revision,
            created=now,
            changed=now,
            **build_values(build),
        )
        id = added.lastrowid
        assert id is not None
        build, _ = self._change_parts(id, build)
        self._change_money(id, build)
        return replace(build, id=id)

    def _change_parts(self, id: int, build: Build) -> tuple[Build, bool]:
        """Write the slots that differ; return the build as stored, and whether any did.

        The catalogue's figures hold: an undone step may carry parts as they once were.
        """
        stored, wanted = self._placed(id), placed_parts(build)
        gone = stored.keys() - wanted.keys()
        for slot, position in gone:
            _CLEAR.run(self._connection, at=id, at_slot=slot, at_position=position)
        changed = bool(gone)
        for (slot, position), part in wanted.items():
            old = stored.get((slot, position))
            if old is not None and old.id == part.id:
                wanted[slot, position] = _same(part, old)
                continue
            changed = True
            wanted[slot, position] = self._in_catalogue(part)
            if old is None:
                _PLACE.run(
                    self._connection, build_id=id, slot=slot, position=position, part_id=part.id
                )
            else:
                _REPLACE.run(
                    self._connection,
                    at=id,
                    at_slot=slot,
                    at_position=position,
                    part_id=part.id,
                )
        parts = {slot: wanted[slot, 0] for slot in build.parts}
        extras = tuple(wanted[EXTRAS.key, i] for i in range(len(build.extras)))
        return replace(build, parts=parts, extras=extras), changed

    def _in_catalogue(self, part: Part) -> Part:
        """Return the catalogue's own; a part deleted meanwhile comes back with an undone step."""
        assert part.id is not None
        found = self._parts.find(part.id)
        return self._parts.save(part) if found is None else _same(part, found)

    def _change_money(self, id: int, build: Build) -> bool:
        """Write the lines, orders and rates that differ; tell whether any did."""
        changed = [
            table.write(self._connection, id, rows)
            for table, rows in (
                (_LINES, [line_values(line) for line in build.lines]),
                (_ORDERS, [order_values(order) for order in build.orders]),
                (_RATES, [rate_values(rate) for rate in build.rates]),
            )
        ]
        return any(changed)

    def delete(self, id: int) -> Build:
        """Delete a build and return what it was; :meth:`save` of that brings it back."""
        build = self.get(id)
        _DELETE.run(self._connection, id=id)
        return build


def _same(part: Part, stored: Part) -> Part:
    """Return `part` itself where it is as it is stored, so that what hangs on it stays valid."""
    return part if part is stored or part == stored else stored
