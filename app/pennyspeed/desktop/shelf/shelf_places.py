"""Where things stand in the shelf's rows and header, whichever way the language runs."""

from __future__ import annotations

from PySide6.QtGui import QColor

from pennyspeed.desktop.widgets.painter import Painter
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.shelf.answer_columns import CHECK

MARGIN, GAP, BAR = 24, 12, 4
ROW, HEAD = 32, 24
SIGN = 16
DASH, BREAK = 5, 3
"""Together they divide a row's height, so that dashes join from row to row."""

Shown = tuple[int, int, int]
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
