"""Delimited text: what every spreadsheet opens."""

from __future__ import annotations

import csv
import io
from datetime import date
from decimal import Decimal

from pennyspeed.services.exporters.table import Cell, Table
from pennyspeed.services.formulas import guarded


def csv_content(table: Table, decimal: str) -> bytes:
    """Return a table as text with commas, or with semicolons where decimals have a comma."""
    return _content(table, ";" if decimal == "," else ",", decimal)


def tsv_content(table: Table, decimal: str) -> bytes:
    """Return a table as text with tabs."""
    return _content(table, "\t", decimal)


def _content(table: Table, delimiter: str, decimal: str) -> bytes:
    # RFC 4180; the mark in front tells spreadsheets that it is UTF-8.
    text = io.StringIO(newline="")
    writer = csv.writer(text, delimiter=delimiter, lineterminator="\r\n")
    writer.writerow(table.header)
    writer.writerows([_text(cell, decimal) for cell in row] for row in table.rows)
    return text.getvalue().encode("utf-8-sig")


def _text(cell: Cell, decimal: str) -> str:
    match cell:
        case None:
            return ""
        case str():
            return guarded(cell)
        case date():
            return cell.isoformat()
        case Decimal():
            return f"{cell:f}".replace(".", decimal)
        case _:
            return f"{cell:.10g}".replace(".", decimal)
