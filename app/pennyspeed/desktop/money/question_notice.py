"""The strip in which a question about money is asked."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.money import QUESTION
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.notice_strip import NoticeStrip


class QuestionNotice(NoticeStrip):
    """One question at a time; hidden while there is none."""

    keys = QUESTION

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__("", "", parent=parent)
        self._questions = session.questions
        self._came_from: QWidget | None = None
        self.setAccessibleName("a question about money")
        for i, button in enumerate(self.buttons):
            button.clicked.connect(partial(self._answer, i))
        session.questions.changed.connect(self.refresh)

    def refresh(self) -> None:
        """Ask what is to be asked now."""
        question = self._questions.question
        if question is None:
            self._give_back()
            self.hide()
            return
        self.sentence.say(question.sentence)
        self.detail.say(question.detail)
        self.setAccessibleDescription(f"{question.sentence} {question.detail}")
        for button, (verb, _) in zip(self.buttons, question.answers, strict=True):
            button.say(verb)
        self.show()
        if question.takes_keyboard:
            self._came_from = self.window().focusWidget()
            self.buttons[0].setFocus(Qt.FocusReason.OtherFocusReason)

    def _answer(self, index: int) -> None:
        self._questions.answer(index)

    def _give_back(self) -> None:
        came_from, self._came_from = self._came_from, None
        if came_from is not None and came_from.isVisible() and self.isVisible():
            came_from.setFocus(Qt.FocusReason.OtherFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        step = {Qt.Key.Key_Left: -1, Qt.Key.Key_Right: 1}.get(Qt.Key(event.key()))
        if event.key() == Qt.Key.Key_Escape:
            self._questions.leave()
        elif step is not None:
            self.buttons[step > 0].setFocus(Qt.FocusReason.OtherFocusReason)
        else:
            super().keyPressEvent(event)
