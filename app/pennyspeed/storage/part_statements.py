"""What is asked of the catalogue's tables, compiled once."""

from __future__ import annotations

from typing import Any

from sqlalchemy import Select, bindparam, column, delete, func, insert, select, table, update
from sqlalchemy.sql.elements import ColumnElement

from pennyspeed.storage.prepared import Prepared
from pennyspeed.storage.rows import PART_COLUMNS, PRICE_COLUMNS
from pennyspeed.storage.tables import BUILD, BUILD_LINE, BUILD_PART, PART, PRICE

WITH_PRICE: tuple[ColumnElement[Any], ...] = (
    *(PART.c[name] for name in PART_COLUMNS),
    *(PRICE.c[name] for name in PRICE_COLUMNS),
)
CURRENT = (PRICE.c.part_id == PART.c.id) & (PRICE.c.is_current == 1)
VALUES = PART_COLUMNS[1:]

_PARTS: Select[Any] = select(*WITH_PRICE).select_from(PART.outerjoin(PRICE, CURRENT))
_KIND = _PARTS.where(PART.c.kind == bindparam("kind"))
OF_KIND = Prepared(_KIND)
IN_USE = Prepared(_KIND.where(PART.c.archived == 0))
NAMED = Prepared(_KIND.where(PART.c.name == bindparam("name")).order_by(PART.c.archived, PART.c.id))
BY_ID = Prepared(_PARTS.where(PART.c.id == bindparam("id")))
COUNT = Prepared(select(func.count()).select_from(PART))
STORED = Prepared(select(*(PART.c[name] for name in VALUES)).where(PART.c.id == bindparam("id")))
ADD = Prepared(insert(PART), ("id", *VALUES, "created", "changed"))
CHANGE = Prepared(update(PART).where(PART.c.id == bindparam("at")), (*VALUES, "changed"))
# As many numbers as there are, in one parameter.
_WANTED = select(func.json_each(bindparam("ids")).table_valued("value").c.value)
THOSE = Prepared(_PARTS.where(PART.c.id.in_(_WANTED)))
THEIR_PRICES = Prepared(
    select(PRICE.c.part_id, *(PRICE.c[name] for name in PRICE_COLUMNS))
    .where(PRICE.c.part_id.in_(_WANTED))
    .order_by(PRICE.c.on_date.desc(), PRICE.c.id.desc())
)
DELETE = Prepared(delete(PART).where(PART.c.id.in_(_WANTED)))
PRESENT = Prepared(select(PART.c.id).where(PART.c.id.in_(_WANTED)))
HISTORY = Prepared(
    select(PRICE.c.id, PRICE.c.is_current, *(PRICE.c[name] for name in PRICE_COLUMNS))
    .where(PRICE.c.part_id == bindparam("part"))
    .order_by(PRICE.c.on_date.desc(), PRICE.c.id.desc())
)
ADD_PRICE = Prepared(insert(PRICE), ("part_id", *PRICE_COLUMNS, "is_current"))
SET_CURRENT = Prepared(update(PRICE).where(PRICE.c.id == bindparam("at")), ("is_current",))
# Numbers of deleted parts are not handed out again, and stand in SQLite's own table.
LAST = Prepared(
    select(column("seq")).select_from(table("sqlite_sequence")).where(column("name") == PART.name)
)
DROP_PRICE = Prepared(
    delete(PRICE).where(
        PRICE.c.part_id == bindparam("part"),
        PRICE.c.is_current == 0,
        *(PRICE.c[name].is_not_distinct_from(bindparam(name)) for name in PRICE_COLUMNS),
    )
)
RENAME_LINES = Prepared(
    update(BUILD_LINE).where(
        BUILD_LINE.c.part == bindparam("kind"), BUILD_LINE.c.name == bindparam("old")
    ),
    ("name",),
)
USERS = Prepared(
    select(PART.c.name, BUILD.c.name)
    .distinct()
    .select_from(BUILD_PART.join(PART, PART.c.id == BUILD_PART.c.part_id))
    .join(BUILD, BUILD.c.id == BUILD_PART.c.build_id)
    .where(PART.c.id.in_(_WANTED))
    .order_by(PART.c.id, BUILD.c.name)
)
