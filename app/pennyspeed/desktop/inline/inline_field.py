"""An inline field: one value of the build, edited where it stands."""

from __future__ import annotations

from PySide6.QtCore import QSize, Qt, QTimer, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPaintEvent
from PySide6.QtWidgets import QAbstractButton, QSizePolicy, QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.button import PUSHING, dotted, focus_ring
from pennyspeed.desktop.widgets.cell_editor import CellEditor
from pennyspeed.desktop.widgets.error_tip import ErrorTip
from pennyspeed.desktop.widgets.form import FormRow
from pennyspeed.desktop.widgets.own_keys import OwnKeys
from pennyspeed.desktop.widgets.painter import baseline, fitted, painting
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.services.editing.build_fields import NAME, Item
from pennyspeed.services.editing.form_fields import FormField
from pennyspeed.services.money.currency import OtherCurrency

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
        self.is_spread = spread
        self.role = "build" if item is NAME else "name"
        self._lead, self.value = "", ""
        self.cell: InlineEditor | None = None
        self._tip = ErrorTip(self)
        is_stop = item is NAME
        policy = Qt.FocusPolicy
        self.setFocusPolicy(policy.StrongFocus if is_stop else policy.ClickFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setToolTip(item.help)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Fixed)
        self.clicked.connect(lambda: self.activate())

    # Showing --------------------------------------------------------------------------------

    @property
    def editor(self) -> QWidget | None:
        """The line that is typed in, None while nothing is edited."""
        return None if self.cell is None else self.cell.editor

    @property
    def remark(self) -> str:
        """The sentence about bad input, or ""."""
        typed = "" if self.cell is None else self.cell.complaint
        return typed or self._tip.text

    def refresh(self) -> bool:
        """Take the value from the build; tell whether its width is another one."""
        build = self._session.bench.build
        if build is None:
            if self.item is NAME and self.value != NO_BUILD:
                self._lead, self.value = "", NO_BUILD
                self.setAccessibleName(NO_BUILD)
                self.update()
                return True
            return False
        lead = self.lead(build)
        value = self.item.show(build, self._session.bench.measures)
        if (lead, value) == (self._lead, self.value):
            return False
        width = self.sizeHint().width()
        self._lead, self.value = lead, value
        self.setAccessibleName(f"{self.item.label} {value}")
        self.update()
        return self.sizeHint().width() != width

    def lead(self, build: Build) -> str:
        """Return the words before the value."""
        return self.item.label if self.is_spread else self.item.lead(build)

    def _lead_width(self) -> float:
        if not self._lead:
            return 0.0
        return theme.metrics("body").horizontalAdvance(self._lead) + px(LEAD_GAP)

    def sizeHint(self) -> QSize:
        lead = self._lead_width()
        value = theme.metrics(self.role).horizontalAdvance(self.value)
        return QSize(round(lead + value) + 2 * px(PAD) + 1, px(32))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            line = baseline(0, self.height(), "body")
            left, right = px(PAD), self.width() - px(PAD)
            if self.is_spread:
                value = fitted(self.value, self.role, right - left)
                x = right - value.width
                room = x - left - px(8)
                painter.text(left, line, self._lead, "body", painter.theme.ink2, room=room)
            else:
                x = left
                painter.text(left, line, self._lead, "body", painter.theme.ink2)
                x += self._lead_width()
            ink, room = painter.theme.ink, right - x
            width = painter.text(x, line, self.value, self.role, ink, room=room)
            if self.item is not NAME:
                dotted(painter, x, line + px(4), width)
            if self.hasFocus():
                focus_ring(painter, self)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        super().focusOutEvent(event)
        self._tip.clear()

    # Hands ----------------------------------------------------------------------------------

    def is_own(self, event: QKeyEvent) -> bool:
        return event.key() == Qt.Key.Key_F2

    def focusNextPrevChild(self, onward: bool) -> bool:
        if self.is_spread:
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
            self.step(1 if key == Qt.Key.Key_Plus else -1)
        elif not self.is_spread and key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.step(1 if key == Qt.Key.Key_Up else -1)
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right) and not self.is_spread:
            self.moved.emit(1 if (key == Qt.Key.Key_Right) != mirrored else -1)
        elif key in (Qt.Key.Key_Up, Qt.Key.Key_Down):
            self.moved.emit(1 if key == Qt.Key.Key_Down else -1)
        elif event.text().isalnum() and not event.modifiers() & ~Qt.KeyboardModifier.ShiftModifier:
            self.edit(event.text())
        else:
            event.ignore()

    def activate(self) -> None:
        """Do what a click does."""
        self.edit()

    def step(self, steps: int) -> None:
        """Step the value; neighbouring steps are one change."""
        build = self._session.bench.build
        if build is None:
            return
        try:
            after = self.item.step(build, self._session.bench.measures, steps)
        except BadInput as error:
            self._tip.say(str(error))
            return
        self._tip.clear()
        if after is not None:
            self._change(after, merge=True)

    def edit(self, text: str | None = None) -> None:
        """Open the line to type in, with `text` typed already."""
        build = self._session.bench.build
        if build is None or self.editor is not None:
            return
        self._tip.clear()
        self.cell = self.cell or InlineEditor(self)
        item = self.item
        before = item.text(build, self._session.bench.measures)
        self.cell.open_field(FormField(item.key, item.label, item.help, before), text=text)

    def take(self, text: str) -> bool:
        """Take what was typed into the build; BadInput where it is none."""
        build = self._session.bench.build
        if build is not None:
            try:
                after = self.item.take(build, text, self._session.bench.measures)
            except OtherCurrency as other:
                # Once the line is closed, or its closing would take the keyboard from the form.
                cap, wanted = other.cap, self._session.builds.currency_wanted
                QTimer.singleShot(0, self, lambda: wanted.emit(cap))
                return True
            return after == build or self._change(after)
        return True

    def _change(self, after: Build, merge: bool = False) -> bool:
        measures = self._session.bench.measures
        label, now = self.item.label, self.item.show(after, measures)
        before = self.value
        if self.item is NAME:
            did, undid = f"renamed to {now}", f"named {before} again"
        else:
            did, undid = f"{label} {now}", f"{label} back to {before}"
        return self._session.builds.change(after, did, undid, merge=self.item.key if merge else "")

    def place_editor(self, editor: InlineEditor) -> None:
        """Put the line to type in over the value, inside what holds the field."""
        home = self.parentWidget()
        build = self._session.bench.build
        assert home is not None
        assert build is not None
        lead = 0 if self.is_spread else round(self._lead_width())
        width = editor.wide(self.item.text(build, self._session.bench.measures))
        if self.is_spread or self.layoutDirection() == Qt.LayoutDirection.RightToLeft:
            x = self.x() + max(self.width() - lead - width, 0)
        else:
            x = self.x() + lead
        x = max(min(x, home.width() - width), 0)
        editor.setGeometry(x, self.y(), width, self.height())


class InlineEditor(CellEditor):
    """The line to type in over a field's value."""

    least = 104
    is_bare = True

    def __init__(self, field: InlineField) -> None:
        super().__init__(field, field.parentWidget())
        self._field = field
        self.role = field.role

    def place(self) -> None:
        self._field.place_editor(self)

    def store(self, row: FormRow) -> bool:
        return self._field.take(row.text)

    def go_on(self, step: int) -> None:
        if self.keep():
            self.close_up()
            self._field.moved.emit(step)

    def go_down(self, step: int) -> None:
        if self._field.is_spread:
            self.go_on(step)
