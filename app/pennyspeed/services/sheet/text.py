"""The sheet as plain text, for a terminal, a message or a notebook."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterator

from pennyspeed.services.reports.report import printable
from pennyspeed.services.sheet.curves import Plot
from pennyspeed.services.sheet.document import (
    BIG,
    CENTRE,
    CHOSEN,
    END,
    START,
    Block,
    Cell,
    Items,
    Paragraph,
    Sheet,
    Table,
)

WIDTH = 100
_LEAST_COLUMN = 8
_GAP = 2


def sheet_text(sheet: Sheet) -> str:
    """Return the sheet as lines of at most `WIDTH` letters, each section under its heading."""
    head = sheet.masthead
    lines = [printable(head.title), "=" * min(WIDTH, _wide(head.title))]
    for text in head.lines:
        lines += _wrapped(text)
    if head.code is not None:
        lines.append(head.code.content)
    for section in sheet.sections:
        lines += ["", section.title, "-" * _wide(section.title)]
        for block in section.blocks:
            lines += _block(block)
    if sheet.running:
        lines += ["", *_wrapped(sheet.running)]
    return "\n".join(line.rstrip() for line in lines) + "\n"


def _block(block: Block) -> Iterator[str]:
    if isinstance(block, Paragraph):
        yield from ([printable(block.text)] if block.role == BIG else _wrapped(block.text))
    elif isinstance(block, Items):
        for item in block.items:
            sign = "[ ] " if block.boxes else "- "
            lead = f"{item.lead}: " if item.lead else ""
            yield from _wrapped(lead + item.text, sign)
            if item.note:
                yield from _wrapped(item.note, " " * len(sign))
    elif isinstance(block, Table):
        yield from _table(block)
    elif isinstance(block, Plot):
        yield from _wrapped(block.alternative)
    else:
        yield from textwrap.wrap("  ".join(f"{label} ________" for label in block.labels), WIDTH)


def _wrapped(text: str, first: str = "") -> list[str]:
    return textwrap.wrap(
        printable(text), WIDTH, initial_indent=first, subsequent_indent=" " * len(first)
    )


def _table(table: Table) -> Iterator[str]:
    blank = "____" if table.writing else ""
    rows = [[_said(cell) or blank for cell in row] for row in table.rows]
    if table.has_head:
        rows.insert(0, [printable(column.title) for column in table.columns])
    widths = _widths(rows)
    for place, row in enumerate(rows):
        cells = [
            textwrap.wrap(text, width) or [""] for text, width in zip(row, widths, strict=True)
        ]
        for i in range(max(len(cell) for cell in cells)):
            yield (" " * _GAP).join(
                _aligned(cell[i] if i < len(cell) else "", width, column.align)
                for cell, width, column in zip(cells, widths, table.columns, strict=True)
            )
        is_head = table.has_head and place == 0
        if is_head or (table.last_rows and place == len(rows) - table.last_rows - 1):
            yield "-" * min(WIDTH, sum(widths) + _GAP * (len(widths) - 1))


def _said(cell: Cell) -> str:
    text = printable(cell.text)
    return f"[{text}]" if CHOSEN in cell.mark.split() else text


def _widths(rows: list[list[str]]) -> list[int]:
    """Return widths of columns; where they do not fit the widest give way."""
    widths = [max(_wide(row[i]) for row in rows) for i in range(len(rows[0]))]
    widths = [max(width, 1) for width in widths]
    while sum(widths) + _GAP * (len(widths) - 1) > WIDTH:
        widest = max(range(len(widths)), key=lambda i: widths[i])
        if widths[widest] <= _LEAST_COLUMN:
            break
        widths[widest] -= 1
    return widths


def _wide(text: str) -> int:
    """Return how many places a terminal gives to text: two to a wide sign (Unicode, UAX 11)."""
    return sum(2 if unicodedata.east_asian_width(sign) in "WF" else 1 for sign in text)


def _aligned(text: str, width: int, align: str) -> str:
    room = max(0, width - _wide(text))
    before = {START: 0, CENTRE: room // 2, END: room}[align]
    return " " * before + text + " " * (room - before)
