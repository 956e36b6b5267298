"""The notice that figures are missing in the file, and what working them out would do."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.parts import MISSING
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.notice_strip import NoticeStrip


class MissingNotice(NoticeStrip):
    """What is missing; hidden where nothing is."""

    keys = MISSING

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__("work them out", "leave them", parent=parent)
        self._session = session
        self.work_button, self.leave_button = self.buttons
        missing = session.missing_figures
        self.work_button.clicked.connect(missing.work_out_missing)
        self.leave_button.clicked.connect(missing.leave)
        missing.changed.connect(self.refresh)
        session.bench.measures_changed.connect(self.refresh)
        self.setAccessibleName("missing figures")

    def refresh(self) -> None:
        """Say what is missing, and which builds get another speed by it."""
        missing, measures = self._session.missing_figures.missing, self._session.bench.measures
        is_said = missing is not None and bool(missing.sentence)
        if missing is not None and is_said:
            self.sentence.say(missing.sentence)
            self.detail.say(missing.builds_words(measures))
            whole = missing.builds_words(measures, len(missing.builds))
            self.detail.setToolTip(whole)
            self.setAccessibleDescription(f"{missing.sentence} {whole}")
        self.setVisible(is_said)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_Escape:
            self._session.missing_figures.leave()
        else:
            super().keyPressEvent(event)
