"""What a build has in a list, each row at its position: written only where it differs."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from typing import Any

from sqlalchemy import Table, bindparam, delete, insert, select

from pennyspeed.storage.prepared import Prepared


class Listed:
    """A table whose key is `build_id` and `position`, with its other columns."""

    def __init__(self, table: Table, columns: Sequence[str]) -> None:
        self._columns = tuple(columns)
        own = table.c.build_id == bindparam("at")
        self._read = Prepared(
            select(*(table.c[name] for name in columns)).where(own).order_by(table.c.position)
        )
        at = table.c.position == bindparam("at_position")
        self._remove = Prepared(delete(table).where(own, at))
        self._add = Prepared(insert(table), ("build_id", "position", *columns))

    def of(self, connection: sqlite3.Connection, id: int) -> list[tuple[Any, ...]]:
        """Return a build's rows in their order."""
        return self._read.run(connection, at=id).fetchall()

    def write(
        self, connection: sqlite3.Connection, id: int, wanted: Sequence[tuple[Any, ...]]
    ) -> bool:
        """Make a build's rows those; tell whether any differed."""
        stored = self.of(connection, id)
        others = [
            position
            for position in range(max(len(stored), len(wanted)))
            if stored[position : position + 1] != list(wanted[position : position + 1])
        ]
        # All that differ go before any comes: two that change places are never there twice.
        for position in others:
            if position < len(stored):
                self._remove.run(connection, at=id, at_position=position)
        for position in others:
            if position < len(wanted):
                values = dict(zip(self._columns, wanted[position], strict=True))
                self._add.run(connection, build_id=id, position=position, **values)
        return bool(others)
