"""Cell editor: what is typed in place of a value that is shown, whatever shows it."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPaintEvent
from PySide6.QtWidgets import QAbstractItemView, QHBoxLayout, QSizePolicy, QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.button import focus_ring
from pennyspeed.desktop.widgets.error_tip import ErrorTip
from pennyspeed.desktop.widgets.form import SOURCE, Choice, FormRow
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.painter import painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.errors import UserError
from pennyspeed.services.editing.form_fields import FormField

PAD, ROOM = 8, 32
ENTERS = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
TABS = (Qt.Key.Key_Tab, Qt.Key.Key_Backtab)
ARROWS = (Qt.Key.Key_Up, Qt.Key.Key_Down)
STAYS = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)
"""Why the keyboard may be elsewhere although the person goes on here."""


class CellEditor(Scaled, QWidget):
    """A field over a value, with where it comes from and a word that says what it is.

    Enter keeps, Escape goes back, Tab keeps and goes on, up and down keep and go to the row
    below or above. Bad input says one sentence and keeps the text. A subclass says where the
    editor stands, how what is typed is stored, and what comes next.

    Parameters
    ----------
    over : QWidget
        What shows the value, and has the keyboard before and after.
    home : QWidget, optional
        Whose child the editor is, where that is another one.
    """

    finishing: tuple[Qt.Key, ...] = ENTERS
    """Keys that keep and close."""
    own: tuple[Qt.Key, ...] = ()
    """Further keys that are no shortcuts of the window here."""
    least, edge = 96, 1
    """The field's least width, and the margin above and below it."""
    is_bare = False
    """Whether the field alone fills the place, without a word and a frame."""
    role = "body"

    def __init__(self, over: QWidget, home: QWidget | None = None) -> None:
        super().__init__(home or over)
        self._over = over
        self._tip = ErrorTip(self)
        self._is_storing = False
        self._before = ("", "")
        self.row: FormRow | None = None
        self._line = QHBoxLayout(self)
        self._label = Label("label", self, quiet=True)
        self._label.setVisible(not self.is_bare)
        self._line.addWidget(self._label)
        self.hide()

    @property
    def is_open(self) -> bool:
        """Whether something is edited."""
        return self.row is not None

    @property
    def editor(self) -> LineEdit | Choice | None:
        """What is typed in or chosen from, None while nothing is edited."""
        return self.row.editor if self.row is not None else None

    def text(self) -> str:
        """Return what is typed, "" while nothing is edited."""
        return self.row.text if self.row is not None else ""

    @property
    def complaint(self) -> str:
        """The sentence about bad input, or ""."""
        return self._tip.text

    @property
    def has_keyboard(self) -> bool:
        """Whether the keyboard is here."""
        focus = self.window().focusWidget()
        return focus is not None and self.isAncestorOf(focus)

    # For a host to say ----------------------------------------------------------------------

    def place(self) -> None:
        """Stand over the value."""
        raise NotImplementedError

    def store(self, row: FormRow) -> bool:
        """Store what is typed; False or UserError where it is no good."""
        raise NotImplementedError

    def go_on(self, step: int) -> None:
        """Keep, and go to the next field or the one before."""
        raise NotImplementedError

    def go_down(self, step: int) -> None:
        """Keep, and go to the same field of the row below or above."""

    # Opening and closing --------------------------------------------------------------------

    def open_field(
        self, field: FormField, word: str = "", text: str | None = None, is_figure: bool = False
    ) -> None:
        """Open over a value, with `text` typed already and `word` behind it.

        A figure stands at the far end of the field, as it does in a table.
        """
        before = self.row
        self._tip.clear()
        row = self.row = FormRow(field, self, self.role)
        self._before = row.text, row.chosen_source
        self._label.say(word)
        if before is not None:
            self._take_out(before)
        for i, one in enumerate(row.stops):
            one.installEventFilter(self)
            self._line.insertWidget(i, one)
            one.show()
        if isinstance(row.editor, LineEdit):
            row.editor.textEdited.connect(self._tip.clear)
            row.editor.setAutoFillBackground(self.is_bare)
            if is_figure:
                row.editor.setAlignment(Qt.AlignmentFlag.AlignRight)
        if self.is_bare:
            row.editor.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Ignored)
        if text is not None:
            row.put(text)
        elif isinstance(row.editor, LineEdit):
            row.editor.selectAll()
        self.rescale()
        self.show()
        self.raise_()
        row.editor.setFocus(Qt.FocusReason.OtherFocusReason)
        if before is not None:
            # Only now: the keyboard would go astray with what had it.
            self._delete(before)

    def _take_out(self, row: FormRow) -> None:
        for one in row.stops:
            one.removeEventFilter(self)
            self._line.removeWidget(one)

    @staticmethod
    def _delete(row: FormRow) -> None:
        for one in row.stops:
            one.hide()
            one.deleteLater()

    def rescale(self) -> None:
        side, edge = (0, 0) if self.is_bare else (px(PAD), px(self.edge))
        self._line.setContentsMargins(side, edge, side, edge)
        self._line.setSpacing(px(PAD))
        if self.row is None:
            return
        if not self.is_bare:
            self.row.editor.setFixedWidth(self.wide(self.row.text))
        if self.row.source is not None:
            self.row.source.setFixedWidth(px(SOURCE))
        self.place()

    def wide(self, text: str) -> int:
        """Return how wide the field is for a text."""
        wide = round(theme.metrics(self.role).horizontalAdvance(text)) + px(ROOM)
        return max(wide, px(self.least))

    def stand_at(self, x: int, y: int, width: int, height: int) -> None:
        """Stand at a place of the table's view, all of it in sight."""
        assert isinstance(self._over, QAbstractItemView)
        view = self._over.viewport()
        x = min(max(x, 0), view.width() - width)
        y = min(max(y, 0), max(view.height() - height, 0))
        self.setGeometry(view.x() + x, view.y() + y, width, height)
        self._line.activate()
        if self.complaint:
            self._tip.say(self.complaint)

    def close_up(self, stay: bool = True) -> None:
        """Close without keeping; with `stay` the keyboard goes back to the value."""
        row, self.row = self.row, None
        if row is None:
            return
        self._tip.clear()
        if stay:
            self._over.setFocus(Qt.FocusReason.OtherFocusReason)
        self.hide()
        self._take_out(row)
        self._delete(row)

    def give_up(self) -> None:
        """Go back to what there was."""
        self.close_up()

    def close_outdated(self) -> None:
        """Close where what is edited was changed elsewhere."""
        if self.is_open and not self._is_storing:
            self.close_up(stay=self.has_keyboard)

    # Keeping --------------------------------------------------------------------------------

    def keep(self) -> bool:
        """Store what was typed; tell whether it was any good."""
        row = self.row
        if row is None or (row.text, row.chosen_source) == self._before:
            return True
        self._is_storing = True
        typed = row.text, row.chosen_source
        try:
            is_good = self.store(row)
        except UserError as error:
            self._tip.say(str(error))
            return False
        finally:
            self._is_storing = False
        if is_good:
            self._before = typed
        return is_good

    def finish(self) -> None:
        """Keep and close."""
        if self.keep():
            self.close_up()

    def _left(self, reason: Qt.FocusReason) -> None:
        """Keep what is good when the keyboard goes elsewhere."""
        if reason in STAYS or self._is_storing or self.has_keyboard:
            return
        if self.keep():
            self.close_up(stay=False)

    # Hands ----------------------------------------------------------------------------------

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if self.row is None or watched not in self.row.stops:
            return False
        if event.type() == QEvent.Type.ShortcutOverride:
            assert isinstance(event, QKeyEvent)
            if self._claims(watched, event):
                event.accept()
        elif event.type() == QEvent.Type.KeyPress:
            assert isinstance(event, QKeyEvent)
            return self.press(watched, event)
        elif event.type() == QEvent.Type.FocusOut:
            assert isinstance(event, QFocusEvent)
            self._left(event.reason())
        return False

    def _claims(self, watched: QObject, event: QKeyEvent) -> bool:
        if event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            return False
        # On a choice a letter or digit would be a view's key.
        chooses = isinstance(watched, Choice) and event.text().isalnum()
        keys = (Qt.Key.Key_Escape, *ARROWS, *TABS, *self.finishing, *self.own)
        return chooses or event.key() in keys

    def press(self, watched: QObject, event: QKeyEvent) -> bool:
        """Do what a key is for; tell whether it is one of ours."""
        key = event.key()
        if key == Qt.Key.Key_Escape:
            self.give_up()
        elif key in self.finishing:
            self.finish()
        elif key in TABS:
            self._tab(watched, 1 if key == Qt.Key.Key_Tab else -1)
        elif key in ARROWS and isinstance(watched, LineEdit):
            self.go_down(1 if key == Qt.Key.Key_Down else -1)
        else:
            return False
        return True

    def _tab(self, watched: QObject, step: int) -> None:
        assert self.row is not None
        stops = self.row.stops
        place = next(i for i, one in enumerate(stops) if one is watched) + step
        reason = Qt.FocusReason.TabFocusReason if step > 0 else Qt.FocusReason.BacktabFocusReason
        if 0 <= place < len(stops):
            stops[place].setFocus(reason)
            return
        self.go_on(step)
        row = self.row
        if step < 0 and row is not None and row.stops != stops:
            row.stops[-1].setFocus(reason)

    def paintEvent(self, event: QPaintEvent) -> None:
        if not self.is_bare:
            with painting(self, "ground") as painter:
                focus_ring(painter, self)
