"""Workbooks in Office Open XML (.xlsx)."""

from __future__ import annotations

import io
from datetime import date
from decimal import Decimal

from pennyspeed.domain.errors import BadInput
from pennyspeed.services.exporters.table import MOST_DIGITS, Cell, Table
from pennyspeed.services.formulas import typed

_LONGEST = 32_767
# Before it the format counts a day that never was, 29 February 1900.
_FIRST_DAY = date(1900, 3, 1)
_WIDEST = 40


def xlsx_content(table: Table, decimal: str) -> bytes:
    """Return a table as a workbook of one sheet; the person's program chooses the decimal mark.

    BadInput says that a text is longer than a cell can hold.
    """
    # A package of its own, which only this needs.
    import xlsxwriter

    content = io.BytesIO()
    options = {
        "in_memory": True,
        "strings_to_formulas": False,
        "strings_to_numbers": False,
        "strings_to_urls": False,
    }
    with xlsxwriter.Workbook(content, options) as book:
        sheet = book.add_worksheet(table.name)
        bold = book.add_format({"bold": True})
        day = book.add_format({"num_format": "yyyy-mm-dd"})
        money = book.add_format({"num_format": "0.00##"})
        for x, header in enumerate(table.header):
            sheet.write_string(0, x, header, bold)
        for y, row in enumerate(table.rows, start=1):
            for x, cell in enumerate(row):
                match cell:
                    case None | "":
                        continue
                    case date() if cell >= _FIRST_DAY:
                        sheet.write_datetime(y, x, cell, day)
                    case Decimal() if len(cell.as_tuple().digits) <= MOST_DIGITS:
                        sheet.write_number(y, x, float(cell), money)
                    case int() | float():
                        sheet.write_number(y, x, cell)
                    case _:
                        sheet.write_string(y, x, _checked(typed(str(cell)), y + 1, table.header[x]))
        sheet.freeze_panes(1, 0)
        for x, width in enumerate(_widths(table)):
            sheet.set_column(x, x, width)
    return content.getvalue()


def _checked(text: str, row: int, header: str) -> str:
    if len(text) > _LONGEST:
        expected = f"at most {_LONGEST:,} characters, which is what a cell holds"
        raise BadInput(f"row {row}, column {header}", text, expected)
    return text


def _widths(table: Table) -> list[int]:
    def width(cell: Cell) -> int:
        return len(str(cell or ""))

    return [
        min(_WIDEST, 2 + max([width(header), *(width(row[x]) for row in table.rows[:200])]))
        for x, header in enumerate(table.header)
    ]
