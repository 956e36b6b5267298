"""The shelf's rows, painted: names and figures, the likely range on one scale, the worst check.

Where things stand in them is said once, for header and editors too.
"""

from __future__ import annotations

from PySide6.QtCore import QPointF
from PySide6.QtGui import QColor, QPainter, QPen

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import Painter, baseline
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level
from pennyspeed.services.shelf.answer_columns import BAND, CHANGE, CHECK, SPEED
from pennyspeed.services.shelf.band_scale import Scale
from pennyspeed.services.shelf.row_texts import NOW
from pennyspeed.services.shelf.shelf_rows import ShelfRows

MARGIN, GAP, BAR = 24, 12, 4
ROW, HEAD = 32, 24
SIGN = 16
DASH, BREAK = 5, 3
"""Together they divide a row's height, so that dashes join from row to row."""

ShownColumn = tuple[int, int, int]
"""A column, where it starts from the leading edge, and its width."""


def lead(key: str) -> int:
    """Return how far from its start a column of words begins."""
    return px(GAP) + (px(SIGN) + px(8) if key == CHECK else 0)


def strip(start: int, width: int) -> tuple[int, int]:
    """Return where the strip begins in its column, and its width."""
    return start + px(GAP) + px(8), width - px(GAP) - px(20)


def place(painter: Painter, strip: tuple[int, int], part: float) -> int:
    """Return where a share of the strip stands; speeds rise to the right in any language."""
    start, across = strip
    return start + round(across * (1.0 - part if painter.mirrored else part))


def figure(
    painter: Painter, start: float, width: float, line: float, text: str, role: str, colour: QColor
) -> float:
    """Write a figure, its last digit to the right in any language; return its width."""
    end, wide = start + width, width - px(GAP)
    return painter.figure(end, wide, line, text, role, colour, width - px(8))


class RowPainter:
    def __init__(self, rows: ShelfRows) -> None:
        self._rows = rows

    def ground(self, painter: Painter, row: int, top: int, chosen: bool, focused: bool) -> None:
        """Paint what a row lies on; the first that does not fit is parted from those above."""
        rows, colours, high = self._rows, painter.theme, px(ROW)
        if row and not rows.fits(row) and rows.fits(row - 1):
            painter.fill(0, top, painter.width, 1, colours.line)
        if chosen:
            painter.fill(0, top, painter.width, high, colours.tint)
            painter.fill(0, top, px(BAR), high, colours.accent)
            if focused:
                painter.fill(0, top, painter.width, 1, colours.accent)
                painter.fill(0, top + high - 1, painter.width, 1, colours.accent)

    def band(
        self,
        painter: Painter,
        row: int,
        top: int,
        strip: tuple[int, int],
        scale: Scale,
        chosen: bool,
    ) -> None:
        """Draw the row's likely range."""
        band = self._rows.band(row)
        if band is None or band[0] != band[0]:
            return
        colours = painter.theme
        ends = [min(max(scale.part(speed), 0.0), 1.0) for speed in (band[0], band[2])]
        low, high = sorted(place(painter, strip, end) for end in ends)
        y, tall = top + px(10), px(ROW) - 2 * px(10)
        fill = colours.band2 if chosen else colours.band
        painter.fill(low, y, high - low + px(1), tall, fill)
        for x in (low, high):
            painter.fill(x, y, px(1), tall, colours.band_edge)

    def lines(self, painter: Painter, bottom: int, strip: tuple[int, int], scale: Scale) -> None:
        """Draw the car's own speed and the target through all rows."""
        rows, colours = self._rows, painter.theme
        now, target = rows.speed_now, rows.target
        if now is not None and scale.has(now):
            x = place(painter, strip, scale.part(now))
            painter.fill(x, 0, px(1), bottom, colours.accent)
        if target is not None and scale.has(target):
            x = place(painter, strip, scale.part(target))
            for y in range(0, bottom, px(DASH) + px(BREAK)):
                painter.fill(x, y, px(1), min(px(DASH), bottom - y), colours.ink)

    def ring(
        self, painter: Painter, row: int, top: int, strip: tuple[int, int], scale: Scale
    ) -> None:
        """Draw the row's own speed: a dot where it is in the car, a ring where it would be."""
        band = self._rows.band(row)
        if band is None or band[1] != band[1] or not scale.has(band[1]):
            return
        colours, qt_painter = painter.theme, painter.qt_painter
        inside = self._rows.count_in(row) and not self._rows.stock.kind.many
        x = painter.left(place(painter, strip, scale.part(band[1])), 1) + 0.5
        qt_painter.save()
        qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        pen = QPen(colours.accent if inside else colours.ink, 1.5 * px(100) / 100)
        qt_painter.setPen(pen)
        qt_painter.setBrush(colours.accent if inside else colours.ground)
        radius = 4.5 * px(100) / 100 if inside else 3.5 * px(100) / 100
        qt_painter.drawEllipse(QPointF(x, top + px(ROW) / 2), radius, radius)
        qt_painter.restore()

    def words(
        self, painter: Painter, row: int, top: int, columns: list[ShownColumn], chosen: bool
    ) -> None:
        """Write the row's words and figures."""
        rows, colours, high = self._rows, painter.theme, px(ROW)
        inside = rows.count_in(row)
        line = baseline(top, high, "body")
        part = rows.part(row)
        strong = bool(inside) or chosen
        is_grey = part.archived or not rows.fits(row)
        ink = colours.ink3 if is_grey else colours.ink
        name_role = "name_chosen" if strong else "name"
        figure_role = "figure" if strong else "body"
        if inside:
            painter.dot(px(13), line - theme.metrics("body").capHeight() / 2, px(4), colours.accent)
        for i, start, width in columns:
            key = rows.columns[i].key
            if key == BAND:
                continue
            if key == CHECK:
                self._paint_check(painter, row, top, start, width, strong)
                continue
            text = rows.text(row, i)
            if i < rows.stock.names:
                name = f"{text}  (archived)" if part.archived and i == 0 else text
                begin = px(MARGIN) if i == 0 else px(GAP)
                painter.text(start + begin, line, name, name_role, ink, room=width - begin - px(8))
                continue
            late = rows.is_late and i > rows.answers_from
            colour = colours.ink3 if late or rows.is_dim(row, i) else ink
            role = figure_role
            if key == SPEED:
                role = "figure_chosen" if strong else "body" if is_grey else "figure"
            if text == NOW or (inside and key == CHANGE):
                colour, role = colours.accent, "figure"
            elif rows.is_over(row, i):
                colour, role = colours.watch, "figure"
            if rows.columns[i].numeric:
                figure(painter, start, width, line, text, role, colour)
            else:
                painter.text(start + px(GAP), line, text, role, colour, room=width - px(GAP))

    def _paint_check(
        self, painter: Painter, row: int, top: int, start: int, width: int, strong: bool
    ) -> None:
        rows = self._rows
        level = rows.level(row)
        if level is None:
            return
        side, line = px(SIGN), baseline(top, px(ROW), "label")
        column = len(rows.columns) - 1
        painter.sign(start + px(GAP), top + (px(ROW) - side) / 2, side, level)
        is_bad = level in (Level.STOP, Level.WARN)
        colour = theme.sign_colour(level, painter.theme) if is_bad else painter.theme.ink2
        if rows.is_late:
            colour = painter.theme.ink3
        begin = lead(CHECK)
        role = "label_strong" if strong else "label"
        room = width - begin
        text = rows.text(row, column)
        if theme.words(text, role).width > room:
            role = "label"
        painter.text(start + begin, line, text, role, colour, room=room)
