"""The car: its slots, the part in each, what it costs, and the figures that follow from all."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from PySide6.QtCore import QAbstractListModel, QEvent, QModelIndex, QObject, Qt, Signal
from PySide6.QtGui import QHelpEvent, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QToolTip, QWidget

from pennyspeed.desktop.car.plan import PlanView
from pennyspeed.desktop.car.slots_view import MARGIN, TALL_SLOT, SlotsView
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.figure_rows import FIGURE_ROW, FigureRow, paint_rows
from pennyspeed.desktop.widgets.painter import RIGHT, Painter, baseline, painting, wrapped
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.builds import Build, Status
from pennyspeed.domain.checks import Level
from pennyspeed.domain.kinds import KINDS, Kind
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import Entry, book
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.fields import Field, Shape
from pennyspeed.domain.parts.glossary import explain
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import CM2, MM, RPM, G
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.reports.answer import motor_rise, runs_from_pack

HEADING = 40
PLAN = (96, 176)
WORST_FIRST = (Level.STOP, Level.WARN)
_NO_INDEX = QModelIndex()


@dataclass(frozen=True, slots=True)
class SlotRow:
    """What one slot shows."""

    kind: Kind
    name: str
    detail: str
    price: str
    level: Level | None
    is_empty: bool
    hint: str


def detail_of(part: Part, measures: Measures) -> str:
    """Return the two figures that tell a part from its neighbours."""
    shown = part.kind.shelf_fields
    told = [_told(f, part, measures) for f in shown if part.figure(f.key) is not None]
    return ", ".join(told[:2])


def _told(field: Field, part: Part, measures: Measures) -> str:
    figure = measures.figure(field, part.figure(field.key))
    if field.shape in (Shape.WHOLE, Shape.CHOICE):
        return f"{figure} {field.short}"
    name = field.short.removesuffix(field.unit.symbol).strip() if field.unit.symbol else field.short
    return f"{name} {figure}" if name else figure


def _price(entries: list[Entry], build: Build, measures: Measures) -> str:
    """Return what a slot's lines cost, in brackets where that does not count toward the cap."""
    if not entries:
        return ""
    if all(entry.line.status in (Status.OWNED, Status.MADE) for entry in entries):
        return str(entries[0].line.status)
    why = next((entry.why for entry in entries if entry.why), "")
    if why:
        return why
    total = Money(sum(entry.total for entry in entries), build.currency)
    text = measures.money(total, currency=False)
    return text if any(entry.counts for entry in entries) else f"({text})"


Details = dict[str, tuple[Part, Measures, str]]


def slot_rows(
    build: Build | None,
    forecast: Forecast | None,
    measures: Measures,
    details: Details | None = None,
) -> list[SlotRow]:
    """Return what every slot shows, in the kinds' order; `details` keeps what did not change."""
    kept = {} if details is None else details
    rows = []
    checks = forecast.checks if forecast is not None else ()
    entries = () if build is None else book(build).entries
    for kind in KINDS:
        concerned = [c for c in checks if kind.key in c.slots and c.level in WORST_FIRST]
        concerned.sort(key=lambda c: WORST_FIRST.index(c.level))
        level = concerned[0].level if concerned else None
        hint = "\n".join(c.text for c in concerned)
        parts = _parts_in(build, kind)
        own = [entry for entry in entries if entry.line.part == kind.key]
        if not parts:
            name = f"no {kind.label} yet" if kind.needed else "none"
            detail = f"Enter shows the {kind.plural}"
            rows.append(SlotRow(kind, name, detail, "", level, kind.needed, hint or detail))
            continue
        assert build is not None
        name = ", ".join(part.name for part in parts)
        if kind.many:
            grams = sum(part.number("mass_g") or 0.0 for part in parts)
            detail = f"{measures.with_unit(grams, G)} together"
        else:
            known = kept.get(kind.key)
            if known is None or known[0] is not parts[0] or known[1] != measures:
                known = kept[kind.key] = parts[0], measures, detail_of(parts[0], measures)
            detail = known[2]
        price = _price([entry for entry in own if entry.line.fitted], build, measures)
        if price.startswith("("):
            hint = "\n".join(filter(None, (hint, "In brackets: does not count toward the cap.")))
        drawer = ", ".join(entry.line.called for entry in own if not entry.line.fitted)
        if drawer:
            hint = "\n".join(filter(None, (hint, f"Bought before and not in the car: {drawer}.")))
        rows.append(SlotRow(kind, name, detail, price, level, False, hint))
    return rows


def _parts_in(build: Build | None, kind: Kind) -> list[Part]:
    if build is None:
        return []
    if kind.many:
        return list(build.extras)
    part = build.part(kind.key)
    return [] if part is None else [part]


class SlotsModel(QAbstractListModel):
    """The slots as rows that a screen reader can say."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.rows = slot_rows(None, None, Measures())

    def show(self, rows: list[SlotRow]) -> list[int]:
        """Show other contents of the same slots; return the rows that changed."""
        changed = [
            i for i, (old, new) in enumerate(zip(self.rows, rows, strict=True)) if old != new
        ]
        self.rows = rows
        for i in changed:
            self.dataChanged.emit(self.index(i), self.index(i))
        return changed

    def rowCount(self, parent: QModelIndex = _NO_INDEX) -> int:  # type: ignore[override]
        return 0 if parent.isValid() else len(self.rows)

    def data(self, index: QModelIndex, role: int = Qt.ItemDataRole.DisplayRole) -> Any:  # type: ignore[override]
        if not index.isValid():
            return None
        row = self.rows[index.row()]
        if role == Qt.ItemDataRole.DisplayRole:
            return f"{row.kind.label}: {row.name}"
        if role == Qt.ItemDataRole.AccessibleTextRole:
            sign = theme.SIGN_WORDS[row.level] if row.level else ""
            said = (f"{row.kind.label}: {row.name}", row.price, row.detail, sign)
            return ", ".join(filter(None, said))
        if role == Qt.ItemDataRole.ToolTipRole:
            return row.hint or None
        return None


def car_rows(forecast: Forecast | None, measures: Measures) -> list[FigureRow]:
    """Return the figures that follow from the whole car, the ones most looked at first."""
    if forecast is None:
        return []
    number = measures.number
    rows = [_explained("mass", measures.with_unit(forecast.mass_kg * 1e3, G))]
    if forecast.gear_ratio is not None:
        rows.append(_explained("final drive ratio", number(forecast.gear_ratio, 2)))
    if forecast.roll_out_m is not None:
        rows.append(_explained("roll-out", measures.with_unit(forecast.roll_out_m * 1e3, MM, 1)))
    prediction, build = forecast.prediction, forecast.build
    if prediction is None:
        return rows
    top = prediction.at_top
    if top is not None:
        turns = number(round(RPM.from_si(top.motor_speed), -2))
        rows.append(_explained("motor at top speed", f"{turns} rpm"))
    body = build.part("body")
    if body is not None:
        area, drag = body.number("frontal_area_cm2"), body.number("drag_coefficient")
        if area is not None and drag is not None:
            rows.append(_explained("drag area", f"{number(area * drag)} {CM2.symbol}"))
    runs = runs_from_pack(forecast)
    if runs is not None:
        rows.append(_explained("runs from one pack", number(runs)))
    if prediction.peak_current is not None:
        rows.append(_explained("peak motor current", f"{number(prediction.peak_current)} A"))
    rise = motor_rise(forecast, prediction)
    if rise is not None:
        rows.append(_explained("motor warms by", f"{number(rise)} K"))
    return rows


def _explained(label: str, figure: str) -> FigureRow:
    return FigureRow(label, figure, explain(label))


class SlotsPanel(Scaled, QWidget):
    """Heading, the car from above, the slots, and the car's own figures.

    Parameters
    ----------
    session : Session

    Signals
    -------
    entered()
        The person goes on to the shelf.
    """

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

    def rescale(self) -> None:
        self._lay_out()

    def refresh(self) -> None:
        """Take the build from the session."""
        bench = self._session.bench
        rows = slot_rows(bench.build, bench.forecast, bench.measures, self._details)
        for i in self.model.show(rows):
            self.view.viewport().update(self.view.visualRect(self.model.index(i)))
        figures = car_rows(bench.forecast, bench.measures)
        if figures != self._figures:
            other = len(figures) != len(self._figures)
            self._figures = figures
            said = "; ".join(f"{row.label} {row.figure}" for row in figures)
            self.setAccessibleName("the car")
            self.setAccessibleDescription(said)
            if other:
                self._lay_out()
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
        self._lay_out()

    def _lay_out(self) -> None:
        """Share the height: slots first, then the plan, then as many figures as there is room."""
        count, rows = len(self.model.rows), max(len(self._figures), 3)
        room = self.height() - px(HEADING)
        figures = px(8) + px(16) + rows * px(FIGURE_ROW) + px(8)
        least = px(PLAN[0])
        self.view.is_tall = room >= px(136) + count * px(TALL_SLOT) + figures
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
        self.view.updateGeometries()
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
        for i, text in enumerate(lines):
            line = baseline(top + px(8) + i * high, high, "label")
            painter.text(left, line, text, "label", painter.theme.ink2)

    def _shown_figures(self) -> list[FigureRow]:
        room = self.height() - self._figures_top - px(8)
        return self._figures[: max(room // px(FIGURE_ROW), 0)]

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip:
            assert isinstance(event, QHelpEvent)
            place = (event.pos().y() - self._figures_top - px(8)) // px(FIGURE_ROW)
            shown = self._shown_figures()
            if 0 <= place < len(shown):
                QToolTip.showText(event.globalPos(), shown[place].help, self)
                return True
        return super().event(event)
