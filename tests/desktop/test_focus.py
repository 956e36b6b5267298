"""Focus: whatever has the keyboard looks otherwise than it does without it."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QAbstractItemView, QApplication, QWidget
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.window import Window

PLACES: dict[str, Callable[[Window], object]] = {
    "home": lambda window: window.home.go_to_shelf(),
    "sliders": lambda window: window.home.ask_what_if(),
    "margin": lambda window: window.home.show_margin(),
    "gears": lambda window: window.navigator.choose_view("gears"),
    "beside": lambda window: window.navigator.choose_view("beside"),
    "money": lambda window: window.navigator.choose_view("money"),
    "sheet": lambda window: window.navigator.turn("sheet"),
    "days": lambda window: window.money_pages.show_days(),
    "shops": lambda window: window.money_pages.show_shops(),
    "basket": lambda window: window.money_pages.show_basket(),
    "left": lambda window: window.money_pages.show_left(),
    "new part": lambda window: window.parts.new_part("motor"),
    "part": lambda window: window.parts.edit_slot(),
    "recipe": lambda window: window.session.bench.choose_slot("body") or window.parts.edit_recipe(),
    "keys": lambda window: window.help.turn_keys(),
    "more": lambda window: window.top.open_more(),
    "empty build": lambda window: window.session.builds.create("Nothing yet"),
}


def stops(window: Window) -> list[QWidget]:
    return [
        one
        for one in window.findChildren(QWidget)
        if one.isEnabled() and one.focusPolicy() and not one.visibleRegion().isEmpty()
    ]


def looks_otherwise(one: QWidget, qtbot: QtBot) -> bool:
    """Compare a widget with and without the keyboard; what hides without it is seen enough."""
    one.setFocus(Qt.FocusReason.TabFocusReason)
    qtbot.wait(2)
    focus = QApplication.focusWidget()
    if focus is not one:
        return True  # it passes the keyboard on
    with_it = one.grab().toImage()
    one.clearFocus()
    qtbot.wait(2)
    return not one.isVisible() or one.grab().toImage() != with_it


@pytest.mark.parametrize("place", PLACES)
def test_what_has_the_keyboard_shows_it(window: Window, place: str, qtbot: QtBot) -> None:
    window.resize(1366, 768)
    # A caret that does not blink is there whenever it is looked at.
    QApplication.setCursorFlashTime(0)
    PLACES[place](window)
    qtbot.waitUntil(lambda: window.session.bench.is_at_rest)
    qtbot.wait(300)
    found = stops(window)
    assert len(found) > 3
    assert [one for one in found if not looks_otherwise(one, qtbot)] == []


def test_the_text_of_the_cautions_is_framed(window: Window) -> None:
    window.help.show_cautions()
    QApplication.processEvents()
    page = QApplication.focusWidget()
    picture = page.grab().toImage()
    assert {picture.pixelColor(x, 0).name() for x in range(page.width())} == {accent()}


def accent() -> str:
    from pennyspeed.desktop.widgets import theme

    return str(theme.current().accent.name())


def wheel_down(view: QAbstractItemView) -> None:
    at = QPointF(view.viewport().rect().center())
    wheel = QWheelEvent(
        at,
        QPointF(view.viewport().mapToGlobal(at.toPoint())),
        QPoint(),
        QPoint(0, -120 * 20),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(view.viewport(), wheel)
    QApplication.processEvents()


@pytest.mark.parametrize("place", ["shelf", "checks", "slots", "beside", "money", "shops"])
def test_a_row_that_is_wheeled_out_of_sight_leaves_a_frame(
    window: Window, place: str, qtbot: QtBot
) -> None:
    window.resize(1366, 640)
    if place == "shelf":
        view: QAbstractItemView = window.shelf.table
    elif place in ("checks", "slots"):
        view = window.verdict.checks if place == "checks" else window.slots.view
    else:
        window.session.comparison.hold_present()
        PLACES[place](window)
        qtbot.wait(300)
        view = next(
            one
            for one in window.navigator.current.findChildren(QAbstractItemView)
            if one.isVisible() and one.model().rowCount() > 3
        )
    if place not in ("shelf", "checks"):
        view.setFixedHeight(120)
    view.setFocus()
    view.setCurrentIndex(view.model().index(0, 0))
    QApplication.processEvents()
    picture = view.viewport().grab().toImage()
    edge = [picture.pixelColor(x, picture.height() - 1).name() for x in range(picture.width())]
    assert set(edge) != {accent()}
    for _ in range(5):
        wheel_down(view)
    assert view.visualRect(view.currentIndex()).bottom() < 0
    picture = view.viewport().grab().toImage()
    edge = [picture.pixelColor(x, picture.height() - 1).name() for x in range(picture.width())]
    assert set(edge) == {accent()}
