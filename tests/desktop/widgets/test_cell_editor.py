"""What every editor in place has in common, with a host of three rows and two fields each."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QTableWidget, QWidget
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.widgets.cell_editor import CellEditor
from pennyspeed.desktop.widgets.error_tip import ErrorTip
from pennyspeed.desktop.widgets.form import FormRow
from pennyspeed.domain.errors import BadInput
from pennyspeed.services.editing.form_fields import FormField

Key = Qt.Key
Press = Callable[..., None]
SOURCES = (("maker says", "maker"), ("measured", "measured"))


class Host(CellEditor):
    """Two columns of figures, each with a source in the second."""

    def __init__(self, table: QTableWidget) -> None:
        super().__init__(table)
        self.values = {(row, column): ("1", "maker") for row in range(3) for column in range(2)}
        self.at = (0, 0)
        self.stored: list[tuple[str, str]] = []

    def open(self, row: int, column: int) -> None:
        self.at = row, column
        text, source = self.values[self.at]
        sources = SOURCES if column else ()
        self.open_field(FormField("one", "one", "", text, sources=sources, source=source), "one")

    def place(self) -> None:
        self.stand_at(10, 10 + 30 * self.at[0], 200, 28)

    def store(self, row: FormRow) -> bool:
        if not row.text.isdecimal():
            raise BadInput("one", row.text, "a number")
        self.values[self.at] = row.text, row.chosen_source or "maker"
        self.stored.append(self.values[self.at])
        return True

    def go_on(self, step: int) -> None:
        if self.keep():
            self.open(self.at[0], (self.at[1] + step) % 2)

    def go_down(self, step: int) -> None:
        if self.keep() and (self.at[0] + step, 0) in self.values:
            self.open(self.at[0] + step, self.at[1])


@pytest.fixture
def window(qtbot: QtBot) -> QWidget:
    made = QWidget()
    qtbot.addWidget(made)
    made.resize(400, 150)
    table = QTableWidget(3, 2, made)
    table.setGeometry(0, 0, 400, 140)
    made.show()
    qtbot.waitExposed(made)
    made.activateWindow()
    return made


@pytest.fixture
def host(window: QWidget) -> Host:
    return Host(window.findChild(QTableWidget))


def test_enter_keeps_and_gives_the_keyboard_back(host: Host, press: Press) -> None:
    host.open(0, 0)
    assert QApplication.focusWidget() is host.editor
    press("12", Key.Key_Return)
    assert host.values[0, 0] == ("12", "maker")
    assert not host.is_open
    assert isinstance(QApplication.focusWidget(), QTableWidget)


def test_what_is_as_it_was_is_not_stored(host: Host, press: Press) -> None:
    host.open(0, 0)
    press(Key.Key_Return)
    host.open(0, 0)
    press("1", Key.Key_Tab, Key.Key_Escape)
    assert host.stored == []


def test_bad_input_is_said_once_and_kept_until_something_else_is_typed(
    host: Host, press: Press
) -> None:
    host.open(0, 0)
    for key in (Key.Key_Return, Key.Key_Tab, Key.Key_Down):
        press("x", key)
        assert host.complaint.startswith("one: ")
        assert (host.is_open, host.at) == (True, (0, 0))
    press("y")
    assert host.complaint == ""
    assert host.text() == "xxxy"
    press(Key.Key_Escape)
    assert (host.is_open, host.stored) == (False, [])


def test_tab_goes_through_the_source_to_the_next_field_and_back(host: Host, press: Press) -> None:
    host.open(0, 1)
    press("2", Key.Key_Tab)
    assert host.row is not None
    assert QApplication.focusWidget() is host.row.source
    press("me", Key.Key_Tab)
    assert host.values[0, 1] == ("2", "measured")
    assert host.at == (0, 0)
    press(Key.Key_Backtab)
    assert QApplication.focusWidget() is host.row.source
    press(Key.Key_Backtab)
    assert QApplication.focusWidget() is host.row.editor


def test_up_and_down_keep_and_go_to_the_next_row_as_far_as_there_are_any(
    host: Host, press: Press
) -> None:
    host.open(1, 0)
    press("5", Key.Key_Down, "6", Key.Key_Down)
    assert host.at == (2, 0)
    press(Key.Key_Up, Key.Key_Up, Key.Key_Up)
    assert host.at == (0, 0)
    assert [host.values[row, 0][0] for row in range(3)] == ["1", "5", "6"]


def test_its_keys_are_no_shortcuts_of_the_window_but_those_with_ctrl_are(host: Host) -> None:
    host.open(0, 1)
    assert host.row is not None
    plain, control = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ControlModifier

    def claims(
        widget: QWidget, key: Key, text: str = "", held: Qt.KeyboardModifier = plain
    ) -> bool:
        event = QKeyEvent(QEvent.Type.ShortcutOverride, key, held, text)
        event.ignore()
        host.eventFilter(widget, event)
        return event.isAccepted()

    editor, source = host.row.stops
    for key in (Key.Key_Escape, Key.Key_Return, Key.Key_Tab, Key.Key_Backtab, Key.Key_Up):
        assert claims(editor, key)
        assert claims(source, key)
        assert not claims(editor, key, held=control)
    assert claims(source, Key.Key_1, "1")
    assert not claims(editor, Key.Key_F5)


def test_leaving_keeps_what_is_good_and_stays_where_it_is_not(host: Host, press: Press) -> None:
    table = host.parentWidget()
    host.open(0, 0)
    press("7")
    table.setFocus()
    assert (host.is_open, host.values[0, 0][0]) == (False, "7")
    host.open(0, 0)
    press("x")
    table.setFocus()
    assert host.is_open
    assert host.complaint


def test_the_sentence_stands_above_where_there_is_no_room_below(
    window: QWidget, qtbot: QtBot
) -> None:
    place = QWidget(window)
    place.setGeometry(20, 110, 100, 28)
    tip = ErrorTip(place)
    tip.say("low: nothing was given, expected something.")
    (plate,) = [one for one in window.children() if getattr(one, "text", "") == tip.text]
    assert isinstance(plate, QWidget)
    assert plate.geometry().bottom() < place.y()
    place.move(20, 10)
    tip.say("high: nothing was given, expected something.")
    assert plate.y() > place.geometry().bottom()
    tip.clear()
    assert (tip.text, plate.isVisible()) == ("", False)
