"""Statements that are compiled once and run at the driver's speed.

A swapped part is stored inside the frame that shows it. Run through SQLAlchemy's own execution its
eight statements cost twice as much as SQLite and everything else together; so SQLAlchemy writes the
SQL once, and the driver runs it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Mapping
from typing import Any

from sqlalchemy.dialects import sqlite
from sqlalchemy.sql.expression import ClauseElement

from pennyspeed.domain.errors import Defect

_DIALECT = sqlite.dialect(paramstyle="named")


class Prepared:
    """A statement with parameters by name.

    Parameters
    ----------
    statement : ClauseElement
        Of SQLAlchemy; each ``bindparam`` becomes a parameter.
    columns : iterable of str, optional
        Columns that an insert or update writes, each a parameter of that name.
    """

    __slots__ = ("_constants", "sql")

    def __init__(self, statement: ClauseElement, columns: Iterable[str] | None = None) -> None:
        keys = None if columns is None else list(columns)
        compiled = statement.compile(dialect=_DIALECT, column_keys=keys)
        self.sql = str(compiled)
        self._constants = {k: v for k, v in compiled.params.items() if v is not None}

    def run(self, connection: sqlite3.Connection, **parameters: Any) -> sqlite3.Cursor:
        """Run it within the transaction that is open; rows come as plain tuples."""
        if not connection.in_transaction:
            raise Defect("a statement was run after its transaction had ended")
        return connection.execute(self.sql, {**self._constants, **parameters})

    def run_many(
        self, connection: sqlite3.Connection, parameters: Iterable[Mapping[str, Any]]
    ) -> None:
        """Run it once for each mapping."""
        if not connection.in_transaction:
            raise Defect("a statement was run after its transaction had ended")
        connection.executemany(self.sql, ({**self._constants, **one} for one in parameters))
