"""The first tables: catalogue, builds, settings."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None


def _json(table: str, *names: str) -> list[sa.CheckConstraint]:
    return [sa.CheckConstraint(f"json_valid({n})", name=op.f(f"ck_{table}_{n}")) for n in names]


def _flag(table: str, name: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(f"{name} IN (0, 1)", name=op.f(f"ck_{table}_{name}"))


def _text(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text(), nullable=False) for name in names]


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "part",
        sa.Column("id", sa.Integer(), nullable=False),
        *_text("kind", "name", "figures", "provenance", "unknown_keys", "note", "picture"),
        sa.Column("archived", sa.Integer(), nullable=False),
        *_text("created", "changed"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_part")),
        *_json("part", "figures", "provenance", "unknown_keys"),
        _flag("part", "archived"),
        sa.CheckConstraint("name <> ''", name=op.f("ck_part_name")),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_index(op.f("ix_part_kind_name"), "part", ["kind", "name"])
    op.create_table(
        "price",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("part_id", sa.Integer(), nullable=False),
        sa.Column("minor", sa.Integer(), nullable=False),
        *_text("currency", "on_date", "supplier", "link"),
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
    op.create_table(
        "build",
        sa.Column("id", sa.Integer(), nullable=False),
        *_text("code", "name"),
        sa.Column("target_kmh", sa.REAL(), nullable=True),
        *_text("currency"),
        sa.Column("cap_minor", sa.Integer(), nullable=True),
        sa.Column("event_date", sa.Text(), nullable=True),
        *_text("conditions", "unknown_keys"),
        sa.Column("revision", sa.Integer(), nullable=False),
        *_text("created", "changed"),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_build")),
        sa.UniqueConstraint("code", name=op.f("uq_build_code")),
        sa.UniqueConstraint("name", name=op.f("uq_build_name")),
        *_json("build", "conditions", "unknown_keys"),
        sa.CheckConstraint("name <> ''", name=op.f("ck_build_name")),
        sa.CheckConstraint("length(currency) = 3", name=op.f("ck_build_currency")),
        sqlite_strict=True,
        sqlite_autoincrement=True,
    )
    op.create_table(
        "build_part",
        sa.Column("build_id", sa.Integer(), nullable=False),
        *_text("slot"),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("part_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["build_id"],
            ["build.id"],
            name=op.f("fk_build_part_build_id_build"),
            ondelete="CASCADE",
        ),
        sa.ForeignKeyConstraint(
            ["part_id"], ["part.id"], name=op.f("fk_build_part_part_id_part"), ondelete="RESTRICT"
        ),
        sa.PrimaryKeyConstraint("build_id", "slot", "position", name=op.f("pk_build_part")),
        sa.CheckConstraint(
            "position = 0 OR slot = 'extras' AND position > 0", name=op.f("ck_build_part_position")
        ),
        sqlite_strict=True,
    )
    op.create_index(op.f("ix_build_part_part_id"), "build_part", ["part_id"])
    op.create_table(
        "build_line",
        sa.Column("build_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        *_text("part", "name", "quantity"),
        sa.Column("unit_price", sa.Text(), nullable=True),
        *_text("status"),
        sa.Column("counts", sa.Integer(), nullable=False),
        *_text("supplier", "order_number"),
        sa.Column("arrives", sa.Text(), nullable=True),
        *_text("unknown_keys"),
        sa.ForeignKeyConstraint(
            ["build_id"],
            ["build.id"],
            name=op.f("fk_build_line_build_id_build"),
            ondelete="CASCADE",
        ),
        sa.PrimaryKeyConstraint("build_id", "position", name=op.f("pk_build_line")),
        *_json("build_line", "unknown_keys"),
        _flag("build_line", "counts"),
        sqlite_strict=True,
    )
    op.create_table(
        "setting",
        *_text("key", "value"),
        sa.PrimaryKeyConstraint("key", name=op.f("pk_setting")),
        sqlite_strict=True,
    )
