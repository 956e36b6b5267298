"""Build files: a build read from disk and written to it."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pennyspeed.domain.build_document import build_from_document, document_from_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput, FileTrouble, UnwritableFile
from pennyspeed.services.whole_files import write_whole

SUFFIX = ".build.json"
LARGEST_BYTES = 20_000_000
_FIRST_BYTES = 64


def read_build(path: Path | str) -> Build:
    """Return the build that a file holds.

    Raises
    ------
    BadInput
        Not JSON, or not a build; the sentence names the file and the place in it.
    FileTrouble
        No such file, a folder, too large, or not readable.
    """
    try:
        return build_from_document(_parsed(_text(Path(path)), str(path)))
    except BadInput as error:
        raise (error if error.place.startswith(str(path)) else error.within(str(path))) from None


def build_text(build: Build) -> str:
    """Return the text of a build's file."""
    document = document_from_build(build)
    return json.dumps(document, ensure_ascii=False, indent=2, allow_nan=False) + "\n"


def write_build(build: Build, path: Path | str) -> None:
    """Write a build's file, all of it or nothing.

    A file that is there keeps its permissions; a link keeps pointing.

    Raises
    ------
    UnwritableFile
        The folder or the disk takes no file, or what is there is no JSON, such as the file of parts
        and builds itself; it is left as it was.
    """
    if _holds_something_else(Path(path)):
        raise UnwritableFile(f"{path} is there already and is no build file; choose another name.")
    write_whole(path, build_text(build).encode())


def _holds_something_else(path: Path) -> bool:
    if not path.is_file():
        return False
    try:
        with path.open("rb") as file:
            start = file.read(_FIRST_BYTES).removeprefix(b"\xef\xbb\xbf").lstrip()
    except OSError:
        return False  # writing tells what is wrong
    return bool(start) and not start.startswith(b"{")


def _text(path: Path) -> str:
    try:
        if path.is_dir():
            raise FileTrouble(f"{path} is a folder; expected a build file.")
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise FileTrouble(f"{path}: there is no such file.") from None
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        raise FileTrouble(f"{path} cannot be read: {reason.lower()}.") from error
    if len(content) > LARGEST_BYTES:
        largest = LARGEST_BYTES // 1_000_000
        raise FileTrouble(f"{path} is larger than {largest} MB; expected a build file.")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        raise BadInput(
            f"{path}, line {line}", content[error.start : error.start + 4], "text in UTF-8"
        ) from None


def _parsed(text: str, path: str) -> object:
    try:
        return json.loads(text, object_pairs_hook=_without_repeats)
    except json.JSONDecodeError as error:
        place = f"{path}, line {error.lineno}, column {error.colno}"
        found = text[error.pos : error.pos + 20].split("\n")[0]
        raise BadInput(place, found or None, _expected(error.msg)) from None
    except RecursionError:
        raise BadInput(path, "deeper nesting", "a build file") from None
    except ValueError:
        # Python refuses to turn thousands of digits into a number
        raise BadInput(path, "a number of thousands of digits", "a build file") from None


def _without_repeats(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    found = dict(pairs)
    if len(found) != len(pairs):
        keys = [key for key, _ in pairs]
        twice = next(key for key in keys if keys.count(key) > 1)
        raise BadInput(twice, "the same key twice", "every key once in its object")
    return found


def _expected(message: str) -> str:
    """Return what the JSON parser missed, to follow 'expected'."""
    if message.startswith("Expecting "):
        return message.removeprefix("Expecting ").replace("property name enclosed", "a key")
    if message == "Extra data":
        return "nothing after the build"
    return f"JSON ({message[0].lower()}{message[1:]})"
