"""The tables.

Figures, conditions, provenance and spread are JSON text, checked by SQLite: the domain declares
each kind's fields once, and a new field must not need a migration. Money is whole minor units or
decimal text, and the tables are STRICT, so that SQLite itself refuses a float there. Times are ISO
8601 in UTC.

Of SQLAlchemy only the Core: nothing here needs its ORM, which every window would pay for.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    REAL,
    CheckConstraint,
    Column,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
    text,
)

METADATA = MetaData(
    # Every constraint has a name, or a later migration could not drop it.
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)
"""Every table."""


def _required(name: str, type_: type[Integer | Text], *more: ForeignKey) -> Column[Any]:
    return Column(name, type_, *more, nullable=False)


def _id() -> Column[Any]:
    return Column("id", Integer, primary_key=True)


def _build_id() -> Column[Any]:
    return Column("build_id", Integer, ForeignKey("build.id", ondelete="CASCADE"), primary_key=True)


def _position() -> Column[Any]:
    return Column("position", Integer, primary_key=True)


def _json(column: str) -> CheckConstraint:
    return CheckConstraint(f"json_valid({column})", name=column)


def _flag(column: str) -> CheckConstraint:
    return CheckConstraint(f"{column} IN (0, 1)", name=column)


def _filled(column: str) -> CheckConstraint:
    return CheckConstraint(f"{column} <> ''", name=column)


def _currency() -> CheckConstraint:
    return CheckConstraint("length(currency) = 3", name="currency")


PART = Table(
    "part",
    METADATA,
    _id(),
    _required("kind", Text),
    _required("name", Text),
    _required("figures", Text),
    _required("provenance", Text),
    _required("spread", Text),
    _required("unknown_keys", Text),
    _required("note", Text),
    _required("picture", Text),
    _required("archived", Integer),
    Column("recipe", Text),
    _required("created", Text),
    _required("changed", Text),
    _json("figures"),
    _json("provenance"),
    _json("spread"),
    _json("unknown_keys"),
    CheckConstraint("recipe IS NULL OR json_valid(recipe)", name="recipe"),
    _flag("archived"),
    _filled("name"),
    Index(None, "kind", "name"),
    sqlite_strict=True,
    # Numbers handed out once are never used again: a deleted part comes back under its own.
    sqlite_autoincrement=True,
)
"""The parts of the catalogue."""

PRICE = Table(
    "price",
    METADATA,
    _id(),
    _required("part_id", Integer, ForeignKey("part.id", ondelete="CASCADE")),
    _required("minor", Integer),
    _required("currency", Text),
    _required("on_date", Text),
    _required("supplier", Text),
    _required("link", Text),
    Column("in_stock", Integer),
    Column("lead_days", Integer),
    _required("is_current", Integer),
    _currency(),
    _flag("is_current"),
    Index(None, "part_id", "on_date"),
    Index("uq_price_current", "part_id", unique=True, sqlite_where=text("is_current = 1")),
    sqlite_strict=True,
)
"""What a supplier asked for a part on a day; one of a part's prices is the current one."""

BUILD = Table(
    "build",
    METADATA,
    _id(),
    _required("code", Text),
    _required("name", Text),
    Column("target_kmh", REAL),
    _required("currency", Text),
    Column("cap_minor", Integer),
    Column("event_date", Text),
    _required("conditions", Text),
    _required("unknown_keys", Text),
    _required("revision", Integer),
    _required("created", Text),
    _required("changed", Text),
    _json("conditions"),
    _json("unknown_keys"),
    _filled("name"),
    _currency(),
    UniqueConstraint("code"),
    UniqueConstraint("name"),
    sqlite_strict=True,
    # As for parts.
    sqlite_autoincrement=True,
)
"""The builds; their parts and lines of money stand in tables of their own."""

BUILD_PART = Table(
    "build_part",
    METADATA,
    _build_id(),
    Column("slot", Text, primary_key=True),
    _position(),
    _required("part_id", Integer, ForeignKey("part.id", ondelete="RESTRICT")),
    CheckConstraint("position = 0 OR slot = 'extras' AND position > 0", name="position"),
    Index(None, "part_id"),
    sqlite_strict=True,
)
"""The part in a build's slot; only extras have more than the one position 0."""

BUILD_LINE = Table(
    "build_line",
    METADATA,
    _build_id(),
    _position(),
    _required("part", Text),
    _required("name", Text),
    _required("quantity", Text),
    Column("unit_price", Text),
    _required("status", Text),
    _required("counts", Integer),
    _required("supplier", Text),
    _required("order_number", Text),
    Column("arrives", Text),
    _required("unknown_keys", Text),
    _required("currency", Text),
    Column("rate", Text),
    Column("rate_on", Text),
    Column("ordered", Text),
    Column("arrived", Text),
    Column("came", Text),
    Column("refund", Text),
    Column("mass_g", Text),
    _required("fitted", Integer),
    _json("unknown_keys"),
    _flag("counts"),
    _flag("fitted"),
    sqlite_strict=True,
)
"""The lines of a build's money."""

BUILD_ORDER = Table(
    "build_order",
    METADATA,
    _build_id(),
    _position(),
    _required("reference", Text),
    _required("supplier", Text),
    _required("currency", Text),
    Column("rate", Text),
    Column("rate_on", Text),
    _required("postage", Text),
    _required("duty", Text),
    _required("discount", Text),
    _required("share_by", Text),
    Column("ordered", Text),
    Column("expected", Text),
    Column("arrived", Text),
    _required("note", Text),
    _required("unknown_keys", Text),
    _json("unknown_keys"),
    _filled("reference"),
    UniqueConstraint("build_id", "reference"),
    sqlite_strict=True,
)
"""The orders of a build's lines, which name their reference."""

BUILD_RATE = Table(
    "build_rate",
    METADATA,
    _build_id(),
    _position(),
    _required("currency", Text),
    _required("rate", Text),
    _required("on_date", Text),
    _required("source", Text),
    _currency(),
    sqlite_strict=True,
)
"""The exchange rates of a build."""

SUPPLIER = Table(
    "supplier",
    METADATA,
    Column("name", Text, primary_key=True),
    _required("currency", Text),
    _required("postage", Text),
    Column("free_from", Text),
    Column("lead_days", Integer),
    _required("duty_percent", Text),
    _required("note", Text),
    _filled("name"),
    _currency(),
    sqlite_strict=True,
)
"""Those who sell parts, and what sending them costs."""

SETTING = Table(
    "setting",
    METADATA,
    Column("key", Text, primary_key=True),
    _required("value", Text),
    sqlite_strict=True,
)
"""What belongs to the file rather than to a person's desk, such as the build shown last."""
