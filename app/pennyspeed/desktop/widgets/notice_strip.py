"""A strip above the page: a sentence, what it means, and the verbs that answer it."""

from __future__ import annotations

from PySide6.QtGui import QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.painter import painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level

HEIGHT, MARGIN, SIGN = 56, 24, 16


class NoticeStrip(Scaled, QWidget):
    """Two lines and some verbs, above whatever page shows; hidden where nothing is to be said."""

    def __init__(self, *verbs: str, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.sentence = Label("name_chosen", self)
        self.detail = Label("label", self, quiet=True)
        self.buttons = [Button(verb, self) for verb in verbs]
        texts = QVBoxLayout()
        texts.setSpacing(0)
        texts.addStretch(1)
        texts.addWidget(self.sentence)
        texts.addWidget(self.detail)
        texts.addStretch(1)
        self._row = QHBoxLayout(self)
        self._row.addLayout(texts, 1)
        for button in self.buttons:
            self._row.addWidget(button)
        self.rescale()
        self.hide()

    def rescale(self) -> None:
        self.setFixedHeight(px(HEIGHT))
        self._row.setContentsMargins(px(MARGIN + SIGN + 8), px(4), px(MARGIN - 4), px(4))
        self._row.setSpacing(px(16))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            painter.sign(px(MARGIN), px(10), px(SIGN), Level.UNKNOWN)
            painter.fill(0, self.height() - 1, self.width(), 1, painter.theme.rule)
