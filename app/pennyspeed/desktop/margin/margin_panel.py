"""The margin: what is set, what a late lift does, and what being careful costs."""

from __future__ import annotations

from PySide6.QtCore import QRect, Qt, Signal
from PySide6.QtGui import QHideEvent, QKeyEvent, QPaintEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.inline.inline_field import PAD, InlineField
from pennyspeed.desktop.margin import MARGIN
from pennyspeed.desktop.margin.cost_line import CostLine
from pennyspeed.desktop.margin.late_list import (
    DASH,
    HEAD,
    ROW,
    WIDEST,
    Columns,
    LateList,
    LateModel,
)
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.button import Button
from pennyspeed.desktop.widgets.label import Label
from pennyspeed.desktop.widgets.painter import baseline, painting
from pennyspeed.desktop.widgets.panel import LazyPanel
from pennyspeed.desktop.widgets.scaled import Scaled, place
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.builds import Build
from pennyspeed.physics.predict import HALF_A_SECOND
from pennyspeed.physics.results import LateLift
from pennyspeed.services.editing.build_fields import Item, items
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.margin import (
    LATE_BY,
    NAMES,
    LateRow,
    late_rows,
    meaning,
    usual_values,
)

SIDE, TOP, COSTS = 24, 40, 36
FIELD, REMARK, GAP = 140, 152, 8
"""Widths of a value with its name, of what it comes to, and what parts the two halves."""
TIGHT = 640
"""A panel that is narrower has no room for what the values come to."""


class SettingField(InlineField):
    """A value of the margin; letters and arrows that mean something here are left to the panel."""

    def lead(self, build: Build) -> str:
        return NAMES[self.item.key]

    def keyPressEvent(self, event: QKeyEvent) -> None:
        if event.key() == Qt.Key.Key_L:
            event.ignore()
        else:
            super().keyPressEvent(event)


class MarginPanel(Scaled, LazyPanel):
    """What is set at the left, late lifts at the right, and what it costs below.

    Signals
    -------
    late_chosen()
        Another late lift is to be drawn along the road: `late_of` tells which.
    turned(bool)
        The panel came into sight, or went.
    reading_wanted(QKeyEvent)
        A key that reads along the curve.
    left_behind()
        Escape.
    """

    keys = MARGIN
    late_chosen = Signal()
    turned = Signal(bool)
    reading_wanted = Signal(object)
    left_behind = Signal()

    def __init__(self, session: Session) -> None:
        super().__init__()
        self._session = session
        self._known: tuple[Forecast | None, tuple[LateRow, ...]] = (None, ())
        self.setAccessibleName("margin on this road")
        self.heading = Label("heading", self)
        self.heading.say("Margin on this road")
        self.remark = Label("label", self, quiet=True)
        self.remark.say("what a late lift does, and what being careful costs")
        by_key: dict[str, Item] = {item.key: item for item in items()}
        self.fields = [SettingField(session, by_key[key], self, spread=True) for key in NAMES]
        self.remarks = [Label("label", self, quiet=True) for _ in self.fields]
        self.offer = Button("", self, "label")
        self.offer.clicked.connect(self.be_careful)
        self.model = LateModel(self)
        self.lifts = LateList(self.model, self)
        self.costs = CostLine(session, self)
        for i, one in enumerate(self.fields):
            one.moved.connect(lambda step, i=i: self._go(i + step))
        self.lifts.selectionModel().currentChanged.connect(lambda *_: self._chosen())
        session.bench.build_changed.connect(self._changed)
        session.bench.measures_changed.connect(self._changed)
        self.rescale()

    # Showing --------------------------------------------------------------------------------

    def refresh(self) -> None:
        """Take values and figures from the build."""
        super().refresh()
        bench = self._session.bench
        build, forecast, measures = bench.build, bench.forecast, bench.measures
        for one, remark in zip(self.fields, self.remarks, strict=True):
            one.refresh()
            one.setVisible(build is not None)
            remark.say("" if forecast is None else meaning(one.item.key, forecast, measures))
        usual = "" if build is None else usual_values(build, measures)
        self.offer.say(f"set {usual}" if usual else "")
        self.model.show(self.rows(forecast))
        self.costs.refresh()
        self._lay_out()
        self.update()

    def rows(self, forecast: Forecast | None) -> tuple[LateRow, ...]:
        """Return what late lifts of a car do."""
        if forecast is None:
            return ()
        known, found = self._known
        measures = self._session.bench.measures
        if known is not forecast or (found and found[0].measures != measures):
            self._known = forecast, late_rows(forecast, measures)
        return self._known[1]

    def late_of(self, forecast: Forecast | None) -> LateLift | None:
        """Return the late lift that is to be drawn of a car; None where it is lifted on time."""
        rows, row = self.rows(forecast), self.lifts.currentIndex().row()
        place = row if 0 <= row < len(rows) else LATE_BY.index(HALF_A_SECOND)
        return rows[place].late if rows else None

    def _chosen(self) -> None:
        if self.isVisible() and not self._is_stale:
            self.late_chosen.emit()

    def take_focus(self) -> None:
        """Put the keyboard on what is offered, or on the first value."""
        (self.offer if self.offer.isVisible() else self.fields[0]).setFocus()

    # Changing -------------------------------------------------------------------------------

    def be_careful(self) -> None:
        """Reckon with what a careful driver needs, as one step."""
        if self._session.builds.take_care():
            self.fields[0].setFocus()

    def _go(self, where: int) -> None:
        if where < 0:
            super().focusNextPrevChild(False)
        elif where < len(self.fields):
            self.fields[where].setFocus(Qt.FocusReason.TabFocusReason)
        else:
            self.lifts.setFocus(Qt.FocusReason.TabFocusReason)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        key, text = event.key(), event.text()
        steps = {"[": (0, -1), "]": (0, 1), "{": (1, -1), "}": (1, 1)}
        if key == Qt.Key.Key_Escape:
            self.left_behind.emit()
        elif text in steps:
            which, step = steps[text]
            self.fields[which].step(step)
        elif key == Qt.Key.Key_L and not event.modifiers():
            self.lifts.go_on()
        elif key in (Qt.Key.Key_Left, Qt.Key.Key_Right, Qt.Key.Key_Home, Qt.Key.Key_End):
            self.reading_wanted.emit(event)
        else:
            super().keyPressEvent(event)

    # Layout ---------------------------------------------------------------------------------

    def rescale(self) -> None:
        self._lay_out()

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    @property
    def _is_tight(self) -> bool:
        return self.width() < px(TIGHT)

    @property
    def _list_left(self) -> int:
        taken = px(FIELD) + (0 if self._is_tight else px(REMARK))
        return px(SIDE) + taken + px(GAP)

    def _lay_out(self) -> None:
        """Place the pieces from the leading edge."""
        left, width, height = px(SIDE), self.width() - 2 * px(SIDE), self.height()
        if width <= 0:
            return

        def put(one: QWidget, x: int, y: int, wide: int, high: int) -> None:
            place(one, QRect(x, y, max(wide, 0), high))

        head = min(self.heading.sizeHint().width(), width)
        put(self.heading, left, px(8), head, px(24))
        put(self.remark, left + head + px(24), px(9), width - head - px(24), px(24))
        top, end = px(TOP) + px(HEAD), height - px(COSTS)
        high = min(max((end - top) // len(self.fields), px(24)), px(40))
        for i, (field, remark) in enumerate(zip(self.fields, self.remarks, strict=True)):
            y = top + i * high
            put(field, left - px(PAD), y, px(FIELD), high)
            put(remark, left + px(FIELD) + px(8), y, px(REMARK) - px(8), high)
            remark.setVisible(not self._is_tight and not (i == 0 and bool(self.offer.text())))
        self.offer.setVisible(bool(self.offer.text()))
        wide = self.offer.sizeHint().width()
        if self._is_tight:
            self.remark.setVisible(not self.offer.text())
            put(self.offer, left + width - wide, px(7), wide, px(28))
        else:
            self.remark.show()
            put(self.offer, left + px(FIELD) + px(4), top + (high - px(28)) // 2, wide, px(28))
        x = self._list_left
        wide = min(self.width() - px(SIDE) - x, px(WIDEST) + px(DASH))
        put(self.lifts, x, top, wide, min(end - top, len(LATE_BY) * px(ROW)))
        self.lifts.doItemsLayout()
        put(self.costs, left, end + px(6), width, px(26))

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "ground") as painter:
            colours, top = painter.theme, px(TOP)
            line = baseline(top, px(HEAD), "label")
            below = top + px(HEAD) - 1
            painter.text(px(SIDE), line, "set by you", "label", colours.ink3)
            first = self._list_left
            painter.fill(px(SIDE), below, first - px(SIDE) - px(GAP), 1, colours.line)
            wide = self.lifts.width()
            for x, text, side in Columns.of(wide).heads():
                painter.text(first + x, line, text, "label", colours.ink3, side)
            painter.fill(first + px(DASH), below, wide - px(DASH), 1, colours.line)
            under = self.height() - px(COSTS)
            painter.fill(px(SIDE), under, painter.width - 2 * px(SIDE), 1, colours.rule)
            for field in self.fields:
                if field.hasFocus() or (field.editor is not None and field.editor.hasFocus()):
                    y, high = field.y(), field.height()
                    painter.fill(0, y, first - px(GAP), high, colours.tint)
                    painter.fill(0, y, px(4), high, colours.accent)

    # Events ---------------------------------------------------------------------------------

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.turned.emit(True)

    def hideEvent(self, event: QHideEvent) -> None:
        super().hideEvent(event)
        self.turned.emit(False)
