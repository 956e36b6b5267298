"""What the forms of money share: rows to type in, in the lines' place, and verbs below them."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from PySide6.QtCore import QEvent, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.form import MARGIN, FormBody, FormRow
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.panel import Panel
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.scrolling import ScrollArea
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput, UserError
from pennyspeed.services.money.line_changes import LineChange

HEAD, FOOT = 36, 40


def field_row(key: str, label: str, help: str, text: str, hint: str = "") -> FormRow:
    """Return a row with a line to type in."""
    editor = LineEdit(hint)
    editor.setText(text)
    editor.setCursorPosition(0)
    return FormRow(key, label, help, editor)


class MoneyForm(Scaled, Panel):
    """A form over a build's money; bad input is named beside its row and loses nothing.

    Ctrl+S saves, Escape closes without.

    Parameters
    ----------
    session : Session

    Signals
    -------
    closed()
        Saved, removed, or left.
    """

    closed = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.title = Label("heading", self)
        self.about = Label("label", self, quiet=True)
        self.trouble = Label("label_strong", self)
        self.body = FormBody()
        self._area = ScrollArea(self.body, self)
        self.save_push = Button("save", self)
        self.remove_push = Button("remove", self)
        self.close_push = Button("close", self)
        self._head, self._foot = QHBoxLayout(), QHBoxLayout()
        self._head.addWidget(self.title)
        self._head.addWidget(self.about, 1)
        for one in (self.save_push, self.close_push, self.remove_push):
            self._foot.addWidget(one)
        self._foot.addWidget(self.trouble, 1)
        column = QVBoxLayout(self)
        column.setSpacing(0)
        column.setContentsMargins(0, 0, 0, 0)
        column.addLayout(self._head)
        column.addWidget(self._area, 1)
        column.addLayout(self._foot)
        self.save_push.clicked.connect(self.save)
        self.close_push.clicked.connect(self.closed)
        self.remove_push.clicked.connect(self.remove)
        self.rescale()

    def rescale(self) -> None:
        self._head.setContentsMargins(px(MARGIN), 0, px(MARGIN), 0)
        self._head.setSpacing(px(16))
        self._foot.setContentsMargins(px(MARGIN) - px(4), 0, px(MARGIN), 0)
        self._foot.setSpacing(px(16))
        self.title.setFixedHeight(px(HEAD))
        self.trouble.setFixedHeight(px(FOOT))

    # For a form to say ----------------------------------------------------------------------

    def deed(self, build: Build) -> LineChange:
        """Return what is typed as a change; BadInput, raised by :meth:`read`, names its row."""
        raise NotImplementedError

    def remove(self) -> None:
        """Take away what the form is about."""
        raise NotImplementedError

    # Showing and taking ---------------------------------------------------------------------

    def show_rows(
        self, title: str, about: str, rows: Sequence[FormRow], can_remove: bool, at: str = ""
    ) -> None:
        """Show other rows, with the keyboard on the row of key `at`, else on the first."""
        self.title.say(title)
        self.about.say(about)
        self.about.setToolTip(about)
        self.setAccessibleName(title)
        self.trouble.say("")
        self.remove_push.setVisible(can_remove)
        self.body.take(list(rows))
        stops = [rows[-1].editor, self.save_push, self.close_push, self.remove_push]
        for before, after in pairwise(stops):
            self.setTabOrder(before, after)
        first = next((row for row in rows if row.key == at), rows[0])
        first.editor.setFocus(Qt.FocusReason.OtherFocusReason)
        if isinstance(first.editor, LineEdit):
            first.editor.selectAll()

    def save(self) -> None:
        """Store what is typed and close."""
        build = self._session.bench.build
        if build is None:
            return
        self.trouble.say("")
        for row in self.body.rows:
            row.complaint = ""
        try:
            deed = self.deed(build)
        except BadInput as error:
            faulty = next((row for row in self.body.rows if row.label == error.place), None)
            if faulty is None:
                self.trouble.say(str(error))
            else:
                faulty.complaint = str(error)
                faulty.editor.setFocus(Qt.FocusReason.OtherFocusReason)
            self.body.lay_out()
            return
        except UserError as error:
            self.trouble.say(str(error))
            return
        if deed.after == build or self._session.builds.change(deed.after, deed.did, deed.undid):
            self.closed.emit()

    def take(self, deed: LineChange) -> None:
        """Store a change and close."""
        if self._session.builds.change(deed.after, deed.did, deed.undid):
            self.closed.emit()

    # Hands ----------------------------------------------------------------------------------

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            saves = event.key() == Qt.Key.Key_S and (
                event.modifiers() == Qt.KeyboardModifier.ControlModifier
            )
            if event.key() == Qt.Key.Key_Escape or saves:
                event.accept()
                return True
        return super().event(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        control = event.modifiers() & Qt.KeyboardModifier.ControlModifier
        enters = (Qt.Key.Key_S, Qt.Key.Key_Return, Qt.Key.Key_Enter)
        if event.key() == Qt.Key.Key_Escape:
            self.closed.emit()
        elif control and event.key() in enters:
            self.save()
        else:
            super().keyPressEvent(event)
