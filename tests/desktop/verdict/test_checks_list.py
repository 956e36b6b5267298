"""The list of checks: it repaints as it scrolls, and a new stop comes into sight."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from PySide6.QtCore import QEvent, QObject, QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QPaintEvent, QWheelEvent
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from pennyspeed.desktop.verdict.checks import ChecksView
from pennyspeed.desktop.window import Window
from pennyspeed.domain.checks import Level


class Repaints(QObject):
    """Keeps what a widget was asked to paint."""

    def __init__(self, widget: QWidget) -> None:
        super().__init__(widget)
        self.asked: list[QRect] = []
        widget.installEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        if isinstance(event, QPaintEvent):
            self.asked.append(event.region().boundingRect())
        return False


def wheel(widget: QWidget, steps: int) -> None:
    at = QPointF(widget.rect().center())
    turned = QWheelEvent(
        at,
        QPointF(widget.mapToGlobal(at.toPoint())),
        QPoint(),
        QPoint(0, 120 * steps),
        Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier,
        Qt.ScrollPhase.NoScrollPhase,
        False,
    )
    QApplication.sendEvent(widget, turned)


def by_wheel(view: ChecksView) -> None:
    wheel(view.viewport(), -1)


def by_bar(view: ChecksView) -> None:
    view.verticalScrollBar().setValue(30)


def by_key(view: ChecksView) -> None:
    QTest.keyClick(view, Qt.Key.Key_End)


@pytest.mark.parametrize("scroll", [by_wheel, by_bar, by_key])
def test_checks_are_painted_whole_when_they_scroll(
    window: Window, scroll: Callable[[ChecksView], None], qtbot: QtBot
) -> None:
    window.resize(1366, 768)
    qtbot.waitUntil(lambda: window.session.bench.is_at_rest)
    window.verdict.checks.setFocus()
    qtbot.wait(50)
    view = window.verdict.checks
    assert view.verticalScrollBar().maximum() > 30
    repaints = Repaints(view.viewport())
    scroll(view)
    QApplication.processEvents()
    assert view.verticalScrollBar().value() > 0
    assert view.viewport().rect() in repaints.asked


def test_a_new_stop_comes_into_sight(window: Window) -> None:
    """A pack of more cells than the controller bears stops the build (check by our own rule)."""
    session, view = window.session, window.verdict.checks
    window.resize(1366, 768)
    QApplication.processEvents()
    view.verticalScrollBar().setValue(view.verticalScrollBar().maximum())
    controller = session.bench.build.part("controller")
    assert controller is not None
    most = controller.known_number("max_cells")
    packs = session.catalogue.parts("pack")
    session.builds.put_in(next(one for one in packs if one.number("cells_series") > most))
    model = window.verdict.model
    assert model.shown[0].level is Level.STOP
    assert view.visualRect(model.index(0)).top() == 0
    # One that was there already leaves the list where the person scrolled it.
    view.verticalScrollBar().setValue(40)
    build = session.bench.build
    session.builds.change(build.with_condition("road_m", 150.0), "did", "undid")
    assert view.verticalScrollBar().value() == 40


def test_focus_is_seen_where_the_row_was_wheeled_out_of_sight(window: Window) -> None:
    window.resize(1366, 768)
    QApplication.processEvents()
    view = window.verdict.checks
    view.setFocus(Qt.FocusReason.TabFocusReason)
    assert view.currentIndex().row() == 0
    wheel(view.viewport(), -2)
    assert view.visualRect(view.currentIndex()).bottom() < 0
    focused = view.viewport().grab().toImage()
    window.row.setFocus()
    assert view.viewport().grab().toImage() != focused
