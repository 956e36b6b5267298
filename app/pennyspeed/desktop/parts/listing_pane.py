"""A pasted listing: its words at the leading edge, joined to the fields that they fill."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from PySide6.QtCore import QPointF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPainterPath, QPaintEvent, QPen
from PySide6.QtWidgets import QAbstractButton, QWidget

from pennyspeed.desktop.parts import LISTING
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.button import PUSHING
from pennyspeed.desktop.widgets.own_keys import OwnKeys
from pennyspeed.desktop.widgets.painter import Painter, baseline, painting
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.services.editing.pasted_listing import Line, Word, lines_of
from pennyspeed.services.listings import Reading

PITCH, NARROW_PITCH = 27, 40
TEXT, GUTTER, DOT = 240, 100, 2.5
"""Widths of the text and of the gutter with the joins."""
BELOW = 4
"""From the baseline of words to the line that joins them."""


@dataclass(frozen=True, slots=True)
class Join:
    """Where a field stands.

    Attributes
    ----------
    y : int
        Of its middle.
    is_open : bool
        Whether the listing says two things about it.
    """

    y: int
    is_open: bool
    label: str


class ListingPane(OwnKeys, QAbstractButton):
    """The listing; arrow keys go from word to word, Enter or a click asks what to do with one.

    Signals
    -------
    word_chosen(Word)
        What is to become of it?
    """

    keys = LISTING
    word_chosen = Signal(object)

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.lines: list[Line] = []
        self._joins: Mapping[str, Join] = {}
        self._chosen_key = ""
        self._is_narrow = False
        self._at = (0, 0)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setAccessibleName("pasted listing")
        self.clicked.connect(self._push)
        self.hide()

    # What it shows --------------------------------------------------------------------------

    def show_reading(self, reading: Reading) -> None:
        """Show another listing."""
        self.lines = lines_of(reading, _advance, px(TEXT + 8))
        self._at = self._first_unknown()
        self.setAccessibleDescription(reading.text)
        self._say()
        self.update()

    def show_joins(self, joins: Mapping[str, Join], chosen: str, narrow: bool) -> None:
        """Join words to fields by their keys, the chosen one's strongly.

        On a narrow page the field's name stands under the words in place of the join.
        """
        if (joins, chosen, narrow) != (self._joins, self._chosen_key, self._is_narrow):
            self._joins, self._chosen_key, self._is_narrow = joins, chosen, narrow
            self.update()

    @property
    def _pitch(self) -> int:
        return px(NARROW_PITCH if self._is_narrow else PITCH)

    @property
    def needed_height(self) -> int:
        """How high its lines are together."""
        return self._pitch * len(self.lines)

    @property
    def word(self) -> Word | None:
        """The word that the keyboard stands on."""
        row, place = self._at
        return self.lines[row][place] if row < len(self.lines) else None

    def _first_unknown(self) -> tuple[int, int]:
        places = ((i, k) for i, line in enumerate(self.lines) for k in range(len(line)))
        return next((at for at in places if not self.lines[at[0]][at[1]].keys), (0, 0))

    def _say(self) -> None:
        word = self.word
        if word is not None:
            known = "" if word.keys else ", not understood"
            self.setAccessibleName(f"pasted listing: {word.text}{known}")

    def _x(self, row: int, place: int) -> float:
        """Return where a word begins, from the leading edge."""
        words = self.lines[row][:place]
        return sum(max(_advance(word), self._named_width(word)) for word in words)

    def _named(self, word: Word) -> str:
        """Return the names of a word's fields, as they stand under it."""
        if not self._is_narrow:
            return ""
        return ", ".join(self._joins[key].label for key in word.keys if key in self._joins)

    def _named_width(self, word: Word) -> float:
        named = self._named(word)
        return theme.words(named, "small").width + px(6) if named else 0.0

    def place_of(self, text: str) -> tuple[int, int] | None:
        """Return the middle of the first word that reads so, in pixels; None where none does."""
        for i, line in enumerate(self.lines):
            for k, word in enumerate(line):
                if word.text == text:
                    wide = theme.words(text, _role(word)).width
                    x = self._x(i, k) + wide / 2
                    x = self.width() - x if self.isRightToLeft() else x
                    return round(x), self._pitch * i + self._pitch // 2
        return None

    # Hands ----------------------------------------------------------------------------------

    def is_own(self, event: QKeyEvent) -> bool:
        return False

    def keyPressEvent(self, event: QKeyEvent) -> None:
        steps: dict[int, int] = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}
        if event.key() in PUSHING:
            self.click()
        elif event.key() in steps and self.lines:
            self._step(-steps[event.key()] if self.isRightToLeft() else steps[event.key()])
        elif event.key() in (Qt.Key.Key_Up, Qt.Key.Key_Down) and self.lines:
            row = self._at[0] + (1 if event.key() == Qt.Key.Key_Down else -1)
            if 0 <= row < len(self.lines):
                self._stand((row, min(self._at[1], len(self.lines[row]) - 1)))
        else:
            event.ignore()

    def _step(self, step: int) -> None:
        places = [(i, k) for i, line in enumerate(self.lines) for k in range(len(line))]
        at = places.index(self._at) + step
        if 0 <= at < len(places):
            self._stand(places[at])

    def _stand(self, at: tuple[int, int]) -> None:
        self._at = at
        self._say()
        self.update()

    def _push(self) -> None:
        word = self.word
        if word is not None:
            self.word_chosen.emit(word)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        self.setFocus(Qt.FocusReason.MouseFocusReason)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        at = self._under(event)
        if at is not None:
            self._stand(at)
            self._push()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        shape = Qt.CursorShape
        self.setCursor(
            shape.ArrowCursor if self._under(event) is None else shape.PointingHandCursor
        )

    def _under(self, event: QMouseEvent) -> tuple[int, int] | None:
        spot = event.position()
        row = int(spot.y() // self._pitch)
        if not 0 <= row < len(self.lines):
            return None
        x = self.width() - spot.x() if self.isRightToLeft() else spot.x()
        for k, word in enumerate(self.lines[row]):
            start = self._x(row, k)
            if start <= x <= start + theme.words(word.text, _role(word)).width:
                return row, k
        return None

    # Painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            painter.qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing)
            if not self._is_narrow:
                self._paint_joins(painter)
            for i, line in enumerate(self.lines):
                self._paint_line(painter, i, line)

    def _paint_line(self, painter: Painter, row: int, line: Line) -> None:
        colours = painter.theme
        base = baseline(self._pitch * row, px(PITCH), "body")
        for k, word in enumerate(line):
            x = self._x(row, k)
            is_chosen = bool(self._chosen_key) and self._chosen_key in word.keys
            is_open = any(key in self._joins and self._joins[key].is_open for key in word.keys)
            colour = colours.ink if word.keys else colours.ink3
            if is_open:
                colour = colours.watch
            elif is_chosen:
                colour = colours.accent
            wide = painter.text(x, base, word.text, _role(word), colour)
            if word.tail:
                painter.text(x + wide, base, word.tail, "body", colours.ink3)
            named = self._named(word)
            if named:
                painter.text(x, base + px(15), named, "small", colours.ink2)
            if self.hasFocus() and (row, k) == self._at:
                left = round(painter.left(x - px(2), wide + px(4)))
                box = (left, self._pitch * row + px(3), round(wide) + px(4), self._pitch - px(6))
                painter.qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing, False)
                painter.qt_painter.setPen(colours.accent)
                painter.qt_painter.setBrush(Qt.BrushStyle.NoBrush)
                painter.qt_painter.drawRect(*box)
                painter.qt_painter.setRenderHint(QPainter.RenderHint.Antialiasing)

    def _paint_joins(self, painter: Painter) -> None:
        """Draw a line from each word to its field, the chosen one last, above the others."""
        found = []
        for i, line in enumerate(self.lines):
            known = [(k, key) for k, word in enumerate(line) for key in word.keys]
            seen: list[int] = []
            for k, key in known:
                if k not in seen:
                    seen.append(k)
                if key in self._joins:
                    found.append((key == self._chosen_key, i, k, seen.index(k), key))
        for chosen, row, place, nth, key in sorted(found):
            self._paint_join(painter, row, place, nth, self._joins[key], chosen)

    def _paint_join(
        self, painter: Painter, row: int, place: int, nth: int, join: Join, chosen: bool
    ) -> None:
        colours, qt_painter = painter.theme, painter.qt_painter
        colour = colours.watch if join.is_open else colours.accent if chosen else colours.line
        base = baseline(self._pitch * row, self._pitch, "body")
        y = base + px(BELOW) + 3 * nth + 0.5
        word = self.lines[row][place]
        start = self._x(row, place)
        turn, end = px(TEXT) + px(4), px(TEXT) + px(GUTTER)
        qt_painter.setPen(QPen(colour, 2 if chosen else 1))
        qt_painter.setBrush(Qt.BrushStyle.NoBrush)
        path = QPainterPath(QPointF(painter.left(start), y))
        wide = theme.words(word.text, _role(word)).width
        path.lineTo(QPointF(painter.left(max(turn, start + wide)), y))
        middle = (turn + end) / 2
        path.cubicTo(
            QPointF(painter.left(middle), y),
            QPointF(painter.left(middle), join.y + 0.5),
            QPointF(painter.left(end), join.y + 0.5),
        )
        qt_painter.drawPath(path)
        painter.dot(end, join.y + 0.5, DOT * px(100) / 100 * (1.4 if chosen else 1), colour)


def _advance(word: Word) -> float:
    """Return how far the word behind it begins from where it begins."""
    wide = theme.words(word.text, _role(word)).width
    return wide + theme.metrics("body").horizontalAdvance(f"{word.tail} ")


def _role(word: Word) -> str:
    return "figure" if word.keys else "body"
