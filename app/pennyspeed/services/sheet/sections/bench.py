"""Sections for the bench: parts, gears, pack."""

from __future__ import annotations

import math

from pennyspeed.domain.checks.limits import LEAST_CELL_VOLTS, MOST_MOTOR_CELSIUS
from pennyspeed.domain.kinds import BY_KEY, SLOTS
from pennyspeed.domain.kinds.pack import CHARGE_C, STORAGE_CELL_VOLTS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.entries import Entry
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.domain.units import AMPERE, KG, KMH, MAH, MM
from pennyspeed.physics.gears import centre_distance
from pennyspeed.physics.pack import USABLE_SHARE, open_circuit_voltage
from pennyspeed.services.gears.gear_chart import GearChart, say_teeth_left, teeth_left
from pennyspeed.services.gears.suited_gears import teeth
from pennyspeed.services.reports.answer import runs_from_pack
from pennyspeed.services.reports.report import says_gears
from pennyspeed.services.sheet.document import (
    CENTRE,
    CHOSEN,
    END,
    HALF,
    NOTE,
    REACHED,
    Block,
    Cell,
    Column,
    Paragraph,
    Section,
    Table,
    cells,
)
from pennyspeed.services.sheet.sections import money
from pennyspeed.services.sheet.sheet_source import SheetSource

BENCH_FIGURES: dict[str, tuple[str, ...]] = {
    "chassis": ("driven", "internal_ratio", "gear_module_mm", "wheelbase_mm", "pack_bay_mm"),
    "motor": ("kv_rpm_per_v", "poles", "max_rpm", "can_mm", "shaft_mm"),
    "controller": ("max_cells", "continuous_current_a", "burst_current_a", "connector"),
    "pack": ("cells_series", "cells_parallel", "capacity_mah", "c_continuous", "size_mm",
             "connector"),
    "pinion": ("teeth", "module_mm", "bore_mm"),
    "spur": ("teeth", "module_mm"),
    "tyres": ("diameter_mm", "rated_kmh"),
    "body": ("drag_coefficient", "frontal_area_cm2"),
    "extras": ("mass_g",),
}  # fmt: skip
"""What of a kind of part is looked up at the bench; of other kinds, what the shelf shows."""

WARNING = "!"
"""Behind a speed of the chart at which the motor is past its rated speed or too hot."""

NO_MESH = "–"

_USUAL = "Common practice for lithium packs; what the maker states comes first."


def parts(matter: SheetSource, title: str) -> Section:
    """Return every part with its figures, where it stands and what it costs."""
    build, measures = matter.build, matter.measures
    left = money.entries(matter)
    rows = []
    for slot in SLOTS:
        part = build.part(slot)
        if part is not None:
            rows.append(_part_row(matter, part, BY_KEY[slot].label, left))
        elif BY_KEY[slot].needed:
            rows.append(cells(BY_KEY[slot].label, "empty", "", "", ""))
    for place, part in enumerate(build.extras):
        rows.append(_part_row(matter, part, "" if place else BY_KEY["extras"].plural, left))
    others = [entry for entry in left if entry.line.status is not Status.CANCELLED or entry.total]
    for place, entry in enumerate(others):
        label = "" if place else "not in the car"
        said = ", ".join(money.notes(entry, matter))
        rows.append(cells(label, entry.line.called, said, *money.state_and_price(entry, matter)))
    table = Table(
        "Parts, their figures, where each stands and its price",
        (
            Column("slot"),
            Column("part", share=1.0),
            Column("figures, notes", share=2.0),
            Column("stands"),
            Column(f"price, {build.currency}", END),
        ),
        tuple(rows),
    )
    mass = measures.number(matter.forecast.mass_kg, 2)
    texts = [f"Weight {mass} {KG.symbol}, all in."]
    if any(entry.order_share for entry in money.entries(matter)):
        texts.append("Prices with each one's share of what its order costs beside the goods.")
    return Section("parts", title, (table, Paragraph(" ".join(texts), NOTE)))


def _part_row(matter: SheetSource, part: Part, label: str, left: list[Entry]) -> tuple[Cell, ...]:
    entry = money.entry_of(part, left)
    said = [bench_figures(part, matter.measures), ", ".join(money.notes(entry, matter))]
    figures = "; ".join(text for text in said if text)
    return cells(label, part.name, figures, *money.state_and_price(entry, matter))


def bench_figures(part: Part, measures: Measures) -> str:
    """Return a part's figures that matter at the bench; what is not known is left out."""
    texts = []
    shown = tuple(declared.key for declared in part.kind.shelf_fields)
    for key in BENCH_FIGURES.get(part.kind_key, shown):
        declared, value = part.kind.field(key), part.known(key)
        if value is not None:
            text = measures.named_figure(declared, value)
            is_worked_out = part.provenance.get(key) is Provenance.WORKED_OUT
            texts.append(f"{text} (worked out)" if is_worked_out else text)
    return ", ".join(texts)


def gears(matter: SheetSource, title: str) -> Section:
    """Return the gear line and the chart around the pair that is in."""
    build, measures = matter.build, matter.measures
    blocks: list[Block] = [Paragraph(_sentence(says_gears(matter.forecast, measures)))]
    mesh = _says_mesh(matter)
    if mesh:
        blocks.append(Paragraph(mesh))
    chart = matter.chart
    if chart is not None:
        blocks.append(Paragraph(_sentence(say_teeth_left(build, teeth_left(build), measures))))
        blocks += _chart(matter, chart)
    return Section("gears", title, tuple(blocks), HALF)


def _says_mesh(matter: SheetSource) -> str:
    build, measures = matter.build, matter.measures
    chassis, pinion, spur = (build.part(slot) for slot in ("chassis", "pinion", "spur"))
    if pinion is None or spur is None:
        return ""
    module = pinion.number("module_mm") or 0.0
    small, large = (part.number("teeth") or 0.0 for part in (pinion, spur))
    distance = float(centre_distance(module, small, large))
    text = f"Mesh centre distance {measures.with_unit(distance, MM, 2)}"
    least, most = (
        None if chassis is None else chassis.known_number(key)
        for key in ("mesh_min_mm", "mesh_max_mm")
    )
    if least is not None and most is not None:
        low, high = (measures.with_unit(end, MM, 1) for end in (least, most))
        return f"{text}; the chassis takes {low} to {high}."
    return f"{text}; how far the motor goes in this chassis is not known."


def _chart(matter: SheetSource, chart: GearChart) -> list[Block]:
    measures, goal = matter.measures, matter.build.target_kmh
    heads = [str(teeth(part)) for part in chart.spurs]
    rows = []
    for i, pinion in enumerate(chart.pinions):
        row = [Cell(str(teeth(pinion)))]
        row += [_chart_cell(chart, i, j, measures, goal) for j in range(len(chart.spurs))]
        rows.append(tuple(row))
    unit = measures.speed_unit.symbol
    table = Table(
        f"Speed on this road in {unit} by teeth of the pinion, down, and of the spur, across",
        (
            Column("pinion \\ spur", END),
            *(Column(head, CENTRE, share=1.0) for head in heads),
        ),
        tuple(rows),
    )
    road = measures.road(matter.build.condition("road_m"))
    texts = [f"{unit} in {road} of road. In a frame: the pair that is in."]
    if chart.reached.any():
        texts.append("*: reaches the target.")
    if (chart.over_rated | chart.over_hot)[chart.fits].any():
        hot = measures.number(MOST_MOTOR_CELSIUS)
        texts.append(f"{WARNING}: motor past its rated speed or over {hot} °C.")
    if not chart.fits.all():
        texts.append(f"{NO_MESH}: does not mesh or fit.")
    return [table, Paragraph(" ".join(texts), NOTE)]


def _chart_cell(
    chart: GearChart, i: int, j: int, measures: Measures, target_kmh: float | None
) -> Cell:
    is_now = chart.now == (i, j)
    if not chart.fits[i, j] and not is_now:
        return Cell(NO_MESH)
    speed = float(chart.speed[i, j])
    if math.isnan(speed):
        return Cell(NO_MESH, CHOSEN if is_now else "")
    text = measures.speed_toward(KMH.from_si(speed), target_kmh, unit=False)
    if chart.over_rated[i, j] or chart.over_hot[i, j]:
        text += f" {WARNING}"
    reached = bool(chart.reached[i, j])
    if reached:
        text += " *"
    return Cell(text, " ".join([CHOSEN] * is_now + [REACHED] * reached))


def pack(matter: SheetSource, title: str) -> Section:
    """Return the pack's voltages, its charge current and how many runs it is good for."""
    measures, found = matter.measures, matter.build.part("pack")
    if found is None:
        return Section("pack", title, (Paragraph("No pack is chosen yet."),), HALF)
    series = found.number("cells_series") or 0.0
    rested = open_circuit_voltage(1.0 - USABLE_SHARE)
    rows = [
        ("full", open_circuit_voltage(1.0)),
        ("storage", STORAGE_CELL_VOLTS),
        ("rested: stop running", rested),
        ("under load: lift", LEAST_CELL_VOLTS),
    ]
    table = Table(
        "Voltages of the pack",
        (Column("", share=1.0), Column("cell, V", END), Column(f"{series:.0f} cells, V", END)),
        tuple(
            cells(label, measures.number(volts, 2), measures.number(series * volts, 1))
            for label, volts in rows
        ),
    )
    texts = []
    capacity = found.number("capacity_mah")
    if capacity is not None:
        ampere = measures.with_unit(CHARGE_C * capacity / 1000.0, AMPERE, 1)
        texts.append(
            f"Charge with at most {ampere}, {measures.number(CHARGE_C)} C of its "
            f"{measures.with_unit(capacity, MAH)}; more only where its label says so."
        )
    runs = runs_from_pack(matter.forecast)
    prediction = matter.forecast.prediction
    if runs is not None and prediction is not None:
        used = measures.with_unit(MAH.from_si(prediction.charge_used), MAH)
        texts.append(f"{measures.number(runs)} runs from a full pack, {used} each.")
    told = [*(Paragraph(text) for text in texts), Paragraph(_USUAL, NOTE)]
    return Section("pack", title, (table, *told), HALF)


def _sentence(text: str) -> str:
    return f"{text[:1].upper()}{text[1:]}."
