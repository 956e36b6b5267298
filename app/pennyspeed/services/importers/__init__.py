"""Files that can be read into the catalogue.

To add one:

1. write ``importers/<format>.py`` with ``take_file(work, path) -> Imported``, which stores what the
   file holds in an open transaction, or raises BadInput with the place, the value and what was
   expected;
2. describe it there as an :class:`~pennyspeed.services.importers.importer.Importer`;
3. list it in `IMPORTERS`.
"""

from pathlib import Path

from pennyspeed.domain.errors import BadInput
from pennyspeed.services.importers.build_file import BUILD_FILE
from pennyspeed.services.importers.importer import Imported, Importer, Known
from pennyspeed.services.importers.sheets import WORKBOOK_SUFFIXES
from pennyspeed.services.importers.table_file import TABLE_FILE
from pennyspeed.services.importers.table_subjects import reads_as_table

IMPORTERS: tuple[Importer, ...] = (TABLE_FILE, BUILD_FILE)


def importer_for(path: Path) -> Importer:
    """Return the importer for a file, by the end of its name; BadInput where there is none."""
    name = path.name.casefold()
    for importer in IMPORTERS:
        if name.endswith(importer.suffixes):
            return importer
    kinds = " or ".join(f"{one.label} ({one.suffixes[0]})" for one in IMPORTERS)
    raise BadInput("file", path.name, kinds)


def comes_in(path: Path) -> bool:
    """Tell whether a file can be brought in, as far as its name and its first row say."""
    return reads_as_table(path) or path.name.casefold().endswith(BUILD_FILE.suffixes)


def is_looked_at(path: Path) -> bool:
    """Tell whether a file has to be looked at before it comes in: a workbook may hold anything."""
    return path.name.casefold().endswith(WORKBOOK_SUFFIXES)


__all__ = [
    "IMPORTERS",
    "Imported",
    "Importer",
    "Known",
    "comes_in",
    "importer_for",
    "is_looked_at",
    "reads_as_table",
]
