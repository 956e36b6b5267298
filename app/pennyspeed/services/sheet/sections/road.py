"""Sections for the road: how fast, the curve, before each run, the run log."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from pennyspeed.domain.conditions import CONDITIONS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import KMH
from pennyspeed.physics.car import FloatArray
from pennyspeed.services.charts.axes import decimals, round_step, thinned, ticks
from pennyspeed.services.charts.road_curves import late_curve, speed_curve
from pennyspeed.services.editing.build_fields import condition_text
from pennyspeed.services.prediction.comparison import LETTERS
from pennyspeed.services.prediction.forecast import Forecast
from pennyspeed.services.prediction.limits import REACTION, RESERVE, said, stretches
from pennyspeed.services.prediction.margin import distances, late_row
from pennyspeed.services.reports.report import (
    held_back_by,
    says_band,
    says_range,
    says_road,
    says_run,
    says_speed,
    says_width,
)
from pennyspeed.services.sheet.choices import RUN_DAY
from pennyspeed.services.sheet.curves import Axis, Band, Curve, Level, Mark, Plot, Stretch
from pennyspeed.services.sheet.document import (
    BIG,
    END,
    NOTE,
    Blanks,
    Block,
    Cell,
    Column,
    Item,
    Items,
    Paragraph,
    Section,
    Table,
)
from pennyspeed.services.sheet.sheet_source import NOW, SheetSource

STYLES = ("now", "second", "third", "fourth")
BLANKS = ("date", "place", "driver", "marshal", "air °C", "wind", "surface", "pack")

_ALWAYS = ("road_m", "air_temperature_c", "head_wind_kmh", "slope_percent")
_CURVE_POINTS, _BAND_POINTS = 160, 60
_X_STEPS, _Y_STEPS = 11, 7
_NEIGHBOURS = 2
_PAST_END = 1.1
"""How far the axis goes on past the road's end, over the road, where a late lift does."""


def speed(matter: SheetSource, title: str) -> Section:
    """Return the speed, with its band and chance in one sentence, and what it was worked out for.

    A car that is not whole says what is missing.
    """
    forecast, measures = matter.forecast, matter.measures
    found = forecast.prediction
    if found is None:
        missing = ", ".join(forecast.build.empty_slots)
        why = f"still missing: {missing}" if missing else "nothing in it has a mass"
        return Section("speed", title, (Paragraph(f"Cannot be said yet; {why}."),))
    road = measures.road(forecast.build.condition("road_m"))
    blocks: list[Block] = [Paragraph(says_speed(forecast, measures), BIG)]
    if forecast.band is not None:
        blocks.append(Paragraph(f"In {road} of road, {says_band(forecast, measures)}."))
    top = measures.speed_toward(KMH.from_si(found.top_speed), forecast.build.target_kmh)
    texts = [f"Held back by {held_back_by(found)}. On a road without an end {top}."]
    if found.balance_speed > 0.0:
        text = says_run(forecast, measures)
        texts.append(f"{text[:1].upper()}{text[1:]}.")
    late = late_row(forecast, measures)
    if late is not None:
        dashed = " (dashed)" if len(matter.named) == 1 else ""
        texts.append(f"{late.phrase[:1].upper()}{late.phrase[1:]}{dashed}.")
    blocks.append(Paragraph(" ".join(texts)))
    width = says_width(forecast)
    wide = f"Made wide by {width}. " if width else ""
    blocks.append(Paragraph(f"{wide}Worked out for {_conditions(matter)}.", NOTE))
    return Section("speed", title, tuple(blocks))


def _conditions(matter: SheetSource) -> str:
    """Return the conditions that a person meets at the road, and others where they were given."""
    values = [(one, matter.build.condition(one.key)) for one in CONDITIONS]
    return ", ".join(
        f"{one.label} {condition_text(one, value, matter.measures)}"
        for one, value in values
        if one.key in _ALWAYS or value != one.default
    )


def road(matter: SheetSource, title: str) -> Section:
    """Return the curve of speed over the road, of every build that is on the sheet."""
    measures = matter.measures
    moving = [(name, one) for name, one in matter.named if speed_curve(one, measures) is not None]
    if not moving:
        return Section("road", title, (Paragraph("There is no curve: the car does not move yet."),))
    return Section("road", title, (_plot(matter, moving),))


def _plot(matter: SheetSource, moving: Sequence[tuple[str, Forecast]]) -> Plot:
    measures = matter.measures
    many = len(moving) > 1
    curves = [
        _curve(one, measures, STYLES[i], f"{LETTERS[i]}  {name}" if many else "")
        for i, (name, one) in enumerate(moving)
    ]
    forecast = moving[0][1]
    alone = not many and forecast is matter.forecast
    band = _band(forecast, measures) if alone else None
    fastest = max([max(curve.ys) for curve in curves] + ([max(band.high)] if band else []))
    levels = _levels(matter.build.target_kmh, fastest, measures)
    top = max([fastest, *(level.y for level in levels)])
    y_step = round_step(1.06 * top, _Y_STEPS)
    high = y_step * math.ceil(1.06 * top / y_step - 1e-9)
    longest = max(
        *(max(curve.xs) for curve in curves),
        *(one.build.condition("road_m") / measures.road_unit.factor for _, one in moving),
    )
    alternative = "; ".join(
        (f"{name}: " if many else "") + ", ".join(says_road(one, measures)) for name, one in moving
    )
    late = late_curve(forecast, measures) if alone else None
    end = None
    if late is not None and len(late.beyond[0]):
        end = forecast.build.condition("road_m") / measures.road_unit.factor
        longest = max(longest, float(late.beyond[0][-1]), _PAST_END * end)
    if late is not None:
        lines = (late.road, "late"), (late.beyond, "off")
        curves += [Curve(_told(xs), _told(ys), style) for (xs, ys), style in lines if len(xs)]
    x_step = round_step(longest, _X_STEPS)
    return Plot(
        alternative=f"Speed over the road: {alternative}.",
        x=_axis(f"road, {measures.road_unit.symbol}", longest, x_step, measures),
        y=_axis(f"speed, {measures.speed_unit.symbol}", high, y_step, measures),
        curves=tuple(curves),
        band=band,
        levels=levels,
        marks=_marks(forecast, measures) if alone else (),
        end=end,
        stretches=_stretches(forecast, measures) if alone else (),
        height=matter.look.sizes.plot_mm,
    )


def _axis(title: str, high: float, step: float, measures: Measures) -> Axis:
    places = decimals(step)
    return Axis(
        title,
        0.0,
        high,
        tuple((value, measures.number(value, places)) for value in ticks(0.0, high, step)),
    )


def _point(forecast: Forecast, measures: Measures) -> tuple[float, float]:
    found = forecast.prediction
    assert found is not None
    road, speed = measures.road_unit.factor, measures.speed_unit.factor
    return found.lift_at / road, found.road_speed / speed


def _marks(forecast: Forecast, measures: Measures) -> tuple[Mark, ...]:
    """Return where the driver decides and where the throttle is off; where that is one, that."""
    found, planned = forecast.prediction, distances(forecast, measures)
    assert found is not None
    off, speed = planned.said(planned.throttle_off), says_speed(forecast, measures)
    stop = planned.said(planned.braking)
    lift = _point(forecast, measures)
    if not planned.reaction:
        return (Mark(*lift, f"{speed}, lift at {off}, stop in {stop}"),)
    place = found.marker_at / measures.road_unit.factor
    marker = Mark(
        place,
        found.marker_speed / measures.speed_unit.factor,
        f"{speed}, lift marker at {planned.said(planned.marker)}",
    )
    return marker, Mark(*lift, f"throttle off at {off}", is_full=True)


def _curve(forecast: Forecast, measures: Measures, style: str, label: str) -> Curve:
    points = speed_curve(forecast, measures)
    assert points is not None
    lift, _ = _point(forecast, measures)
    xs, ys = thinned(*points, _CURVE_POINTS, lift)
    return Curve(_told(xs), _told(ys), style, label)


def _band(forecast: Forecast, measures: Measures) -> Band | None:
    band = forecast.band
    if band is None:
        return None
    xs = band.distance / measures.road_unit.factor
    picked = np.unique(np.linspace(0, len(xs) - 1, _BAND_POINTS).round().astype(int))
    low, high = (one[picked] / measures.speed_unit.factor for one in (band.low, band.high))
    return Band(_told(xs[picked]), _told(low), _told(high))


def _told(values: FloatArray) -> tuple[float, ...]:
    """Return values to a thousandth: no printer shows more."""
    return tuple(round(float(value), 3) for value in values)


def _levels(target_kmh: float | None, fastest: float, measures: Measures) -> tuple[Level, ...]:
    """Return the target as a line, unless it lies so high that it would flatten the curve."""
    if target_kmh is None:
        return ()
    shown = measures.shown(target_kmh, KMH)
    return (Level(shown, f"target {measures.target(target_kmh)}"),) if shown < 2 * fastest else ()


def _stretches(forecast: Forecast, measures: Measures) -> tuple[Stretch, ...]:
    found, planned = forecast.prediction, distances(forecast, measures)
    assert found is not None
    unit = measures.road_unit.factor
    shortest = {REACTION: measures.number(planned.reaction)}
    shortest[RESERVE] = measures.number(planned.reserve)
    return tuple(
        Stretch(
            one.start / unit,
            one.end / unit,
            (*said(forecast.build, one.limit, measures), shortest.get(one.limit, one.limit)),
        )
        for one in stretches(found, forecast.build.condition("reserve_m"))
    )


def before(matter: SheetSource, title: str) -> Section:
    """Return the list to tick before each run."""
    texts = matter.choices.before or matter.look.before
    items = tuple(Item(text) for text in texts)
    return Section("before", title, (Items(items, boxes=True, columns=2),))


def runs(matter: SheetSource, title: str) -> Section:
    """Return the log: planned set-ups with what is predicted of each, and rows to fill in."""
    measures, look = matter.measures, matter.look
    count = look.run_day_rows if matter.choices.kind == RUN_DAY else look.log_rows
    blanks = (Cell(),) * len(look.log_columns)
    rows = [(Cell(name), Cell(predicted), *blanks) for name, predicted in set_ups(matter)]
    rows += [(Cell(), Cell(), *blanks)] * max(0, count - len(rows))
    table = Table(
        "Run log: planned set-ups with the predicted speed, the other columns to fill in by hand",
        (
            Column("set-up", share=1.0),
            Column(f"predicted, {measures.speed_unit.symbol}", END),
            *(
                Column(one, share=3.0 if place == len(look.log_columns) - 1 else 1.0)
                for place, one in enumerate(look.log_columns)
            ),
        ),
        tuple(rows),
        writing=True,
    )
    return Section("runs", title, (Blanks(BLANKS), table))


def set_ups(matter: SheetSource) -> list[tuple[str, str]]:
    """Return the planned set-ups and the speed predicted of each, likely range in brackets.

    They are the build, those beside it, and the next pinions that mesh.
    """
    measures = matter.measures
    found = [
        (_pair(one) or name if name == NOW else name, _predicted(one, measures))
        for name, one in matter.named
    ]
    chart = matter.chart
    if chart is None or chart.now is None:
        return found
    row, column = chart.now
    near = sorted(
        (i for i in range(len(chart.pinions)) if i != row and chart.fits[i, column]),
        key=lambda i: abs(i - row),
    )[:_NEIGHBOURS]
    for i in sorted(near):
        speed = float(chart.speed[i, column])
        if not math.isnan(speed):
            teeth = f"pinion {chart.pinions[i].number('teeth'):.0f}"
            goal = matter.build.target_kmh
            found.append((teeth, measures.speed_toward(KMH.from_si(speed), goal, unit=False)))
    return found


def _pair(forecast: Forecast) -> str:
    pinion, spur = (forecast.build.part(slot) for slot in ("pinion", "spur"))
    if pinion is None or spur is None:
        return ""
    return f"as planned, {pinion.number('teeth'):.0f}/{spur.number('teeth'):.0f}"


def _predicted(forecast: Forecast, measures: Measures) -> str:
    if forecast.prediction is None:
        return ""
    text = says_speed(forecast, measures, unit=False)
    band = forecast.band
    return text if band is None else f"{text} ({says_range(band, measures, unit=False)})"
