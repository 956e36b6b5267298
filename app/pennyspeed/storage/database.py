"""The database: opened, brought up to date, and changed one transaction at a time."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, suppress
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any

from sqlalchemy import URL, Connection, QueuePool, create_engine, event
from sqlalchemy import Engine as Engine  # services name it in their signatures
from sqlalchemy.exc import DBAPIError

from pennyspeed.domain.errors import Defect, FileTrouble, NewerFile, UnwritableFile
from pennyspeed.storage.builds import Builds
from pennyspeed.storage.files import (
    APPLICATION_ID,
    BUSY_SECONDS,
    NEWEST_REVISION,
    reader,
    revision_of,
    trouble,
)
from pennyspeed.storage.offers import Offers
from pennyspeed.storage.parts import Parts
from pennyspeed.storage.settings import Settings
from pennyspeed.storage.suppliers import Suppliers

MIGRATIONS = Path(__file__).resolve().parent / "migrations"
MEMORY = Path(":memory:")
"""Opens a database that lives as long as its engine; it goes the same way as a file."""

PRAGMAS = ("foreign_keys=ON", "synchronous=FULL", "fullfsync=ON")
"""What every connection keeps to: references, and each commit on the disk before it returns."""


def open_database(
    path: Path, migrations: Path = MIGRATIONS, newest: str = NEWEST_REVISION
) -> Engine:
    """Return the engine of the database at `path`: a new file where there is none, or an older one
    brought up to date, of which a copy is kept beside it.

    Raises
    ------
    FileTrouble
        One sentence for a person; the file is as it was.
    """
    revision = None if path == MEMORY else revision_of(path)
    if path.exists() and not os.access(path, os.W_OK):
        # Before SQLite leaves an index beside it.
        raise UnwritableFile(f"{path} is read-only; it was not changed.")
    engine = _engine(path)
    try:
        if revision != newest:
            _bring_up_to_date(engine, path, revision, migrations, newest)
        with engine.connect() as connection:
            _raw(connection).execute("PRAGMA journal_mode=WAL")
            # Changes nothing, but asks for the right to: a read-only or locked file is told of now
            # and not at the first swapped part. BEGIN IMMEDIATE alone lets a read-only one pass.
            connection.exec_driver_sql("DELETE FROM setting WHERE 0")
    except (DBAPIError, sqlite3.Error) as error:
        # An empty file may stay, which the next try fills: another window may be filling it now.
        engine.dispose()
        raise _said(path, error) from error
    except BaseException:
        engine.dispose()
        raise
    return engine


def _engine(path: Path) -> Engine:
    # One connection, lent to one caller at a time: PRAGMA data_version then tells of every other
    # program's commit and of none of ours.
    engine = create_engine(
        URL.create("sqlite+pysqlite", database=str(path)),
        poolclass=QueuePool,
        pool_size=1,
        max_overflow=0,
        connect_args={
            "timeout": BUSY_SECONDS,
            "check_same_thread": False,
            "isolation_level": None,
        },
    )

    @event.listens_for(engine, "connect")
    def settle(connection: sqlite3.Connection, _record: object) -> None:
        # The driver must not begin transactions on its own, or DDL would escape them.
        connection.isolation_level = None
        for pragma in PRAGMAS:
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def begin(connection: Connection) -> None:
        # A reader that turns writer halfway can fail without being made to wait; so who may write
        # says so at once.
        reading = connection.get_execution_options().get("reading", False)
        connection.exec_driver_sql("BEGIN" if reading else "BEGIN IMMEDIATE")

    return engine


def _raw(connection: Connection) -> sqlite3.Connection:
    driver = connection.connection.driver_connection
    assert isinstance(driver, sqlite3.Connection)
    return driver


def _bring_up_to_date(
    engine: Engine, path: Path, revision: str | None, migrations: Path, newest: str
) -> None:
    # Alembic takes a third of a second to import, which only an older file is worth.
    from alembic import command
    from alembic.config import Config
    from alembic.script import ScriptDirectory

    config = Config()
    config.set_main_option("script_location", str(migrations).replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    if revision is not None:
        known = {script.revision for script in ScriptDirectory.from_config(config).walk_revisions()}
        if revision not in known:
            raise NewerFile(
                f"{path} was written by a newer version of Pennyspeed (its revision is {revision}, "
                f"this version knows up to {newest}); it was not changed."
            )
        _keep_copy(path, revision)
    with engine.connect() as connection:
        raw = _raw(connection)
        # With keys on, a table that is made anew would take its children with it; and the switch
        # does nothing inside a transaction.
        raw.execute("PRAGMA foreign_keys=OFF")
        try:
            with connection.begin():
                connection.exec_driver_sql(f"PRAGMA application_id={APPLICATION_ID}")
                config.attributes["connection"] = connection
                command.upgrade(config, newest)
                broken = connection.exec_driver_sql("PRAGMA foreign_key_check").all()
                if broken:
                    raise Defect(f"bringing {path} up to date broke the references {broken[:3]}")
        finally:
            raw.execute("PRAGMA foreign_keys=ON")


def _keep_copy(path: Path, revision: str) -> None:
    """Keep the file as it was before an upgrade, beside it."""
    kept = path.with_name(f"{path.name}.revision-{revision}")
    if kept.exists():
        now = datetime.now(UTC).strftime("%Y%m%dT%H%M%SZ")
        kept = path.with_name(f"{path.name}.revision-{revision}-{now}")
    try:
        with closing(reader(path)) as source, closing(sqlite3.connect(kept)) as target:
            source.backup(target)
    except (sqlite3.Error, OSError) as error:
        with suppress(OSError):
            kept.unlink(missing_ok=True)
        raise UnwritableFile(
            f"{path} was not brought up to date, because no copy could be kept as {kept.name}: "
            f"{error}."
        ) from error


def _said(path: Path | str, error: BaseException) -> FileTrouble | Defect:
    """Return an error of the driver as one of ours."""
    cause = error.orig if isinstance(error, DBAPIError) and error.orig is not None else error
    return trouble(path, cause) or Defect(f"{path}: {cause}")


class Work:
    """One transaction: leaving without :meth:`commit` changes nothing.

    ::

        with Work(engine) as work:
            work.builds.save(build)
            work.commit()
    """

    def __init__(self, engine: Engine, *, reading: bool = False) -> None:
        self._engine, self._reading = engine, reading

    def __enter__(self) -> Work:
        connection = self._engine.connect()
        try:
            if self._reading:
                connection = connection.execution_options(reading=True)
            connection.begin()
        except DBAPIError as error:
            connection.close()
            raise self._said(error) from error
        self._connection = connection
        driver = _raw(connection)
        self.parts = Parts(driver)
        self.builds = Builds(driver, self.parts)
        self.offers = Offers(driver, self.parts)
        self.suppliers = Suppliers(driver)
        self.settings = Settings(driver)
        return self

    def commit(self) -> None:
        """Make everything last; it is on the disk when this returns."""
        self._connection.commit()

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        try:
            self._connection.close()
        except DBAPIError as closing_error:
            raise self._said(closing_error) from closing_error
        if isinstance(error, DBAPIError | sqlite3.Error):
            raise self._said(error) from error

    def _said(self, error: Exception) -> FileTrouble | Defect:
        return _said(self._engine.url.database or str(MEMORY), error)


def data_version(engine: Engine) -> int:
    """Return a number that changes when another program commits to the file (0.02 ms)."""
    connection = engine.raw_connection()
    try:
        driver: Any = connection.driver_connection
        return int(driver.execute("PRAGMA data_version").fetchone()[0])
    finally:
        connection.close()
