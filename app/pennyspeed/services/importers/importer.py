"""What an importer is, and what it brings."""

from __future__ import annotations

from abc import ABC, abstractmethod
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
        Added, or changed.
    build_before : Build or None
        What it was, where it was changed.
    changes : tuple of PartChange
        Of the catalogue, noted by who began the transaction; taken back they undo the import, but
        for the build.
    """

    summary: str
    build: Build | None = None
    build_before: Build | None = None
    changes: tuple[PartChange, ...] = ()

    @property
    def parts(self) -> int:
        """How many parts were added or changed."""
        return len(self.changes)


class Importer(ABC):
    """Base of every format.

    Attributes
    ----------
    label : str
        What a person calls it: "a table of parts".
    suffixes : tuple of str
        Ends of the names of its files, lower case.
    has_preview : bool
        Whether :mod:`~pennyspeed.services.importers.tables.preview` can say what each row would do.
    """

    label: str
    suffixes: tuple[str, ...]
    has_preview = False

    def has_suffix(self, path: Path) -> bool:
        """Tell whether a file's name ends as those of this format."""
        return path.name.casefold().endswith(self.suffixes)

    def recognises(self, path: Path, head: bytes) -> bool:
        """Tell whether a file is of this format, by its name and its first bytes.

        `head` is empty where the file cannot be read.
        """
        return self.has_suffix(path)

    def needs_preview(self, path: Path) -> bool:
        """Tell whether a person is to see what a file would do before it is imported."""
        return False

    @abstractmethod
    def take(self, work: Work, path: Path) -> Imported:
        """Store what a file holds in an open transaction, which the caller commits.

        Raises
        ------
        UserError
            With the place, the value and what was expected; then nothing is to be committed.
        """


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
