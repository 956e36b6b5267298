"""What is pushed tells what it is; what grows with the text does so without being asked."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QAccessible, QPaintEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QAbstractButton, QWidget
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.topline.held_buttons import HeldBuildButton
from pennyspeed.desktop.topline.name_field import MenuButton
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.line_edit import LineEdit
from pennyspeed.desktop.widgets.page import HEAD, Page, Paragraph
from pennyspeed.desktop.widgets.segmented import ROW, SegmentedControl
from pennyspeed.desktop.widgets.theme import ThemeKeeper
from pennyspeed.desktop.window import Window

MAKERS: dict[str, Callable[[QWidget], Button]] = {
    "save": lambda home: Button("save", home),
    "more": lambda home: MenuButton("more", "Everything else.", home),
    "B, Second, held beside": lambda home: HeldBuildButton("B", "Second", home),
}
WORDS = [("day", "by day"), ("kind", "by kind"), ("shop", "by shop")]


@pytest.fixture
def home(keeper: ThemeKeeper, qtbot: QtBot) -> QWidget:
    found = QWidget()
    qtbot.addWidget(found)
    return found


def pushed(button: QAbstractButton) -> list[str]:
    """Return a list that gets longer with each push."""
    found: list[str] = []
    button.clicked.connect(lambda: found.append("pushed"))
    return found


@pytest.mark.parametrize("name", MAKERS)
def test_a_button_is_told_as_one_by_its_name_and_can_be_pressed_unseen(
    home: QWidget, name: str, qtbot: QtBot
) -> None:
    button = MAKERS[name](home)
    told = QAccessible.queryAccessibleInterface(button)
    assert told.role() == QAccessible.Role.PushButton
    assert told.text(QAccessible.Text.Name) == name
    actions = told.actionInterface()
    assert actions.actionNames()[0] == "Press"
    with qtbot.waitSignal(button.clicked):
        actions.doAction("Press")


@pytest.mark.parametrize("name", MAKERS)
def test_only_the_left_button_and_keys_button(home: QWidget, name: str) -> None:
    button = MAKERS[name](home)
    button.resize(button.sizeHint())
    found = pushed(button)
    for mouse in (Qt.MouseButton.RightButton, Qt.MouseButton.MiddleButton):
        QTest.mouseClick(button, mouse)
    QTest.mousePress(button, Qt.MouseButton.LeftButton)
    QTest.mouseRelease(button, Qt.MouseButton.LeftButton, pos=QPoint(-9, -9))
    assert not found
    QTest.mouseClick(button, Qt.MouseButton.LeftButton)
    assert len(found) == 1
    for key in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter):
        QTest.keyClick(button, key)
    assert len(found) == 4


def test_right_and_middle_button_open_nothing_in_the_top_line(window: Window) -> None:
    asked: list[str] = []
    window.top.builds_wanted.connect(lambda: asked.append("builds"))
    window.top.menu_wanted.connect(lambda: asked.append("menu"))
    cap = window.top.field("cap")
    for mouse in (Qt.MouseButton.RightButton, Qt.MouseButton.MiddleButton):
        for one in (window.top.name, cap, window.top.more, window.top.menu):
            QTest.mouseClick(one, mouse)
    assert (asked, cap.editor, window.top.sheet) == ([], None, None)
    told = QAccessible.queryAccessibleInterface(cap)
    assert told.role() == QAccessible.Role.PushButton
    QTest.mouseClick(cap, Qt.MouseButton.LeftButton)
    assert cap.editor is not None


def test_right_and_middle_button_try_no_step(window: Window) -> None:
    step = window.verdict.next
    found = pushed(step)
    step.resize(200, 60)
    for mouse in (Qt.MouseButton.RightButton, Qt.MouseButton.MiddleButton):
        QTest.mouseClick(step, mouse)
    assert not found
    QTest.mouseClick(step, Qt.MouseButton.LeftButton)
    assert found
    told = QAccessible.queryAccessibleInterface(step)
    assert told.role() == QAccessible.Role.PushButton


def test_a_segmented_control_is_a_group_of_which_one_holds(home: QWidget) -> None:
    control = SegmentedControl("lines", home)
    control.offer(WORDS)
    group = QAccessible.queryAccessibleInterface(control)
    assert group.role() == QAccessible.Role.Grouping
    assert group.text(QAccessible.Text.Name) == "lines: by day"
    children = [group.child(i) for i in range(group.childCount())]
    assert [one.text(QAccessible.Text.Name) for one in children] == [text for _, text in WORDS]
    assert {one.role() for one in children} == {QAccessible.Role.RadioButton}
    assert [bool(one.state().checked) for one in children] == [True, False, False]
    chosen: list[str] = []
    control.chosen.connect(chosen.append)
    actions = children[2].actionInterface()
    actions.doAction(actions.actionNames()[0])
    assert chosen == [control.key] == ["shop"]
    assert [bool(one.state().checked) for one in children] == [False, False, True]


def test_only_the_left_button_chooses_a_segment(home: QWidget) -> None:
    control = SegmentedControl("lines", home)
    control.offer(WORDS)
    control.resize(control.sizeHint())
    last = QPoint(control.width() - 12, control.height() // 2)
    for mouse in (Qt.MouseButton.RightButton, Qt.MouseButton.MiddleButton):
        QTest.mouseClick(control, mouse, pos=last)
    assert control.key == "day"
    QTest.mouseClick(control, Qt.MouseButton.LeftButton, pos=last)
    assert control.key == "shop"


def test_what_nobody_sees_yet_grows_with_the_text(keeper: ThemeKeeper, qtbot: QtBot) -> None:
    page, field = Page("Offers"), LineEdit("")
    control = SegmentedControl("lines", page)
    control.offer(WORDS)
    for one in (page, field):
        qtbot.addWidget(one)
    before = control.sizeHint().width()
    keeper.choose_text(200)
    assert page.title.height() == 2 * HEAD
    assert field.font().pixelSize() == theme.font("body").pixelSize() == 28
    assert control.sizeHint().width() > 1.8 * before
    last = control.findChildren(QAbstractButton)[-1]
    assert last.height() == 2 * ROW


def test_another_text_size_is_one_repaint(home: QWidget, keeper: ThemeKeeper) -> None:
    class Counted(Label):
        painted = 0

        def paintEvent(self, event: QPaintEvent) -> None:
            self.painted += 1
            super().paintEvent(event)

    label = Counted("body", home)
    label.say("118 km/h")
    home.show()
    QTest.qWait(0)
    label.painted = 0
    keeper.choose_text(150)
    QTest.qWait(0)
    assert label.painted == 1


def test_another_theme_reaches_what_is_shown(home: QWidget, keeper: ThemeKeeper) -> None:
    label = Label("body", home)
    label.say("118 km/h")
    home.show()
    keeper.choose(theme.DARKNESS)
    picture = home.grab().toImage()
    assert picture.pixelColor(0, 0) == theme.DARK.ground


def test_a_paragraph_shows_the_sentence_that_was_said_last(
    keeper: ThemeKeeper, qtbot: QtBot
) -> None:
    paragraph = Paragraph(1)
    qtbot.addWidget(paragraph)
    paragraph.resize(400, 40)
    pictures = []
    for text in ("", "What comes first.", "What comes next.", ""):
        paragraph.say(text)
        assert paragraph.accessibleDescription() == text
        pictures.append(paragraph.grab().toImage())
    assert pictures[0] == pictures[3]
    assert pictures[1] not in (pictures[0], pictures[2])


def test_where_there_is_less_room_than_words_they_go_on_in_another_row(home: QWidget) -> None:
    control = SegmentedControl("lines", home)
    control.offer(WORDS)
    wide = control.sizeHint()
    control.limit(wide.width() / 2)
    assert control.sizeHint().height() > wide.height()
    control.limit(2 * wide.width())
    assert control.sizeHint() == wide
