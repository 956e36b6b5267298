"""Boxes to tick in menus and lists: the style's own are darker than a dark ground, and vanish."""

from __future__ import annotations

from functools import cache

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPen, QPolygonF
from PySide6.QtWidgets import QMenu, QProxyStyle, QStyle, QStyleOption, QWidget

from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.theme import px

BOX = 12
_BOXES = (
    QStyle.PrimitiveElement.PE_IndicatorCheckBox,
    QStyle.PrimitiveElement.PE_IndicatorItemViewItemCheck,
)
TICK = ((0.2, 0.55), (0.42, 0.78), (0.82, 0.25))


class MenuStyle(QProxyStyle):
    """The application's style with marks of our own, for what does not paint itself."""

    def drawPrimitive(
        self,
        element: QStyle.PrimitiveElement,
        option: QStyleOption,
        painter: QPainter,
        widget: QWidget | None = None,
    ) -> None:
        if element not in _BOXES:
            super().drawPrimitive(element, option, painter, widget)
            return
        colours = theme.current()
        side = float(px(BOX))
        rect = QRectF(option.rect)
        box = QRectF(0, 0, side, side)
        box.moveCenter(rect.center())
        is_on = bool(option.state & QStyle.StateFlag.State_On)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(colours.ink if is_on else colours.ink2, 1.4 * px(100) / 100))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawRect(box)
        if is_on:
            points = [QPointF(box.x() + x * side, box.y() + y * side) for x, y in TICK]
            painter.drawPolyline(QPolygonF(points))
        painter.restore()


@cache
def marks() -> MenuStyle:
    """Return the style; there is one, as widgets do not keep theirs."""
    return MenuStyle()


def dress(menu: QMenu) -> None:
    """Give a menu its marks."""
    menu.setStyle(marks())
