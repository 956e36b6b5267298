"""The hints: what the keys do where the keyboard is, or the one sentence about what went wrong."""

from __future__ import annotations

from PySide6.QtGui import QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.sheet import Sheet, baseline
from pennyspeed.desktop.theme import px
from pennyspeed.domain.checks import Level

HEIGHT, MARGIN = 32, 24
UP, DOWN, LEFT, RIGHT = "up", "down", "left", "right"
_ARROWS = {
    UP: ((0, 4), (0, -4), (-3, -1), (3, -1)),
    DOWN: ((0, -4), (0, 4), (-3, 1), (3, 1)),
    LEFT: ((4, 0), (-4, 0), (-1, -3), (-1, 3)),
    RIGHT: ((-4, 0), (4, 0), (1, -3), (1, 3)),
}

Hint = tuple[tuple[str, ...], str]
"""Keys (arrows by the names above) and what they do."""

LAST: tuple[Hint, ...] = ((("Tab",), "next"), (("Ctrl Z",), "undo"), (("F10",), "menu"))
HINTS: dict[str, tuple[Hint, ...]] = {
    "top": (
        ((LEFT, RIGHT), "along"),
        (("Enter",), "change"),
        ((UP, DOWN), "step"),
        (("F2",), "rename the build"),
        *LAST,
    ),
    "slots": (
        ((UP, DOWN), "slot"),
        (("Enter",), "to the shelf"),
        (("Del",), "take out"),
        (("/",), "narrow"),
        *LAST,
    ),
    "field": ((("Enter",), "to the rows"), (("Esc",), "show all"), *LAST),
    "shelf": (
        ((UP, DOWN), "try"),
        (("Enter",), "put it in"),
        (("/",), "narrow"),
        (("F2",), "edit"),
        (("Ctrl", LEFT, RIGHT), "sort"),
        ((LEFT,), "to the slots"),
        *LAST,
    ),
    "plot": (
        ((LEFT, RIGHT), "read along the road"),
        (("L",), "lift point"),
        (("Z",), "look closer"),
        *LAST,
    ),
    "checks": (((UP, DOWN), "check"), (("Enter",), "to its slot"), *LAST),
    "form": (
        (("Ctrl S",), "save"),
        (("Esc",), "close, the draft is kept"),
        (("Tab",), "next figure"),
    ),
}


class HintsLine(QWidget):
    """One line below the shelf."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._place = "slots"
        self._trouble = ""
        self.setAccessibleName("keys")
        self.restyle()

    @property
    def trouble(self) -> str:
        """The sentence that stands there instead of the hints, or ""."""
        return self._trouble

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self.setFixedHeight(px(HEIGHT))
        self.update()

    def show_place(self, place: str) -> None:
        """Show what the keys do in that place."""
        if place != self._place:
            self._place = place
            said = "; ".join(f"{' '.join(keys)}: {what}" for keys, what in HINTS[place])
            self.setAccessibleDescription(said)
            self.update()

    def complain(self, sentence: str) -> None:
        """Show a sentence about what went wrong, or "" to go back to the hints."""
        if sentence != self._trouble:
            self._trouble = sentence
            self.setAccessibleName(sentence or "keys")
            self.setToolTip(sentence)
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        sheet = Sheet(painter, self.width(), self)
        colours = sheet.theme
        painter.fillRect(event.rect(), colours.ground)
        sheet.fill(0, 0, self.width(), 1, colours.rule)
        line = baseline(0, self.height(), "label")
        if self._trouble:
            side = px(16)
            sheet.sign(px(MARGIN), (self.height() - side) / 2, side, Level.STOP)
            room = self.width() - px(56) - px(MARGIN)
            sheet.text(px(56), line, self._trouble, "label_strong", colours.ink, room=room)
            painter.end()
            return
        x = float(px(MARGIN))
        for keys, what in HINTS[self._place]:
            start = x
            for key in keys:
                if key in _ARROWS:
                    self._arrow(sheet, x + px(5), line - px(5), key)
                    x += px(13)
                else:
                    x += sheet.text(x, line, key, "label_strong", colours.ink) + px(4)
            x += px(4)
            x += sheet.text(x, line, what, "label", colours.ink2) + px(20)
            if x - px(20) > self.width() - px(8):
                # No half words: what does not fit is taken away again.
                sheet.fill(start, 1, self.width() - start, self.height() - 1, colours.ground)
                break
        painter.end()

    @staticmethod
    def _arrow(sheet: Sheet, x: float, y: float, key: str) -> None:
        from PySide6.QtCore import QPointF, Qt
        from PySide6.QtGui import QPen

        tail, tip, one, other = (
            QPointF(sheet.left(x) + dx * px(100) / 100, y + dy * px(100) / 100)
            for dx, dy in _ARROWS[key]
        )
        painter = sheet.painter
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(sheet.theme.ink, 1.5 * px(100) / 100, c=Qt.PenCapStyle.RoundCap))
        painter.drawLine(tail, tip)
        painter.drawPolyline(QPolygonF([one, tip, other]))
        painter.restore()
