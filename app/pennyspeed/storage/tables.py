"""The tables, as typed rows.

Figures, conditions and provenance are JSON text, checked by SQLite: the domain declares each kind's
fields once, and a new field must not need a migration. Money is whole minor units or decimal text,
and the tables are STRICT, so that SQLite itself refuses a float there. Times are ISO 8601 in UTC.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    REAL,
    CheckConstraint,
    ForeignKey,
    Index,
    Integer,
    MetaData,
    Table,
    Text,
    UniqueConstraint,
    text,
)
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column

NAMES = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}
"""Every constraint has a name, or a later migration could not drop it."""

# Numbers handed out once are never used again: a deleted build comes back under its own.
_KEPT = {"sqlite_strict": True, "sqlite_autoincrement": True}
_STRICT = {"sqlite_strict": True}


class Base(DeclarativeBase):
    """Root of the rows."""

    metadata = MetaData(naming_convention=NAMES)
    type_annotation_map = {str: Text, int: Integer, float: REAL}  # noqa: RUF012


def table_of(row: type[Base]) -> Table:
    """Return the table of a row's class."""
    table = row.__table__
    assert isinstance(table, Table)
    return table


def _json(column: str) -> CheckConstraint:
    return CheckConstraint(f"json_valid({column})", name=column)


def _flag(column: str) -> CheckConstraint:
    return CheckConstraint(f"{column} IN (0, 1)", name=column)


class PartRow(Base):
    """A part of the catalogue."""

    __tablename__ = "part"
    __table_args__: Any = (
        _json("figures"),
        _json("provenance"),
        _json("unknown_keys"),
        CheckConstraint("recipe IS NULL OR json_valid(recipe)", name="recipe"),
        _flag("archived"),
        CheckConstraint("name <> ''", name="name"),
        Index(None, "kind", "name"),
        _KEPT,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    kind: Mapped[str]
    name: Mapped[str]
    figures: Mapped[str]
    provenance: Mapped[str]
    unknown_keys: Mapped[str]
    note: Mapped[str]
    picture: Mapped[str]
    archived: Mapped[int]
    recipe: Mapped[str | None]
    created: Mapped[str]
    changed: Mapped[str]


class PriceRow(Base):
    """What a supplier asked for a part on a day; one of a part's prices is the current one."""

    __tablename__ = "price"
    __table_args__: Any = (
        CheckConstraint("length(currency) = 3", name="currency"),
        _flag("is_current"),
        Index(None, "part_id", "on_date"),
        Index("uq_price_current", "part_id", unique=True, sqlite_where=text("is_current = 1")),
        _STRICT,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    part_id: Mapped[int] = mapped_column(ForeignKey("part.id", ondelete="CASCADE"))
    minor: Mapped[int]
    currency: Mapped[str]
    on_date: Mapped[str]
    supplier: Mapped[str]
    link: Mapped[str]
    in_stock: Mapped[int | None]
    lead_days: Mapped[int | None]
    is_current: Mapped[int]


class BuildRow(Base):
    """A build; its parts and lines of money stand in tables of their own."""

    __tablename__ = "build"
    __table_args__: Any = (
        _json("conditions"),
        _json("unknown_keys"),
        CheckConstraint("name <> ''", name="name"),
        CheckConstraint("length(currency) = 3", name="currency"),
        UniqueConstraint("code"),
        UniqueConstraint("name"),
        _KEPT,
    )

    id: Mapped[int] = mapped_column(primary_key=True)
    code: Mapped[str]
    name: Mapped[str]
    target_kmh: Mapped[float | None]
    currency: Mapped[str]
    cap_minor: Mapped[int | None]
    event_date: Mapped[str | None]
    conditions: Mapped[str]
    unknown_keys: Mapped[str]
    revision: Mapped[int]
    created: Mapped[str]
    changed: Mapped[str]


class BuildPartRow(Base):
    """A part in a build's slot; only extras have more than the one position 0."""

    __tablename__ = "build_part"
    __table_args__: Any = (
        CheckConstraint("position = 0 OR slot = 'extras' AND position > 0", name="position"),
        Index(None, "part_id"),
        _STRICT,
    )

    build_id: Mapped[int] = mapped_column(
        ForeignKey("build.id", ondelete="CASCADE"), primary_key=True
    )
    slot: Mapped[str] = mapped_column(primary_key=True)
    position: Mapped[int] = mapped_column(primary_key=True)
    part_id: Mapped[int] = mapped_column(ForeignKey("part.id", ondelete="RESTRICT"))


class BuildLineRow(Base):
    """A line of a build's money."""

    __tablename__ = "build_line"
    __table_args__: Any = (
        _json("unknown_keys"),
        _flag("counts"),
        _flag("fitted"),
        _STRICT,
    )

    build_id: Mapped[int] = mapped_column(
        ForeignKey("build.id", ondelete="CASCADE"), primary_key=True
    )
    position: Mapped[int] = mapped_column(primary_key=True)
    part: Mapped[str]
    name: Mapped[str]
    quantity: Mapped[str]
    unit_price: Mapped[str | None]
    status: Mapped[str]
    counts: Mapped[int]
    supplier: Mapped[str]
    order_number: Mapped[str]
    arrives: Mapped[str | None]
    unknown_keys: Mapped[str]
    currency: Mapped[str]
    rate: Mapped[str | None]
    rate_on: Mapped[str | None]
    ordered: Mapped[str | None]
    arrived: Mapped[str | None]
    came: Mapped[str | None]
    refund: Mapped[str | None]
    mass_g: Mapped[str | None]
    fitted: Mapped[int]


class BuildOrderRow(Base):
    """An order of a build's lines, which name its reference."""

    __tablename__ = "build_order"
    __table_args__: Any = (
        _json("unknown_keys"),
        CheckConstraint("reference <> ''", name="reference"),
        UniqueConstraint("build_id", "reference"),
        _STRICT,
    )

    build_id: Mapped[int] = mapped_column(
        ForeignKey("build.id", ondelete="CASCADE"), primary_key=True
    )
    position: Mapped[int] = mapped_column(primary_key=True)
    reference: Mapped[str]
    supplier: Mapped[str]
    currency: Mapped[str]
    rate: Mapped[str | None]
    rate_on: Mapped[str | None]
    postage: Mapped[str]
    duty: Mapped[str]
    discount: Mapped[str]
    share_by: Mapped[str]
    ordered: Mapped[str | None]
    expected: Mapped[str | None]
    arrived: Mapped[str | None]
    note: Mapped[str]
    unknown_keys: Mapped[str]


class BuildRateRow(Base):
    """An exchange rate of a build."""

    __tablename__ = "build_rate"
    __table_args__: Any = (CheckConstraint("length(currency) = 3", name="currency"), _STRICT)

    build_id: Mapped[int] = mapped_column(
        ForeignKey("build.id", ondelete="CASCADE"), primary_key=True
    )
    position: Mapped[int] = mapped_column(primary_key=True)
    currency: Mapped[str]
    rate: Mapped[str]
    on_date: Mapped[str]
    source: Mapped[str]


class SupplierRow(Base):
    """Somebody who sells parts, and what sending them costs."""

    __tablename__ = "supplier"
    __table_args__: Any = (
        CheckConstraint("name <> ''", name="name"),
        CheckConstraint("length(currency) = 3", name="currency"),
        _STRICT,
    )

    name: Mapped[str] = mapped_column(primary_key=True)
    currency: Mapped[str]
    postage: Mapped[str]
    free_from: Mapped[str | None]
    lead_days: Mapped[int | None]
    duty_percent: Mapped[str]
    note: Mapped[str]


class SettingRow(Base):
    """What belongs to the file rather than to a person's desk, such as the build shown last."""

    __tablename__ = "setting"
    __table_args__: Any = (_STRICT,)

    key: Mapped[str] = mapped_column(primary_key=True)
    value: Mapped[str]
