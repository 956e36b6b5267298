"""A database file looked at before anybody opens it for writing.

Standard library only: a window can paint its first frame from here, and a file that is not ours is
refused without SQLite ever touching it.
"""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path

from pennyspeed.domain.errors import FileTrouble, NotOurFile, UnwritableFile

NEWEST_REVISION = "0003"
"""The revision that this version writes; a test holds it equal to the newest migration."""

APPLICATION_ID = 0x70737064
"""Stands in bytes 68 to 71 of every file of ours ("pspd"), where SQLite keeps an application's
mark (SQLite file format, section 1.3)."""

BUSY_SECONDS = 3.0
"""How long another window's commit is waited for."""

_MAGIC = b"SQLite format 3\x00"
_HEADER = 100
_PRIMARY = 0xFF  # the low byte of SQLite's extended result codes

_LOCKED = "is locked by another program; close that one and try again"
_SENTENCES = {
    sqlite3.SQLITE_FULL: (
        "cannot be written because its disk is full; free some space and try again"
    ),
    sqlite3.SQLITE_READONLY: "is read-only, or its folder is; it was not changed",
    sqlite3.SQLITE_PERM: "may not be written by you; it was not changed",
    sqlite3.SQLITE_BUSY: _LOCKED,
    sqlite3.SQLITE_LOCKED: _LOCKED,
    sqlite3.SQLITE_IOERR: (
        "cannot be read or written because its disk reports an error or takes no more"
    ),
    sqlite3.SQLITE_CANTOPEN: "cannot be opened for writing; look whether its folder takes changes",
    sqlite3.SQLITE_NOTADB: "is no Pennyspeed file, or it is damaged",
    sqlite3.SQLITE_CORRUPT: "is damaged; open a copy that you kept of it",
}
_NOT_OURS = (sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_CORRUPT)


def trouble(path: Path | str, error: BaseException) -> FileTrouble | None:
    """Return what an error of SQLite means to a person; None where it is a mistake of ours."""
    code = getattr(error, "sqlite_errorcode", None)
    if not isinstance(code, int) or code & _PRIMARY not in _SENTENCES:
        return None
    kind = NotOurFile if code & _PRIMARY in _NOT_OURS else UnwritableFile
    return kind(f"{path} {_SENTENCES[code & _PRIMARY]}.")


def revision_of(path: Path) -> str | None:
    """Return the revision a file was written in; None where there is no file yet, or an empty one.

    The file and its folder stay as they are.

    Raises
    ------
    FileTrouble
        Where there is no such folder, a folder stands in its place, or nobody may read it.
    NotOurFile
        Where it is no Pennyspeed database, or a damaged one.
    """
    try:
        if not path.parent.is_dir():
            raise FileTrouble(f"{path} cannot be opened: there is no folder {path.parent}.")
        if path.is_dir():
            raise FileTrouble(f"{path} cannot be opened: it is a folder, not a file.")
        if not path.exists():
            return None
        with path.open("rb") as file:
            header = file.read(_HEADER)
    except OSError as error:
        raise FileTrouble(f"{path} cannot be opened: {error.strerror}.") from None
    if not header:
        return None
    if not header.startswith(_MAGIC) or header[68:72] != APPLICATION_ID.to_bytes(4, "big"):
        raise NotOurFile(f"{path} is no Pennyspeed file; it was not changed.")
    try:
        with closing(reader(path)) as connection:
            row = connection.execute("SELECT version_num FROM alembic_version").fetchone()
    except sqlite3.Error as error:
        known = trouble(path, error)
        raise known or NotOurFile(f"{path} is damaged: it lacks its revision.") from None
    if row is None or not isinstance(row[0], str):
        raise NotOurFile(f"{path} is damaged: it lacks its revision.")
    return row[0]


def reader(path: Path) -> sqlite3.Connection:
    """Return a connection that cannot write; rows come as plain tuples.

    Where nobody has the file open it is read as immutable: a plain read-only connection would leave
    a log and an index beside a file in WAL mode, or fail in a folder that takes none.
    """
    # A journal left by a crash has to be rolled back, which takes the right to write.
    if _filled(path, "-journal"):
        mode = "mode=rw"
    else:
        mode = "mode=ro" if _filled(path, "-wal") else "mode=ro&immutable=1"
    connection = sqlite3.connect(
        f"{path.resolve().as_uri()}?{mode}", uri=True, timeout=BUSY_SECONDS, isolation_level=None
    )
    connection.execute("PRAGMA query_only=ON")
    return connection


def _filled(path: Path, end: str) -> bool:
    beside = path.with_name(path.name + end)
    return beside.exists() and beside.stat().st_size > 0
