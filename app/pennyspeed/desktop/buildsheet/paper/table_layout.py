"""Tables on paper: widths of columns, rows that wrap, heads to repeat, cells to write in."""

from __future__ import annotations

from collections.abc import Sequence

from pennyspeed.desktop.buildsheet.paper import fonts
from pennyspeed.services.sheet.document import (
    CENTRE,
    CHOSEN,
    DIFFERS,
    END,
    REACHED,
    Cell,
    Sizes,
    Table,
)
from pennyspeed.services.sheet.paper.page_items import (
    Chunk,
    Element,
    PageItem,
    Run,
    Stroke,
    Type,
    box,
)

GAP = 3.5
PAD = 0.55
_WRITING_GAP = 2.4
_HAIR, _THIN, _FRAME = 0.1, 0.2, 0.4
_WORD_SHARE = 0.3
"""Of the width: a word that is wider may be broken before other columns suffer."""
_MOST_LINES = 40
"""Lines after which a row may go on over the page."""


class TableLayout:
    """Lays one table out.

    Parameters
    ----------
    table : Table
    room : float
        Width of the paper that it may take [mm].
    sizes : Sizes
    parent : Element
        Where its own element goes.
    """

    def __init__(self, table: Table, room: float, sizes: Sizes, parent: Element) -> None:
        self.table = table
        self.sizes = sizes
        self.plain = Type(sizes.text_pt)
        self.strong = Type(sizes.text_pt, strong=True)
        self.small = fonts.small(sizes)
        self.gap = _WRITING_GAP if table.writing else GAP
        self.inset = 0.5 * self.gap if table.writing else 0.0
        self.widths = self._widths(room - 2 * self.inset)
        self.width = sum(self.widths) + self.gap * (len(self.widths) - 1)
        self.element = parent.add("Table", alternative=table.summary)

    def chunks(self) -> list[Chunk]:
        """Return the head and the rows, each whole on its page."""
        found: list[Chunk] = []
        head = None
        if self.table.has_head:
            head = self._head()
            found.append(head)
        count = len(self.table.rows)
        for place, row in enumerate(self.table.rows):
            is_sum = count - place <= self.table.last_rows
            # a sum never stands alone, nor does what is left of a table after its first row
            keep = place == count - 2 or (count - place - 1 == self.table.last_rows > 0)
            first_sum = is_sum and count - place == self.table.last_rows
            found += self._row(row, is_sum, first_sum, keep and place < count - 1, head)
        return found

    # Widths ----------------------------------------------------------------------------------

    def _type(self, cell: Cell, is_sum: bool) -> Type:
        strong = is_sum or bool({REACHED, DIFFERS} & set(cell.mark.split()))
        return self.strong if strong else self.plain

    def _widths(self, room: float) -> list[float]:
        columns = self.table.columns
        natural, least = [], []
        count = len(self.table.rows)
        for i, column in enumerate(columns):
            texts = [
                (row[i].text, self._type(row[i], count - place <= self.table.last_rows))
                for place, row in enumerate(self.table.rows)
            ]
            texts.append((column.title, self.small))
            extra = 1.0 if any(CHOSEN in row[i].mark for row in self.table.rows) else 0.0
            # a hair more than measured: the sum of words is rounded
            natural.append(max(fonts.width(*one) for one in texts) + 0.1 + extra)
            least.append(max(fonts.longest_word(*one) for one in texts) + 0.1 + extra)
        free = room - self.gap * (len(columns) - 1)
        least = [min(one, _WORD_SHARE * free) for one in least]
        shares = [column.share for column in columns]
        spare = free - sum(natural)
        if spare >= 0.0:
            whole = sum(shares)
            return [
                one + (spare * share / whole if whole else 0.0)
                for one, share in zip(natural, shares, strict=True)
            ]
        return _squeezed(natural, least, shares, free)

    # Rows ------------------------------------------------------------------------------------

    def _head(self) -> Chunk:
        row = self.element.add("TR")
        wrapped = [
            fonts.lines(column.title, self.small, width)
            for column, width in zip(self.table.columns, self.widths, strict=True)
        ]
        deepest = max(len(lines) for lines in wrapped)
        high = fonts.line_height(self.small)
        height = deepest * high + 2 * PAD
        things: list[PageItem] = []
        x = self.inset
        for column, width, lines in zip(self.table.columns, self.widths, wrapped, strict=True):
            cell = row.add("TH", scope="Column")
            y = PAD + (deepest - len(lines)) * high
            things += self._lines(lines, x, y, width, column.align, self.small, "ink3", cell)
            x += width + self.gap
        if self.table.writing:
            things += self._grid(height)
        else:
            things.append(Stroke(((0.0, height), (self.width, height)), "line", _THIN))
        return Chunk(height, tuple(things), keep=True)

    def _row(
        self,
        row: Sequence[Cell],
        is_sum: bool,
        first_sum: bool,
        keep: bool,
        head: Chunk | None,
    ) -> list[Chunk]:
        types = [self._type(cell, is_sum) for cell in row]
        wrapped = [
            fonts.lines(cell.text, type, width)
            for cell, type, width in zip(row, types, self.widths, strict=True)
        ]
        element = self.element.add("TR")
        cells = []
        for i in range(len(row)):
            heads = i == 0 and self.table.row_heads
            cells.append(element.add("TH", scope="Row") if heads else element.add("TD"))
        deepest = max(len(lines) for lines in wrapped)
        high = fonts.line_height(self.plain)
        found = []
        for start in range(0, deepest, _MOST_LINES):
            part = [lines[start : start + _MOST_LINES] for lines in wrapped]
            height = max(len(lines) for lines in part) * high + 2 * PAD
            if self.table.writing:
                height = max(height, self.sizes.writing_mm)
            things: list[PageItem] = []
            x = self.inset
            for i, (cell, lines) in enumerate(zip(row, part, strict=True)):
                heads = i == 0 and self.table.row_heads
                colour = "ink2" if heads and not is_sum else "ink"
                align = self.table.columns[i].align
                y = PAD if not self.table.writing else 0.5 * (height - len(lines) * high)
                width = self.widths[i]
                things += self._lines(lines, x, y, width, align, types[i], colour, cells[i])
                if CHOSEN in cell.mark.split():
                    frame = box(x + 0.3, 0.25, width - 0.6, height - 0.5)
                    things.append(Stroke(frame, "accent", _FRAME))
                x += width + self.gap
            if self.table.writing:
                things += self._grid(height)
            else:
                things.append(Stroke(((0.0, height), (self.width, height)), "rule", _HAIR))
            if first_sum:
                things.append(Stroke(((0.0, 0.0), (self.width, 0.0)), "line", _THIN))
            found.append(Chunk(height, tuple(things), keep=keep, head=head))
        return found

    def _lines(
        self,
        lines: Sequence[str],
        x: float,
        y: float,
        width: float,
        align: str,
        type: Type,
        colour: str,
        element: Element,
    ) -> list[PageItem]:
        high = fonts.line_height(self.plain if type != self.small else self.small)
        found: list[PageItem] = []
        for i, text in enumerate(lines):
            if not text:
                continue
            spare = width - fonts.width(text, type)
            shift = spare if align == END else 0.5 * spare if align == CENTRE else 0.0
            at = y + i * high + fonts.baseline(type)
            found.append(Run(x + shift, at, text, type, colour, element))
        return found

    def _grid(self, height: float) -> list[PageItem]:
        """Return the frame and the partings of a row that is written in."""
        left, right = 0.0, self.width + 2 * self.inset
        found: list[PageItem] = [
            Stroke(((left, 0.0), (right, 0.0)), "line", _HAIR),
            Stroke(((left, height), (right, height)), "line", _HAIR),
        ]
        x = left
        for width in [0.0, *self.widths]:
            x += width + (self.gap if width else 0.0)
            found.append(Stroke(((x, 0.0), (x, height)), "line", _HAIR))
        return found


def _squeezed(
    natural: Sequence[float], least: Sequence[float], shares: Sequence[float], free: float
) -> list[float]:
    """Return widths that fit: columns with a share give way first, down to their longest word.

    Where even that is too wide, what is widest is broken.
    """
    widths = [one if share == 0.0 else small
              for one, small, share in zip(natural, least, shares, strict=True)]  # fmt: skip
    if sum(widths) > free:
        widths = list(least)
    over = sum(widths) - free
    if over > 0.0:
        return _levelled(widths, free)
    # the same for each that wants more, so that a short name is whole before a long one wraps less
    wanted = [one - width for one, width in zip(natural, widths, strict=True)]
    more = _levelled(wanted, -over)
    return [width + given for width, given in zip(widths, more, strict=True)]


def _levelled(widths: Sequence[float], free: float) -> list[float]:
    """Return widths cut to one level, so that they add up to `free` where they are more."""
    if sum(widths) <= free:
        return list(widths)
    low, high = 0.0, max(widths)
    for _ in range(50):
        level = 0.5 * (low + high)
        if sum(min(one, level) for one in widths) > free:
            high = level
        else:
            low = level
    return [min(one, low) for one in widths]
