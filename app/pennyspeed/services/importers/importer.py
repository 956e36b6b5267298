"""What an importer is, and what it brings."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import FileTrouble
from pennyspeed.domain.parts.parts import Part
from pennyspeed.storage.changes import PartChange

if TYPE_CHECKING:
    from pennyspeed.storage.database import Work

Known: TypeAlias = Callable[[str, str], Part | None]
"""Kind's key and name to the catalogue's part of that name, if it has one."""

LARGEST_BYTES = 50_000_000


@dataclass(frozen=True)
class Imported:
    """What an import brought.

    Attributes
    ----------
    summary : str
        One sentence for a person.
    build : Build or None
    parts : int
        How many parts were added or changed.
    changes : tuple of PartChange
        What undoes it, but for the build.
    """

    summary: str
    build: Build | None
    parts: int
    changes: tuple[PartChange, ...] = ()


@dataclass(frozen=True)
class Importer:
    """One format.

    Attributes
    ----------
    label : str
        What a person calls it: "a table of parts".
    suffixes : tuple of str
        Ends of the names of its files, lower case.
    take : callable
        Stores what a file holds in an open transaction, which the caller commits; raises UserError,
        and then nothing is to be stored.
    """

    label: str
    suffixes: tuple[str, ...]
    take: Callable[[Work, Path], Imported]


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
