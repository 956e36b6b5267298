"""Money: orders, exchange rates, suppliers, recipes, and what lines and prices know of them.

Tables that get columns are made anew, so that a file that was brought up to date is the same to the
letter as a new one.
"""

import sqlalchemy as sa
from alembic import op

from pennyspeed.storage.migrations.made_anew import made_anew

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def _json(table: str, *names: str) -> list[sa.CheckConstraint]:
    return [sa.CheckConstraint(f"json_valid({n})", name=op.f(f"ck_{table}_{n}")) for n in names]


def _flag(table: str, name: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(f"{name} IN (0, 1)", name=op.f(f"ck_{table}_{name}"))


def _text(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text(), nullable=False) for name in names]


def _text_or_null(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text(), nullable=True) for name in names]


def _whole_or_null(*names: str) -> list[sa.Column[int]]:
    return [sa.Column(name, sa.Integer(), nullable=True) for name in names]


def _of_build(table: str) -> list[sa.Constraint]:
    return [
        sa.ForeignKeyConstraint(
            ["build_id"],
            ["build.id"],
            name=op.f(f"fk_{table}_build_id_build"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("build_id", "position", name=op.f(f"pk_{table}")),
    ]


def _place() -> list[sa.Column[int]]:
    return [sa.Column(name, sa.Integer(), nullable=False) for name in ("build_id", "position")]


def upgrade() -> None:
    """Add the tables and columns of money."""
    with made_anew("part", {"recipe": "NULL"}):
        op.create_table(
            "part",
            sa.Column("id", sa.Integer(), nullable=False),
            *_text("kind", "name", "figures", "provenance", "unknown_keys", "note", "picture"),
            sa.Column("archived", sa.Integer(), nullable=False),
            *_text_or_null("recipe"),
            *_text("created", "changed"),
            sa.PrimaryKeyConstraint("id", name=op.f("pk_part")),
            *_json("part", "figures", "provenance", "unknown_keys"),
            sa.CheckConstraint("recipe IS NULL OR json_valid(recipe)", name=op.f("ck_part_recipe")),
            _flag("part", "archived"),
            sa.CheckConstraint("name <> ''", name=op.f("ck_part_name")),
            sqlite_strict=True,
            sqlite_autoincrement=True,
        )
        op.create_index(op.f("ix_part_kind_name"), "part", ["kind", "name"])
    with made_anew("price", {"in_stock": "NULL", "lead_days": "NULL"}):
        op.create_table(
            "price",
            sa.Column("id", sa.Integer(), nullable=False),
            sa.Column("part_id", sa.Integer(), nullable=False),
            sa.Column("minor", sa.Integer(), nullable=False),
            *_text("currency", "on_date", "supplier", "link"),
            *_whole_or_null("in_stock", "lead_days"),
            sa.Column("is_current", sa.Integer(), nullable=False),
            sa.ForeignKeyConstraint(
                ["part_id"], ["part.id"], name=op.f("fk_price_part_id_part"), ondelete="CASCADE"
            ),
            sa.PrimaryKeyConstraint("id", name=op.f("pk_price")),
            sa.CheckConstraint("length(currency) = 3", name=op.f("ck_price_currency")),
            _flag("price", "is_current"),
            sqlite_strict=True,
        )
        op.create_index(op.f("ix_price_part_id_on_date"), "price", ["part_id", "on_date"])
        op.create_index(
            "uq_price_current",
            "price",
            ["part_id"],
            unique=True,
            sqlite_where=sa.text("is_current = 1"),
        )
    with made_anew("build_line", {"currency": "''", "fitted": "1"}):
        op.create_table(
            "build_line",
            *_place(),
            *_text("part", "name", "quantity"),
            *_text_or_null("unit_price"),
            *_text("status"),
            sa.Column("counts", sa.Integer(), nullable=False),
            *_text("supplier", "order_number"),
            *_text_or_null("arrives"),
            *_text("unknown_keys", "currency"),
            *_text_or_null("rate", "rate_on", "ordered", "arrived", "came", "refund", "mass_g"),
            sa.Column("fitted", sa.Integer(), nullable=False),
            *_of_build("build_line"),
            *_json("build_line", "unknown_keys"),
            _flag("build_line", "counts"),
            _flag("build_line", "fitted"),
            sqlite_strict=True,
        )
    op.create_table(
        "build_order",
        *_place(),
        *_text("reference", "supplier", "currency"),
        *_text_or_null("rate", "rate_on"),
        *_text("postage", "duty", "discount", "share_by"),
        *_text_or_null("ordered", "expected", "arrived"),
        *_text("note", "unknown_keys"),
        *_of_build("build_order"),
        sa.UniqueConstraint(
            "build_id", "reference", name=op.f("uq_build_order_build_id_reference")
        ),
        *_json("build_order", "unknown_keys"),
        sa.CheckConstraint("reference <> ''", name=op.f("ck_build_order_reference")),
        sqlite_strict=True,
    )
    op.create_table(
        "build_rate",
        *_place(),
        *_text("currency", "rate", "on_date", "source"),
        *_of_build("build_rate"),
        sa.CheckConstraint("length(currency) = 3", name=op.f("ck_build_rate_currency")),
        sqlite_strict=True,
    )
    op.create_table(
        "supplier",
        *_text("name", "currency", "postage"),
        *_text_or_null("free_from"),
        *_whole_or_null("lead_days"),
        *_text("duty_percent", "note"),
        sa.PrimaryKeyConstraint("name", name=op.f("pk_supplier")),
        sa.CheckConstraint("name <> ''", name=op.f("ck_supplier_name")),
        sa.CheckConstraint("length(currency) = 3", name=op.f("ck_supplier_currency")),
        sqlite_strict=True,
    )
