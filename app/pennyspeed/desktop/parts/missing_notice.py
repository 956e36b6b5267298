"""The notice that figures are missing in the file, and what working them out would do."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent, QPaintEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from pennyspeed.desktop.parts import MISSING
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.painter import painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level

HEIGHT, MARGIN, SIGN = 56, 24, 16


class MissingNotice(Scaled, QWidget):
    """Two lines and two verbs, above whatever page shows; hidden where nothing is missing."""

    keys = MISSING

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.sentence = Label("name_chosen", self)
        self.builds = Label("label", self, quiet=True)
        self.work_button = Button("work them out", self)
        self.leave_button = Button("leave them", self)
        texts = QVBoxLayout()
        texts.setSpacing(0)
        texts.addStretch(1)
        texts.addWidget(self.sentence)
        texts.addWidget(self.builds)
        texts.addStretch(1)
        self._row = QHBoxLayout(self)
        self._row.addLayout(texts, 1)
        self._row.addWidget(self.work_button)
        self._row.addWidget(self.leave_button)
        missing = session.missing_figures
        self.work_button.clicked.connect(missing.work_out_missing)
        self.leave_button.clicked.connect(missing.leave)
        missing.changed.connect(self.refresh)
        session.bench.measures_changed.connect(self.refresh)
        self.setAccessibleName("missing figures")
        self.rescale()
        self.hide()

    def refresh(self) -> None:
        """Say what is missing, and which builds get another speed by it."""
        missing, measures = self._session.missing_figures.missing, self._session.bench.measures
        is_said = missing is not None and bool(missing.sentence)
        if missing is not None and is_said:
            self.sentence.say(missing.sentence)
            self.builds.say(missing.builds_words(measures))
            whole = missing.builds_words(measures, len(missing.builds))
            self.builds.setToolTip(whole)
            self.setAccessibleDescription(f"{missing.sentence} {whole}")
        self.setVisible(is_said)

    def rescale(self) -> None:
        self.setFixedHeight(px(HEIGHT))
        self._row.setContentsMargins(px(MARGIN + SIGN + 8), px(4), px(MARGIN - 4), px(4))
        self._row.setSpacing(px(16))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._session.missing_figures.leave()
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            painter.sign(px(MARGIN), px(10), px(SIGN), Level.UNKNOWN)
            painter.fill(0, self.height() - 1, self.width(), 1, painter.theme.rule)
