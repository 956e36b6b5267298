"""Plan: the car from above, to scale, with what does not fit sticking out."""

from __future__ import annotations

from collections.abc import Sequence

from PySide6.QtCore import QEvent, QPointF, QRectF, QSize, Qt, Signal
from PySide6.QtGui import (
    QBrush,
    QHelpEvent,
    QMouseEvent,
    QPainter,
    QPainterPath,
    QPaintEvent,
    QPen,
    QTransform,
)
from PySide6.QtWidgets import QSizePolicy, QToolTip, QWidget

from pennyspeed.desktop.car.car_shape import path_of
from pennyspeed.desktop.charts.strokes import AA, dashed, hatch
from pennyspeed.desktop.widgets.painter import painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import Theme, paint_sign, px, words
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level, Outcome
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.services.reports.car_outlines import Look, Outline, outlines
from pennyspeed.services.reports.part_room import room_words


class PlanView(Scaled, QWidget):
    """Draws a build from above; a click on a part asks for its slot.

    Everything it tells is also in its description and in the list of slots, so the keyboard
    never needs it.
    """

    slot_clicked = Signal(str)

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setAccessibleName("The car from above")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setMouseTracking(True)
        self._build: Build | None = None
        self._selected = ""
        self._measures = Measures()
        self._stopped: frozenset[str] = frozenset()
        self._outlines: list[tuple[Outline, QPainterPath]] = []
        self._shapes: list[tuple[Outline, QPainterPath]] = []

    def sizeHint(self) -> QSize:
        return QSize(px(192), px(104))

    def minimumSizeHint(self) -> QSize:
        return QSize(px(120), px(72))

    def show_build(
        self,
        build: Build,
        selected_slot: str = "",
        checks: Sequence[Outcome] = (),
        measures: Measures | None = None,
    ) -> None:
        """Show a build with one slot chosen; parts that a stop concerns carry its sign."""
        drawn = self._outlines, self._selected, self._stopped
        self._measures = measures or self._measures
        self._selected = selected_slot
        self._stopped = frozenset(
            slot for check in checks if check.level is Level.STOP for slot in check.slots
        )
        if build is not self._build:
            self._build = build
            self._outlines = [(one, path_of(one.shapes)) for one in outlines(build)]
        self.setAccessibleDescription(self._sentence())
        if drawn != (self._outlines, self._selected, self._stopped):
            self.rescale()
            self.update()

    def words_for(self, slot: str) -> str:
        """Return what the tooltip of a slot says."""
        return "" if self._build is None else room_words(self._build, slot, self._measures)

    def slot_at(self, place: QPointF) -> str | None:
        """Return the slot whose part is drawn at a place of the widget, the topmost."""
        for outline, path in reversed(self._shapes):
            if outline.look is not Look.BAY and path.contains(place):
                return outline.slot
        return None

    def _sentence(self) -> str:
        build = self._build
        assert build is not None
        texts = [self.words_for(slot) for slot in BY_KEY if slot != "extras" or build.extras]
        return "; ".join(texts) + "."

    def rescale(self) -> None:
        """Fit the drawing into the widget, one millimetre alike both ways."""
        if not self._outlines or self.width() < 20 or self.height() < 20:
            self._shapes = []
            return
        bounds = QRectF()
        for _, path in self._outlines:
            bounds = bounds.united(path.boundingRect())
        margin, below = px(2), round(words("front", "small").height)
        room = QRectF(self.rect()).adjusted(margin, margin, -margin, -margin - below)
        factor = min(room.width() / bounds.width(), room.height() / bounds.height())
        move = QTransform()
        move.translate(room.center().x(), room.center().y())
        move.scale(factor, factor)
        move.translate(-bounds.center().x(), -bounds.center().y())
        self._shapes = [(outline, move.map(path)) for outline, path in self._outlines]
        self._bounds = move.mapRect(bounds)

    # Painting ------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self) as painter:
            painter.qt_painter.setRenderHint(AA)
            theme = painter.theme
            for outline, path in self._shapes:
                self._paint_outline(painter.qt_painter, outline, path, theme)
            for outline, path in self._shapes:
                if outline.look is Look.EXCESS:
                    self._paint_excess(painter.qt_painter, path, theme)
            self._paint_signs(painter.qt_painter, theme)
            self._paint_front(painter.qt_painter, theme)

    def _paint_outline(
        self, p: QPainter, outline: Outline, path: QPainterPath, theme: Theme
    ) -> None:
        one = float(px(1))
        chosen = outline.slot == self._selected
        ink = theme.accent if chosen else theme.ink2
        fill = Qt.BrushStyle.NoBrush
        if outline.look in (Look.BAY, Look.EXCESS):
            if outline.look is Look.BAY:
                p.setPen(dashed(theme.ink, 2 * one, 2 * one, one))
                p.setBrush(fill)
                p.drawPath(path)
            return
        if not outline.there:
            p.setPen(dashed(theme.accent if chosen else theme.line, 2 * one, 3 * one, 1.5 * one))
            p.setBrush(fill)
        elif outline.look is Look.BODY:
            width = 2 * one if chosen else one
            p.setPen(dashed(theme.accent if chosen else theme.line, 6 * one, 4 * one, width))
            p.setBrush(fill)
        elif outline.look is Look.PLATE:
            p.setPen(QPen(theme.accent if chosen else theme.line, 2 * one if chosen else one))
            p.setBrush(theme.ground)
        elif outline.look is Look.AXLE:
            p.setPen(Qt.PenStyle.NoPen)
            p.setBrush(ink)
        elif outline.look is Look.SOLID:
            p.setPen(QPen(ink, one))
            solid = chosen or outline.slot == "tyres"
            p.setBrush(ink if solid else theme.rule)
        elif outline.look is Look.PACK:
            p.setPen(QPen(ink, 1.5 * one))
            p.setBrush(theme.accent if chosen else theme.rule)
        else:
            p.setPen(QPen(ink, 1.3 * one))
            p.setBrush(theme.accent if chosen else theme.ground)
        p.drawPath(path)

    def _paint_excess(self, p: QPainter, path: QPainterPath, theme: Theme) -> None:
        """What sticks out: hatched and framed in the colour of a stop, never thinner than seen."""
        least = float(px(4))
        box = path.boundingRect()
        if box.width() < least:
            box.setWidth(least)
        if box.height() < least:
            box.setHeight(least)
        p.save()
        p.setClipRect(box)
        p.fillRect(box, QBrush(theme.ground))
        hatch(p, box, theme.stop, 3.0 * px(1), 1.4 * px(1))
        p.restore()
        p.setRenderHint(AA)
        p.setPen(QPen(theme.stop, 1.5 * px(1)))
        p.setBrush(Qt.BrushStyle.NoBrush)
        p.drawRect(box)

    def _paint_signs(self, p: QPainter, theme: Theme) -> None:
        """A stop's sign on the part it concerns, on a plate of ground."""
        side = px(12)
        done = set()
        for outline, path in self._shapes:
            if outline.slot not in self._stopped or outline.slot in done or not outline.there:
                continue
            if outline.look in (Look.BAY, Look.EXCESS, Look.AXLE, Look.PLATE, Look.BODY):
                continue
            done.add(outline.slot)
            box = path.boundingRect()
            if outline.slot == "tyres":
                box = QRectF(box.left(), box.top(), side + px(4), side + px(4))
            centre = box.center()
            plate = QRectF(0, 0, side + px(2), side + px(2))
            plate.moveCenter(centre)
            p.setPen(Qt.PenStyle.NoPen)
            p.setBrush(theme.ground)
            p.drawEllipse(plate)
            paint_sign(p, plate, Level.STOP, theme)

    def _paint_front(self, p: QPainter, theme: Theme) -> None:
        if not self._shapes:
            return
        text = words("← front", "small")
        text.draw(p, self._bounds.left(), self._bounds.bottom() + text.ascent, theme.ink3)

    # Hands ---------------------------------------------------------------------------------

    def resizeEvent(self, event: QEvent) -> None:
        self.rescale()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        over = self.slot_at(event.position())
        self.setCursor(Qt.CursorShape.PointingHandCursor if over else Qt.CursorShape.ArrowCursor)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        slot = self.slot_at(event.position())
        if slot is not None and event.button() == Qt.MouseButton.LeftButton:
            self.slot_clicked.emit(slot)

    def event(self, event: QEvent) -> bool:
        if isinstance(event, QHelpEvent) and event.type() == QEvent.Type.ToolTip:
            slot = self.slot_at(QPointF(event.pos()))
            text = self.words_for(slot) if slot else ""
            QToolTip.showText(event.globalPos(), text[:1].upper() + text[1:], self)
            return True
        return super().event(event)
