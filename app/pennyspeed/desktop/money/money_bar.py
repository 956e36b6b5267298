"""The bar of money: every line as a segment of what is spent, promised and planned, to the cap."""

from __future__ import annotations

from collections.abc import Iterable

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from pennyspeed.desktop.charts.strokes import crossed, hatched, paint_circle
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.desktop.widgets.painter import RIGHT, Painter, baseline, painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px, words
from pennyspeed.domain.checks import Level
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import Book
from pennyspeed.services.money.bar_segments import Segment, WouldBe, segments
from pennyspeed.services.money.book_words import (
    cap_sentence,
    left_text,
    uncounted_text,
    would_be_text,
)
from pennyspeed.services.money.status_circles import FULL, HALF, OPEN, sums_by_circle

MARGIN = 24
TOP, TALL, LABELS, APART = 28, 32, 22, 24
BEYOND = 1.045
"""How far the scale reaches over the largest sum, so that its mark has ground on both sides."""


class MoneyBar(Scaled, QWidget):
    """The sums over the bar, the lines in it, and below it what does not count."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("Money against the cap, line by line")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self._book: Book | None = None
        self._measures = Measures()
        self._ghost: WouldBe | None = None
        self.segments: list[Segment] = []
        self.captions: list[tuple[str, str, str]] = []
        self.apart, self.would_be = "", ""
        self.rescale()

    def rescale(self) -> None:
        self.setFixedHeight(px(TOP + TALL + LABELS + APART))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(240), self.height())

    # Showing --------------------------------------------------------------------------------

    def show_book(
        self,
        found: Book,
        measures: Measures,
        ghost: WouldBe | None = None,
        held: Iterable[WouldBe] = (),
    ) -> None:
        """Show a build's book, and what it would be with a part tried or as builds are held."""
        self._book, self._measures, self._ghost = found, measures, ghost
        self.segments = segments(found)
        self.captions = sums_by_circle(found, measures)
        self.apart = uncounted_text(found, measures)
        others = [ghost] if ghost is not None else list(held)
        self.would_be = "; ".join(would_be_text(one, measures) for one in others)
        self.setAccessibleDescription(cap_sentence(found, measures, self.apart, self.would_be))
        self.setToolTip("\n".join(text for text in (self.apart, self.would_be) if text))
        self.update()

    @property
    def left(self) -> str:
        """What is left of the cap, or by how much it is passed; "" without a cap."""
        return "" if self._book is None else left_text(self._book, self._measures)

    # Painting -------------------------------------------------------------------------------

    def _x(self, minor: float) -> float:
        assert self._book is not None
        found = self._book
        sums = [found.sums.counted.total, 0 if found.cap is None else found.cap.minor]
        if self._ghost is not None:
            sums.append(self._ghost.book.sums.counted.total)
        most = max(1.0, BEYOND * max(sums))
        wide = self.width() - 2 * px(MARGIN)
        return round(px(MARGIN) + max(minor, 0.0) * wide / most)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            if self._book is not None:
                painter = Painter(painter.qt_painter, self.width(), self)
                self._paint_bar(painter, self._book)
                self._paint_captions(painter, self._book)
                self._paint_labels(painter, self._book)
                self._paint_apart(painter, self._book)

    def _box(self, painter: Painter, start: float, end: float, top: float, tall: float) -> QRectF:
        x0, x1 = self._x(start), self._x(end)
        return QRectF(painter.left(x0, x1 - x0), top, x1 - x0, tall)

    def _paint_bar(self, painter: Painter, found: Book) -> None:
        p, colours, one = painter.qt_painter, painter.theme, px(1)
        top, tall = px(TOP), px(TALL)
        for piece in self.segments:
            box = self._box(painter, piece.start, piece.end, top, tall)
            if piece.sign == FULL:
                p.fillRect(box, colours.ink2)
            elif piece.sign == HALF:
                hatched(p, box, colours.ink2)
        whole = found.sums.counted.total
        wide = self._x(whole) - px(MARGIN)
        for y in (top, top + tall - one):
            painter.fill(px(MARGIN), y, wide, one, colours.ink2)
        for before, piece in zip([None, *self.segments], self.segments, strict=False):
            is_inner = before is not None and before.sign == FULL
            x = self._x(piece.start)
            colour = colours.ground if is_inner and piece.sign == FULL else colours.ink2
            painter.fill(x, top, one, tall, colour)
        painter.fill(self._x(whole) - one, top, one, tall, colours.ink2)
        bottom = top + tall - one
        painter.fill(px(MARGIN), bottom, self.width() - 2 * px(MARGIN), one, colours.line)
        if found.cap is not None:
            if whole > found.cap.minor:
                box = self._box(painter, found.cap.minor, whole, top, tall)
                crossed(p, box, colours.ground, colours.watch)
            x = self._x(found.cap.minor)
            painter.fill(x - one, top - px(8), 2 * one, tall + px(8), colours.ink)
        if self._ghost is not None:
            self._paint_ghost(painter, self._ghost.book.sums.counted.total, top + tall)

    def _paint_ghost(self, painter: Painter, whole: int, bottom: float) -> None:
        """Draw a thin bar below, as long as the whole would be, with a ring at its end."""
        p, one, x = painter.qt_painter, px(1), self._x(whole)
        painter.fill(px(MARGIN), bottom + px(3), x - px(MARGIN), one, painter.theme.ink)
        at = QPointF(painter.left(x), bottom + px(3))
        paint_circle(p, at, px(3), OPEN, painter.theme.ink, painter.theme.ground)

    def _paint_captions(self, painter: Painter, found: Book) -> None:
        colours = painter.theme
        line = baseline(0, px(TOP) - px(6), "label_strong")
        right = self.width() - px(MARGIN)
        is_over = found.left is not None and found.left.minor < 0
        end: float = right
        if self.left:
            text = words(self.left, "label_strong")
            at: float = right if found.cap is None else self._x(found.cap.minor) - px(8)
            at = right if is_over else min(max(at, px(MARGIN) + text.width), right)
            colour = colours.watch if is_over else colours.ink
            painter.text(at, line, self.left, "label_strong", colour, RIGHT)
            end = at - text.width - px(12)
            if is_over:
                side = px(14)
                painter.sign(end - side + px(6), line - px(12), side, Level.WARN)
                end -= side
        sums = found.sums.counted
        starts = {FULL: 0.0, HALF: float(sums.spent), OPEN: float(sums.spent + sums.promised)}
        wides = self._caption_widths(brief=False)
        brief = sum(wides) + px(12) * 2 > end - px(MARGIN)
        if brief:
            wides = self._caption_widths(brief=True)
        xs: list[float] = []
        x: float = 0.0
        for (sign, _, _), wide in zip(self.captions, wides, strict=True):
            x = max(self._x(starts[sign]), x)
            xs.append(x)
            x += wide + px(12)
        # What would run into the end moves back, each before the next.
        for i in reversed(range(len(xs))):
            xs[i] = max(min(xs[i], end - wides[i]), px(MARGIN))
            end = xs[i] - px(12)
        for (sign, word, amount), x in zip(self.captions, xs, strict=True):
            middle = line - themes.metrics("label").capHeight() / 2
            at_circle = QPointF(painter.left(x + px(6)), middle)
            paint_circle(painter.qt_painter, at_circle, px(5), sign, colours.ink2, colours.ground)
            x += px(18)
            if not brief:
                x += painter.text(x, line, word, "label", colours.ink2) + px(4)
            painter.text(x, line, amount, "label_strong", colours.ink)

    def _caption_widths(self, brief: bool) -> list[float]:
        return [
            px(18)
            + (0 if brief else words(word, "label").width + px(4))
            + words(amount, "label_strong").width
            for _, word, amount in self.captions
        ]

    def _paint_labels(self, painter: Painter, found: Book) -> None:
        line = baseline(px(TOP + TALL) + px(4), px(LABELS) - px(4), "label")
        end: float = self.width() - px(MARGIN)
        if found.cap is not None:
            text = f"cap {self._measures.money(found.cap, False)}"
            wide = words(text, "label_strong").width
            x = min(self._x(found.cap.minor) + wide / 2, end)
            x = max(x, px(MARGIN) + wide)
            painter.text(x, line, text, "label_strong", painter.theme.ink, RIGHT)
            taken = (x - wide - px(8), x + px(8))
        else:
            taken = (end, end)
        for piece in self.segments:
            x, stop = self._x(piece.start), self._x(piece.end)
            wide = words(piece.label, "label").width
            free = x + wide <= taken[0] or x >= taken[1]
            if wide + px(4) <= stop - x and free:
                painter.text(x, line, piece.label, "label", painter.theme.ink2)

    def _paint_apart(self, painter: Painter, found: Book) -> None:
        line = baseline(px(TOP + TALL + LABELS), px(APART) - px(4), "label")
        wide = self.width() - 2 * px(MARGIN)
        room: float = wide
        if self.would_be:
            text_wide = words(self.would_be, "label").width
            room = wide if not self.apart else wide * 0.55
            used = min(text_wide + px(14), room)
            x = self.width() - px(MARGIN) - used
            ring = QPointF(painter.left(x + px(4)), line - px(4))
            paint_circle(
                painter.qt_painter, ring, px(3), OPEN, painter.theme.ink, painter.theme.ground
            )
            painter.text(
                x + px(14), line, self.would_be, "label", painter.theme.ink, room=used - px(14)
            )
            room = wide - used - px(16)
        if self.apart:
            painter.text(px(MARGIN), line, self.apart, "label", painter.theme.ink2, room=room)
