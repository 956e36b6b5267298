"""How wide the shelf's columns are, and which of them there is room for."""

from __future__ import annotations

from pennyspeed.desktop.shelf.shelf_model import ShelfModel
from pennyspeed.desktop.shelf.shelf_places import GAP, MARGIN
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.shelf.answer_columns import (
    BAND,
    CHANCE,
    CHANGE,
    CHECK,
    GAIN,
    LEFT,
    PRICE,
    SPEED,
)
from pennyspeed.services.shelf.stock import Stock

EDGE = 8
NAME_ROOM, PAIR_ROOM = (128, 320), (104, 320)
BAND_ROOM, WIDE_BAND, WIDE = (116, 300), 190, 1100
CHECK_ROOM = (160, 230)
GIVEN_UP = (GAIN, PRICE, CHECK, LEFT, CHANCE, BAND)
"""Answers that stay out, in this order, where there is no room for all of them whole."""
SAMPLE, FEW = 256, 32
"""Rows whose texts are measured for a column's width; fewer where these are about the same."""


class Widths:
    """The widths of a model's columns.

    Parameters
    ----------
    model : ShelfModel
    """

    def __init__(self, model: ShelfModel) -> None:
        self._model = model
        self._of: tuple[Stock, int] | None = None
        self._kept: dict[int, float] = {}

    def share(self, width: int, hidden: frozenset[str]) -> dict[int, int]:
        """Return the widths of the columns that show: answers first, then figures with room.

        Parameters
        ----------
        width : int
            Of the table.
        hidden : set of str
            Keys of columns that the person leaves out.
        """
        model = self._model
        columns, names = model.columns, model.stock.names
        wants = [self._width_of(i, width) for i in range(len(columns))]
        least = list(wants)
        name_room = PAIR_ROOM if names > 1 else NAME_ROOM
        for i in range(names):
            least[i] = wants[i] = min(max(wants[i], px(name_room[0])), px(name_room[1]))
        room = width - px(EDGE)
        keys = [column.key for column in columns]
        chosen = [i for i in range(len(columns)) if i < names or keys[i] not in hidden]
        must = [i for i in chosen if i < names or i >= model.answers_from]
        # What a pair costs is what is left with it, where there is no room for both.
        spared = [keys.index(key) for key in (PRICE, CHANGE)[2 - names :]]
        spared = [i for i in spared if i in chosen]
        must = [i for i in must if i not in spared]
        # A name may be cut before an answer is.
        spare = room - sum(least[i] for i in must)
        if spare < 0:
            for i in range(names):
                cut = min(least[i] - px(name_room[0]), -(spare // (names - i)))
                least[i] -= max(cut, 0)
                spare += max(cut, 0)
        shown = set(must)
        given_up: list[int] = []
        for i in (keys.index(key) for key in GIVEN_UP if key in keys):
            if spare >= 0:
                break
            if i in shown and i != model.sorted_by[0]:
                shown.remove(i)
                given_up.insert(0, i)
                spare += least[i]
        figures = [i for i in chosen if names <= i < model.answers_from]
        # A narrow one that matters less may have room where a wide one has none.
        for i in given_up:
            if least[i] <= spare:
                shown.add(i)
                spare -= least[i]
        for i in () if given_up else (*figures, *spared):
            if wants[i] > spare:
                break
            shown.add(i)
            spare -= wants[i]
        widths = {i: least[i] for i in shown}
        for key, most in ((BAND, BAND_ROOM[1]), (CHECK, CHECK_ROOM[1])):
            i = keys.index(key)
            if i not in widths:
                continue
            more = max(min(px(most) - widths[i], spare // 2 if key == BAND else spare), 0)
            widths[i] += more
            spare -= more
        share = max(spare, 0) // len(shown)
        return {i: own + share for i, own in widths.items()}

    def _width_of(self, column: int, whole: int) -> int:
        model = self._model
        key = model.columns[column].key
        if key == BAND:
            return px(WIDE_BAND if whole >= px(WIDE) else BAND_ROOM[0])
        if key == CHECK:
            return px(CHECK_ROOM[0])
        advance = theme.metrics("label_strong").horizontalAdvance
        # The mark of the column that sorts stands in the gap before its title.
        title = advance(model.columns[column].title)
        widest = self._widest(column)
        lead = px(MARGIN) if column == 0 else 0
        return round(max(title, widest)) + px(GAP) + lead

    def _widest(self, column: int) -> float:
        """Return the width of a column's widest text, as far as a sample tells."""
        model = self._model
        stock, advance = model.stock, theme.metrics("figure").horizontalAdvance
        if column >= model.answers_from:
            # Before anything is answered there is room already, or columns would jump.
            key = model.columns[column].key
            shortest = "+188" if key in (SPEED, GAIN) else "<188" if key == CHANCE else "−188.88"
            rows = range(0, model.rowCount(), max(model.rowCount() // FEW, 1))
            texts = {shortest, *(model.text(row, column) for row in rows)}
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
