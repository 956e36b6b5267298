"""Pieces that panels share: words, a line to type in, a push button, rules, rows of figures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPoint, QSize, Qt, Signal
from PySide6.QtGui import QKeyEvent, QKeySequence, QMouseEvent, QPainter, QPaintEvent
from PySide6.QtWidgets import QFrame, QLineEdit, QScrollArea, QScrollBar, QSizePolicy, QWidget

from pennyspeed.desktop import theme
from pennyspeed.desktop.sheet import RIGHT, Sheet, baseline, fitted, wrapped
from pennyspeed.desktop.theme import px
from pennyspeed.domain.checks import Level

FIGURE_ROW = 24
CONTROL = Qt.KeyboardModifier.ControlModifier


class Wording(QWidget):
    """One line of text in a role's type; cut where there is no room."""

    def __init__(self, role: str, parent: QWidget | None = None, quiet: bool = False) -> None:
        super().__init__(parent)
        self._role, self._quiet, self._text = role, quiet, ""
        self._shorter = ""
        flex = QSizePolicy.Policy.Preferred
        self.setSizePolicy(flex, flex)

    @property
    def text(self) -> str:
        """What it says."""
        return self._text

    def say(self, text: str, shorter: str = "") -> None:
        """Show another text, or a shorter one where it has no room."""
        if (text, shorter) != (self._text, self._shorter):
            self._text, self._shorter = text, shorter
            self.setAccessibleName(text)
            self.updateGeometry()
            self.update()

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        measures = theme.metrics(self._role)
        return QSize(round(measures.horizontalAdvance(self._text)) + 1, round(measures.height()))

    def minimumSizeHint(self) -> QSize:
        return QSize(0, self.sizeHint().height())

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        sheet = Sheet(painter, self.width(), self)
        colour = sheet.theme.ink2 if self._quiet else sheet.theme.ink
        line = baseline(0, self.height(), self._role)
        is_short = self._shorter and theme.words(self._text, self._role).width > self.width()
        text = self._shorter if is_short else self._text
        sheet.text(0, line, text, self._role, colour, room=self.width())
        painter.end()


class LineField(QLineEdit):
    """A line to type in, with a rule below instead of a frame."""

    def __init__(self, hint: str, parent: QWidget | None = None, role: str = "body") -> None:
        super().__init__(parent)
        self._role = role
        self.setFrame(False)
        self.setPlaceholderText(hint)
        self.restyle()

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self.setFont(theme.font(self._role))
        self.update()

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            # With nothing typed to undo, undo is the window's; Ctrl+K always is, though some
            # systems cut the rest of a line with it.
            undoes = event.matches(QKeySequence.StandardKey.Undo) and not self.isUndoAvailable()
            redoes = event.matches(QKeySequence.StandardKey.Redo) and not self.isRedoAvailable()
            finds = event.key() == Qt.Key.Key_K and event.modifiers() == CONTROL
            if undoes or redoes or finds:
                event.ignore()
                return False
        return super().event(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        super().paintEvent(event)
        painter = QPainter(self)
        colours = theme.current()
        thick = 2 if self.hasFocus() else 1
        colour = colours.accent if self.hasFocus() else colours.line
        painter.fillRect(0, self.height() - thick, self.width(), thick, colour)
        painter.end()

    def focusInEvent(self, event: object) -> None:
        super().focusInEvent(event)  # type: ignore[arg-type]
        self.update()

    def focusOutEvent(self, event: object) -> None:
        super().focusOutEvent(event)  # type: ignore[arg-type]
        self.update()


class Push(QWidget):
    """A button that is a verb, underlined by dots; Enter, Space or a click pushes it.

    Signals
    -------
    clicked()
    """

    clicked = Signal()

    def __init__(self, text: str, parent: QWidget | None = None, role: str = "body") -> None:
        super().__init__(parent)
        self._text, self._role = text, role
        self.setAccessibleName(text)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        fixed = QSizePolicy.Policy.Fixed
        self.setSizePolicy(fixed, fixed)

    def say(self, text: str) -> None:
        """Show another verb."""
        self._text = text
        self.setAccessibleName(text)
        self.restyle()

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self.updateGeometry()
        self.update()

    def sizeHint(self) -> QSize:
        width = theme.metrics(self._role).horizontalAdvance(self._text)
        return QSize(round(width) + px(8), px(28))

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        sheet = Sheet(painter, self.width(), self)
        colours = sheet.theme
        colour = colours.ink if self.isEnabled() else colours.ink3
        line = baseline(0, self.height(), self._role)
        width = sheet.text(px(4), line, self._text, self._role, colour)
        if self.hasFocus():
            focus_ring(painter, self)
        dotted(sheet, px(4), line + px(4), width)
        painter.end()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.clicked.emit()
        else:
            super().keyPressEvent(event)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        if self.rect().contains(event.position().toPoint()):
            self.clicked.emit()

    def changeEvent(self, event: QEvent) -> None:
        if event.type() == QEvent.Type.EnabledChange:
            self.update()


def dotted(sheet: Sheet, x: float, y: float, width: float) -> None:
    """Draw a dotted rule, which says 'this can be changed'."""
    step, dot = px(3), px(1)
    for i in range(int(width // step) + 1):
        sheet.fill(x + i * step, y, dot, dot, sheet.theme.line)


def focus_ring(painter: QPainter, widget: QWidget) -> None:
    """Draw the frame that says where the keyboard is."""
    painter.setPen(theme.current().accent)
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(widget.rect().adjusted(0, 0, -1, -1))


@dataclass(frozen=True, slots=True)
class FigureRow:
    """A label, its figure, and one line that explains the term."""

    label: str
    figure: str
    help: str = ""


def paint_rows(
    sheet: Sheet, rows: Sequence[FigureRow], left: float, top: float, right: float
) -> float:
    """Paint rows of label and figure; return where they end."""
    high = px(FIGURE_ROW)
    for row in rows:
        line = baseline(top, high, "body")
        figure = fitted(row.figure, "figure", right - left)
        sheet.text(right, line, row.figure, "figure", sheet.theme.ink, RIGHT, right - left)
        room = right - left - figure.width - px(8)
        sheet.text(left, line, row.label, "body", sheet.theme.ink2, room=room)
        top += high
    return top


class Remark(QWidget):
    """One sentence about bad input, on a plate below the place."""

    def __init__(self, parent: QWidget) -> None:
        super().__init__(parent)
        self.text = ""
        self._lines: list[str] = []

    def say(self, sentence: str, below: QPoint) -> None:
        """Show the sentence with its leading corner near `below`, inside the parent."""
        self.text = sentence
        self.setAccessibleName(sentence)
        parent = self.parentWidget()
        room = (parent.width() if parent is not None else px(480)) - px(16)
        self._lines = wrapped(sentence, "label_strong", min(px(480), room) - px(44))
        widest = max(theme.metrics("label_strong").horizontalAdvance(text) for text in self._lines)
        width, height = round(widest) + px(44), px(20) * len(self._lines) + px(12)
        x = max(min(below.x(), room + px(8) - width), px(8))
        self.setGeometry(x, below.y(), width, height)
        self.show()
        self.raise_()
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        sheet = Sheet(painter, self.width(), self)
        painter.fillRect(event.rect(), sheet.theme.ground)
        painter.setPen(sheet.theme.stop)
        painter.drawRect(self.rect().adjusted(0, 0, -1, -1))
        sheet.sign(px(8), px(8), px(16), Level.STOP)
        for i, text in enumerate(self._lines):
            line = baseline(px(6) + i * px(20), px(20), "label_strong")
            sheet.text(px(32), line, text, "label_strong", sheet.theme.ink)
        painter.end()


class SlimBar(QScrollBar):
    """A scroll bar without buttons or frame, as wide as a finger's nail and no wider."""

    def __init__(
        self,
        role: str,
        parent: QWidget | None = None,
        orientation: Qt.Orientation = Qt.Orientation.Vertical,
    ) -> None:
        super().__init__(orientation, parent)
        self._ground = role

    def sizeHint(self) -> QSize:
        across, along = px(8), px(40)
        is_upright = self.orientation() == Qt.Orientation.Vertical
        return QSize(across, along) if is_upright else QSize(along, across)

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        colours = theme.current()
        painter.fillRect(event.rect(), getattr(colours, self._ground))
        span = self.maximum() - self.minimum() + self.pageStep()
        if span > 0:
            is_upright = self.orientation() == Qt.Orientation.Vertical
            way = self.height() if is_upright else self.width()
            long = max(round(way * self.pageStep() / span), px(24))
            reach = max(self.maximum() - self.minimum(), 1)
            start = round((way - long) * (self.value() - self.minimum()) / reach)
            is_held = self.isSliderDown() or self.underMouse()
            colour = colours.ink3 if is_held else colours.line
            if is_upright:
                painter.fillRect(px(2), start, self.width() - px(4), long, colour)
            else:
                if self.layoutDirection() == Qt.LayoutDirection.RightToLeft:
                    start = way - long - start
                painter.fillRect(start, px(2), long, self.height() - px(4), colour)
        painter.end()


class SlimArea(QScrollArea):
    """What may be taller than its place: as wide as that, and scrolled up and down."""

    def __init__(self, inside: QWidget, parent: QWidget) -> None:
        super().__init__(parent)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setVerticalScrollBar(SlimBar("ground", self))
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setWidget(inside)
