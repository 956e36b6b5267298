"""Build files: a build read from disk and written to it."""

from __future__ import annotations

import contextlib
import json
import os
import stat
import tempfile
from pathlib import Path
from typing import Any

from pennyspeed.domain.build_document import build_from_document, document_from_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput, FileTrouble, UnwritableFile

SUFFIX = ".build.json"
LARGEST_BYTES = 20_000_000
_NEW_FILE_MODE = 0o666


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
        The folder or the disk takes no file; what was there is left as it was.
    """
    target = Path(os.path.realpath(path))
    content = build_text(build).encode()
    try:
        if target.is_dir():
            raise IsADirectoryError(0, "it is a folder")
        _replace(target, content)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise UnwritableFile(f"{path} cannot be written: {reason}.") from error


def _replace(target: Path, content: bytes) -> None:
    mode = stat.S_IMODE(target.stat().st_mode) if target.exists() else None
    descriptor, name = tempfile.mkstemp(prefix=f".{target.name}.", dir=target.parent)
    try:
        with os.fdopen(descriptor, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        os.chmod(name, _NEW_FILE_MODE & ~_umask() if mode is None else mode)
        os.replace(name, target)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(name)
        raise
    if os.name == "posix":
        # the new name is on disk only once its folder is
        folder = os.open(target.parent, os.O_RDONLY)
        try:
            os.fsync(folder)
        finally:
            os.close(folder)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


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
