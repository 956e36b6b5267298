"""The columns of a table that is looked at: what each is taken for, to be put right by hand."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QObject, QRect, Qt, Signal
from PySide6.QtGui import QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QFrame, QScrollArea, QWidget

from pennyspeed.desktop.widgets.form import Choice
from pennyspeed.desktop.widgets.painter import baseline, painting
from pennyspeed.desktop.widgets.scaled import Scaled, place
from pennyspeed.desktop.widgets.scrolling import ScrollBar
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level
from pennyspeed.services.importers.tables.preview_choices import Asked

WIDE, GAP, MARGIN, LINE, FIELD = 176, 24, 24, 20, 28
HIGH = 2 * LINE + FIELD + 12


class _Strip(QWidget):
    """The choices beside each other, below their labels and above their samples."""

    chosen = Signal(object, str)

    def __init__(self) -> None:
        super().__init__()
        self.asked: tuple[Asked, ...] = ()
        self.fields: list[Choice] = []

    def take(self, asked: Sequence[Asked]) -> None:
        """Show other choices; the keyboard stays on the one of its key."""
        here = next(
            (a.key for a, f in zip(self.asked, self.fields, strict=True) if f.hasFocus()), None
        )
        before, self.fields = self.fields, []
        self.asked = tuple(asked)
        for one in self.asked:
            field = Choice(list(one.options), self)
            field.setCurrentIndex(max(field.findData(one.chosen), 0))
            field.setAccessibleName(f"{one.label} holds")
            field.setAccessibleDescription(f"for example {one.sample}" if one.sample else "")
            field.activated.connect(lambda _, f=field, key=one.key: self._picked(key, f))
            field.installEventFilter(self)
            field.show()
            self.fields.append(field)
        for one, field in zip(self.asked, self.fields, strict=True):
            if one.key == here:
                field.setFocus(Qt.FocusReason.OtherFocusReason)
        for field in before:
            field.hide()
            field.deleteLater()
        self.lay_out()

    def _picked(self, key: object, field: Choice) -> None:
        self.chosen.emit(key, str(field.currentData() or ""))

    def lay_out(self) -> None:
        """Place the choices."""
        step = px(WIDE + GAP)
        self.setFixedSize(px(MARGIN) + step * len(self.fields), px(HIGH))
        for i, field in enumerate(self.fields):
            place(field, QRect(px(MARGIN) + i * step, px(LINE), px(WIDE), px(FIELD)))
        self.update()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.lay_out()

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if event.type() == QEvent.Type.FocusIn and isinstance(watched, QWidget):
            area = self.parent()
            while area is not None and not isinstance(area, QScrollArea):
                area = area.parent()
            if area is not None:
                area.ensureWidgetVisible(watched, px(GAP), 0)
        return False

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours = painter.theme
            for i, one in enumerate(self.asked):
                x = px(MARGIN) + i * px(WIDE + GAP)
                line = baseline(0, px(LINE), "label_strong")
                painter.text(x, line, one.label, "label_strong", colours.ink, room=px(WIDE))
                top = px(LINE + FIELD + 2)
                if one.is_strange:
                    painter.sign(x, top + px(3), px(14), Level.UNKNOWN)
                start = x + (px(20) if one.is_strange else 0)
                line = baseline(top, px(LINE), "label")
                text = "left out" if one.is_strange and not one.sample else one.sample
                painter.text(start, line, text, "label", colours.ink2, room=x + px(WIDE) - start)


class ColumnMapping(Scaled, QScrollArea):
    """What each column is taken for, beside each other; they scroll where they are many.

    Signals
    -------
    chosen(object, str)
        Key of what was asked, and what is to hold.
    """

    chosen = Signal(object, str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._strip = _Strip()
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBar(ScrollBar("ground", self, Qt.Orientation.Horizontal))
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setWidget(self._strip)
        self._strip.chosen.connect(self.chosen)
        self.rescale()

    @property
    def asked(self) -> tuple[Asked, ...]:
        return self._strip.asked

    @property
    def fields(self) -> list[Choice]:
        return self._strip.fields

    def field(self, key: int | str) -> Choice:
        return next(f for a, f in zip(self.asked, self.fields, strict=True) if a.key == key)

    def take(self, asked: Sequence[Asked]) -> None:
        """Ask other things."""
        self._strip.take(asked)

    def rescale(self) -> None:
        self.setFixedHeight(px(HIGH) + px(8))
        self._strip.lay_out()
