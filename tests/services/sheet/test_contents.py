"""What stands on a sheet: every figure is the prediction's, the checks' or the money's."""

from __future__ import annotations

import math
import re
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from builds import a_build
from pennyspeed.domain.builds import Build, Line, Status
from pennyspeed.domain.checks import Level
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import IN, KMH, MPH, OZ
from pennyspeed.services.prediction.forecast import forecast, without_band
from pennyspeed.services.reports.report import CAUTIONS
from pennyspeed.services.sheet.choices import BESIDE, RUN_DAY, SHOPPING, Choices
from pennyspeed.services.sheet.curves import (
    Plot,
)
from pennyspeed.services.sheet.document import (
    BIG,
    CHOSEN,
    Items,
    Paragraph,
    Section,
    Sheet,
    Table,
)
from pennyspeed.services.sheet.making import SECTIONS
from pennyspeed.services.sheet.text import sheet_text
from sheets import a_sheet, stored, with_many_extras


def section(sheet: Sheet, key: str) -> Section:
    return next(one for one in sheet.sections if one.key == key)


def said(found: Section) -> str:
    """Everything that a section says, cells of a row apart by a bar."""
    texts = []
    for block in found.blocks:
        if isinstance(block, Paragraph):
            texts.append(block.text)
        elif isinstance(block, Items):
            texts += [" ".join((one.lead, one.text, one.note)) for one in block.items]
        elif isinstance(block, Table):
            texts += ["|".join(cell.text for cell in row) for row in block.rows]
    return "\n".join(texts)


def table(found: Section) -> Table:
    return next(block for block in found.blocks if isinstance(block, Table))


def test_speed_band_and_chance_are_the_forecasts() -> None:
    found = forecast(stored())
    assert found.prediction is not None
    assert found.band is not None
    assert found.band.chance is not None
    text = said(section(a_sheet(), "speed"))
    speed, low, high = (
        round(KMH.from_si(one))
        for one in (found.prediction.road_speed, found.band.p10, found.band.p90)
    )
    assert text.startswith(f"{speed} km/h\n")
    assert f"In 240 m of road, {low} to {high} km/h in 8 cases of 10;" in text
    assert "of 100 reach the target of 80 km/h" in text
    assert f"Lift at {found.prediction.lift_at:.0f} m" in text
    assert f"stop in {found.prediction.stop_distance:.0f} m" in text


def test_a_late_lift_is_told_where_it_leaves_the_road() -> None:
    found = forecast(stored()).prediction
    assert found is not None
    assert found.late is not None
    past = f"stops {-found.late.road_left:.0f} m past it (dashed)."
    assert past in said(section(a_sheet(), "speed"))
    careful = a_sheet(stored(a_build(conditions__reserve_m=80.0)))
    assert "dashed" not in said(section(careful, "speed"))


def test_the_curve_is_the_runs_with_its_ring_at_the_lift_point() -> None:
    found = forecast(stored()).prediction
    assert found is not None
    assert found.trace is not None
    plot = section(a_sheet(), "road").blocks[0]
    assert isinstance(plot, Plot)
    curve, *late = plot.curves
    assert [one.style for one in late] == ["late", "off"]
    assert max(curve.ys) == pytest.approx(KMH.from_si(found.road_speed), abs=1e-3)
    assert curve.xs[-1] == pytest.approx(found.trace.distance[-1], abs=1e-3)
    (mark,) = plot.marks
    assert (mark.x, mark.y) == pytest.approx((found.lift_at, KMH.from_si(found.road_speed)))
    assert f"stop in {found.stop_distance:.0f} m" in mark.label
    assert [level.y for level in plot.levels] == [80.0]
    assert plot.band is not None
    assert all(low <= high for low, high in zip(plot.band.low, plot.band.high, strict=True))
    assert f"lift at {found.lift_at:.0f} m" in plot.alternative


def test_stretches_go_from_the_start_to_the_stop_and_end_with_the_braking() -> None:
    found = forecast(stored()).prediction
    assert found is not None
    plot = section(a_sheet(), "road").blocks[0]
    assert isinstance(plot, Plot)
    starts, ends, words = zip(
        *((one.start, one.end, one.words[0]) for one in plot.stretches), strict=True
    )
    assert starts == pytest.approx((0.0, *ends[:-1]))
    assert (starts[-1], ends[-1]) == pytest.approx((found.lift_at, 240.0), rel=1e-6)
    assert [text for text in words if "braking" in text] == ["braking at 0.5 g"]
    assert words[-1] == "braking at 0.5 g"


def test_parts_stand_with_figures_state_and_price() -> None:
    rows = {
        row[1].text: [cell.text for cell in row] for row in table(section(a_sheet(), "parts")).rows
    }
    motor = rows["Greenhouse 3100"]
    assert motor[3:] == ["ordered", "64.50"]
    for figure in ("Kv 3,100 rpm/V", "poles 4", "can diameter 35.8 mm", "shaft diameter 3.175 mm"):
        assert figure in motor[2]
    assert "cells in series 3" in rows["Three by 3800"][2]
    assert rows["Long tail"][3:] == ["made", "24.70"]  # two pieces at 12.35
    assert "outside diameter 65 mm" in rows["Foam 65"][2]
    assert "teeth 33" in rows["33 teeth"][2]
    assert rows["Servo"][2] == "mass 48 g"


def test_a_thing_without_a_slot_and_two_extras_of_one_name_keep_their_own_lines() -> None:
    twins = (Part("extras", "Plate", {"mass_g": 5.0}),) * 2
    lines = (
        Line("extras", "Plate", unit_price=Decimal("1.50")),
        Line("extras", "Plate", unit_price=Decimal("2.50"), status=Status.RECEIVED),
        Line("", "Entry fee", unit_price=Decimal(10)),
    )
    build = replace(stored(), extras=twins, lines=lines)
    rows = [[cell.text for cell in row] for row in table(section(a_sheet(build), "parts")).rows]
    plates = [row[3:] for row in rows if row[1] == "Plate"]
    assert plates == [["planned", "1.50"], ["received", "2.50"]]
    assert ["not in the car", "Entry fee", "", "planned", "10.00"] in rows


def test_money_is_the_costs_and_names_what_is_not_counted() -> None:
    build = stored()
    text = said(section(a_sheet(), "money"))
    # 64.50 ordered and 2 × 12.35 made count; the pack is owned and does not (by hand)
    assert "89.20 of 250.00 EUR, 160.80 EUR left." in text
    heads = [column.title for column in table(section(a_sheet(), "money")).columns]
    assert heads == ["spent", "promised", "planned", "counted, EUR", "cap", "left"]
    assert "24.70|64.50|0.00|89.20|250.00|160.80" in text
    assert "Not counted, 41.00 EUR together: Three by 3800 41.00 EUR." in text
    over = replace(build, cap=Money.of(Decimal("80.00"), "EUR"))
    assert "9.20 EUR over the cap" in said(section(a_sheet(over), "money"))


def test_gears_say_ratio_roll_out_mesh_and_what_is_left() -> None:
    text = said(section(a_sheet(), "gears"))
    assert "Final drive ratio 5.00 = spur 66 / pinion 33 × 2.5" in text
    assert "roll-out 40.8 mm" in text  # π × 65 mm / 5, common practice, no source
    # a = m (z1 + z2) / 2 (ISO 21771)
    assert "Mesh centre distance 29.70 mm; the chassis takes 24.0 mm to 36.0 mm." in text
    assert "21 teeth left before the gear mesh ends" in text  # (2 × 36 / 0.6) - 66 - 33


def test_the_gear_chart_surrounds_the_pair_and_says_what_taking_it_brings() -> None:
    build = stored()
    chart = table(section(a_sheet(), "gears"))
    heads = [column.title for column in chart.columns[1:]]
    assert heads == ["65", "66", "67"]
    assert [row[0].text for row in chart.rows] == ["31", "32", "33", "34", "35"]
    framed = [
        (row[0].text, head)
        for row in chart.rows
        for head, cell in zip(heads, row[1:], strict=True)
        if CHOSEN in cell.mark
    ]
    assert framed == [("33", "66")]
    pinion, spur = build.parts["pinion"], build.parts["spur"]
    other = build.with_part(replace(pinion, figures={**pinion.figures, "teeth": 35}))
    other = other.with_part(replace(spur, figures={**spur.figures, "teeth": 65}))
    found = forecast(other).prediction
    assert found is not None
    assert chart.rows[4][1].text.split()[0] == str(round(KMH.from_si(found.road_speed)))


@pytest.mark.parametrize(
    "changes",
    [{"parts__motor__max_rpm": 38300}, {"conditions__motor_temperature_c": 96.2}],
)
def test_the_gear_chart_marks_pairs_past_the_motors_rating_or_too_hot(
    changes: dict[str, object],
) -> None:
    build = stored(a_build(**changes))
    gears = section(a_sheet(build), "gears")
    chart = table(gears)
    marked = []
    for pinion in (31, 33, 35):
        place = [row[0].text for row in chart.rows].index(str(pinion))
        cells = chart.rows[place]
        other = build.with_part(build.parts["pinion"].with_figure("teeth", pinion))
        checks = {check.code: check.level for check in without_band(other).checks}
        broken = Level.WARN in (checks["motor-rpm"], checks["motor-temperature"])
        marked.append("!" in cells[2].text.split())
        assert marked[-1] is broken, pinion
    assert set(marked) == {True, False}
    assert "!: motor past its rated speed or over 100 °C." in said(gears)
    assert "!" not in said(section(a_sheet(), "gears"))


def test_the_chart_offers_the_gears_there_are_and_none_that_do_not_fit_the_shaft() -> None:
    build = stored()
    pinion = build.parts["pinion"]

    def made(teeth: int, **figures: float) -> Part:
        return replace(
            pinion, name=f"{teeth}", figures={**pinion.figures, "teeth": teeth, **figures}
        )

    pinions = [made(30), made(36), made(34, bore_mm=5.0), made(32, module_mm=0.5)]
    chart = table(section(a_sheet(build, pinions=pinions), "gears"))
    assert [row[0].text for row in chart.rows] == ["30", "33", "36"]


def test_voltages_and_charge_current_follow_from_the_pack() -> None:
    text = said(section(a_sheet(), "pack"))
    # 4.2 V full, 3.8 V put away, for each of three cells; 1 C of 3.8 Ah: common practice, no source
    assert "full|4.20|12.6" in text
    assert "storage|3.80|11.4" in text
    assert "under load: lift|3.20|9.6" in text
    assert "Charge with at most 3.8 A, 1 C of its 3,800 mAh" in text


def test_what_to_watch_is_every_check_that_is_not_fine() -> None:
    build = stored(a_build(parts__motor__max_rpm=20000, parts__tyres__rated_kmh=None))
    found = forecast(build)
    sheet = a_sheet(build)
    text = said(section(sheet, "watch"))
    bad = [check for check in found.checks if check.level is not Level.OK]
    assert {check.code for check in bad} >= {"motor-rpm", "tyre-speed"}
    for check in bad:
        assert check.text.removeprefix("Not known: ")[1:] in text
        assert check.advice in text
    assert f"{len(found.checks) - len(bad)} of {len(found.checks)} checks are fine." in text
    figures = said(section(sheet, "figures"))
    assert "at most 20,000 rpm" in figures
    assert re.search(r"speed, for the tyres\|\d+ km/h\|not known", figures)
    assert "at most 240 m" in figures


def test_figures_to_look_for_are_the_runs_own() -> None:
    found = forecast(stored()).prediction
    assert found is not None
    assert found.at_top is not None
    text = said(section(a_sheet(), "figures"))
    volts, share = found.lowest_cell_voltage, 100 * found.at_top.front_load_share
    assert f"lowest cell under load|{volts:.2f} V|at least 3.20 V" in text
    assert f"front axle, of its load at rest|{share:.0f} %|at least 25 %" in text
    # up to the lift point and down to rest again: the whole of the road that there is
    assert "road to speed up and stop|240 m|at most 240 m" in text


def test_the_run_log_plans_no_pinion_that_does_not_mesh() -> None:
    # a = m (z1 + z2) / 2 (ISO 21771): 0.6 (33 + 66)/2 = 29.7 mm, a tooth more is 30 mm
    build = stored(a_build(parts__chassis__mesh_max_mm=29.8))
    log = table(section(a_sheet(build), "runs"))
    pinions = [row[0].text for row in log.rows if row[0].text.startswith("pinion")]
    assert pinions == ["pinion 31", "pinion 32"]


def test_the_run_log_predicts_each_planned_set_up_beside_its_blanks() -> None:
    slower = a_build(name="Short gears", parts__pinion__teeth=28)
    others = [("Short gears", forecast(slower))]
    log = table(section(a_sheet(others=others), "runs"))
    found = forecast(stored()).prediction
    assert found is not None
    first = log.rows[0]
    assert first[0].text == "as planned, 33/66"
    assert first[1].text.split()[0] == str(round(KMH.from_si(found.road_speed)))
    assert log.rows[1][0].text == "Short gears"
    pinions = [row[0].text for row in log.rows if row[0].text.startswith("pinion")]
    assert pinions == ["pinion 32", "pinion 34"]
    assert all(cell.text == "" for row in log.rows for cell in row[2:])
    assert any(row[0].text == "" for row in log.rows)
    day = table(section(a_sheet(choices=Choices(kind=RUN_DAY)), "runs"))
    assert len(day.rows) > 2 * len(log.rows)


def test_the_cautions_go_along_wherever_something_is_driven() -> None:
    for kind in (RUN_DAY, BESIDE):
        sheet = a_sheet(choices=Choices(kind=kind, sections=("road",)))
        assert CAUTIONS in said(section(sheet, "cautions"))
    text = said(section(a_sheet(), "cautions"))
    for word in ("fireproof", "closed road", "barrier", "burst", "fingers", "Local law", "marshal",
                 "licensed electrician"):  # fmt: skip
        assert word in text
    shopping = a_sheet(choices=Choices(kind=SHOPPING))
    assert [one.key for one in shopping.sections] == ["shopping", "money"]


def test_the_before_run_list_is_the_persons_own_where_there_is_one() -> None:
    own = ("Flag at the lift point", "Phone off")
    (block,) = section(a_sheet(choices=Choices(before=own)), "before").blocks
    assert isinstance(block, Items)
    assert block.boxes
    assert tuple(item.text for item in block.items) == own


def test_builds_stand_beside_each_other_up_to_four() -> None:
    other = forecast(a_build(name="Tall gears", parts__pinion__teeth=38))
    sheet = a_sheet(choices=Choices(kind=BESIDE), others=[("Tall gears", other)] * 3)
    found = table(section(sheet, "beside"))
    assert [column.title[0] for column in found.columns[1:]] == list("ABCD")
    rows = {row[0].text: [cell.text for cell in row[1:]] for row in found.rows}
    assert rows["pinion"] == ["33 teeth", "33 teeth, other figures", "33 teeth, other figures",
                              "33 teeth, other figures"]  # fmt: skip
    assert rows["motor"][1:] == ["the same"] * 3
    assert other.prediction is not None
    assert rows["speed on the road, km/h"][1] == str(round(other.prediction.road_speed * 3.6))
    plot = section(sheet, "road").blocks[0]
    assert isinstance(plot, Plot)
    assert len({curve.style for curve in plot.curves}) == 4
    with pytest.raises(BadInput, match="at most 4"):
        a_sheet(others=[("x", other)] * 4)


def test_the_shopping_list_is_sorted_by_supplier_with_sums() -> None:
    lines = (
        Line("motor", "Motor", Decimal(1), Decimal("64.50"), supplier="Seed box"),
        Line("", "Screws", Decimal(4), Decimal("0.25"), supplier="Corner shop"),
        Line("", "Tape", supplier="Corner shop"),
        Line("body", "Body", unit_price=Decimal(9), status=Status.OWNED),
        Line("spur", "Spur", unit_price=Decimal(5), status=Status.ORDERED, supplier="Seed box",
             order="A-17", arrives=date(2027, 5, 2)),
    )  # fmt: skip
    build = replace(stored(), lines=lines)
    text = said(section(a_sheet(build, choices=Choices(kind=SHOPPING)), "shopping"))
    assert text.index("Corner shop") < text.index("Seed box")
    assert "Screws|4|0.25|1.00" in text
    assert "Tape|1||not known" in text
    assert "together and 1 line without a price|||1.00" in text
    assert "Spur, from Seed box, order A-17, due 2 May 2027" in text
    assert "Body" not in text


def test_units_follow_the_choice_or_the_window() -> None:
    imperial = Measures(MPH, IN, OZ)
    as_shown = sheet_text(a_sheet(measures=imperial))
    assert "mph" in as_shown
    assert "km/h" not in as_shown
    chosen = sheet_text(a_sheet(choices=Choices(units="metric"), measures=imperial))
    assert "km/h" in chosen
    assert "mph" not in chosen
    mixed = sheet_text(a_sheet(choices=Choices(units="metric, mph")))
    assert "mph in 8 cases" in " ".join(mixed.split())
    assert "outside diameter 65 mm" in " ".join(mixed.split())


@pytest.mark.parametrize(
    "changes",
    [
        {"parts": {}},
        {"parts__motor": None},
        {"parts__pinion": None},
        {"conditions__slope_percent": 60},
        {"target_kmh": None},
        {"money": None},
        {"target_kmh": 900},
    ],
)
def test_a_car_that_is_not_whole_or_does_not_move_has_a_sheet_too(
    changes: dict[str, object],
) -> None:
    build = stored(a_build(**changes))
    for kind in ("bench", RUN_DAY, BESIDE, SHOPPING):
        assert sheet_text(a_sheet(build, choices=Choices(kind=kind))).startswith("Allotment runner")


def test_every_section_is_on_the_run_day_pack_or_on_its_own_sheet() -> None:
    shown = {
        one.key
        for kind in ("bench", RUN_DAY, BESIDE, SHOPPING)
        for one in a_sheet(choices=Choices(kind=kind)).sections
    }
    assert shown == set(SECTIONS)


def test_a_section_that_there_is_not_is_refused_in_one_sentence() -> None:
    with pytest.raises(BadInput, match="sections: 'soup' was given, expected one of speed"):
        a_sheet(choices=Choices(sections=("soup",)))


def test_many_extras_are_all_there() -> None:
    sheet = a_sheet(with_many_extras(stored(), 60))
    names = {row[1].text for row in table(section(sheet, "parts")).rows}
    assert {f"Ballast plate {i}" for i in range(1, 61)} <= names


def test_the_one_large_figure_is_the_speed() -> None:
    big = [one for one in a_sheet().blocks() if isinstance(one, Paragraph) and one.role == BIG]
    assert [one.text.split()[1] for one in big] == ["km/h"]


def test_no_speed_is_rounded_over_to_the_other_side_of_its_target() -> None:
    road, speed = next(
        (road, speed)
        for road in range(60, 240, 4)
        if 0.5 < (speed := road_speed(stored(a_build(conditions__road_m=road)))) % 1 < 0.9
    )
    short, goal = f"{math.floor(speed)}", math.ceil(speed)
    sheet = a_sheet(stored(a_build(conditions__road_m=road, target_kmh=goal)))
    assert said(section(sheet, "speed")).startswith(f"{short} km/h\n")
    plot = section(sheet, "road").blocks[0]
    assert isinstance(plot, Plot)
    assert plot.marks[0].label.startswith(f"{short} km/h, lift at")
    assert f": {short} km/h on this road" in plot.alternative
    assert f"|{short} km/h|at most 130 km/h" in said(section(sheet, "figures"))
    assert table(section(sheet, "runs")).rows[0][1].text.startswith(f"{short} (")
    (now,) = (
        cell.text
        for row in table(section(sheet, "gears")).rows
        for cell in row
        if CHOSEN in cell.mark
    )
    assert now == short


def test_a_target_keeps_the_decimal_that_it_has_in_other_units() -> None:
    sheet = a_sheet(stored(a_build(target_kmh=130)), measures=Measures(MPH))
    assert sheet.masthead.lines[0].startswith("Target 80.8 mph,")
    plot = section(sheet, "road").blocks[0]
    assert isinstance(plot, Plot)
    assert [level.label for level in plot.levels] == ["target 80.8 mph"]


def road_speed(build: Build) -> float:
    """The speed on the road [km/h]."""
    found = forecast(build).prediction
    assert found is not None
    return KMH.from_si(found.road_speed)
