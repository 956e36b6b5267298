"""Rows of an editable table: declared columns, and cells of text."""

from __future__ import annotations

from collections.abc import Hashable
from dataclasses import dataclass

from pennyspeed.domain.checks import Level


@dataclass(frozen=True, slots=True)
class ColumnHead:
    """One column.

    Attributes
    ----------
    title, help : str
        The header, and one sentence about it.
    numeric : bool
        Whether its figures stand to the right.
    grows : bool
        Whether it takes width that is to spare, and gives it up first.
    """

    title: str
    help: str
    numeric: bool = False
    grows: bool = False


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell.

    Attributes
    ----------
    text : str
    level : Level or None
        Its sign stands before the text.
    typed : str or None
        The text as it is edited; None where it cannot be.
    tone : str
        "strong", "quiet", or "" for plain.
    """

    text: str = ""
    level: Level | None = None
    typed: str | None = None
    tone: str = ""


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row.

    Attributes
    ----------
    key : hashable
        What it stands for: where rows are renewed, the keyboard stays with it.
    """

    key: Hashable
    cells: tuple[Cell, ...]
