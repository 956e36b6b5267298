"""What an importer is, and what it finds in a file."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TypeAlias

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import FileTrouble
from pennyspeed.domain.parts import Part

Known: TypeAlias = Callable[[str, str], Part | None]
"""Kind's key and name to the catalogue's part of that name, if it has one."""

LARGEST_BYTES = 50_000_000


@dataclass(frozen=True)
class Contents:
    """What a file holds.

    Attributes
    ----------
    parts : tuple of Part
        Those with a number are the catalogue's own, changed by the file.
    build : Build or None
    """

    parts: tuple[Part, ...] = ()
    build: Build | None = None


@dataclass(frozen=True)
class Importer:
    """One format.

    Attributes
    ----------
    label : str
        What a person calls it: "parts as CSV".
    suffixes : tuple of str
        Ends of the names of its files, lower case.
    read : callable
        Path and :data:`Known` to what the file holds; raises UserError, and then nothing is stored.
    """

    label: str
    suffixes: tuple[str, ...]
    read: Callable[[Path, Known], Contents]


def read_bytes(path: Path) -> bytes:
    """Return a file's bytes, or raise FileTrouble with one sentence."""
    try:
        if path.is_dir():
            raise FileTrouble(f"{path} cannot be read: it is a folder, not a file.")
        with path.open("rb") as file:
            content = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise FileTrouble(f"{path} cannot be read: there is no such file.") from None
    except OSError as error:
        raise FileTrouble(f"{path} cannot be read: {error.strerror}.") from None
    if len(content) > LARGEST_BYTES:
        raise FileTrouble(f"{path} cannot be read: it is larger than 50 MB.")
    return content
