"""Settings that belong to the file."""

from __future__ import annotations

import sqlite3

from sqlalchemy import bindparam, select
from sqlalchemy.dialects.sqlite import insert

from pennyspeed.storage.prepared import Prepared
from pennyspeed.storage.tables import SETTING

_INSERT = insert(SETTING)
_GET = Prepared(select(SETTING.c.value).where(SETTING.c.key == bindparam("key")))
_PUT = Prepared(
    _INSERT.on_conflict_do_update(index_elements=["key"], set_={"value": _INSERT.excluded.value}),
    ("key", "value"),
)


class Settings:
    """Text by key, within one transaction."""

    def __init__(self, connection: sqlite3.Connection) -> None:
        self._connection = connection

    def get(self, key: str) -> str | None:
        """Return what stands under `key`, or None."""
        row = _GET.run(self._connection, key=key).fetchone()
        return None if row is None else str(row[0])

    def put(self, key: str, value: str) -> None:
        """Put `value` under `key`."""
        _PUT.run(self._connection, key=key, value=value)
