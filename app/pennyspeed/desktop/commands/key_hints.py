"""The hints: what the keys do where the keyboard is, or the one sentence about what went wrong."""

from __future__ import annotations

from typing import Protocol, runtime_checkable

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QPen, QPolygonF
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import Painter, baseline, painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
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

LAST: tuple[Hint, ...] = (
    (("Tab",), "next"),
    (("Ctrl Z",), "undo"),
    (("Ctrl K",), "find"),
    (("F1",), "keys"),
)
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
        (("F2",), "edit the part"),
        (("/",), "narrow"),
        *LAST,
    ),
    "field": ((("Enter",), "to the rows"), (("Esc",), "show all"), *LAST),
    "shelf": (
        ((UP, DOWN), "try"),
        (("Enter",), "put it in"),
        (("Space",), "hold beside"),
        (("F3",), "edit a figure"),
        (("/",), "narrow"),
        (("Ctrl G",), "only what fits"),
        (("Ctrl T",), "try pairs"),
        (("F2",), "edit all"),
        (("Ctrl", LEFT, RIGHT), "sort"),
        ((LEFT,), "to the slots"),
        *LAST,
    ),
    "figure": (
        (("Enter",), "keep"),
        (("Esc",), "leave as it was"),
        (("Tab",), "to its source, then the next"),
        ((UP, DOWN), "next part"),
        (("Alt", LEFT, RIGHT), "next figure"),
        (("F2",), "all figures"),
    ),
    "plot": (
        ((LEFT, RIGHT), "read along the curve"),
        (("L",), "marked point"),
        (("Ctrl C",), "copy"),
        (("Ctrl S",), "save the plot"),
        *LAST,
    ),
    "views": (((LEFT, RIGHT), "view"), (("1", "2", "3"), "…"), *LAST),
    "what if": (
        ((UP, DOWN), "thing"),
        ((LEFT, RIGHT), "slide"),
        (("Esc",), "to the shelf"),
        *LAST,
    ),
    "gears": (
        ((LEFT, UP, RIGHT, DOWN), "try a pair"),
        (("Enter",), "put both in"),
        (("Space",), "hold beside"),
        (("S",), "show"),
        (("A",), "all gears"),
        *LAST,
    ),
    "beside": (
        (("B", "–", "G"), "put the car back to it"),
        (("Space",), "hold as it is"),
        (("Del",), "take away"),
        (("=",), "only what differs"),
        *LAST,
    ),
    "money": (
        ((UP, DOWN), "line"),
        (("O",), "ordered"),
        (("R",), "received"),
        (("E",), "edit"),
        (("N",), "new line"),
        (("K",), "counts or not"),
        (("Space",), "mark"),
        (("G",), "gather into an order"),
        (("P",), "planned"),
        (("W",), "owned"),
        (("M",), "made"),
        (("A",), "some came"),
        (("C",), "cancelled"),
        (("T",), "returned"),
        (("B",), "money given back"),
        (("Del",), "remove the line"),
        (("X",), "exchange rates"),
        (("S",), "show by date, kind, supplier"),
        *LAST,
    ),
    "money cell": (
        (("Enter",), "keep"),
        (("Esc",), "leave as it was"),
        (("Tab",), "next of this line"),
        ((UP, DOWN), "next line"),
    ),
    "money form": (
        (("Ctrl S",), "save"),
        (("Esc",), "close, nothing is kept"),
        (("Tab",), "next"),
    ),
    "checks": (((UP, DOWN), "check"), (("Enter",), "to its slot"), *LAST),
    "sheet": (
        ((LEFT, RIGHT), "choose"),
        (("Space",), "tick a section"),
        (("Ctrl", UP, DOWN), "move it"),
        (("Esc",), "back"),
        *LAST,
    ),
    "days": (
        ((UP, DOWN), "day"),
        (("Enter",), "to its line"),
        (("W",), "write a calendar file"),
        (("Esc",), "go back"),
        *LAST,
    ),
    "shops": (
        ((LEFT, UP, RIGHT, DOWN), "cell"),
        (("Enter",), "edit"),
        (("N",), "new"),
        (("Del",), "remove"),
        (("B",), "cheapest together"),
        (("L",), "what is left buys"),
        (("Esc",), "go back"),
        *LAST,
    ),
    "basket": ((("Enter",), "take it into the build"), (("Esc",), "go back"), *LAST),
    "left": (((UP, DOWN), "part"), (("Enter",), "put it in"), (("Esc",), "go back"), *LAST),
    "recipe": (
        (("Enter",), "to its figures"),
        (("N",), "add"),
        (("Del",), "remove"),
        (("Ctrl S",), "save"),
        (("Esc",), "close, the draft is kept"),
        *LAST,
    ),
    "preview": (
        ((UP, DOWN), "row"),
        (("T",), "take in"),
        (("L",), "leave out what is refused"),
        (("R",), "only what is refused"),
        (("Esc",), "leave it"),
        *LAST,
    ),
    "form": (
        (("Ctrl S",), "save"),
        (("Esc",), "close, the draft is kept"),
        (("Tab",), "next figure"),
    ),
}


PLACES = {
    "top": "In the top line",
    "slots": "In the car",
    "field": "While narrowing",
    "shelf": "On the shelf",
    "figure": "In a figure on the shelf",
    "plot": "In a plot",
    "views": "In the row of views",
    "what if": "At the sliders",
    "money": "Among the lines of money",
    "money cell": "In a figure of a line",
    "money form": "In an order or the rates",
    "checks": "Among the checks",
    "sheet": "At the sheet",
    "form": "In a part’s form",
    "days": "Among the days",
    "shops": "Among offers and shops",
    "basket": "In the cheapest basket",
    "left": "Among what could still be bought",
    "recipe": "In a recipe",
    "preview": "Looking at a table",
}
"""What the sheet of keys calls each place."""

UNDO_ROOM = 208
BETWEEN = 20
SPARED: tuple[Hint, ...] = (LAST[0], LAST[2])
"""What stays out first where there is no room for all; undo and the sheet of keys never do."""


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


@runtime_checkable
class HasPlaces(Protocol):
    """A panel in which keys do different things in different places."""

    def place_of(self, now: QWidget) -> str:
        """Return the place in which a widget of the panel is."""


class HintsLine(Scaled, QWidget):
    """One line below the shelf."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._place = "slots"
        self._trouble = ""
        self._undo = ""
        self.setAccessibleName("keys")
        self.rescale()

    @property
    def trouble(self) -> str:
        """The sentence that stands there instead of the hints, or ""."""
        return self._trouble

    def rescale(self) -> None:
        self.setFixedHeight(px(HEIGHT))

    def show_place(self, place: str) -> None:
        """Show what the keys do in that place."""
        if place != self._place:
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
        return [
            (keys, self._undo if what == "undo" and self._undo else what)
            for keys, what in HINTS[self._place]
        ]

    def fitting(self, room: float) -> list[Hint]:
        """Return the hints that have room, each whole; the sheet of keys tells the others."""
        hints = self.hints
        widths = {hint: self._width(hint) + px(BETWEEN) for hint in hints}
        always = [hint for hint in hints if hint[0] in (LAST[1][0], LAST[3][0])]
        order = [hint for hint in SPARED if hint in hints]
        order += [one for one in reversed(hints) if one not in order and one not in always]
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
        if sentence != self._trouble:
            self._trouble = sentence
            self.setAccessibleName(sentence or "keys")
            self.setToolTip(sentence)
            self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours = painter.theme
            painter.fill(0, 0, self.width(), 1, colours.rule)
            line = baseline(0, self.height(), "label")
            if self._trouble:
                side = px(16)
                painter.sign(px(MARGIN), (self.height() - side) / 2, side, Level.STOP)
                room = self.width() - px(56) - px(MARGIN)
                painter.text(px(56), line, self._trouble, "label_strong", colours.ink, room=room)
                return
            x = float(px(MARGIN))
            for keys, what in self.fitting(self.width() - px(MARGIN) - px(8)):
                x += paint_keys(painter, x, line, keys) + px(4)
                x += painter.text(x, line, what, "label", colours.ink2, room=px(UNDO_ROOM)) + px(
                    BETWEEN
                )
