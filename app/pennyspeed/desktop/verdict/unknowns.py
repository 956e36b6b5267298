"""The biggest unknowns and what would narrow them, in place of money and checks, which it folds."""

from __future__ import annotations

from PySide6.QtGui import QPaintEvent, QResizeEvent, QShowEvent
from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.session import Session
from pennyspeed.desktop.verdict.narrowing import Narrowings, NarrowingView
from pennyspeed.desktop.verdict.reasons import (
    LOOKING,
    MARGIN,
    paint_unknowns,
    rule,
    unknowns_height,
)
from pennyspeed.desktop.widgets.painter import baseline, painting, wrapped
from pennyspeed.desktop.widgets.scaled import Scaled
from pennyspeed.desktop.widgets.theme import px, words
from pennyspeed.domain.checks import Level
from pennyspeed.domain.units import KMH
from pennyspeed.services.reports.check_rows import gathered, summary

HEAD, FOOT, LINE = 44, 36, 20


class UnknownsPanel(Scaled, QWidget):
    """What is known least, what to measure, and at the foot money and checks in one line."""

    def __init__(self, session: Session, parent: QWidget) -> None:
        super().__init__(parent)
        self._session = session
        self.narrowings = Narrowings(session, self)
        self.view = NarrowingView(self)
        self.setAccessibleName("biggest unknowns")
        self.narrowings.answered.connect(self.refresh)
        session.bench.build_changed.connect(self._changed)
        session.bench.measures_changed.connect(self._changed)
        session.bench.unknowns_found.connect(self._changed)
        self.hide()

    @property
    def stops(self) -> list[str]:
        """Sentences of what stops the car: never folded away."""
        forecast = self._session.bench.forecast
        if forecast is None:
            return []
        return [one.text for one in gathered(forecast.checks) if one.level is Level.STOP]

    @property
    def folded(self) -> str:
        """Money and checks in one line."""
        forecast, measures = self._session.bench.forecast, self._session.bench.measures
        if forecast is None:
            return ""
        costs = forecast.costs
        money = measures.money(costs.counted, currency=costs.cap is None)
        if costs.cap is not None:
            money = f"{money} of {measures.money(costs.cap)}"
        money = f"{money} {costs.left_out}".rstrip()
        checks = [text for text, _ in summary(forecast.checks)]
        return " · ".join([money, *(checks or ["nothing in the way"])])

    def _changed(self) -> None:
        if self.isVisible():
            self.refresh()

    def refresh(self) -> None:
        """Show what is known of the build shown, and ask for the rest."""
        self.narrowings.ask()
        forecast, measures = self._session.bench.forecast, self._session.bench.measures
        band = None if forecast is None else forecast.band
        rows = self.narrowings.rows if self.narrowings.is_current else []
        self.view.show_rows(rows, band, measures.shown(1.0, KMH))
        self.setAccessibleDescription(self.folded)
        self.rescale()

    def rescale(self) -> None:
        top = unknowns_height(self._session.bench.forecast) + px(HEAD)
        bottom = px(FOOT) + px(LINE) * len(self._stop_lines())
        self.view.setGeometry(0, top, self.width(), max(self.height() - top - bottom, 0))
        self.view.rescale()
        self.update()

    def _stop_lines(self) -> list[str]:
        room = self.width() - 2 * px(MARGIN) - px(24)
        return [line for text in self.stops for line in wrapped(text, "label_strong", room)]

    def resizeEvent(self, event: QResizeEvent) -> None:
        self.rescale()

    def showEvent(self, event: QShowEvent) -> None:
        super().showEvent(event)
        self.refresh()

    def paintEvent(self, event: QPaintEvent) -> None:
        forecast = self._session.bench.forecast
        with painting(self, "side") as painter:
            colours, left = painter.theme, px(MARGIN)
            top = unknowns_height(forecast)
            if forecast is not None and top:
                paint_unknowns(painter, forecast, 0)
            rule(painter, top)
            line = baseline(top + px(8), px(28), "heading")
            painter.text(left, line, "What would narrow it most", "heading", colours.ink)
            if not self.view.rows_model.rows:
                line = baseline(top + px(HEAD), px(28), "label")
                is_whole = forecast is not None and forecast.band is not None
                said = LOOKING if is_whole else "once the car is whole"
                painter.text(left, line, said, "label", colours.ink2)
            stops = self._stop_lines()
            y = self.height() - px(FOOT) - px(LINE) * len(stops)
            rule(painter, y)
            for i, text in enumerate(stops):
                if i == 0:
                    painter.sign(left, y + px(4), px(16), Level.STOP)
                line = baseline(y + px(2), px(LINE), "label_strong")
                painter.text(left + px(24), line, text, "label_strong", colours.stop)
                y += px(LINE)
            line = baseline(y, px(FOOT), "label")
            room = self.width() - 2 * left
            role = "label" if words(self.folded, "label").width <= room else "small"
            painter.text(left, line, self.folded, role, colours.ink2, room=room)
