"""Files that can be read into the catalogue.

To add one:

1. write ``importers/<format>.py`` with ``read(path, known) -> Contents``, which raises BadInput
   with the place, the value and what was expected;
2. describe it there as an :class:`~pennyspeed.services.importers.importer.Importer`;
3. list it in `IMPORTERS`.
"""

from pathlib import Path

from pennyspeed.domain.errors import BadInput
from pennyspeed.services.importers.build_file import BUILD_FILE
from pennyspeed.services.importers.csv_parts import CSV_PARTS
from pennyspeed.services.importers.importer import Contents, Importer, Known

IMPORTERS: tuple[Importer, ...] = (CSV_PARTS, BUILD_FILE)


def importer_for(path: Path) -> Importer:
    """Return the importer for a file, by the end of its name; BadInput where there is none."""
    name = path.name.casefold()
    for importer in IMPORTERS:
        if name.endswith(importer.suffixes):
            return importer
    kinds = " or ".join(f"{one.label} ({one.suffixes[0]})" for one in IMPORTERS)
    raise BadInput("file", path.name, kinds)


__all__ = ["IMPORTERS", "Contents", "Importer", "Known", "importer_for"]
