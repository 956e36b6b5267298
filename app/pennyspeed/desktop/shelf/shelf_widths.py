"""How wide the shelf's columns are: their texts measured, the room shared among them."""

from __future__ import annotations

from pennyspeed.desktop.shelf.row_painter import GAP, MARGIN
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.shelf.answer_columns import BAND, CHANCE, CHECK, GAIN, SPEED
from pennyspeed.services.shelf.column_widths import Limits, share
from pennyspeed.services.shelf.shelf_rows import ShelfRows
from pennyspeed.services.shelf.stock import Stock

EDGE = 8
NAME_ROOM, PAIR_ROOM = (128, 320), (104, 320)
BAND_ROOM, WIDE_BAND, WIDE = (116, 300), 190, 1100
CHECK_ROOM = (160, 230)
SAMPLE, FEW = 256, 32
"""Rows whose texts are measured for a column's width; fewer where these are about the same."""


class Widths:
    """The widths of the columns of some rows."""

    def __init__(self, rows: ShelfRows) -> None:
        self._rows = rows
        self._of: tuple[Stock, int] | None = None
        self._kept: dict[int, float] = {}

    def share(self, width: int, hidden: frozenset[str]) -> dict[int, int]:
        """Return the widths of the columns that show in a table of that width.

        Those of `hidden` keys are left out.
        """
        rows = self._rows
        names = rows.stock.names
        wants = {column.key: self._width_of(i, width) for i, column in enumerate(rows.columns)}
        least, most = PAIR_ROOM if names > 1 else NAME_ROOM
        limits = Limits((px(least), px(most)), px(BAND_ROOM[1]), px(CHECK_ROOM[1]))
        room = width - px(EDGE)
        shared = share(room, wants, names, rows.answers_from, rows.sorting_key, hidden, limits)
        return {i: shared[key] for i, key in enumerate(wants) if key in shared}

    def _width_of(self, column: int, whole: int) -> int:
        rows = self._rows
        key = rows.columns[column].key
        if key == BAND:
            return px(WIDE_BAND if whole >= px(WIDE) else BAND_ROOM[0])
        if key == CHECK:
            return px(CHECK_ROOM[0])
        advance = theme.metrics("label_strong").horizontalAdvance
        # The mark of the column that sorts stands in the gap before its title.
        title = advance(rows.columns[column].title)
        widest = self._widest(column)
        lead = px(MARGIN) if column == 0 else 0
        return round(max(title, widest)) + px(GAP) + lead

    def _widest(self, column: int) -> float:
        """Return the width of a column's widest text, as far as a sample tells."""
        rows = self._rows
        stock, advance = rows.stock, theme.metrics("figure").horizontalAdvance
        if column >= rows.answers_from:
            # Before anything is answered there is room already, or columns would jump.
            key = rows.columns[column].key
            shortest = "+188" if key in (SPEED, GAIN) else "<188" if key == CHANCE else "−188.88"
            some = range(0, len(rows), max(len(rows) // FEW, 1))
            texts = {shortest, *(rows.text(row, column) for row in some)}
            return max(advance(text) for text in texts)
        # Of the whole stock, so that columns stay where they are while it is narrowed.
        percent = theme.keeper().text_percent
        if self._of != (stock, percent):
            self._of, self._kept = (stock, percent), {}
        if column not in self._kept:
            places = range(0, len(stock), max(len(stock) // SAMPLE, 1))
            longest = sorted({stock.text(column, i) for i in places}, key=len, reverse=True)[:8]
            self._kept[column] = max((advance(text) for text in longest), default=0.0)
        return self._kept[column]
