"""The sheet as a document: what it says and in which order, before any paper, page or screen.

::

    Sheet
      masthead        title, lines, badge or picture, code
      Section         one heading
        Paragraph | Items | Table | Plot | Blanks

Every renderer (PDF, HTML, text) walks the same document, so all say the same.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from itertools import groupby
from typing import TypeAlias

from pennyspeed.services.sheet.curves import Plot

BODY, STRONG, BIG, NOTE = "body", "strong", "big", "note"
"""Roles of a paragraph: plain, semibold, the one large figure, small print."""

START, END, CENTRE = "start", "end", "centre"
"""How a column is aligned."""

CHOSEN, REACHED, DIFFERS = "chosen", "reached", "differs"
"""What a cell may be marked with, by frame or weight and never by colour alone."""

WHOLE, HALF = "whole", "half"
"""How much of the paper's width a section takes; halves in a row stand in two columns."""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Text that wraps."""

    text: str
    role: str = BODY


@dataclass(frozen=True, slots=True)
class Item:
    """One entry of a list.

    Attributes
    ----------
    lead : str
        A word in front, such as "Stop"; "" for none.
    note : str
        What stands under it.
    """

    text: str
    lead: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True)
class Items:
    """A list; with `boxes` each entry has a box to tick."""

    items: tuple[Item, ...]
    boxes: bool = False
    columns: int = 1


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table.

    Attributes
    ----------
    share : float
        Of the width that is left over, where the columns need less than there is, and of what is
        short where they need more; 0 for a column that stays as narrow as its text.
    """

    title: str
    align: str = START
    share: float = 0.0


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell; blank ones are filled in by hand."""

    text: str = ""
    mark: str = ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table; its head is repeated on every page that it runs over.

    Attributes
    ----------
    summary : str
        What the table is, for a reader who cannot see it.
    row_heads : bool
        The first column names its row.
    writing : bool
        Its rows are tall enough to be filled in by hand.
    last_rows : int
        Rows at the end that are sums.
    """

    summary: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    row_heads: bool = True
    writing: bool = False
    last_rows: int = 0

    @property
    def has_head(self) -> bool:
        """Whether any column has a title."""
        return any(column.title for column in self.columns)


@dataclass(frozen=True, slots=True)
class Blanks:
    """Labels with a line behind each to write on."""

    labels: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Code:
    """A square of modules that a camera reads.

    Attributes
    ----------
    content : str
        What it says.
    modules : tuple of tuple of bool
        Rows from the top; True is dark. The quiet zone is not among them.
    """

    content: str
    modules: tuple[tuple[bool, ...], ...]


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as its file holds it.

    Attributes
    ----------
    kind : str
        "image/png" or "image/jpeg".
    size : tuple of int
        Width and height in pixels.
    """

    data: bytes
    kind: str
    size: tuple[int, int]
    alternative: str


Block: TypeAlias = Paragraph | Items | Table | Plot | Blanks


@dataclass(frozen=True, slots=True)
class Section:
    """Blocks under one heading."""

    key: str
    title: str
    blocks: tuple[Block, ...]
    span: str = WHOLE


@dataclass(frozen=True, slots=True)
class Masthead:
    """What stands at the head of the first page."""

    title: str
    lines: tuple[str, ...] = ()
    picture: Picture | None = None
    code: Code | None = None
    code_caption: str = ""


@dataclass(frozen=True, slots=True)
class Sizes:
    """Type and space; points and millimetres."""

    text_pt: float = 9.0
    heading_pt: float = 11.5
    title_pt: float = 22.0
    speed_pt: float = 30.0
    margin_mm: float = 14.0
    plot_mm: float = 58.0
    writing_mm: float = 8.0


@dataclass(frozen=True, slots=True)
class Sheet:
    """A whole sheet.

    Attributes
    ----------
    title, author : str
        As the file's own fields carry them.
    language : str
        BCP 47.
    made : date
    running : str
        What stands at the foot of every page, before its number.
    """

    title: str
    author: str
    made: date
    masthead: Masthead
    sections: tuple[Section, ...]
    running: str = ""
    language: str = "en"
    sizes: Sizes = field(default_factory=Sizes)

    def groups(self) -> list[tuple[Section, ...]]:
        """Return sections in order; halves that follow each other go together."""
        return [
            group
            for span, run in groupby(self.sections, key=lambda section: section.span)
            for group in ([tuple(run)] if span == HALF else [(section,) for section in run])
        ]

    def blocks(self) -> Iterator[Block]:
        """Yield every block in reading order."""
        for section in self.sections:
            yield from section.blocks


def cells(*texts: str) -> tuple[Cell, ...]:
    """Return a row of plain cells."""
    return tuple(Cell(text) for text in texts)
