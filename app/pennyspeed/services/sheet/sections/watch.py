"""Sections that keep people and car whole: what to watch, and the cautions."""

from __future__ import annotations

from pennyspeed.domain.checks import Level
from pennyspeed.domain.checks.facts import three_figures
from pennyspeed.domain.checks.limits import LEAST_CELL_VOLTS, MOST_MOTOR_CELSIUS
from pennyspeed.domain.checks.road import LEAST_LOAD_SHARE
from pennyspeed.domain.measures import NOT_KNOWN
from pennyspeed.domain.units import AMPERE, CELSIUS, RPM, VOLT
from pennyspeed.services.reports.answer import motor_rise
from pennyspeed.services.reports.report import CAUTIONS, HEADINGS, says_speed
from pennyspeed.services.sheet.document import (
    END,
    HALF,
    Block,
    Column,
    Item,
    Items,
    Paragraph,
    Section,
    Table,
    cells,
)
from pennyspeed.services.sheet.sheet_source import SheetSource


def watch(matter: SheetSource, title: str) -> Section:
    """Return the checks that are not fine, in plain words."""
    checks = matter.forecast.checks
    # what one missing part leaves open is said once
    items = dict.fromkeys(
        Item(_without(HEADINGS[level], check.text), HEADINGS[level], check.advice)
        for level in HEADINGS
        for check in checks
        if check.level is level
    )
    fine = sum(check.level is Level.OK for check in checks)
    blocks: list[Block] = [Items(tuple(items))] if items else []
    blocks.append(Paragraph(f"{fine} of {len(checks)} checks are fine."))
    return Section("watch", title, tuple(blocks), HALF)


def _without(lead: str, text: str) -> str:
    """Return a sentence without the lead that stands in front of it anyway."""
    rest = text.removeprefix(f"{lead}: ")
    return rest[:1].upper() + rest[1:]


def figures(matter: SheetSource, title: str) -> Section:
    """Return the figures to look for, what is predicted of each and where its limit lies."""
    table = _figures(matter)
    empty = Paragraph("There are none: the car does not move yet.")
    return Section("figures", title, (table or empty,), HALF)


def _figures(matter: SheetSource) -> Table | None:
    forecast, measures, build = matter.forecast, matter.measures, matter.build
    found = forecast.prediction
    if found is None or found.at_top is None or found.road_speed <= 0.0:
        return None

    def rating(slot: str, key: str) -> str:
        part = build.part(slot)
        value = None if part is None else part.known_number(key)
        if part is None or value is None:
            return NOT_KNOWN
        return f"at most {measures.figure(part.kind.field(key), value)}"

    rise = motor_rise(forecast, found)
    warm = NOT_KNOWN
    if rise is not None:
        warm = measures.with_unit(build.condition("motor_temperature_c") + rise, CELSIUS)
    hot = f"at most {measures.with_unit(MOST_MOTOR_CELSIUS, CELSIUS)}"
    turns = measures.with_unit(three_figures(RPM.from_si(found.road_motor_speed)), RPM)
    rows = [
        ("motor at the lift", warm, hot),
        ("motor on this road", turns, rating("motor", "max_rpm")),
    ]
    if found.peak_current is not None:
        current = measures.with_unit(found.peak_current, AMPERE)
        rows.append(("peak current, motor", current, rating("motor", "peak_current_a")))
        rows.append(("the same, controller", current, rating("controller", "burst_current_a")))
    if found.lowest_cell_voltage is not None:
        lowest, least = (
            measures.with_unit(volts, VOLT, 2)
            for volts in (found.lowest_cell_voltage, LEAST_CELL_VOLTS)
        )
        rows.append(("lowest cell under load", lowest, f"at least {least}"))
    speed = says_speed(forecast, measures)
    rows.append(("speed, for the tyres", speed, rating("tyres", "rated_kmh")))
    least = measures.number(100 * LEAST_LOAD_SHARE)
    for axle, load in (
        ("front", found.at_top.front_load_share),
        ("rear", found.at_top.rear_load_share),
    ):
        share = measures.number(100 * load)
        rows.append((f"{axle} axle, of its load at rest", f"{share} %", f"at least {least} %"))
    need = measures.road(found.lift_at + found.stop_distance)
    most = measures.road(build.condition("road_m"))
    rows.append(("road to speed up and stop", need, f"at most {most}"))
    return Table(
        "Figures to look for",
        (Column("look for", share=1.0), Column("predicted", END), Column("limit", END)),
        tuple(cells(*row) for row in rows),
    )


def cautions(matter: SheetSource, title: str) -> Section:
    """Return the cautions: the program's own, then the look's."""
    items = tuple(Item(text) for text in matter.look.cautions)
    return Section("cautions", title, (Paragraph(CAUTIONS), Items(items, columns=2)))
