"""Files that can be imported.

To add one:

1. write ``importers/<format>.py`` with a class derived from
   :class:`~pennyspeed.services.importers.importer.Importer`;
2. list one of it in `IMPORTERS`.

Dropped files, the file dialog, the command line and undo ask this list and nothing else.
"""

from pathlib import Path

from pennyspeed.domain.errors import BadInput
from pennyspeed.services.importers.build_file import BuildFile
from pennyspeed.services.importers.importer import Imported, Importer, Known
from pennyspeed.services.importers.table_file import TABLE_FILE

IMPORTERS: tuple[Importer, ...] = (TABLE_FILE, BuildFile())

_HEAD_BYTES = 65_536


def recognised_by(path: Path) -> Importer | None:
    """Return the importer that takes a file for one of its own, or None."""
    try:
        with path.open("rb") as file:
            head = file.read(_HEAD_BYTES)
    except OSError:
        head = b""
    return next((one for one in IMPORTERS if one.recognises(path, head)), None)


def importer_for(path: Path) -> Importer:
    """Return the importer for a file.

    Where none recognises it, the end of its name says who is to tell what is wrong with it.

    Raises
    ------
    BadInput
        Where there is none.
    """
    importer = recognised_by(path)
    if importer is None:
        importer = next((one for one in IMPORTERS if one.has_suffix(path)), None)
    if importer is None:
        raise BadInput("file", path.name, importable())
    return importer


def importable() -> str:
    """Return in words what can be imported."""
    return " or ".join(f"{one.label} ({one.suffixes[0]})" for one in IMPORTERS)


__all__ = [
    "IMPORTERS",
    "Imported",
    "Importer",
    "Known",
    "importable",
    "importer_for",
    "recognised_by",
]
