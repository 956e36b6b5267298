"""Delimited text: cells parted by commas, semicolons or tabs, as spreadsheets save them."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator

from pennyspeed.domain.errors import BadInput

_DELIMITERS = ",;\t"
# Spreadsheets write it before the column names, and leave it out when they number rows.
_NAMED_DELIMITER = re.compile(r"sep=([^\w\s\"]|\t)\r?\n", re.IGNORECASE)


def rows_of(text: str, column: str) -> tuple[str, list[list[str]]]:
    """Return the delimiter and the rows, that of the column names first.

    Parameters
    ----------
    text : str
    column : str
        The name, lower case, of a column that must be there; the delimiter that brings it out is
        the file's.

    Raises
    ------
    BadInput
        With the row, where the column is missing or a quote does not end.
    """
    delimiters = _DELIMITERS
    named = _NAMED_DELIMITER.match(text)
    if named:
        delimiters, text = named[1], text[named.end() :]
    headers: list[list[str]] = []
    for delimiter in delimiters:
        try:
            header = next(_reader(text, delimiter), [])
        except csv.Error:
            continue  # quotes that end elsewhere than a cell: the file has another delimiter
        headers.append([cell.strip() for cell in header])
        if column in map(str.casefold, headers[-1]) and len(header) > 1:
            return delimiter, _whole(_reader(text, delimiter))
    header = max(headers, key=len, default=[])
    raise BadInput("row 1", ", ".join(header) or None, f"column names, one of them {column}")


def _reader(text: str, delimiter: str) -> Iterator[list[str]]:
    return iter(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))


def _whole(reader: Iterator[list[str]]) -> list[list[str]]:
    rows: list[list[str]] = []
    try:
        rows.extend(reader)
    except csv.Error as error:
        # What else the reader minds, a cell without end, comes of a quote left open.
        inside = "expected after" in str(error)
        expected = "a quote only where its cell ends" if inside else "a second one that closes it"
        raise BadInput(f"row {len(rows) + 1}", '"', expected) from None
    return rows


def text_of(content: bytes) -> str:
    """Return the text of a file in one of the encodings that spreadsheets write."""
    if content.startswith((b"\xff\xfe", b"\xfe\xff")):
        return content.decode("utf-16", errors="replace")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        # Spreadsheets save so in the west; every byte means something there, so nothing is lost.
        return content.decode("latin-1")
