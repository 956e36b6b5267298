"""Migrations: they make the tables that the code declares, and lose nothing on the way."""

from __future__ import annotations

import re
import shutil
import sqlite3
from contextlib import closing
from dataclasses import replace
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine, create_engine

from builds import a_build
from pennyspeed.domain.errors import Defect, UnwritableFile
from pennyspeed.storage import database
from pennyspeed.storage.database import MIGRATIONS, Work, open_database
from pennyspeed.storage.files import NEWEST_REVISION, revision_of
from pennyspeed.storage.tables import METADATA

STEP = """
import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None

def upgrade():
    with op.batch_alter_table("build", recreate="always") as batch:
        batch.add_column(sa.Column("colour", sa.Text(), nullable=True))
    {then}
"""


def scripts() -> ScriptDirectory:
    config = Config()
    config.set_main_option("script_location", str(MIGRATIONS))
    config.set_main_option("path_separator", "os")
    return ScriptDirectory.from_config(config)


def test_the_newest_revision_is_the_constant() -> None:
    assert scripts().get_heads() == [NEWEST_REVISION]


def test_tables_and_migrations_agree(memory: Engine) -> None:
    with memory.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, METADATA) == []


def schema(engine: Engine) -> dict[str, list[str]]:
    with engine.connect() as connection:
        rows = connection.exec_driver_sql(
            "SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL"
            " AND name NOT LIKE 'alembic%' AND name NOT LIKE 'sqlite%'"
        ).all()
    return {
        name: sorted(re.sub(r"\s+", " ", line.strip().rstrip(",")) for line in sql.splitlines())
        for name, sql in rows
    }


def test_the_sql_agrees_to_the_letter(memory: Engine) -> None:
    # What compare_metadata does not look at: checks, STRICT, AUTOINCREMENT, partial indices.
    declared = create_engine("sqlite://")
    METADATA.create_all(declared)
    try:
        assert schema(memory) == schema(declared)
    finally:
        declared.dispose()


def next_version(folder: Path, then: str = "pass") -> Path:
    """Return migrations with one step more, that makes the table of builds anew."""
    shutil.copytree(MIGRATIONS, folder)
    (folder / "versions" / "r0004_colour.py").write_text(STEP.format(then=then))
    return folder


def filled(file: Path) -> None:
    engine = open_database(file)
    with Work(engine) as work:
        work.builds.save(a_build())
        work.commit()
    engine.dispose()


def test_an_older_file_is_brought_up_to_date_and_kept(file: Path, tmp_path: Path) -> None:
    filled(file)
    before = shutil.copy(file, tmp_path / "before.sqlite3")
    migrations = next_version(tmp_path / "migrations")
    engine = open_database(file, migrations, "0004")
    try:
        with engine.connect() as connection:
            assert connection.exec_driver_sql("SELECT colour FROM build").scalar_one() is None
            assert connection.exec_driver_sql("PRAGMA foreign_keys").scalar() == 1
        with Work(engine, reading=True) as work:
            # A table made anew with keys on would have taken these with it.
            stored = work.builds.get(work.builds.entries()[0].id)
        assert stored == a_build()
    finally:
        engine.dispose()
    assert revision_of(file) == "0004"
    kept = file.with_name(f"{file.name}.revision-0003")
    assert revision_of(kept) == "0003"
    with closing(sqlite3.connect(kept)) as old, closing(sqlite3.connect(before)) as source:
        assert list(old.iterdump()) == list(source.iterdump())


@pytest.mark.parametrize(
    ("then", "error"),
    [
        ("raise RuntimeError('half way')", RuntimeError),
        ("op.execute('DELETE FROM part')", Defect),
    ],
)
def test_a_step_that_fails_changes_nothing(
    file: Path, tmp_path: Path, then: str, error: type[Exception]
) -> None:
    filled(file)
    with closing(sqlite3.connect(file)) as connection:
        before = list(connection.iterdump())
    with pytest.raises(error):
        open_database(file, next_version(tmp_path / "migrations", then), "0004")
    with closing(sqlite3.connect(file)) as connection:
        assert list(connection.iterdump()) == before
    assert revision_of(file) == "0003"


def test_without_a_copy_there_is_no_upgrade(
    file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    filled(file)
    before = file.read_bytes()

    def full(*_: object) -> None:
        raise sqlite3.OperationalError("database or disk is full")

    monkeypatch.setattr(database, "reader", full)
    with pytest.raises(UnwritableFile, match=r"no copy could be kept.*disk is full"):
        open_database(file, next_version(tmp_path / "migrations"), "0004")
    assert file.read_bytes() == before
    assert sorted(path.name for path in file.parent.iterdir()) == [file.name, "migrations"]


def test_a_second_upgrade_keeps_the_first_copy(file: Path, tmp_path: Path) -> None:
    first = file.with_name(f"{file.name}.revision-0003")
    first.write_text("kept")
    open_database(file, next_version(tmp_path / "migrations"), "0004").dispose()
    assert first.read_text() == "kept"
    assert len(list(tmp_path.glob("*.revision-0003-*Z"))) == 1


def test_a_number_is_not_used_again(memory: Engine) -> None:
    with Work(memory) as work:
        gone = work.builds.save(replace(a_build(), name="gone"))
        work.builds.delete(gone.id or 0)
        after = work.builds.save(replace(a_build(), name="after"))
    assert gone.id is not None
    assert after.id is not None
    assert after.id > gone.id
