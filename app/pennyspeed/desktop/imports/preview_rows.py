"""Rows of a table that is looked at: what each would do, and why one is refused."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, overload

from pennyspeed.desktop.widgets.tables.editable_table_model import Cell, ColumnHead, TableRow
from pennyspeed.domain.checks import Level
from pennyspeed.services.importers.tables.rows import Row, Verdict

HEADS = (
    ColumnHead("row", "Its number in the file; that of the column names is 1.", True),
    ColumnHead("would be", "What the row would do."),
    ColumnHead("name", "What it is about."),
    ColumnHead(
        "what changes, or what is wrong", "Each change, or why the row is refused.", grows=True
    ),
)
LEVELS = {
    Verdict.NEW: Level.OK,
    Verdict.CHANGED: Level.WARN,
    Verdict.SAME: None,
    Verdict.REFUSED: Level.STOP,
}


class PreviewRows(Sequence[TableRow]):
    """Rows of a preview as a table shows them, each made when it is looked at."""

    def __init__(self, rows: Sequence[Row[Any]]) -> None:
        self.rows = rows

    def __len__(self) -> int:
        return len(self.rows)

    @overload
    def __getitem__(self, place: int) -> TableRow: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[TableRow]: ...
    def __getitem__(self, place: int | slice) -> TableRow | Sequence[TableRow]:
        if isinstance(place, slice):
            return PreviewRows(self.rows[place])
        row = self.rows[place]
        return TableRow(
            row.number,
            (
                Cell(str(row.number), tone="quiet"),
                Cell(row.verdict.value, LEVELS[row.verdict]),
                Cell(row.name or "no name", tone="strong" if row.name else "quiet"),
                Cell(say_row(row)),
            ),
        )


def say_row(row: Row[Any]) -> str:
    """Return what a row changes, or what is wrong with it."""
    if row.refusals:
        return " ".join(str(refusal) for refusal in row.refusals)
    return "; ".join(
        f"{change.what} {change.old or 'blank'} to {change.new or 'blank'}"
        for change in row.changes
    )
