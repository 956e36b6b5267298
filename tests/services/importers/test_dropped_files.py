"""Files dropped onto the window: what comes in, what is opened, and what a person reads of it."""

from __future__ import annotations

from pathlib import Path

from pennyspeed.services.importers.dropped_files import DroppedFiles


def paths(*names: str) -> list[Path]:
    return [Path(name) for name in names]


def test_what_can_be_imported_goes_before_data_files_and_the_rest_stays_out() -> None:
    files = DroppedFiles.of(paths("club.SQLITE3", "gears.csv", "photo.jpg", "night.xlsx"))
    assert files.are_taken
    assert files.heading == "Let go to bring in these 2 files"
    assert files.lines == [
        "gears.csv",
        "night.xlsx, to be looked at first",
        "photo.jpg stays out",
        "club.SQLITE3 stays out",
        "What comes in is a table of parts (.csv) or a build file (.build.json).",
    ]


def test_one_data_file_alone_is_opened() -> None:
    files = DroppedFiles.of(paths("club.sqlite3", "other.sqlite3"))
    assert files.are_taken
    assert files.heading == "Let go to open this data file"
    assert files.lines == ["club.sqlite3", "other.sqlite3 stays out"]


def test_of_many_files_as_many_are_named_as_have_room() -> None:
    files = DroppedFiles.of(paths(*(f"{i}.csv" for i in range(9))))
    assert files.lines == [*(f"{i}.csv" for i in range(7)), "and 2 more"]
    assert DroppedFiles.of(paths(*(f"{i}.csv" for i in range(8)))).lines[-1] == "7.csv"


def test_what_nobody_recognises_is_not_taken() -> None:
    files = DroppedFiles.of(paths("photo.jpg"))
    assert not files.are_taken
    assert files.heading == "Nothing of this can be brought in"
