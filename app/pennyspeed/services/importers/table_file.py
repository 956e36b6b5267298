"""Imports a table of parts or offers, as its preview says, all of it or nothing."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from pennyspeed.services.importers.importer import Imported, Importer
from pennyspeed.services.importers.sheets import TEXT_SUFFIXES, WORKBOOK_SUFFIXES

if TYPE_CHECKING:
    from pennyspeed.storage.database import Work


def take_file(work: Work, path: Path) -> Imported:
    """Take a table in; columns that nobody understands are refused, not left out.

    Raises
    ------
    BadInput
        With file, row, column, value and what was expected.
    FileTrouble
        Where the file cannot be read.
    """
    from pennyspeed.services.importers.preview import preview
    from pennyspeed.services.importers.table_import import stock_of, take

    shown = preview(path, stock_of(work))
    shown.refuse_strange_columns()
    taken = take(work, shown)
    return Imported(taken.summary, None, len(taken.after))


TABLE_FILE = Importer("a table of parts", (*TEXT_SUFFIXES, *WORKBOOK_SUFFIXES), take_file)
