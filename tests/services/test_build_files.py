"""Build files on disk: read with a plain sentence where they are wrong, written whole or not."""

from __future__ import annotations

import json
import os
import stat
from pathlib import Path

import pytest

from builds import a_build, document
from pennyspeed.domain.errors import BadInput, FileTrouble, UnwritableFile
from pennyspeed.services import build_files
from pennyspeed.services.build_files import read_build, write_build


@pytest.fixture
def file(tmp_path: Path) -> Path:
    return tmp_path / "car.build.json"


def test_what_was_written_is_read(file: Path) -> None:
    build = a_build(name="Über-Wagen 車", remark={"kept": [1, None]})
    write_build(build, file)
    assert read_build(file) == build
    assert "Über-Wagen 車" in file.read_text(encoding="utf-8")
    assert list(file.parent.iterdir()) == [file], "nothing is left beside it"


def test_a_byte_order_mark_is_taken(file: Path) -> None:
    file.write_bytes(b"\xef\xbb\xbf" + json.dumps(document()).encode())
    assert read_build(file) == a_build()


@pytest.mark.parametrize(
    ("content", "where"),
    [
        (b"", "line 1, column 1"),
        (b'{"format": "pennyspeed-build",\n "version" 1}', "line 2, column 12"),
        (b'{"name": "x",}', "line 1, column 1"),
        (b'{"name": "x"} trailing', "line 1, column 15"),
        (b'{"name": "x', "line 1, column 10"),
        (b"name: x", "line 1, column 1"),
        (b'{\n"name": "\xff\xfe"}', "line 2"),
        (b'{"name": "x", "name": "y"}', "name"),
        (b"[" * 100_000, "nesting"),
        (b'{"version": ' + b"9" * 5000 + b"}", "digits"),
    ],
)
def test_what_is_no_json_is_told_by_its_place(file: Path, content: bytes, where: str) -> None:
    file.write_bytes(content)
    with pytest.raises(BadInput) as caught:
        read_build(file)
    text = str(caught.value)
    assert text.startswith(str(file))
    assert where in text
    assert "expected" in text
    assert "\n" not in text
    assert len(text) < 300


def test_a_wrong_figure_is_told_by_file_and_key(file: Path) -> None:
    file.write_text(json.dumps(document(parts__motor__kv_rpm_per_v=float("nan"))))
    with pytest.raises(BadInput) as caught:
        read_build(file)
    assert str(caught.value).startswith(
        f"{file}, parts.motor.kv_rpm_per_v: nan was given, expected a number"
    )


def test_a_file_that_is_not_there_a_folder_and_a_huge_one_are_refused(
    file: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with pytest.raises(FileTrouble, match="no such file"):
        read_build(file)
    with pytest.raises(FileTrouble, match="is a folder"):
        read_build(tmp_path)
    monkeypatch.setattr(build_files, "LARGEST_BYTES", 1_000_000)
    file.write_bytes(b" " * 1_000_001)
    with pytest.raises(FileTrouble, match="larger than 1 MB"):
        read_build(file)


@pytest.mark.parametrize("content", [b"SQLite format 3\0", b"name,teeth\n", b"\xff\xd8\xff"])
def test_a_build_is_never_written_over_something_else(file: Path, content: bytes) -> None:
    file.write_bytes(content)
    with pytest.raises(UnwritableFile, match="no build file"):
        write_build(a_build(), file)
    assert file.read_bytes() == content


def test_writing_keeps_the_mode_and_follows_a_link(file: Path, tmp_path: Path) -> None:
    file.write_text("{}")
    file.chmod(0o640)
    link = tmp_path / "link.build.json"
    link.symlink_to(file)
    write_build(a_build(), link)
    assert link.is_symlink()
    assert read_build(file) == a_build()
    assert stat.S_IMODE(file.stat().st_mode) == 0o640


@pytest.mark.skipif(os.name != "posix", reason="elsewhere a file that is read is not replaced")
def test_who_reads_the_old_file_meanwhile_reads_all_of_it(file: Path) -> None:
    write_build(a_build(), file)
    before = file.read_bytes()
    with file.open("rb") as reading:
        write_build(a_build(name="Another"), file)
        assert reading.read() == before
    assert read_build(file).name == "Another"


def test_a_new_file_has_the_mode_of_any_new_file(file: Path, tmp_path: Path) -> None:
    write_build(a_build(), file)
    plain = tmp_path / "plain"
    plain.touch()
    assert file.stat().st_mode == plain.stat().st_mode


def test_a_disk_that_fails_leaves_the_old_file(file: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_build(a_build(), file)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(UnwritableFile, match="no space left"):
        write_build(a_build(name="Another"), file)
    assert read_build(file).name == "Allotment runner"
    assert list(file.parent.iterdir()) == [file]


def test_a_folder_that_is_not_there_is_told(tmp_path: Path) -> None:
    with pytest.raises(UnwritableFile, match="cannot be written"):
        write_build(a_build(), tmp_path / "nowhere" / "car.build.json")
    with pytest.raises(UnwritableFile, match="it is a folder"):
        write_build(a_build(), tmp_path)
