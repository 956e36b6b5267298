"""Imports a table of parts or offers, as its preview says, all of it or nothing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from pennyspeed.services.importers.importer import Imported, Importer
from pennyspeed.services.importers.tables.sheets import PLAIN_SUFFIX, READERS, WORKBOOK_SUFFIXES
from pennyspeed.services.importers.tables.table_subjects import names_columns

if TYPE_CHECKING:
    from pennyspeed.storage.database import Work


class TableFile(Importer):
    """Delimited text or a workbook."""

    label = "a table of parts"
    suffixes = tuple(READERS)
    has_preview = True

    def recognises(self, path: Path, head: bytes) -> bool:
        """Tell by a file's name; plain text may be anything unless its first row names columns."""
        if path.name.casefold().endswith(PLAIN_SUFFIX):
            return names_columns(head)
        return self.has_suffix(path)

    def needs_preview(self, path: Path) -> bool:
        """Tell whether it is a workbook, which may hold anything."""
        return path.name.casefold().endswith(WORKBOOK_SUFFIXES)

    def take(self, work: Work, path: Path) -> Imported:
        """Take a table in; columns that nobody understands are refused, not left out."""
        from pennyspeed.services.importers.tables.preview import preview
        from pennyspeed.services.importers.tables.table_import import stock_of, take

        shown = preview(path, stock_of(work))
        shown.refuse_strange_columns()
        return take(work, shown)


TABLE_FILE = TableFile()
