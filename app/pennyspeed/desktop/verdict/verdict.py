"""The verdict: how fast, how sure, how much, what is wrong."""

from __future__ import annotations

from PySide6.QtCore import QEvent, QPointF, QRect
from PySide6.QtGui import QPaintEvent, QRegion, QResizeEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.charts.strokes import paint_circle
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.verdict import CHECKS
from pennyspeed.desktop.verdict.checks import MARGIN_CHECK, ChecksModel, ChecksView
from pennyspeed.desktop.verdict.day import day_height, paint_day
from pennyspeed.desktop.verdict.gauge import CapBar, SpeedGauge
from pennyspeed.desktop.verdict.next_step import NextStepLine
from pennyspeed.desktop.verdict.reasons import (
    MARGIN,
    paint_power,
    paint_unknowns,
    power_height,
    rule,
    unknowns_height,
)
from pennyspeed.desktop.verdict.unknowns import UnknownsPanel
from pennyspeed.desktop.widgets import theme
from pennyspeed.desktop.widgets.figure_rows import FIGURE_ROW, paint_rows, show_help
from pennyspeed.desktop.widgets.painter import Painter, baseline, painting
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px
from pennyspeed.domain.checks import Level
from pennyspeed.domain.measures import Measures
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.margin import usual_values
from pennyspeed.services.reports.check_rows import summary
from pennyspeed.services.reports.figure_rows import FigureRow
from pennyspeed.services.reports.on_the_day import day_rows
from pennyspeed.services.reports.verdict_rows import (
    NO_FIGURE,
    cap_words,
    cost_rows,
    speed_text,
    verdict_rows,
)

MONEY_ROW = 20
MOST_ROWS = 4
SPEED_BOTTOM, GAUGE = 92, 48
FOOT = 40
"""Of the money that is folded to a line."""


class VerdictPanel(Scaled, QWidget):
    """Speed, gauge, money, bar, checks, and where there is room the reasons."""

    keys = CHECKS

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.gauge = SpeedGauge(self)
        self.bar = CapBar(self)
        self.model = ChecksModel(self)
        self.checks = ChecksView(self.model, self)
        self.next = NextStepLine(session, self)
        self.unknowns = UnknownsPanel(session, self)
        self._is_day = False
        self.rows: list[FigureRow] = []
        """The lines below the speed."""
        self._tops = dict.fromkeys(("rows", "money", "day", "checks", "band", "power"), 0)
        self.checks.slot_wanted.connect(session.bench.choose_slot)
        self.checks.careful_wanted.connect(session.builds.take_care)
        self.next.changed.connect(self._lay_out)
        session.bench.build_changed.connect(self.refresh)
        session.bench.tried_changed.connect(self._refresh_trial)
        session.bench.trial_settled.connect(self._refresh_rows)
        session.bench.measures_changed.connect(self.refresh)
        session.bench.unknowns_found.connect(self._show_unknowns)
        self.setAccessibleName("verdict")
        self.rescale()

    def rescale(self) -> None:
        self.checks.lay_out()
        self._lay_out()

    # What it says ---------------------------------------------------------------------------

    @property
    def forecast(self) -> Forecast | None:
        """What it speaks of."""
        return self._session.bench.forecast

    @property
    def speed(self) -> str:
        """The large figure."""
        return speed_text(self.forecast, self._session.bench.measures)

    @property
    def money(self) -> str:
        """The other large figure."""
        forecast = self.forecast
        if forecast is None:
            return NO_FIGURE
        return self._session.bench.measures.money(forecast.costs.counted, currency=False)

    def refresh(self) -> None:
        """Take the forecast from the session."""
        forecast = self.forecast
        usual = "" if forecast is None else usual_values(forecast.build, self._measures)
        checks = () if forecast is None else forecast.checks
        if self._is_day:
            checks = tuple(sorted(checks, key=lambda check: check.code != MARGIN_CHECK))
        before = {check.code for check in self.model.shown if check.level is Level.STOP}
        self.model.show(checks, usual)
        self.checks.lay_out()
        self._refresh_trial()
        self._lay_out()
        self.checks.show_stop(before)
        self.setAccessibleDescription(self._said())
        self.update()

    def tell_day(self, is_day: bool) -> None:
        """Tell of the run rather than of the money, which is folded to a line at the foot."""
        if is_day != self._is_day:
            self._is_day = is_day
            self.refresh()

    @property
    def _measures(self) -> Measures:
        return self._session.bench.measures

    def _refresh_trial(self) -> None:
        session, forecast = self._session, self.forecast
        if forecast is not None:
            trial = session.bench.trial.costs if session.bench.trial is not None else None
            self.bar.show_costs(forecast.costs, session.bench.measures, trial)
            self.gauge.show_forecast(forecast, session.bench.measures, session.bench.trial)
        else:
            self.gauge.show_nothing()
            self.bar.show_nothing()
        self._refresh_rows()

    def _show_unknowns(self) -> None:
        """Write the unknowns where they have room, which was kept for them."""
        self._lay_out()
        if self._tops["band"]:
            self.update()

    def _refresh_rows(self) -> None:
        session = self._session
        name = session.bench.tried_name
        self.rows = verdict_rows(self.forecast, session.bench.measures, session.bench.trial, name)
        self.setAccessibleDescription(self._said())
        self.update(0, self._tops["rows"], self.width(), px(FIGURE_ROW) * MOST_ROWS)

    def _said(self) -> str:
        session = self._session
        forecast = self.forecast
        if forecast is None:
            return ""
        said = [f"{self.speed} {session.bench.measures.speed_unit.symbol} on this road"]
        said += [f"{row.label} {row.figure}" for row in self.rows]
        if self._tops["day"]:
            said += [f"{row.label} {row.figure}" for row in day_rows(forecast, self._measures)]
        said.append(f"{self.money} {forecast.build.currency} {forecast.costs.left_out}".rstrip())
        return "; ".join(said)

    def show_unknowns(self, wanted: bool) -> None:
        """Put the unknowns in the place of money and checks, which fold to a line, or back."""
        for one in (self.bar, self.checks):
            one.setVisible(not wanted)
        self.unknowns.setVisible(wanted)
        self.next.setVisible(not wanted and bool(self.next.title))

    # Layout ---------------------------------------------------------------------------------

    def resizeEvent(self, event: QResizeEvent) -> None:
        self._lay_out()

    def _lay_out(self) -> None:
        """Place the pieces; the reasons appear below the checks where these leave room."""
        left, width = px(MARGIN), self.width() - 2 * px(MARGIN)
        if width <= 0:
            return
        top = px(SPEED_BOTTOM) + px(16)
        self.gauge.setGeometry(left, top, width, px(GAUGE))
        top += px(GAUGE) + px(8)
        self._tops["rows"] = top
        # The line of what is tried keeps its place, or the rest would jump at every step.
        top += px(FIGURE_ROW) * MOST_ROWS + px(8)
        self.unknowns.setGeometry(0, top, self.width(), max(self.height() - top, 0))
        day = day_height(self.forecast, self._measures, self.width())
        is_day, end = self._is_day and day > 0, self.height()
        self._tops["day"] = top if is_day else 0
        self.bar.setVisible(not is_day)
        if is_day:
            top += day
            end -= px(FOOT)
            self._tops["money"] = end
        else:
            self._tops["money"] = top
            top += px(16) + px(44)
            self.bar.setGeometry(left, top, width, px(24))
            rows = 3 if self.forecast is not None and self.forecast.costs.left_out else 2
            top += px(24) + px(8) + px(MONEY_ROW) * rows + px(12)
        self._tops["checks"] = top
        top += px(8) + px(32)
        needed, step = self.checks.needed_height(), self.next.needed()
        # Beside the day the next step has room only where no check is out of sight for it.
        step = 0 if is_day and end - top - step < needed else step
        band, power = unknowns_height(self.forecast), power_height(self.forecast, self._measures)
        room = end - top - step
        has_day = not is_day and day > 0 and room >= needed + day
        room -= day if has_day else 0
        has_band = band > 0 and room >= needed + band
        has_power = has_band and power > 0 and room >= needed + band + power
        high = min(needed, room) if has_band or has_day else max(room - px(8), 0)
        self.checks.setGeometry(0, top, self.width(), high)
        top += high + px(8)
        self.next.setGeometry(0, top, self.width(), step)
        if not self.unknowns.isHidden():
            self.next.hide()
        top += step + px(8)
        if has_day:
            self._tops["day"] = top
            top += day
        self._tops["band"] = top if has_band else 0
        self._tops["power"] = top + band if has_power else 0

    # Painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        forecast = self.forecast
        with painting(self, "side") as painter:
            if forecast is not None:
                self._paint_parts(painter, event.region(), forecast)

    def _paint_parts(self, painter: Painter, asked: QRegion, forecast: Forecast) -> None:
        """Paint what stands in the region asked for."""
        tops = self._tops

        def is_asked(top: int, bottom: int) -> bool:
            return asked.intersects(QRect(0, top, self.width(), bottom - top))

        if is_asked(0, tops["rows"]):
            self._paint_speed(painter, forecast)
        if is_asked(tops["rows"], tops["day"] or tops["money"]):
            left, right = px(MARGIN), self.width() - px(MARGIN)
            paint_rows(painter, self.rows, left, tops["rows"], right)
        measures = self._measures
        if tops["day"]:
            paint_day(painter, forecast, measures, tops["day"])
        if self.bar.isHidden():
            self._paint_folded_money(painter, forecast)
        elif is_asked(tops["money"], tops["checks"]):
            self._paint_money(painter, forecast)
        if is_asked(tops["checks"], self.checks.y()):
            self._paint_heading(painter, forecast)
        if tops["band"] and is_asked(tops["band"], self.height()):
            paint_unknowns(painter, forecast, tops["band"])
            if tops["power"]:
                paint_power(painter, forecast, measures, tops["power"])

    def _paint_speed(self, painter: Painter, forecast: Forecast) -> None:
        colours, left, bottom = painter.theme, px(MARGIN), px(SPEED_BOTTOM)
        if forecast.prediction is None:
            missing = forecast.build.empty_slots
            why = f"no {missing[0]} yet" if missing else "nothing in it has a mass"
            painter.text(left, bottom - px(26), "no speed yet", "unit", colours.ink)
            room = painter.width - 2 * left
            painter.text(left, bottom - px(4), why, "label", colours.ink2, room=room)
            return
        # The first digit's own white space would push the figure in from the margin.
        width = painter.text(left - px(3), bottom - px(4), self.speed, "speed", colours.ink)
        x = left + width + px(10)
        unit = self._session.bench.measures.speed_unit.symbol
        painter.text(x, bottom - px(26), unit, "unit", colours.ink)
        room = painter.width - x - px(8)
        painter.text(x, bottom - px(4), "on this road", "label", colours.ink2, room=room)

    def _paint_money(self, painter: Painter, forecast: Forecast) -> None:
        colours, measures, costs = painter.theme, self._session.bench.measures, forecast.costs
        left, right, top = px(MARGIN), painter.width - px(MARGIN), self._tops["money"]
        rule(painter, top)
        line: float = top + px(16) + px(30)
        width = painter.text(left, line, self.money, "money", colours.ink)
        text = cap_words(costs, measures)
        room = right - left - width - px(8)
        painter.text(left + width + px(8), line, text, "body", colours.ink2, room=room)
        y = top + px(16) + px(44) + px(24) + px(8)
        half = (right - left) / 2
        rows = cost_rows(costs, measures)
        widths = [theme.words(amount, "label_strong").width for *_, amount in rows]
        for i, (sign, label, amount) in enumerate(rows):
            x = left + (half + px(8) if i >= 2 else 0)
            end: float = right if i >= 2 else left + half - px(8)
            line = baseline(y + (i % 2) * px(MONEY_ROW), px(MONEY_ROW), "label")
            if sign:
                middle = line - theme.metrics("label").capHeight() / 2
                at = QPointF(painter.left(x + px(5)), middle)
                paint_circle(painter.qt_painter, at, px(4), sign, colours.ink2, colours.side)
            is_over = label == "over"
            wide = max(widths[2:] if i >= 2 else widths[:2])
            colour = colours.watch if is_over else colours.ink
            figure = painter.figure(end, wide, line, amount, "label_strong", colour)
            room = end - (wide if painter.mirrored else figure) - x - px(20)
            painter.text(x + px(16), line, label, "label", colours.ink2, room=room)

        if costs.left_out:
            line = baseline(y + 2 * px(MONEY_ROW), px(MONEY_ROW), "label")
            painter.text(left, line, costs.left_out, "label", colours.ink, room=right - left)

    def _paint_folded_money(self, painter: Painter, forecast: Forecast) -> None:
        """Write the money in one line at the foot."""
        top, costs = self._tops["money"], forecast.costs
        rule(painter, top)
        line = baseline(top + px(4), px(FOOT) - px(8), "body")
        left, right = px(MARGIN), painter.width - px(MARGIN)
        width = painter.text(left, line, self.money, "figure", painter.theme.ink)
        text = f"{cap_words(costs, self._measures)} {costs.left_out}".rstrip()
        x = left + width + px(6)
        painter.text(x, line, text, "body", painter.theme.ink2, room=right - x)

    def _paint_heading(self, painter: Painter, forecast: Forecast) -> None:
        top = self._tops["checks"]
        rule(painter, top)
        x = float(px(MARGIN))
        line = baseline(top + px(8), px(28), "heading")
        found = summary(forecast.checks)
        if not found:
            painter.text(x, line, "nothing in the way", "heading", painter.theme.ink)
        for i, (text, level) in enumerate(found):
            if i:
                x += painter.text(x, line, " · ", "view", painter.theme.ink2)
            is_bad = level in (Level.STOP, Level.WARN)
            colour = theme.sign_colour(level, painter.theme)
            x += painter.text(x, line, text, "heading" if is_bad else "view", colour)

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip:
            return show_help(event, self.rows, self._tops["rows"], self)
        return super().event(event)
