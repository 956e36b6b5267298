"""Type on paper: fonts at the paper's own resolution, how wide words are, where lines break."""

from __future__ import annotations

import re
import threading
from functools import lru_cache

from PySide6.QtGui import QFont, QFontMetricsF

from pennyspeed.desktop.widgets.theme import load_fonts
from pennyspeed.domain.units import UNITS
from pennyspeed.services.sheet.document import Sizes
from pennyspeed.services.sheet.paper.page_items import Type

DOTS_PER_INCH = 1200
DOTS = DOTS_PER_INCH / 25.4
"""Dots in a millimetre: what is placed in millimetres is painted in these."""

LINE = 1.28
"""Height of a line over the size of its type."""

_POINTS_PER_INCH = 72
_MM_PER_POINT = 25.4 / _POINTS_PER_INCH
_ASCENT = 0.98
_SYMBOLS = "|".join(
    sorted({re.escape(unit.symbol) for unit in UNITS if unit.symbol} | {"[A-Z]{3}"}, reverse=True)
)
_BREAK = re.compile(rf"\s+(?!(?<=\d\s)(?:{_SYMBOLS})(?![\w/·]))(?!×\s)(?<!×\s)")
"""Where a line may break: not between a figure and its unit, nor within a size."""


_own = threading.local()
"""Fonts by thread: Qt's engines must not be shared by two."""


def font(type: Type) -> QFont:
    """Return the shipped font, unhinted, with tabular figures and without ligatures.

    A ligature would come out of a PDF as one letter.
    """
    return _made(type)[0]


def _metrics(type: Type) -> QFontMetricsF:
    return _made(type)[1]


def _made(type: Type) -> tuple[QFont, QFontMetricsF]:
    known: dict[Type, tuple[QFont, QFontMetricsF]] = _own.__dict__.setdefault("fonts", {})
    found = known.get(type)
    if found is not None:
        return found
    made = QFont(load_fonts())
    made.setPixelSize(round(type.size * DOTS_PER_INCH / _POINTS_PER_INCH))
    made.setWeight(QFont.Weight.DemiBold if type.strong else QFont.Weight.Normal)
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    made.setFeature(QFont.Tag("tnum"), 1)
    made.setFeature(QFont.Tag("liga"), 0)
    known[type] = made, QFontMetricsF(made)
    return known[type]


@lru_cache(maxsize=8192)
def width(text: str, type: Type) -> float:
    """Return how wide words are [mm]."""
    return _metrics(type).horizontalAdvance(text) / DOTS


def small(sizes: Sizes) -> Type:
    """Return the type of notes and heads of tables."""
    return Type(max(sizes.text_pt - 0.7, 6.5))


def fine_print(sizes: Sizes) -> Type:
    """Return the type of what stands at the edge of the page."""
    return Type(max(sizes.text_pt - 1.5, 6.0))


def line_height(type: Type) -> float:
    """Return the height of one line [mm]."""
    return LINE * type.size * _MM_PER_POINT


def baseline(type: Type) -> float:
    """Return where the baseline stands below the top of a line [mm]."""
    return _ASCENT * type.size * _MM_PER_POINT


def lines(text: str, type: Type, room: float) -> list[str]:
    """Return text in lines of at most `room` mm; a word that is wider is broken where it must."""
    found: list[str] = []
    line = ""
    for word in _BREAK.split(text.strip()):
        longer = f"{line} {word}" if line else word
        if width(longer, type) <= room:
            line = longer
            continue
        if line:
            found.append(line)
        line = word
        while width(line, type) > room and len(line) > 1:
            fitting = _fitting(line, type, room)
            found.append(line[:fitting])
            line = line[fitting:]
    return [*found, line] if line or not found else found


def longest_word(text: str, type: Type) -> float:
    """Return the width of the widest word [mm]."""
    return max((width(word, type) for word in _BREAK.split(text)), default=0.0)


def _fitting(word: str, type: Type, room: float) -> int:
    """Return how many letters fit, at least one."""
    low, high = 1, len(word)
    while low < high:
        middle = (low + high + 1) // 2
        if width(word[:middle], type) <= room:
            low = middle
        else:
            high = middle - 1
    return low
