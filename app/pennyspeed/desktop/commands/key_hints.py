"""The hints: what the keys do where the keyboard is, or the one sentence about what went wrong."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.commands.actions import COMMANDS, is_plain, sequences
from pennyspeed.desktop.topline import TOP
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.keys import DOWN, LAST, LEFT, RIGHT, UP, HasKeys, KeyMap, KeyRow
from pennyspeed.desktop.widgets.painter import Painter, baseline, painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level

HEIGHT, MARGIN = 32, 24
_ARROWS = {
    UP: ((0, 4), (0, -4), (-3, -1), (3, -1)),
    DOWN: ((0, -4), (0, 4), (-3, 1), (3, 1)),
    LEFT: ((4, 0), (-4, 0), (-1, -3), (-1, 3)),
    RIGHT: ((-4, 0), (4, 0), (1, -3), (1, 3)),
}

Hint = tuple[tuple[str, ...], str]
"""Keys (arrows by the names above) and what they do."""

UNDO_ROOM = 208
BETWEEN = 20
_NEXT, _UNDO, _FIND, _KEYS = LAST
ALWAYS, SPARED = (_UNDO, _KEYS), (_NEXT, _FIND)
"""What is never left out, and what is left out first where there is no room for all."""


def hints_of(rows: Iterable[KeyRow]) -> tuple[Hint, ...]:
    """Return what is shown of rows, with the first key of each command that every keyboard has."""
    return tuple((row.keys or _keys_of(row.command), row.words) for row in rows)


def _keys_of(command: str) -> tuple[str, ...]:
    plain = filter(is_plain, sequences(COMMANDS[command].shortcuts))
    return (next(plain).toString().replace("+", " "),)


def spoken(keys: tuple[str, ...]) -> str:
    """Return keys as a screen reader says them."""
    return " ".join(keys)


def keys_width(keys: tuple[str, ...]) -> float:
    """Return how wide :func:`paint_keys` would be."""
    return sum(
        px(13) if key in _ARROWS else theme.words(key, "label_strong").width + px(4) for key in keys
    )


def paint_keys(painter: Painter, x: float, line: float, keys: tuple[str, ...]) -> float:
    """Paint keys with their baseline at `line`; return their width."""
    start = x
    for key in keys:
        if key in _ARROWS:
            _arrow(painter, x + px(5), line - px(5), key)
            x += px(13)
        else:
            x += painter.text(x, line, key, "label_strong", painter.theme.ink) + px(4)
    return x - start


def _arrow(painter: Painter, x: float, y: float, key: str) -> None:
    tail, tip, one, other = (
        QPointF(painter.left(x) + dx * px(100) / 100, y + dy * px(100) / 100)
        for dx, dy in _ARROWS[key]
    )
    qt_painter = painter.qt_painter
    qt_painter.save()
    qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    qt_painter.setPen(QPen(painter.theme.ink, 1.5 * px(100) / 100, c=Qt.PenCapStyle.RoundCap))
    qt_painter.drawLine(tail, tip)
    qt_painter.drawPolyline(QPolygonF([one, tip, other]))
    qt_painter.restore()


class HintsLine(Scaled, QWidget):
    """One line below the shelf.

    Parameters
    ----------
    place : KeyMap
        Where the keyboard is at first.
    """

    def __init__(self, place: KeyMap, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._place = place
        self.trouble = ""
        """The sentence that stands there instead of the hints, or none."""
        self._undo = ""
        self.setAccessibleName("keys")
        self.rescale()

    def rescale(self) -> None:
        self.setFixedHeight(px(HEIGHT))

    def show_place_of(self, now: QWidget) -> None:
        """Show what the keys do where the keyboard is: in the innermost place around it."""
        around: QWidget | None = now
        while around is not None and not isinstance(around, HasKeys):
            around = around.parentWidget()
        place: KeyMap = TOP if around is None else around.keys
        if place is not self._place:
            self._place = place
            self._renew()

    def show_undo(self, words: str) -> None:
        """Say what undo would do, "" for no more than that it is there."""
        if words != self._undo:
            self._undo = words
            self._renew()

    @property
    def hints(self) -> list[Hint]:
        """Keys and what they do where the keyboard is."""
        rows = [
            replace(row, words=self._undo) if row == _UNDO and self._undo else row
            for row in self._place.rows
        ]
        return list(hints_of(rows))

    def fitting(self, room: float) -> list[Hint]:
        """Return the hints that have room, each whole; the sheet of keys tells the others."""
        hints = self.hints
        rows = dict(zip(hints, self._place.rows, strict=True))
        widths = {hint: self._width(hint) + px(BETWEEN) for hint in hints}
        order = [hint for hint in hints if rows[hint] in SPARED]
        order += [hint for hint in reversed(hints) if rows[hint] not in (*SPARED, *ALWAYS)]
        for hint in order:
            if sum(widths[one] for one in hints) - px(BETWEEN) <= room:
                break
            hints.remove(hint)
        return hints

    @staticmethod
    def _width(hint: Hint) -> float:
        keys, what = hint
        return keys_width(keys) + px(4) + min(theme.words(what, "label").width, px(UNDO_ROOM))

    def _renew(self) -> None:
        said = "; ".join(f"{spoken(keys)}: {what}" for keys, what in self.hints)
        self.setAccessibleDescription(said)
        self.update()

    def complain(self, sentence: str) -> None:
        """Show a sentence about what went wrong, or "" to go back to the hints."""
        if sentence != self.trouble:
            self.trouble = sentence
            self.setAccessibleName(sentence or "keys")
            self.setToolTip(sentence)
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours = painter.theme
            painter.fill(0, 0, self.width(), 1, colours.rule)
            line = baseline(0, self.height(), "label")
            if self.trouble:
                side = px(16)
                painter.sign(px(MARGIN), (self.height() - side) / 2, side, Level.STOP)
                room = self.width() - px(56) - px(MARGIN)
                painter.text(px(56), line, self.trouble, "label_strong", colours.ink, room=room)
                return
            x = float(px(MARGIN))
            for keys, what in self.fitting(self.width() - px(MARGIN) - px(8)):
                x += paint_keys(painter, x, line, keys) + px(4)
                x += painter.text(x, line, what, "label", colours.ink2, room=px(UNDO_ROOM)) + px(
                    BETWEEN
                )
