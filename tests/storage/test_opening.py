"""Opening a file: what is refused, in which words, and that a refused file stays as it was."""

from __future__ import annotations

import os
import resource
import shutil
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from pennyspeed.domain.errors import FileTrouble, NewerFile, NotOurFile, UnwritableFile
from pennyspeed.storage import database, files
from pennyspeed.storage.database import Work, open_database
from pennyspeed.storage.files import APPLICATION_ID, NEWEST_REVISION, reader, revision_of

NOBODY = 65534


def tree(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def pragma(path: Path, name: str) -> object:
    with closing(sqlite3.connect(path)) as connection:
        return connection.execute(f"PRAGMA {name}").fetchone()[0]


def test_a_new_file_is_ours_and_up_to_date(tmp_path: Path) -> None:
    path = tmp_path / "new.sqlite3"
    assert revision_of(path) is None
    open_database(path).dispose()
    assert revision_of(path) == NEWEST_REVISION
    assert path.read_bytes()[68:72] == APPLICATION_ID.to_bytes(4, "big")
    assert [p.name for p in tmp_path.iterdir()] == [path.name], "nothing is left beside it"


def test_an_empty_file_becomes_a_new_one(tmp_path: Path) -> None:
    path = tmp_path / "empty.sqlite3"
    path.touch()
    open_database(path).dispose()
    assert revision_of(path) == NEWEST_REVISION


def test_connections_keep_keys_and_every_commit(file: Path) -> None:
    engine = open_database(file)
    try:
        with engine.connect() as connection:
            found = {
                name: connection.exec_driver_sql(f"PRAGMA {name}").scalar()
                for name in ("foreign_keys", "journal_mode", "synchronous", "busy_timeout")
            }
    finally:
        engine.dispose()
    # 2 is FULL: the log is on the disk before a commit returns (SQLite, PRAGMA synchronous).
    assert found == {
        "foreign_keys": 1,
        "journal_mode": "wal",
        "synchronous": 2,
        "busy_timeout": 1000 * files.BUSY_SECONDS,
    }


def write_text(path: Path) -> None:
    path.write_text("name,mass_g\nservo,40\n" * 20)


def write_short(path: Path) -> None:
    path.write_bytes(b"SQLite format 3\x00")


def write_foreign(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.executescript("PRAGMA journal_mode=WAL; CREATE TABLE alembic_version(a)")


def write_torn(path: Path) -> None:
    content = path.read_bytes()
    path.write_bytes(content[:100] + b"\xa5" * (len(content) - 100))


def write_cut(path: Path) -> None:
    os.truncate(path, 4096)


def without_revision(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("DELETE FROM alembic_version")
        connection.commit()


def with_rot_for_a_revision(path: Path) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = ?", (b"\xff\xff",))
        connection.commit()


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        (write_text, "no Pennyspeed file"),
        (write_short, "no Pennyspeed file"),
        (write_foreign, "no Pennyspeed file"),
        (write_torn, "damaged"),
        (write_cut, "damaged"),
        (without_revision, "damaged"),
        (with_rot_for_a_revision, "damaged"),
    ],
)
def test_what_is_not_ours_is_refused_and_left(file: Path, spoil: object, words: str) -> None:
    if spoil in (write_text, write_short, write_foreign):
        file.unlink()
    assert callable(spoil)
    spoil(file)
    before = tree(file.parent)
    with pytest.raises(NotOurFile, match=words) as caught:
        open_database(file)
    assert str(file) in str(caught.value)
    assert str(caught.value).endswith(".")
    assert tree(file.parent) == before


def set_revision(path: Path, revision: str) -> None:
    with closing(sqlite3.connect(path)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = ?", (revision,))
        connection.commit()


def test_a_newer_file_is_refused_and_left(file: Path) -> None:
    set_revision(file, "9001")
    before = tree(file.parent)
    with pytest.raises(NewerFile, match=r"newer version.*9001"):
        open_database(file)
    assert tree(file.parent) == before


def test_a_newer_file_that_crashed_keeps_its_log(file: Path) -> None:
    # The newest revision stands only in the log, as after a power cut.
    copy = file.with_name("crashed.sqlite3")
    with closing(sqlite3.connect(file)) as connection:
        connection.execute("UPDATE alembic_version SET version_num = '9001'")
        connection.commit()
        shutil.copy(file, copy)
        shutil.copy(f"{file}-wal", f"{copy}-wal")
    before = copy.read_bytes(), Path(f"{copy}-wal").read_bytes()
    with pytest.raises(NewerFile):
        open_database(copy)
    assert (copy.read_bytes(), Path(f"{copy}-wal").read_bytes()) == before


def test_a_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(FileTrouble, match="it is a folder"):
        open_database(tmp_path)


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(FileTrouble, match=r"there is no folder .*absent"):
        open_database(tmp_path / "absent" / "file.sqlite3")


def test_a_locked_file_is_refused(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(database, "BUSY_SECONDS", 0.05)
    with closing(sqlite3.connect(file, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        with pytest.raises(UnwritableFile, match="locked by another program"):
            open_database(file)
        other.execute("ROLLBACK")
    open_database(file).dispose()


def test_reading_leaves_nothing_beside_the_file(file: Path) -> None:
    with closing(reader(file)) as connection:
        assert connection.execute("SELECT count(*) FROM build").fetchone() == (0,)
        with pytest.raises(sqlite3.OperationalError):
            connection.execute("DELETE FROM build")
    assert [path.name for path in file.parent.iterdir()] == [file.name]


def test_a_reader_sees_what_another_window_has_just_stored(file: Path) -> None:
    engine = open_database(file)
    try:
        with Work(engine) as work:
            work.settings.put("key", "stored a moment ago")
            work.commit()
        with closing(reader(file)) as connection:
            assert connection.execute("SELECT value FROM setting").fetchone() == (
                "stored a moment ago",
            )
    finally:
        engine.dispose()


def test_what_a_change_has_read_stays_so_until_it_is_written(file: Path) -> None:
    engine = open_database(file)
    try:
        with closing(sqlite3.connect(file, timeout=0)) as other:
            with Work(engine) as work:
                assert work.settings.get("key") is None
                with pytest.raises(sqlite3.OperationalError, match="locked"):
                    other.execute("INSERT INTO setting VALUES ('key', 'theirs')")
                work.settings.put("key", "mine")
                work.commit()
            assert other.execute("SELECT value FROM setting").fetchall() == [("mine",)]
    finally:
        engine.dispose()


# A person without special rights; the tests' own user may be one whom nothing stops. Everything is
# imported before, since that person may not even read the interpreter's own files.
OPEN = """
import os, sys
from pathlib import Path
from pennyspeed.domain.errors import UserError
from pennyspeed.storage.database import MEMORY, open_database
open_database(MEMORY).dispose()
if os.getuid() == 0:
    os.setgid({nobody}); os.setuid({nobody})
try:
    open_database(Path(sys.argv[1]))
except UserError as error:
    print(type(error).__name__, error)
else:
    print("opened")
"""


def opened_by_a_person(path: Path) -> str:
    done = subprocess.run(
        [sys.executable, "-c", OPEN.format(nobody=NOBODY), str(path)],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@pytest.fixture
def open_folder(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A folder that every person may enter and write; pytest's own belong to one."""
    folder = Path("/tmp") / f"pennyspeed-test-{os.getpid()}"
    folder.mkdir(mode=0o777)
    folder.chmod(0o777)
    yield folder
    folder.chmod(0o777)
    shutil.rmtree(folder)


@pytest.mark.skipif(os.name != "posix", reason="file modes of POSIX")
def test_a_file_that_may_not_be_written_is_refused(file: Path, open_folder: Path) -> None:
    path = open_folder / "file.sqlite3"
    shutil.copy(file, path)
    path.chmod(0o666)
    assert opened_by_a_person(path) == "opened", "the test's person can open what may be written"
    before = tree(open_folder)
    path.chmod(0o444)
    said = opened_by_a_person(path)
    assert said.startswith("UnwritableFile")
    assert "read-only" in said
    assert tree(open_folder) == before


@pytest.mark.skipif(os.name != "posix", reason="file modes of POSIX")
def test_a_folder_that_takes_no_file_is_told(file: Path, open_folder: Path) -> None:
    path = open_folder / "file.sqlite3"
    shutil.copy(file, path)
    path.chmod(0o666)
    open_folder.chmod(0o555)
    before = tree(open_folder)
    for name in ("file.sqlite3", "new.sqlite3"):
        said = opened_by_a_person(open_folder / name)
        assert said.startswith("UnwritableFile"), said
        assert "folder" in said
    assert tree(open_folder) == before


SMALL_DISK = """
import resource, sys
resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[2]), resource.RLIM_INFINITY))
from pathlib import Path
from pennyspeed.domain.errors import UserError
from pennyspeed.services.workshop import Workshop
try:
    Workshop.open(Path(sys.argv[1]))
except UserError as error:
    print(type(error).__name__, error)
"""


@pytest.mark.skipif(not hasattr(resource, "RLIMIT_FSIZE"), reason="limits of POSIX")
@pytest.mark.parametrize("room", [0, 8192, 60_000])
def test_a_disk_too_small_for_a_new_file_is_told(tmp_path: Path, room: int) -> None:
    path = tmp_path / "new.sqlite3"
    done = subprocess.run(
        [sys.executable, "-c", SMALL_DISK, str(path), str(room)],
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path), "PYTHONDONTWRITEBYTECODE": "1"},
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.stdout.startswith("UnwritableFile"), done.stderr
    assert "disk" in done.stdout
    # With room again it opens; nothing of the first try stands in the way.
    open_database(path).dispose()
    assert revision_of(path) == NEWEST_REVISION
