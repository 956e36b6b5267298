"""Spread: how sure a part's figures are, where that does not follow from their source."""

import sqlalchemy as sa
from alembic import op

from pennyspeed.storage.migrations.made_anew import made_anew

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None

_JSON = ("figures", "provenance", "spread", "unknown_keys")


def upgrade() -> None:
    """Give parts the column, empty: conditions are JSON and neutral where they are absent."""
    texts = ("kind", "name", *_JSON, "note", "picture")
    with made_anew("part", {"spread": "'{}'"}):
        op.create_table(
            "part",
            sa.Column("id", sa.Integer(), nullable=False),
            *(sa.Column(name, sa.Text(), nullable=False) for name in texts),
            sa.Column("archived", sa.Integer(), nullable=False),
            sa.Column("recipe", sa.Text(), nullable=True),
            *(sa.Column(name, sa.Text(), nullable=False) for name in ("created", "changed")),
            sa.PrimaryKeyConstraint("id", name=op.f("pk_part")),
            *(
                sa.CheckConstraint(f"json_valid({name})", name=op.f(f"ck_part_{name}"))
                for name in _JSON
            ),
            sa.CheckConstraint("recipe IS NULL OR json_valid(recipe)", name=op.f("ck_part_recipe")),
            sa.CheckConstraint("archived IN (0, 1)", name=op.f("ck_part_archived")),
            sa.CheckConstraint("name <> ''", name=op.f("ck_part_name")),
            sqlite_strict=True,
            sqlite_autoincrement=True,
        )
        op.create_index(op.f("ix_part_kind_name"), "part", ["kind", "name"])
