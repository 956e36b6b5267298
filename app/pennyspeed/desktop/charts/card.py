"""The card that says what is read at the crosshair."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter, QPen

from pennyspeed.desktop.charts.reader import Crosshair
from pennyspeed.desktop.charts.strokes import AA
from pennyspeed.desktop.widgets.theme import Theme, Words, px, words

FEW_ROWS = 5
"""Rows of a card that stand as loosely as the verdict's; more stand closer."""


@dataclass(frozen=True, slots=True)
class Card:
    """What is read at one place.

    Attributes
    ----------
    rows : list of tuple of str
        A label, its value, and the value of what is tried where something is.
    """

    heading: str
    rows: list[tuple[str, ...]]

    @property
    def sentence(self) -> str:
        """The card as a screen reader speaks it."""
        said = []
        for label, value, *others in self.rows:
            said.append(f"{label} {value}" + "".join(f", tried {one}" for one in others if one))
        return f"{self.heading}: " + ", ".join(said)

    @property
    def text(self) -> str:
        """The card as it is copied: lines with tabs between the columns."""
        return "\n".join([self.heading, *("\t".join(row) for row in self.rows)])

    def place(self, cross: Crosshair) -> QRectF:
        """Return where it stands: beside the first line, inside the frame, off the curves."""
        heading, rows, pitch = self._words()
        wide = max(heading.width, _columns(rows)[-1]) + 2 * px(10)
        tall = px(32) + pitch * len(rows)
        x, frame = cross.lines[0][0], cross.frame
        left = x + px(12) if x + px(12) + wide <= frame.right() else x - px(12) - wide
        if cross.left is not None:
            left = min(cross.left, frame.right() - wide)
        top = min(frame.center().y() - tall * 0.3, frame.bottom() - tall - px(8))
        near = QPointF(round(max(left, px(2))), round(max(top, px(2))))
        free = None if cross.placer is None else cross.placer.find(wide, tall, near)
        if free is not None and abs(free.left() - near.x()) < px(160):
            near = free.topLeft()
        return QRectF(round(near.x()), round(near.y()), round(wide), tall)

    def paint(self, painter: QPainter, box: QRectF, theme: Theme) -> None:
        """Draw it in its place."""
        painter.setRenderHint(AA, False)
        painter.setBrush(theme.ground)
        painter.setPen(QPen(theme.line, px(1)))
        painter.drawRect(box)
        heading, rows, pitch = self._words()
        left = box.left() + px(10)
        baseline = box.top() + px(22)
        heading.draw(painter, left, baseline, theme.ink)
        columns = _columns(rows)
        for row in rows:
            baseline += pitch
            for i, text in enumerate(row):
                text.draw(painter, left + columns[i], baseline, theme.ink if i else theme.ink2)

    def _words(self) -> tuple[Words, list[list[Words]], int]:
        """Return the heading, the rows in columns, and how high a row is."""
        is_loose = len(self.rows) <= FEW_ROWS
        roles = ("label", "name" if is_loose else "label_strong", "label")
        rows = [
            [words(text, role) for text, role in zip(row, roles, strict=False)] for row in self.rows
        ]
        return words(self.heading, "name_chosen"), rows, px(24 if is_loose else 18)


def _columns(rows: list[list[Words]]) -> list[float]:
    """Return how far from the first each column begins, and where the last ends."""
    starts = [0.0]
    for i in range(max(len(row) for row in rows)):
        wide = max(row[i].width for row in rows if i < len(row))
        starts.append(starts[-1] + wide + px(16))
    starts[-1] -= px(16)
    return starts
