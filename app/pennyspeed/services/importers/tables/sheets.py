"""Sheets: the cells of a file as text, whichever program saved it.

To read one more format, write its reader here and list it in `READERS`.
"""

from __future__ import annotations

import io
import re
import zipfile
import zlib
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from pennyspeed.domain.errors import BadInput, FileTrouble
from pennyspeed.services.formulas import unguarded
from pennyspeed.services.importers.importer import read_bytes
from pennyspeed.services.importers.tables.delimited import rows_of, text_of

_LARGEST_UNPACKED = 400_000_000
_MOST_DIGITS = 15
# All that the standard library raises at bytes that are no archive, or an encrypted one.
_DAMAGED = (
    zipfile.BadZipFile,
    zlib.error,
    EOFError,
    NotImplementedError,
    OSError,
    RuntimeError,
    ValueError,
)
_MOST_CELLS = 10_000_000
_XLSX_SHEETS = "xl/worksheets/"
_XLSX_CELL = re.compile(rb'<(?:\w+:)?c\s(?:[^<>]*\s)?r="([A-Z]{1,3})(\d{1,7})"')
_ODS_CONTENT = "content.xml"
_ODS_WHITE = re.compile(rb"<text:(tab|line-break)(?: [^<>]*)?/>")
_ODS_MEANS = {b"tab": b"\t", b"line-break": b"\n"}


class Exact(str):
    """A number that its file holds as one: it reads one way, whatever its neighbours are like."""

    __slots__ = ()


@dataclass(frozen=True)
class Sheet:
    """A table's cells.

    Attributes
    ----------
    header : list of str
        Stripped.
    rows : list of (int, list of str)
        Those that are not blank, with their numbers in the file; cells stripped, as many as
        the header has. Spare cells of a row stay behind those.
    delimiter : str
        "" for a workbook.
    names : tuple of str
        Of the workbook's sheets.
    """

    header: list[str]
    rows: list[tuple[int, list[str]]]
    delimiter: str = ""
    names: tuple[str, ...] = ()


def read_sheet(path: Path, is_header: Callable[[list[str]], bool], name: str = "") -> Sheet:
    """Return a file's table.

    Parameters
    ----------
    path : Path
        By the end of its name it is one of `READERS`.
    is_header : callable
        Tells whether a row of stripped cells names columns.
    name : str, optional
        Of a workbook's sheet; else it is the first whose first row names columns, else the first
        that holds anything.

    Raises
    ------
    BadInput, FileTrouble
    """
    file = path.name.casefold()
    read = next((READERS[end] for end in READERS if file.endswith(end)), None)
    if read is None:
        known = ", ".join(READERS)
        raise BadInput("name", path.name, f"a table, whose name ends in one of {known}")
    return read(path, read_bytes(path), is_header, name)


def _text_sheet(
    path: Path, content: bytes, is_header: Callable[[list[str]], bool], name: str
) -> Sheet:
    delimiter, rows = rows_of(text_of(content), is_header)
    return _sheet(rows, delimiter)


def _sheet(rows: list[list[str]], delimiter: str = "", names: tuple[str, ...] = ()) -> Sheet:
    header = [cell.strip() for cell in rows[0]] if rows else []
    while header and not header[-1] and not any(len(row) >= len(header) for row in rows[1:]):
        header.pop()
    width = len(header)
    found: list[tuple[int, list[str]]] = []
    for number, row in enumerate(rows[1:], start=2):
        cells = [cell if type(cell) is Exact else _stripped(cell) for cell in row]
        if not any(cells):
            continue
        while len(cells) > width and not cells[-1]:
            cells.pop()
        if len(cells) < width:
            cells += [""] * (width - len(cells))
        found.append((number, cells))
    return Sheet(header, found, delimiter, names)


def _stripped(cell: str) -> str:
    cell = cell.lstrip()
    # Few cells have an apostrophe in front, and it may guard the white space behind it.
    return (unguarded(cell) if cell[:1] == "'" else cell).strip()


def _workbook_sheet(
    path: Path, content: bytes, is_header: Callable[[list[str]], bool], name: str
) -> Sheet:
    # Read where a workbook is opened and not before: it is a package of its own.
    from python_calamine import CalamineError, CalamineWorkbook

    content = _readable(path, content)
    try:
        book = CalamineWorkbook.from_filelike(io.BytesIO(content))
        names = tuple(book.sheet_names)
        if name and name not in names:
            raise BadInput(f"{path}, sheet", name, "one of " + ", ".join(names))
        sheets: list[Sheet] = []
        for one in (name,) if name else names:
            found = book.get_sheet_by_name(one)
            _refuse_many_cells(path, found.height * found.width)
            cells = found.to_python(skip_empty_area=False)
            sheet = _sheet([[_text(cell) for cell in row] for row in cells], names=names)
            if is_header(sheet.header):
                return sheet
            sheets.append(sheet)
    except (CalamineError, zipfile.BadZipFile) as error:
        raise FileTrouble(f"{path} cannot be read as a workbook: {error}.") from None
    filled = [sheet for sheet in sheets if sheet.header or sheet.rows]
    return filled[0] if filled else _sheet([], names=names)


def _readable(path: Path, content: bytes) -> bytes:
    """Return a workbook as the reader takes it whole.

    A file that would fill the memory once it is unpacked is refused; tabs and line breaks that
    OpenDocument writes as elements, which the reader passes over, become characters.
    """
    try:
        with zipfile.ZipFile(io.BytesIO(content)) as packed:
            size = sum(entry.file_size for entry in packed.infolist())
            if size > _LARGEST_UNPACKED:
                raise FileTrouble(f"{path} cannot be read: unpacked it is larger than 400 MB.")
            for name in packed.namelist():
                if name.startswith(_XLSX_SHEETS):
                    _refuse_far_cells(path, packed.read(name))
            if _ODS_CONTENT not in packed.namelist():
                return content
            cells = packed.read(_ODS_CONTENT)
            if not _ODS_WHITE.search(cells):
                return content
            cells = _ODS_WHITE.sub(lambda found: _ODS_MEANS[found[1]], cells)
            changed = io.BytesIO()
            with zipfile.ZipFile(changed, "w") as repacked:
                for name in packed.namelist():
                    repacked.writestr(name, cells if name == _ODS_CONTENT else packed.read(name))
            return changed.getvalue()
    except _DAMAGED:
        raise FileTrouble(f"{path} cannot be read: it is no workbook, or it is damaged.") from None


def _refuse_far_cells(path: Path, sheet: bytes) -> None:
    """Refuse a sheet with cells so far apart that all between them would fill the memory.

    The reader makes room for every one of them, and takes the whole program down where it cannot.
    """
    columns: set[bytes] = set()
    rows: set[bytes] = set()
    for found in _XLSX_CELL.finditer(sheet):
        columns.add(found[1])
        rows.add(found[2])
    width = max(map(_column_number, columns), default=0)
    _refuse_many_cells(path, width * max(map(int, rows), default=0))


def _column_number(letters: bytes) -> int:
    """Return a column's number from its letters.

    >>> _column_number(b"A"), _column_number(b"AA"), _column_number(b"XFD")
    (1, 27, 16384)
    """
    number = 0
    for letter in letters:
        number = 26 * number + letter - ord("A") + 1
    return number


def _refuse_many_cells(path: Path, number: int) -> None:
    if number > _MOST_CELLS:
        raise FileTrouble(
            f"{path} cannot be read: between its first and its last cell are {number:,}, more than "
            f"{_MOST_CELLS:,}; look for a cell far from the others."
        )


def _text(cell: object) -> str:
    match cell:
        case bool():
            return "yes" if cell else "no"
        case int():
            return Exact(cell)
        case float():
            # A spreadsheet itself counts no further digits.
            whole = cell.is_integer() and abs(cell) < 10**_MOST_DIGITS
            return Exact(int(cell) if whole else f"{cell:.{_MOST_DIGITS}g}")
        case datetime():
            return cell.date().isoformat()
        case date():
            return cell.isoformat()
        case _:
            return str(cell)


PLAIN_SUFFIX = ".txt"
"""Of text that may be a table or anything else."""
WORKBOOK_SUFFIXES = (".xlsx", ".ods")
READERS: Mapping[str, Callable[[Path, bytes, Callable[[list[str]], bool], str], Sheet]] = {
    ".csv": _text_sheet,
    ".tsv": _text_sheet,
    PLAIN_SUFFIX: _text_sheet,
    **dict.fromkeys(WORKBOOK_SUFFIXES, _workbook_sheet),
}
"""By the end of a file's name what reads it: from its path, its bytes, what tells whether a row
names columns, and the name of a sheet, as :func:`read_sheet` is given them."""
