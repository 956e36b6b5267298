"""Report: one build's forecast as text for the terminal, in the person's units."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator

from pennyspeed.domain.checks import Level
from pennyspeed.domain.checks.limits import rest_minutes
from pennyspeed.domain.measures import METRIC, Measures, say_chance
from pennyspeed.domain.money.costs import Costs
from pennyspeed.domain.units import AMPERE, CELSIUS, KG, KMH, MAH, MM, WATT
from pennyspeed.physics.car import LIMIT_NAMES
from pennyspeed.physics.results import LateLift, Prediction
from pennyspeed.services.prediction.forecast import Band, Forecast, with_unknowns
from pennyspeed.services.prediction.limits import (
    BRAKING,
    OF_THE_DRIVER,
    REACTION,
    RESERVE,
    said,
    stretches,
)
from pennyspeed.services.prediction.margin import Distances, distances, late_row
from pennyspeed.services.reports.answer import motor_rise, runs_from_pack

WIDTH = 78
_LABEL = 11

HELD_BACK_BY = {
    "voltage": "voltage: the motor has no more turns to give",
    "current": "current: the rating of controller or motor is reached",
    "pack": "the pack: it gives no more than its burst rating",
    "grip": "grip: the tyres pass no more push",
    "driver": "the driver: no more push is allowed",
}
"""What each limit means, to follow 'held back by'."""

HEADINGS = {Level.STOP: "Stop", Level.WARN: "Watch", Level.UNKNOWN: "Not known"}

CAUTIONS = (
    "Take care: charge lithium packs watched and where nothing can burn; keep away from "
    "spinning motors and wheels; tyres can burst beyond their rating. Where such a car may run is "
    "for local law to say. These figures are worked out, not measured."
)

_ROAD_ENDS_IT = 0.99
"""Below this share of the balance speed it is the road that holds the car back."""


def held_back_by(prediction: Prediction) -> str:
    """Say in words what holds the car back: its limit at top speed, or the road before that."""
    at_top = prediction.at_top
    if at_top is None:
        return "a push too weak to move it off"
    if prediction.road_speed < _ROAD_ENDS_IT * prediction.balance_speed:
        return "the road: it ends before the car has its speed"
    return HELD_BACK_BY[LIMIT_NAMES[at_top.limit]]


def report(forecast: Forecast, measures: Measures = METRIC) -> str:
    """Return the report: what the car does, how sure that is, what it costs, what is wrong."""
    lines = [printable(forecast.build.name), ""]
    for label, text in _facts(forecast, measures):
        lines += _wrapped(label.ljust(_LABEL), text)
    for level, heading in HEADINGS.items():
        found = [check for check in forecast.checks if check.level is level]
        if found:
            lines += ["", f"{heading} ({len(found)})"]
            for check in found:
                lines += _wrapped("  - ", check.text)
                if check.advice:
                    lines += _wrapped("    > ", check.advice)
    fine = sum(check.level is Level.OK for check in forecast.checks)
    lines += ["", f"{fine} of {len(forecast.checks)} checks are fine.", ""]
    lines += textwrap.wrap(CAUTIONS, WIDTH)
    return "\n".join(lines) + "\n"


def printable(text: str) -> str:
    """Return text without what would move a terminal's cursor."""
    return "".join(sign if sign.isprintable() else "�" for sign in text)


def _facts(forecast: Forecast, measures: Measures) -> Iterator[tuple[str, str]]:
    found, band, build = forecast.prediction, forecast.band, forecast.build
    if found is None:
        missing = ", ".join(build.empty_slots)
        why = f"still missing: {missing}" if missing else "nothing in it has a mass"
        yield "Speed", f"cannot be said yet; {why}"
    else:
        road = measures.road(build.condition("road_m"))
        yield "Speed", f"{says_speed(forecast, measures)} in {road} of road"
        if band is not None:
            yield "", says_band(forecast, measures)
            width = says_width(forecast)
            if width:
                yield "Wide by", width
        yield "Held back", f"by {held_back_by(found)}"
        top = measures.speed_toward(KMH.from_si(found.top_speed), build.target_kmh)
        yield "", f"{top} on a road without an end"
    yield "Cost", says_cost(forecast.costs, measures)
    yield "Gears", says_gears(forecast, measures)
    if found is not None and found.balance_speed > 0.0:
        yield "Run", says_run(forecast, measures)
        yield "Electrics", _electrics(forecast, found, measures)
    mass = measures.number(forecast.mass_kg, 2)
    yield "Weight", f"{mass} {KG.symbol}; air {measures.number(forecast.air_density, 3)} kg/m³"


def says_speed(forecast: Forecast, measures: Measures, unit: bool = True) -> str:
    """Say the speed on the road, on its own side of the target; there has to be a prediction."""
    found = forecast.prediction
    assert found is not None
    return measures.speed_toward(KMH.from_si(found.road_speed), forecast.build.target_kmh, unit)


def says_width(forecast: Forecast) -> str:
    """Say which figures make the band wide, and by how much of it; "" where none does."""
    found = with_unknowns(forecast).unknowns
    return ", ".join(
        f"{row.label} ({row.source}) {row.percent} %"
        if row.source
        else f"{row.label} {row.percent} %"
        for row in (found.rows() if found is not None else ())
    )


def says_band(forecast: Forecast, measures: Measures) -> str:
    """Say the likely range and the chance of the target; there has to be a band."""
    band = forecast.band
    assert band is not None
    text = f"{says_range(band, measures)} in 8 cases of 10"
    if band.chance is not None and forecast.build.target_kmh is not None:
        target = measures.target(forecast.build.target_kmh)
        text += f"; {say_chance(band.chance)} reach the target of {target}"
    return text


def says_range(band: Band, measures: Measures, unit: bool = True) -> str:
    """Say between which speeds eight cars of ten end up."""
    low, high = (
        measures.number(measures.shown(KMH.from_si(speed), KMH)) for speed in (band.p10, band.p90)
    )
    return f"{low} to {high} {measures.speed_unit.symbol}" if unit else f"{low} to {high}"


def says_cost(costs: Costs, measures: Measures) -> str:
    """Say what counts against the cap."""
    out = f" {costs.left_out}" if costs.left_out else ""
    if costs.cap is None or costs.left is None:
        return f"{measures.money(costs.counted)}{out}; no cap is set"
    text = f"{measures.money(costs.counted, currency=False)} of {measures.money(costs.cap)}"
    if costs.left.minor < 0:
        return f"{text}, {measures.money(-costs.left)} over the cap{out}"
    return f"{text}, {measures.money(costs.left)} left{out}"


def says_gears(forecast: Forecast, measures: Measures) -> str:
    """Say the final drive ratio, how it comes about, and the roll-out."""
    build = forecast.build
    chassis, pinion, spur = (build.part(slot) for slot in ("chassis", "pinion", "spur"))
    if forecast.gear_ratio is None or chassis is None or pinion is None or spur is None:
        return "not chosen yet"
    internal = measures.figure(
        chassis.kind.field("internal_ratio"), chassis.figure("internal_ratio")
    )
    text = (
        f"final drive ratio {measures.number(forecast.gear_ratio, 2)}"
        f" = spur {spur.number('teeth'):.0f} / pinion {pinion.number('teeth'):.0f} × {internal}"
    )
    if forecast.roll_out_m is None:
        return text
    roll_out = measures.with_unit(MM.from_si(forecast.roll_out_m), MM, 1)
    return f"{text}; roll-out {roll_out} for one turn of the motor"


def says_run(forecast: Forecast, measures: Measures) -> str:
    """Say where to lift, how far the car then goes, and how long it takes to its speed."""
    found, planned = forecast.prediction, distances(forecast, measures)
    assert found is not None
    texts = [*_lifts(planned), f"stop in {planned.said(planned.braking)}"]
    if planned.reserve:
        texts.append(f"{planned.said(planned.reserve)} in reserve")
    text = ", ".join(texts)
    if found.time_to_top is not None:
        text += f"; {measures.number(found.time_to_top, 1)} s to 99 % of its speed"
    return text


def _lifts(planned: Distances) -> list[str]:
    """Say where the driver decides and where the throttle is off; where that is one, say it."""
    off = planned.said(planned.throttle_off)
    if not planned.reaction:
        return [f"lift at {off}"]
    return [f"lift marker at {planned.said(planned.marker)}", f"throttle off at {off}"]


def says_road(forecast: Forecast, measures: Measures, late: LateLift | None = None) -> list[str]:
    """Return what a plot of speed over the road shows, phrase by phrase; the car has to move.

    `late` is the lift that is drawn in place of the one half a second late.
    """
    prediction, build = forecast.prediction, forecast.build
    assert prediction is not None
    planned = distances(forecast, measures)
    texts = [
        f"{says_speed(forecast, measures)} on this road of {planned.said(planned.road)}",
        *_lifts(planned),
    ]
    if build.target_kmh is not None:
        texts.append(f"target {measures.target(build.target_kmh)}")
    if forecast.band is not None:
        texts.append(f"likely range, 8 in 10, {says_range(forecast.band, measures)}")
    ends = {REACTION: planned.throttle_off, BRAKING: planned.stop, RESERVE: planned.road}
    for piece in stretches(prediction, build.condition("reserve_m")):
        held = said(build, piece.limit, measures)[0]
        begin = "" if piece.limit in OF_THE_DRIVER else "held back "
        end = measures.road(piece.end)
        if piece.end >= prediction.marker_at:
            end = planned.said(ends.get(piece.limit, planned.marker))
        texts.append(f"{begin}{held} to {end}")
    shown = late_row(forecast, measures, late)
    if shown is not None:
        texts.append(shown.phrase)
    return texts


def _electrics(forecast: Forecast, found: Prediction, measures: Measures) -> str:
    texts = []
    if found.peak_current is not None:
        texts.append(f"{measures.with_unit(found.peak_current, AMPERE)} at most")
    if found.at_top is not None:
        current = measures.with_unit(found.at_top.current, AMPERE)
        power = measures.with_unit(found.at_top.power, WATT)
        texts.append(f"{current} and {power} at top speed")
    texts.append(f"{measures.with_unit(MAH.from_si(found.charge_used), MAH)} for the run")
    runs = runs_from_pack(forecast)
    if runs is not None:
        texts.append(f"{measures.number(runs)} runs from one pack")
    rise = motor_rise(forecast, found)
    if rise is not None:
        warm = forecast.build.condition("motor_temperature_c") + rise
        ends = f"motor ends at {measures.with_unit(warm, CELSIUS)}"
        rest = rest_minutes(forecast.build, rise)
        texts.append(f"{ends}, {rest} min of rest before the next run" if rest else ends)
    return "; ".join(texts)


def _wrapped(lead: str, text: str) -> list[str]:
    indent = " " * len(lead)
    return textwrap.wrap(printable(text), WIDTH, initial_indent=lead, subsequent_indent=indent)
