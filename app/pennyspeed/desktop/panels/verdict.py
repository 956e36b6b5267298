"""The verdict: how fast, how sure, how much, what is wrong."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtCore import QEvent, QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QHelpEvent, QPainter, QPaintEvent, QPen, QResizeEvent
from PySide6.QtWidgets import QToolTip, QWidget

from pennyspeed.desktop import theme
from pennyspeed.desktop.panels.checks import ChecksModel, ChecksView, summary
from pennyspeed.desktop.panels.gauge import CapBar, SpeedGauge
from pennyspeed.desktop.panels.next_step import NextStepLine
from pennyspeed.desktop.plots.limits import BRAKING, stretches
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.sheet import RIGHT, Sheet, baseline, fitted
from pennyspeed.desktop.theme import px
from pennyspeed.domain.checks import Level
from pennyspeed.domain.costs import Costs
from pennyspeed.domain.glossary import explain
from pennyspeed.domain.measures import Measures, say_chance
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import LIMIT_NAMES
from pennyspeed.physics.results import PowerBooks
from pennyspeed.services.forecast import Forecast
from pennyspeed.services.report import held_back_by

MARGIN = 24
ROW, MONEY_ROW = 24, 20
SPEED_BOTTOM, GAUGE = 92, 48
NO_FIGURE = "–"

PROVENANCE_WORDS = {
    "measured": "measured",
    "maker": "maker’s figure",
    "estimated": "estimated",
    "guessed": "guessed",
}


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the verdict."""

    label: str
    figure: str
    help: str = ""
    ring: bool = False


def speed_text(forecast: Forecast | None, measures: Measures) -> str:
    """Return the speed in this road, without its unit."""
    if forecast is None or forecast.prediction is None:
        return NO_FIGURE
    return measures.number(measures.shown(KMH.from_si(forecast.prediction.road_speed), KMH))


def held_by(forecast: Forecast, measures: Measures) -> str:
    """Return what holds the car back, and from where on."""
    prediction = forecast.prediction
    assert prediction is not None
    what = held_back_by(prediction).split(":")[0]
    pieces = [p for p in stretches(prediction) if p.limit != BRAKING]
    at_top = prediction.at_top
    if not pieces or at_top is None or pieces[-1].start <= 0:
        return what
    limit = LIMIT_NAMES[at_top.limit]
    if pieces[-1].limit == limit and what.endswith(limit):
        return f"{what}, from {measures.road(pieces[-1].start)}"
    return what


def verdict_rows(
    forecast: Forecast | None, measures: Measures, trial: Forecast | None, tried: str
) -> list[Row]:
    """Return the lines below the speed."""
    if forecast is None or forecast.prediction is None:
        return []
    rows = []
    band, target = forecast.band, forecast.build.target_kmh
    if band is not None:
        low = measures.number(measures.shown(KMH.from_si(band.p10), KMH))
        high = measures.speed(KMH.from_si(band.p90))
        help = explain("likely range")
        rows.append(Row("likely range, 8 in 10", f"{low} to {high}", help))
        if band.chance is not None and target is not None:
            goal = measures.number(measures.shown(target, KMH))
            help = explain("chance of the target")
            rows.append(Row(f"chance of {goal}", say_chance(band.chance), help))
    help = explain("held back by")
    rows.append(Row("held back by", held_by(forecast, measures), help))
    if trial is not None and trial.prediction is not None:
        figure = speed_text(trial, measures)
        if trial.band is not None and trial.band.chance is not None:
            figure += f", {say_chance(trial.band.chance)}"
        rows.append(Row(f"with {tried}", figure, "The part that the shelf stands on.", ring=True))
    return rows


def money_rows(costs: Costs, measures: Measures) -> list[tuple[str, str, str]]:
    """Return sign, label and amount of the lines below the bar."""
    rows = [
        ("full", "received", measures.money(costs.received, False)),
        ("half", "ordered", measures.money(costs.ordered, False)),
        ("open", "planned", measures.money(costs.planned, False)),
    ]
    if costs.left is not None:
        over = costs.left.minor < 0
        amount = measures.money(-costs.left if over else costs.left, False)
        rows.append(("", "over" if over else "left", amount))
    elif costs.uncounted.minor:
        rows.append(("", "not counted", measures.money(costs.uncounted, False)))
    return rows


def power_rows(books: PowerBooks, measures: Measures) -> list[tuple[str, str, float]]:
    """Return where the power at top speed goes: label, figure and share, largest first."""
    watts = {
        "air": float(books.drag),
        "motor": float(books.winding) + float(books.no_load),
        "gears": float(books.gears),
        "rolling": float(books.rolling),
        "pack and controller": float(books.pack) + float(books.controller),
        "slope": float(books.grade),
    }
    whole = sum(value for value in watts.values() if value > 0) or 1.0
    found = [(name, value) for name, value in watts.items() if value > 0.005 * whole]
    found.sort(key=lambda pair: -pair[1])
    return [(name, f"{measures.number(value)} W", value / whole) for name, value in found]


class VerdictPanel(QWidget):
    """Speed, gauge, money, bar, checks, and where there is room the reasons.

    Parameters
    ----------
    session : Session
    """

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.gauge = SpeedGauge(self)
        self.bar = CapBar(self)
        self.model = ChecksModel(self)
        self.checks = ChecksView(self.model, self)
        self.next = NextStepLine(session, self)
        self._rows: list[Row] = []
        self._tops = {"rows": 0, "money": 0, "checks": 0, "band": 0, "power": 0}
        self._ends = 0
        self.checks.slot_wanted.connect(session.choose_slot)
        self.next.changed.connect(self._lay_out)
        session.build_changed.connect(self.refresh)
        session.tried_changed.connect(self._refresh_trial)
        session.measures_changed.connect(self.refresh)
        self.setAccessibleName("verdict")
        self.restyle()

    def restyle(self) -> None:
        """Take up another theme or text size."""
        self.checks.lay_out()
        self.next.restyle()
        self._lay_out()
        self.update()

    # What it says ---------------------------------------------------------------------------

    @property
    def speed(self) -> str:
        """The large figure."""
        return speed_text(self._session.forecast, self._session.measures)

    @property
    def rows(self) -> list[Row]:
        """The lines below the speed."""
        return self._rows

    @property
    def money(self) -> str:
        """The other large figure."""
        forecast = self._session.forecast
        if forecast is None:
            return NO_FIGURE
        return self._session.measures.money(forecast.costs.counted, currency=False)

    def refresh(self) -> None:
        """Take the forecast from the session."""
        session = self._session
        forecast = session.forecast
        if forecast is not None:
            self.model.show(forecast.checks)
            self.checks.lay_out()
        self._refresh_trial()

    def _refresh_trial(self) -> None:
        session = self._session
        forecast, name = session.forecast, session.tried_name
        self._rows = verdict_rows(forecast, session.measures, session.trial, name)
        if forecast is not None:
            trial = session.trial.costs if session.trial is not None else None
            self.bar.show_costs(forecast.costs, session.measures, trial)
            self.gauge.show_forecast(forecast, session.measures, session.trial)
        self._lay_out()
        self.setAccessibleDescription(self._said())
        self.update()

    def _said(self) -> str:
        session = self._session
        if session.forecast is None:
            return ""
        said = [f"{self.speed} {session.measures.speed_unit.symbol} in this road"]
        said += [f"{row.label} {row.figure}" for row in self._rows]
        said.append(f"{self.money} {session.forecast.build.currency}")
        return "; ".join(said)

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
        top += px(ROW) * 4 + px(8)
        self._tops["money"] = top
        top += px(16) + px(44)
        self.bar.setGeometry(left, top, width, px(24))
        top += px(24) + px(8) + px(MONEY_ROW) * 2 + px(12)
        self._tops["checks"] = top
        top += px(8) + px(32)
        band, power, step = self._band_height(), self._power_height(), self.next.needed()
        room = self.height() - top - step
        needed = self.checks.needed()
        has_band = band > 0 and room >= needed + band
        has_power = has_band and power > 0 and room >= needed + band + power
        high = min(needed, room) if has_band else max(room - px(8), 0)
        self.checks.setGeometry(0, top, self.width(), high)
        top += high + px(8)
        self.next.setGeometry(0, top, self.width(), step)
        top += step + px(8)
        self._tops["band"] = top if has_band else 0
        self._tops["power"] = top + band if has_power else 0

    def _band_height(self) -> int:
        forecast = self._session.forecast
        shares = forecast.band.shares if forecast is not None and forecast.band is not None else ()
        return px(16) + px(32) + px(32) * len(shares) + px(8) if shares else 0

    def _power(self) -> list[tuple[str, str, float]]:
        forecast = self._session.forecast
        if forecast is None or forecast.prediction is None or forecast.prediction.at_top is None:
            return []
        return power_rows(forecast.prediction.at_top.books, self._session.measures)

    def _power_height(self) -> int:
        rows = self._power()
        return px(16) + px(32) + px(24) + px(24) * len(rows) + px(8) if rows else 0

    # Painting -------------------------------------------------------------------------------

    def paintEvent(self, event: QPaintEvent) -> None:
        painter = QPainter(self)
        sheet = Sheet(painter, self.width(), self)
        painter.fillRect(event.rect(), sheet.theme.side)
        forecast = self._session.forecast
        if forecast is not None:
            self._paint_speed(sheet, forecast)
            self._paint_rows(sheet)
            self._paint_money(sheet, forecast)
            self._paint_heading(sheet, forecast)
            if self._tops["band"]:
                self._paint_band(sheet, forecast)
            if self._tops["power"]:
                self._paint_power(sheet, forecast)
        painter.end()

    def _paint_speed(self, sheet: Sheet, forecast: Forecast) -> None:
        colours, left, bottom = sheet.theme, px(MARGIN), px(SPEED_BOTTOM)
        if forecast.prediction is None:
            missing = forecast.build.empty_slots
            why = f"no {missing[0]} yet" if missing else "nothing in it has a mass"
            sheet.text(left, bottom - px(26), "no speed yet", "unit", colours.ink)
            room = sheet.width - 2 * left
            sheet.text(left, bottom - px(4), why, "label", colours.ink2, room=room)
            return
        # The first digit's own white space would push the figure in from the margin.
        width = sheet.text(left - px(3), bottom - px(4), self.speed, "speed", colours.ink)
        x = left + width + px(10)
        unit = self._session.measures.speed_unit.symbol
        sheet.text(x, bottom - px(26), unit, "unit", colours.ink)
        room = sheet.width - x - px(8)
        sheet.text(x, bottom - px(4), "in this road", "label", colours.ink2, room=room)

    def _paint_rows(self, sheet: Sheet) -> None:
        colours = sheet.theme
        left, right = px(MARGIN), sheet.width - px(MARGIN)
        top = self._tops["rows"]
        for row in self._rows:
            line = baseline(top, px(ROW), "body")
            figure = fitted(row.figure, "figure", right - left)
            sheet.text(right, line, row.figure, "figure", colours.ink, RIGHT, right - left)
            x = left
            if row.ring:
                middle = line - theme.metrics("body").capHeight() / 2
                self._ring(sheet, left + px(5), middle)
                x += px(16)
            room = right - figure.width - px(8) - x
            sheet.text(x, line, row.label, "body", colours.ink2, room=room)
            top += px(ROW)

    @staticmethod
    def _ring(sheet: Sheet, x: float, y: float) -> None:
        painter = sheet.painter
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(sheet.theme.ink, 1.5 * px(100) / 100))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        painter.drawEllipse(QPointF(sheet.left(x), y), px(4), px(4))
        painter.restore()

    def _rule(self, sheet: Sheet, y: float) -> None:
        sheet.fill(px(MARGIN), y, sheet.width - 2 * px(MARGIN), 1, sheet.theme.rule)

    def _paint_money(self, sheet: Sheet, forecast: Forecast) -> None:
        colours, measures, costs = sheet.theme, self._session.measures, forecast.costs
        left, right, top = px(MARGIN), sheet.width - px(MARGIN), self._tops["money"]
        self._rule(sheet, top)
        line: float = top + px(16) + px(30)
        width = sheet.text(left, line, self.money, "money", colours.ink)
        if costs.cap is None:
            text = f"{costs.counted.currency}, no cap"
        else:
            text = f"of {measures.money(costs.cap)}"
        room = right - left - width - px(8)
        sheet.text(left + width + px(8), line, text, "body", colours.ink2, room=room)
        y = top + px(16) + px(44) + px(24) + px(8)
        half = (right - left) / 2
        for i, (sign, label, amount) in enumerate(money_rows(costs, measures)):
            x = left + (half + px(8) if i >= 2 else 0)
            end: float = right if i >= 2 else left + half - px(8)
            line = baseline(y + (i % 2) * px(MONEY_ROW), px(MONEY_ROW), "label")
            if sign:
                middle = line - theme.metrics("label").capHeight() / 2
                self._status(sheet, sign, x + px(5), middle)
            is_over = label == "over"
            role = "label_strong"
            figure = sheet.text(
                end, line, amount, role, colours.watch if is_over else colours.ink, RIGHT
            )
            room = end - figure - x - px(20)
            sheet.text(x + px(16), line, label, "label", colours.ink2, room=room)

    @staticmethod
    def _status(sheet: Sheet, sign: str, x: float, y: float) -> None:
        """Draw the circle that says how far a thing is: open, half, full."""
        painter, radius = sheet.painter, px(4)
        box = QRectF(sheet.left(x) - radius, y - radius, 2 * radius, 2 * radius)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(sheet.theme.ink2, 1.25 * px(100) / 100))
        painter.setBrush(sheet.theme.ink2 if sign == "full" else Qt.BrushStyle.NoBrush)
        painter.drawEllipse(box)
        if sign == "half":
            painter.setBrush(sheet.theme.ink2)
            painter.drawPie(box, 90 * 16, 180 * 16)
        painter.restore()

    def _paint_heading(self, sheet: Sheet, forecast: Forecast) -> None:
        top = self._tops["checks"]
        self._rule(sheet, top)
        x = float(px(MARGIN))
        line = baseline(top + px(8), px(28), "heading")
        found = summary(forecast.checks)
        if not found:
            sheet.text(x, line, "nothing in the way", "heading", sheet.theme.ink)
        for i, (text, level) in enumerate(found):
            if i:
                x += sheet.text(x, line, " · ", "view", sheet.theme.ink2)
            is_bad = level in (Level.STOP, Level.WARN)
            colour = theme.sign_colour(level, sheet.theme)
            x += sheet.text(x, line, text, "heading" if is_bad else "view", colour)

    def _paint_band(self, sheet: Sheet, forecast: Forecast) -> None:
        assert forecast.band is not None
        colours = sheet.theme
        left, right, top = px(MARGIN), sheet.width - px(MARGIN), self._tops["band"]
        self._rule(sheet, top)
        line = baseline(top + px(12), px(24), "heading")
        sheet.text(left, line, "What makes the range wide", "heading", colours.ink)
        top += px(16) + px(28)
        for share in forecast.band.shares:
            line = baseline(top, px(22), "body")
            percent = f"{100 * share.share:.0f} %"
            figure = sheet.text(right, line, percent, "figure", colours.ink, RIGHT)
            source = PROVENANCE_WORDS.get(share.provenance, share.provenance)
            end = right - max(figure, px(40)) - px(8)
            width = sheet.text(end, line, source, "label", colours.ink2, RIGHT)
            room = end - width - px(8) - left
            sheet.text(left, line, share.label, "body", colours.ink, room=room)
            sheet.fill(left, top + px(23), right - left, 1, colours.rule)
            sheet.fill(left, top + px(22), share.share * (right - left), px(3), colours.ink2)
            top += px(32)

    def _paint_power(self, sheet: Sheet, forecast: Forecast) -> None:
        prediction = forecast.prediction
        assert prediction is not None
        assert prediction.at_top is not None
        colours, measures = sheet.theme, self._session.measures
        left, right, top = px(MARGIN), sheet.width - px(MARGIN), self._tops["power"]
        self._rule(sheet, top)
        rows = self._power()
        watts = measures.number(float(prediction.at_top.books.source))
        title = f"Where {watts} W go at {measures.speed(KMH.from_si(prediction.top_speed))}"
        line = baseline(top + px(12), px(24), "heading")
        sheet.text(left, line, title, "heading", colours.ink, room=right - left)
        top += px(16) + px(28)
        x = float(left)
        for i, (_, _, share) in enumerate(rows):
            width = max(round(share * (right - left)) - 1, 1)
            self._piece(sheet, QRectF(x, top, width, px(14)), i)
            x += width + 1
        top += px(22)
        for i, (label, figure, _) in enumerate(rows):
            line = baseline(top, px(24), "body")
            self._piece(sheet, QRectF(left, top + px(7), px(14), px(10)), i)
            sheet.text(left + px(24), line, label, "body", colours.ink2)
            sheet.text(right, line, figure, "figure", colours.ink, RIGHT)
            top += px(24)

    @staticmethod
    def _piece(sheet: Sheet, box: QRectF, which: int) -> None:
        """Fill a piece so that neighbours differ without colour."""
        patterns = (
            Qt.BrushStyle.SolidPattern,
            Qt.BrushStyle.BDiagPattern,
            Qt.BrushStyle.Dense6Pattern,
            Qt.BrushStyle.NoBrush,
            Qt.BrushStyle.HorPattern,
            Qt.BrushStyle.FDiagPattern,
        )
        box.moveLeft(sheet.left(box.left(), box.width()))
        painter = sheet.painter
        painter.save()
        painter.setPen(sheet.theme.ink2)
        painter.setBrush(QBrush(sheet.theme.ink2, patterns[which % len(patterns)]))
        painter.drawRect(box.adjusted(0.5, 0.5, -0.5, -0.5))
        painter.restore()

    def event(self, event: QEvent) -> bool:
        if event.type() == QEvent.Type.ToolTip:
            assert isinstance(event, QHelpEvent)
            place = (event.pos().y() - self._tops["rows"]) // px(ROW)
            if 0 <= place < len(self._rows):
                QToolTip.showText(event.globalPos(), self._rows[place].help, self)
                return True
        return super().event(event)
