"""An inline field: one value of the build, edited where it stands."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, QPoint, QSize, Qt, Signal
from PySide6.QtGui import (
    QContextMenuEvent,
    QFocusEvent,
    QKeyEvent,
    QPaintEvent,
)
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.topline.build_fields import NAME, Item
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.button import PUSHING, Button, dotted, focus_ring
from pennyspeed.desktop.widgets.error_tip import ErrorTip
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.own_keys import OwnKeys
from pennyspeed.desktop.widgets.painter import baseline, fitted, painting
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput

PAD, LEAD_GAP = 4, 4
NO_BUILD = "no build"


class InlineField(OwnKeys, QAbstractButton):
    """One value that is edited where it stands.

    Enter, F2, Space or a click opens a line to type in; Enter keeps, Escape goes back; + and −
    step. Bad input says one sentence below and keeps the text.

    Signals
    -------
    moved(int)
        The person goes to the neighbour before (−1) or after (1).
    """

    moved = Signal(int)

    def __init__(self, session: Session, item: Item, parent: QWidget, spread: bool = False) -> None:
        super().__init__(parent)
        self.item = item
        self._session = session
        self._spread = spread
        self._role = "build" if item is NAME else "name"
        self._lead, self._value = "", ""
        self._editor: LineEdit | None = None
        self._remark: ErrorTip | None = None
        is_stop = item is NAME
        policy = Qt.FocusPolicy
        self.setFocusPolicy(policy.StrongFocus if is_stop else policy.ClickFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setToolTip(item.help)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.clicked.connect(lambda: self.push())

    # Showing --------------------------------------------------------------------------------

    @property
    def value(self) -> str:
        """What it shows."""
        return self._value

    @property
    def editor(self) -> LineEdit | None:
        """The line that is typed in, None while nothing is edited."""
        return self._editor

    @property
    def remark(self) -> str:
        """The sentence about bad input, or ""."""
        return self._remark.text if self._remark is not None else ""

    def refresh(self) -> bool:
        """Take the value from the build; tell whether its width is another one."""
        build = self._session.bench.build
        if build is None:
            if self.item is NAME and self._value != NO_BUILD:
                self._lead, self._value = "", NO_BUILD
                self.setAccessibleName(NO_BUILD)
                self.update()
                return True
            return False
        lead = self.item.label if self._spread else self.item.lead(build)
        value = self.item.show(build, self._session.bench.measures)
        if (lead, value) == (self._lead, self._value):
            return False
        width = self.sizeHint().width()
        self._lead, self._value = lead, value
        self.setAccessibleName(f"{self.item.label} {value}")
        self.update()
        return self.sizeHint().width() != width

    def _lead_width(self) -> float:
        if not self._lead:
            return 0.0
        return theme.metrics("body").horizontalAdvance(self._lead) + px(LEAD_GAP)

    def sizeHint(self) -> QSize:
        lead = self._lead_width()
        value = theme.metrics(self._role).horizontalAdvance(self._value)
        return QSize(round(lead + value) + 2 * px(PAD) + 1, px(32))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            line = baseline(0, self.height(), "body")
            left, right = px(PAD), self.width() - px(PAD)
            if self._spread:
                value = fitted(self._value, self._role, right - left)
                x = right - value.width
                room = x - left - px(8)
                painter.text(left, line, self._lead, "body", painter.theme.ink2, room=room)
            else:
                x = left
                painter.text(left, line, self._lead, "body", painter.theme.ink2)
                x += self._lead_width()
            ink, room = painter.theme.ink, right - x
            width = painter.text(x, line, self._value, self._role, ink, room=room)
            if self.item is not NAME:
                dotted(painter, x, line + px(4), width)
            if self.hasFocus():
                focus_ring(painter, self)

    # Hands ----------------------------------------------------------------------------------

    def is_own(self, event: QKeyEvent) -> bool:
        # A figure that is typed anew may begin with a digit, which is a view's key elsewhere.
        return event.key() == Qt.Key.Key_F2 or event.text().isdigit()

    def focusNextPrevChild(self, onward: bool) -> bool:
        if self._spread:
            self.moved.emit(1 if onward else -1)
            return True
        return super().focusNextPrevChild(onward)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key = event.key()
        mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        if key in PUSHING:
            self.click()
        elif key == Qt.Key.Key_F2:
            self.edit()
        elif key in (Qt.Key.Key_Plus, Qt.Key.Key_Minus):
            self._step(1 if key == Qt.Key.Key_Plus else -1)
        elif not self._spread and key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self._step(1 if key == Qt.Key.Key_Up else -1)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right) and not self._spread:
            self.moved.emit(1 if (key == Qt.Key.Key_Right) != mirrored else -1)
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.moved.emit(1 if key == Qt.Key.Key_Down else -1)
        elif event.text().isalnum() and not event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier:
            self.edit(event.text())
        else:
            event.ignore()

    def push(self) -> None:
        """Do what a click does."""
        self.edit()

    def _step(self, steps: int) -> None:
        build = self._session.bench.build
        if build is None:
            return
        try:
            after = self.item.step(build, self._session.bench.measures, steps)
        except BadInput as error:
            self._complain(str(error))
            return
        if after is not None:
            self._change(after, merge=True)

    def edit(self, text: str | None = None) -> None:
        """Open the line to type in, with `text` typed already."""
        build = self._session.bench.build
        if build is None or self._editor is not None:
            return
        home = self.parentWidget()
        assert home is not None
        editor = self._editor = LineEdit("", home, self._role)
        editor.setAccessibleName(self.item.label)
        editor.setAccessibleDescription(self.item.help)
        before = self.item.text(build, self._session.bench.measures)
        lead = 0 if self._spread else round(self._lead_width())
        wide = theme.metrics(self._role).horizontalAdvance(before) + px(32)
        width = max(round(wide), px(104))
        if self._spread or self.layoutDirection() == Qt.LayoutDirection.RightToLeft:
            x = self.x() + max(self.width() - lead - width, 0)
        else:
            x = self.x() + lead
        x = max(min(x, home.width() - width), 0)
        editor.setGeometry(x, self.y(), width, self.height())
        editor.setAutoFillBackground(True)
        editor.setText(before if text is None else text)
        if text is None:
            editor.selectAll()
        editor.installEventFilter(self)
        editor.returnPressed.connect(self._keep)
        editor.textEdited.connect(self._quieten)
        editor.show()
        editor.raise_()
        editor.setFocus(Qt.FocusReason.OtherFocusReason)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if watched is not self._editor:
            return False
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            if event.key() in (Qt.Key.Key_Escape, Qt.Key.Key_Tab):
                event.accept()
        elif event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            if event.key() == Qt.Key.Key_Escape:
                self._close()
                return True
            if event.key() in (Qt.Key.Key_Tab, Qt.Key.Key_Backtab):
                if self._keep():
                    self.moved.emit(1 if event.key() == Qt.Key.Key_Tab else -1)
                return True
        elif event.type() == QEvent.Type.FocusOut:
            assert isinstance(event, QFocusEvent)
            kept = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)
            if event.reason() not in kept:
                self._keep(stay=False)
        return False

    def _keep(self, stay: bool = True) -> bool:
        """Take what was typed; tell whether it was any good."""
        build, editor = self._session.bench.build, self._editor
        if build is None or editor is None:
            return True
        measures = self._session.bench.measures
        typed = editor.text()
        if typed == self.item.text(build, measures):
            self._close(stay)
            return True
        try:
            after = self.item.take(build, typed, measures)
        except BadInput as error:
            self._complain(str(error))
            return False
        self._close(stay)
        if after != build:
            self._change(after)
        return True

    def _change(self, after: Build, merge: bool = False) -> None:
        measures = self._session.bench.measures
        label, now = self.item.label, self.item.show(after, measures)
        before = self._value
        if self.item is NAME:
            did, undid = f"renamed to {now}", f"named {before} again"
        else:
            did, undid = f"{label} {now}", f"{label} back to {before}"
        self._session.builds.change(after, did, undid, merge=self.item.key if merge else "")

    def _close(self, stay: bool = True) -> None:
        editor, self._editor = self._editor, None
        self._quieten()
        if editor is not None:
            editor.removeEventFilter(self)
            if stay:
                self.setFocus(Qt.FocusReason.OtherFocusReason)
            editor.hide()
            editor.deleteLater()

    def _complain(self, sentence: str) -> None:
        window = self.window()
        if self._remark is None:
            self._remark = ErrorTip(window)
        below = (self._editor or self).mapTo(window, QPoint(0, self.height() + px(4)))
        self._remark.say(sentence, below)

    def _quieten(self) -> None:
        if self._remark is not None:
            self._remark.deleteLater()
            self._remark.hide()
            self._remark = None


class NameField(InlineField):
    """The build's name: Enter, Space or a click opens the builds, F2 renames.

    Signals
    -------
    menu_wanted()
    """

    menu_wanted = Signal()

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(session, NAME, parent)
        self.setToolTip("The builds: Enter opens them, F2 renames this one.")

    def sizeHint(self) -> QSize:
        hint = super().sizeHint()
        return QSize(min(hint.width() + px(20), px(264)), hint.height())

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            room = self.width() - px(20) - 2 * px(PAD)
            line = baseline(0, self.height(), "build")
            width = painter.text(px(PAD), line, self._value, "build", painter.theme.ink, room=room)
            side = px(16)
            x = px(PAD) + width + px(6)
            painter.icon(x, line - px(6) - side / 2, side, "chevron-down", painter.theme.ink)
            if self.hasFocus():
                focus_ring(painter, self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() in (*PUSHING, Qt.Key.Key_Down):
            self.click()
        elif event.key() == Qt.Key.Key_F2:
            self.edit()
        elif event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            super().keyPressEvent(event)
        else:
            event.ignore()

    def push(self) -> None:
        self.menu_wanted.emit()

    def contextMenuEvent(self, event: QContextMenuEvent) -> None:
        self.menu_wanted.emit()


class MenuButton(Button):
    """A word in the top line that opens something.

    Signals
    -------
    moved(int)
        The person goes to the neighbour before (−1) or after (1).
    """

    moved = Signal(int)

    def __init__(self, text: str, help: str, parent: QWidget) -> None:
        super().__init__(text, parent)
        self.setToolTip(help)
        self.setFocusPolicy(Qt.FocusPolicy.ClickFocus)

    def sizeHint(self) -> QSize:
        width = theme.metrics("body").horizontalAdvance(self.text())
        return QSize(round(width) + 2 * px(PAD) + px(20), px(32))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            line = baseline(0, self.height(), "body")
            width = painter.text(px(PAD), line, self.text(), "body", painter.theme.ink2)
            side = px(14)
            x = px(PAD) + width + px(4)
            painter.icon(x, line - px(5) - side / 2, side, "chevron-down", painter.theme.ink2)
            if self.hasFocus():
                focus_ring(painter, self)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        mirrored = self.layoutDirection() == Qt.LayoutDirection.RightToLeft
        if event.key() == Qt.Key.Key_Down:
            self.click()
        elif event.key() in (Qt.Key.Key_Left, Qt.Key.Key_Right):
            self.moved.emit(1 if (event.key() == Qt.Key.Key_Right) != mirrored else -1)
        else:
            super().keyPressEvent(event)
