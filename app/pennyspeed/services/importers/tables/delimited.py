"""Delimited text: cells parted by commas, semicolons or tabs, as spreadsheets save them."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator

from pennyspeed.domain.errors import BadInput

_DELIMITERS = ",;\t"
# Spreadsheets write it before the column names, and leave it out when they number rows.
_NAMED_DELIMITER = re.compile(r"sep=([^\w\s\"]|\t)\r?\n", re.IGNORECASE)
_LOOKED_AT = 4000


def rows_of(text: str, is_header: Callable[[list[str]], bool]) -> tuple[str, list[list[str]]]:
    """Return the delimiter and the rows, that of the column names first.

    Parameters
    ----------
    text : str
    is_header : callable
        Tells whether a row names columns; the delimiter that brings such a row out is the file's.
        Where none does, it is the one that parts the first row most often.

    Raises
    ------
    BadInput
        With the row, where a quote does not end.
    """
    delimiter, _, text = _first_row(text, is_header)
    return delimiter, _whole(_reader(text, delimiter))


def names_columns(text: str, is_header: Callable[[list[str]], bool]) -> bool:
    """Tell whether the first row of a text names two columns or more."""
    _, header, _ = _first_row(text, is_header)
    return len(header) > 1 and is_header(header)


def _first_row(text: str, is_header: Callable[[list[str]], bool]) -> tuple[str, list[str], str]:
    """Return the delimiter, the first row, and the text that begins with it."""
    delimiters = _DELIMITERS
    named = _NAMED_DELIMITER.match(text)
    if named:
        delimiters, text = named[1], text[named.end() :]
    headers: dict[str, list[str]] = {}
    for delimiter in delimiters:
        try:
            header = next(_reader(text, delimiter), [])
        except csv.Error:
            continue  # quotes that end elsewhere than a cell: the file has another delimiter
        headers[delimiter] = [cell.strip() for cell in header]
        if is_header(headers[delimiter]) and len(header) > 1:
            return delimiter, headers[delimiter], text
    best = max(headers, key=lambda delimiter: len(headers[delimiter]), default=delimiters[0])
    return best, headers.get(best, []), text


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
    start = content[:_LOOKED_AT]
    if 4 * start.count(0) > len(start):
        # Every second byte of western text is 0 then, the first or the second of each pair.
        little = start[1::2].count(0) >= start[::2].count(0)
        return content.decode("utf-16-le" if little else "utf-16-be", errors="replace")
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    # Every byte means something there, so nothing is lost.
    return content.decode("latin-1")
