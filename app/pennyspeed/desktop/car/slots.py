"""The car: its slots, the part in each, what it costs, and the figures that follow from all."""

from __future__ import annotations

from typing import Any

from PySide6.QtCore import QAbstractListModel, QEvent, QModelIndex, QObject, Qt, Signal
from PySide6.QtGui import QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.car import SLOTS
from pennyspeed.desktop.car.plan import PlanView
from pennyspeed.desktop.car.slots_view import MARGIN, TALL_SLOT, SlotsView
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets.figure_rows import FIGURE_ROW, paint_rows, show_help
from pennyspeed.desktop.widgets.painter import RIGHT, Painter, baseline, painting, wrapped
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import SIGN_WORDS
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.measures import Measures
from pennyspeed.services.reports.figure_rows import FigureRow, car_rows
from pennyspeed.services.reports.slot_rows import Details, SlotRow, slot_rows

HEADING = 40
PLAN = (96, 176)
_NO_INDEX = QModelIndex()


class SlotsModel(QAbstractListModel):
    """The slots as rows that a screen reader can say."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.rows = slot_rows(None, None, Measures())

    def show(self, rows: list[SlotRow]) -> None:
        """Show other contents of the same slots."""
        before, self.rows = self.rows, rows
        for i, (old, new) in enumerate(zip(before, rows, strict=True)):
            if old != new:
                self.dataChanged.emit(self.index(i), self.index(i))

    def rowCount(self, parent: QModelIndex = _NO_INDEX) -> int:  # type: ignore[override]
        return 0 if parent.isValid() else len(self.rows)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # type: ignore[override]
        if not index.isValid():
            return None
        row = self.rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return f"{row.kind.label}: {row.name}"
        if role == Qt.ItemDataRole.AccessibleTextRole:
            sign = SIGN_WORDS[row.level] if row.level else ""
            said = (f"{row.kind.label}: {row.name}", row.price, row.detail, sign)
            return ", ".join(filter(None, said))
        if role == Qt.ItemDataRole.ToolTipRole:
            return row.hint or None
        return None


class SlotsPanel(Scaled, QWidget):
    """Heading, the car from above, the slots, and the car's own figures.

    Signals
    -------
    entered()
        The person goes on to the shelf.
    """

    keys = SLOTS
    entered = Signal()

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.model = SlotsModel(self)
        self.plan = PlanView(self)
        self.view = SlotsView(self.model, self)
        self._details: Details = {}
        self._figures: list[FigureRow] = []
        self._figures_top = 0
        self._hint: list[str] = []
        self.view.entered.connect(self.entered)
        self.plan.slot_clicked.connect(session.bench.choose_slot)
        self.view.taken_out.connect(lambda: session.builds.take_out(session.bench.slot))
        self.view.selectionModel().currentChanged.connect(
            lambda now, _: session.bench.choose_slot(self.model.rows[now.row()].kind.key)
        )
        session.bench.build_changed.connect(self.refresh)
        session.bench.measures_changed.connect(self.refresh)
        session.bench.slot_changed.connect(self._slot_changed)
        self._slot_changed()
        self.rescale()

    def refresh(self) -> None:
        """Take the build from the session."""
        bench = self._session.bench
        rows = slot_rows(bench.build, bench.forecast, bench.measures, self._details)
        self.model.show(rows)
        figures = car_rows(bench.forecast, bench.measures)
        if figures != self._figures:
            other = len(figures) != len(self._figures)
            self._figures = figures
            said = "; ".join(f"{row.label} {row.figure}" for row in figures)
            self.setAccessibleName("the car")
            self.setAccessibleDescription(said)
            if other:
                self.rescale()
            self.update(0, self._figures_top, self.width(), self.height() - self._figures_top)
        self._show_plan()

    def _slot_changed(self) -> None:
        row = next(i for i, kind in enumerate(KINDS) if kind.key == self._session.bench.slot)
        self.view.setCurrentIndex(self.model.index(row))
        self._show_plan()

    def _show_plan(self) -> None:
        bench = self._session.bench
        if bench.build is not None and bench.forecast is not None:
            checks = bench.forecast.checks
            self.plan.show_build(bench.build, bench.slot, checks, bench.measures)

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.rescale()

    def rescale(self) -> None:
        """Share the height: slots first, then the plan, then as many figures as there is room."""
        count, rows = len(self.model.rows), max(len(self._figures), 3)
        room = self.height() - px(HEADING)
        figures = px(8) + px(16) + rows * px(FIGURE_ROW) + px(8)
        least = px(PLAN[0])
        self.view.lay_out(is_tall=room >= px(136) + count * px(TALL_SLOT) + figures)
        slots = count * self.view.slot_height()
        rest = room - slots - px(16)
        has_plan = rest >= least
        self.plan.setVisible(has_plan)
        few = px(32) + min(3, rows) * px(FIGURE_ROW)
        plan = min(max(rest - few, least), px(PLAN[1])) if has_plan else 0
        top = px(HEADING)
        self.plan.setGeometry(px(MARGIN), top, max(self.width() - 2 * px(MARGIN), 0), plan)
        top += plan + (px(16) if has_plan else 0)
        slots = min(slots, self.height() - top)
        self.view.setGeometry(0, top, self.width(), slots)
        self._figures_top = top + slots + px(8)

    def paintEvent(self, event: QPaintEvent) -> None:
        with painting(self, "side") as painter:
            colours = painter.theme
            line = baseline(0, px(HEADING), "heading")
            left, right = px(MARGIN), self.width() - px(MARGIN)
            painter.text(left, line, "The car", "heading", colours.ink)
            build = self._session.bench.build
            if build is not None:
                painter.text(right, line, build.currency, "label", colours.ink3, RIGHT)
            top = self._figures_top
            shown = self._shown_figures()
            if shown:
                painter.fill(left, top, right - left, 1, colours.rule)
                top = round(paint_rows(painter, shown, left, top + px(8), right))
                self._paint_hint(painter, top + px(8), left, right)

    def _paint_hint(self, painter: Painter, top: float, left: int, right: int) -> None:
        """Explain the term that newcomers ask for, where there is room left."""
        row = next((row for row in self._figures if row.label == "roll-out"), None)
        if row is None:
            return
        text = f"Roll-out: {row.help[0].lower()}{row.help[1:]}"
        lines = wrapped(text, "label", right - left)
        high = px(20)
        if top + px(8) + high * len(lines) > self.height() - px(8):
            return
        painter.fill(left, top, right - left, 1, painter.theme.rule)
        painter.lines(left, top + px(8), high, lines, "label", painter.theme.ink2)

    def _shown_figures(self) -> list[FigureRow]:
        room = self.height() - self._figures_top - px(8)
        return self._figures[: max(room // px(FIGURE_ROW), 0)]

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip:
            return show_help(event, self._shown_figures(), self._figures_top + px(8), self)
        return super().event(event)
