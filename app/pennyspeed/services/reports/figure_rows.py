"""Figure rows: labels and figures of the whole car, as texts."""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.glossary import explain
from pennyspeed.domain.units import CM2, MM, RPM, G
from pennyspeed.physics.results import PowerBooks
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.reports.answer import motor_rise, runs_from_pack


@dataclass(frozen=True, slots=True)
class FigureRow:
    """A label, its figure, and one line that explains the term.

    Attributes
    ----------
    ring : bool
        A ring stands before it: it is of the part that is tried, not of the build.
    """

    label: str
    figure: str
    help: str = ""
    ring: bool = False


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
    if prediction.balance_speed > 0.0:
        turns = number(round(RPM.from_si(prediction.road_motor_speed), -2))
        rows.append(_explained("motor on this road", f"{turns} rpm"))
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
