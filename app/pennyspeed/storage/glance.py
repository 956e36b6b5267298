"""What a window shows in its first frame, read without SQLAlchemy.

Importing SQLAlchemy takes longer than everything else before the first frame together; so that
frame is read with the standard library, and the database opens behind it.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import FileTrouble
from pennyspeed.domain.kinds import MOTOR
from pennyspeed.domain.parts.parts import Part
from pennyspeed.storage.files import NEWEST_REVISION, reader, revision_of
from pennyspeed.storage.money_rows import LINE_COLUMNS, ORDER_COLUMNS, RATE_COLUMNS
from pennyspeed.storage.place import default_path
from pennyspeed.storage.rows import (
    BUILD_COLUMNS,
    COUNTED_KINDS,
    ENTRY_COLUMNS,
    PART_COLUMNS,
    PRICE_COLUMNS,
    SHOWN_BUILD,
    BuildEntry,
    build_of,
    columns,
    entry_of,
    part_of,
)

_WITH_PRICE = f"{columns(PART_COLUMNS, 'part')}, {columns(PRICE_COLUMNS, 'price')}"
_PRICE = "LEFT JOIN price ON price.part_id = part.id AND price.is_current = 1"
_ENTRIES = f"SELECT {columns(ENTRY_COLUMNS, 'build')} FROM build ORDER BY changed DESC, id DESC"
_BUILD = f"SELECT {columns(BUILD_COLUMNS, 'build')} FROM build WHERE id = ?"
_PLACED = (
    f"SELECT slot, {_WITH_PRICE} FROM build_part JOIN part ON part.id = build_part.part_id {_PRICE}"
    " WHERE build_id = ? ORDER BY slot, position"
)
_LINES, _ORDERS, _RATES = (
    f"SELECT {columns(names, table)} FROM {table} WHERE build_id = ? ORDER BY position"
    for names, table in (
        (LINE_COLUMNS, "build_line"),
        (ORDER_COLUMNS, "build_order"),
        (RATE_COLUMNS, "build_rate"),
    )
)
_PARTS = f"SELECT {_WITH_PRICE} FROM part {_PRICE} WHERE kind = ? AND archived = 0"


@dataclass(frozen=True, slots=True)
class Glance:
    """A file at a glance."""

    build: Build | None
    """The one shown last."""
    entries: tuple[BuildEntry, ...]
    """Every build, the one changed last first."""
    kind_key: str
    parts: tuple[Part, ...]
    """Of that kind, by name."""


def glance(path: Path | None = None, kind_key: str = MOTOR.key) -> Glance | None:
    """Return what the file at `path` (None: the usual place) shows first.

    None where there is no file yet, where it needs an upgrade, and where anything is unusual:
    opening it properly then says what it is.
    """
    path = path or default_path()
    try:
        if revision_of(path) != NEWEST_REVISION:
            return None
        with closing(reader(path)) as connection:
            connection.execute("BEGIN")
            return _read(connection, kind_key)
    except (sqlite3.Error, OSError, FileTrouble, ValueError, LookupError):
        return None


def _read(connection: sqlite3.Connection, kind_key: str) -> Glance:
    entries = tuple(entry_of(row) for row in connection.execute(_ENTRIES))
    shown, counted = (
        connection.execute("SELECT value FROM setting WHERE key = ?", (key,)).fetchone()
        for key in (SHOWN_BUILD, COUNTED_KINDS)
    )
    ids = [entry.id for entry in entries]
    id = int(shown[0]) if shown is not None and int(shown[0]) in ids else next(iter(ids), None)
    build = None
    if id is not None:
        row = connection.execute(_BUILD, (id,)).fetchone()
        placed = [(slot, part_of(part)) for slot, *part in connection.execute(_PLACED, (id,))]
        money = (connection.execute(sql, (id,)).fetchall() for sql in (_LINES, _ORDERS, _RATES))
        build = build_of(row, placed, *money, counted=None if counted is None else counted[0])
    parts = [part_of(row) for row in connection.execute(_PARTS, (kind_key,))]
    parts.sort(key=lambda part: (part.name.casefold(), part.id))
    return Glance(build, entries, kind_key, tuple(parts))
