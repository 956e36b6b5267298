"""Figures that were worked out, where they are listed: told by a sign, and explained."""

from __future__ import annotations

from pennyspeed.domain.estimates.work_out import with_worked_out
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.reports.listing import parts_list
from pennyspeed.services.sheet.sections.bench import bench_figures
from pennyspeed.services.shelf.shelf_rows import ShelfRows
from pennyspeed.services.shelf.stock import Stock

GIVEN = {"kv_rpm_per_v": 3150.0, "can_mm": 36.0, "length_mm": 50.0}


def rows_of(*parts: Part) -> ShelfRows:
    rows = ShelfRows()
    rows.show_stock(Stock(BY_KEY["motor"], list(parts), Measures()))
    return rows


def test_a_figure_that_was_worked_out_has_a_sign_and_its_origin_and_a_given_one_has_neither() -> (
    None
):
    part = with_worked_out(Part("motor", "Siskin", GIVEN))
    rows = rows_of(part)
    columns = [column.key for column in rows.columns]
    winding, kv = columns.index("resistance_mohm"), columns.index("kv_rpm_per_v")
    assert rows.text(0, winding).startswith("≈ ")
    assert rows.text(0, kv) == "3,150"
    tip = rows.hint(0, winding)
    assert tip.startswith("about ")
    assert " mΩ, likely " in tip
    assert tip.endswith("worked out from can, Kv and a rule")
    assert rows.hint(0, kv) == ""
    assert ": about " in rows.spoken(0)
    assert "≈" not in rows.spoken(0)


def test_the_tip_counts_the_person_s_own_motors() -> None:
    own = [
        Part("motor", f"Own {i}", {**GIVEN, "kv_rpm_per_v": 3000.0 + i, "resistance_mohm": 12.0})
        for i in range(11)
    ]
    part = with_worked_out(Part("motor", "Siskin", GIVEN), own)
    rows = rows_of(*own, part)
    place = next(row for row in range(len(rows)) if rows.part(row) is part)
    winding = [column.key for column in rows.columns].index("resistance_mohm")
    assert rows.hint(place, winding).endswith("worked out from can, Kv and 11 motors like it")


def test_lists_and_the_sheet_say_so_too() -> None:
    part = with_worked_out(Part("motor", "Siskin", GIVEN))
    assert "≈ " in parts_list([part], Measures())
    known = Part("motor", "Siskin", {**part.figures})
    assert "≈" not in parts_list([known], Measures())
    shell = {"shape": "truck", "width_mm": 190.0, "height_mm": 120.0}
    body = with_worked_out(Part("body", "Tench", shell))
    assert "drag coefficient 0.55 (worked out)" in bench_figures(body, Measures())
    given = Part("body", "Tench", {**body.figures})
    assert "(worked out)" not in bench_figures(given, Measures())
