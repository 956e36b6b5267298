"""Rows of a table that is looked at: what each would do, and why one is refused."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, overload

from pennyspeed.desktop.panels.ledger_model import Cell, Entry, Head
from pennyspeed.domain.checks import Level
from pennyspeed.services.importers.rows import Row, Verdict

HEADS = (
    Head("row", "Its number in the file; that of the column names is 1.", True),
    Head("would be", "What the row would do."),
    Head("name", "What it is about."),
    Head("what changes, or what is wrong", "Each change, or why the row is refused.", grows=True),
)
LEVELS = {
    Verdict.NEW: Level.OK,
    Verdict.CHANGED: Level.WARN,
    Verdict.SAME: None,
    Verdict.REFUSED: Level.STOP,
}


class Shown(Sequence[Entry]):
    """Rows of a preview as a ledger shows them, each made when it is looked at."""

    def __init__(self, rows: Sequence[Row[Any]]) -> None:
        self.rows = rows

    def __len__(self) -> int:
        return len(self.rows)

    @overload
    def __getitem__(self, place: int) -> Entry: ...
    @overload
    def __getitem__(self, place: slice) -> Sequence[Entry]: ...
    def __getitem__(self, place: int | slice) -> Entry | Sequence[Entry]:
        if isinstance(place, slice):
            return Shown(self.rows[place])
        row = self.rows[place]
        return Entry(
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
