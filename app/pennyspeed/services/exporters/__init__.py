"""Files that tables can be written to.

To add one:

1. write ``exporters/<format>.py`` with ``<format>_content(table, decimal) -> bytes``; no text may
   come out as a formula, and the importer must read back what was written;
2. describe it as a :class:`Format`;
3. list it in `FORMATS`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pennyspeed.domain.errors import BadInput
from pennyspeed.services.exporters.delimited import csv_content, tsv_content
from pennyspeed.services.exporters.ods import ods_content
from pennyspeed.services.exporters.table import Table
from pennyspeed.services.exporters.xlsx import xlsx_content
from pennyspeed.services.whole_files import write_whole


@dataclass(frozen=True)
class Format:
    """One format.

    Attributes
    ----------
    label : str
        What a person calls it: "text with commas".
    suffix : str
        End of the names of its files, lower case.
    content : callable
        Table and decimal mark to the file's bytes.
    """

    label: str
    suffix: str
    content: Callable[[Table, str], bytes]


FORMATS: tuple[Format, ...] = (
    Format("text with commas", ".csv", csv_content),
    Format("text with tabs", ".tsv", tsv_content),
    Format("workbook, Office Open XML", ".xlsx", xlsx_content),
    Format("workbook, OpenDocument", ".ods", ods_content),
)


def write_table(table: Table, path: Path, decimal: str = ".") -> None:
    """Write a table to a file whose name says the format, all of it or nothing.

    `decimal` is the mark before decimals in formats that are text.

    Raises
    ------
    BadInput
        Where the name says no format.
    UnwritableFile
    """
    name = path.name.casefold()
    for one in FORMATS:
        if name.endswith(one.suffix):
            write_whole(path, one.content(table, decimal))
            return
    kinds = " or ".join(f"{one.label} ({one.suffix})" for one in FORMATS)
    raise BadInput("file", path.name, kinds)
