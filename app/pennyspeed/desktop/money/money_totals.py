"""The foot of the money table: what the lines add up to."""

from __future__ import annotations

from PySide6.QtCore import QPointF
from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from pennyspeed.desktop.charts.strokes import paint_circle
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.painter import RIGHT, baseline, painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px, words
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import Book
from pennyspeed.services.money.book_words import sums_sentence, sums_with_uncounted

MARGIN, HEIGHT = 24, 36


class MoneyTotals(Scaled, QWidget):
    """Sums of what counts by how sure they are, what does not count, and all of it together."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.sums: list[tuple[str, str, str]] = []
        self.together = self.remark = ""
        self.rescale()

    def rescale(self) -> None:
        self.setFixedHeight(px(HEIGHT))

    def show_book(self, found: Book, measures: Measures) -> None:
        self.sums = sums_with_uncounted(found, measures)
        self.together = measures.money(found.counted, False)
        self.remark = found.left_out
        told = sums_sentence(found, measures)
        self.setAccessibleName(told)
        self.setToolTip(told)
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours = painter.theme
            wide = self.width() - 2 * px(MARGIN)
            painter.fill(px(MARGIN), 0, wide, 1, colours.line)
            line = baseline(0, self.height(), "body")
            right = self.width() - px(MARGIN)
            end = float(right - px(12))
            end -= painter.text(right, line, self.together, "heading", colours.ink, RIGHT)
            end -= painter.text(end, line, "together", "body", colours.ink2, RIGHT) + px(16)
            x, rise = float(px(MARGIN)), theme.metrics("label").capHeight() / 2
            told = [*self.sums, *([("", "", self.remark)] if self.remark else [])]
            for sign, word, amount in told:
                need = (px(16) if sign else 0) + words(word, "label").width + px(4)
                need += words(amount, "label_strong").width
                if x + need > end:
                    break
                if sign:
                    at = QPointF(painter.left(x + px(5)), line - rise)
                    paint_circle(painter.qt_painter, at, px(4), sign, colours.ink2, colours.ground)
                    x += px(16)
                if word:
                    x += painter.text(x, line, word, "label", colours.ink2) + px(4)
                x += painter.text(x, line, amount, "label_strong", colours.ink) + px(14)
