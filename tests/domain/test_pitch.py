"""The size of gear teeth, by module or by pitch.

A diametral pitch counts teeth for an inch of pitch diameter, so that module in mm = 25.4 / pitch
(common definition; 25.4 mm = 1 in exactly, international yard and pound, 1959).
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from builds import a_build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import CHASSIS, PINION
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import IN
from pennyspeed.services.editing.figures import read_figure, shown_value
from pennyspeed.services.gears.gear_cells import work_out
from pennyspeed.services.gears.suited_gears import Asked
from pennyspeed.services.reports.listing import parts_list
from pennyspeed.services.reports.slot_rows import detail_of
from pennyspeed.services.sheet.sections.bench import bench_figures
from pennyspeed.services.shelf.stock import Stock
from pennyspeed.services.workshop import Workshop

INCHES = Measures(length_unit=IN)
MODULE = PINION.field("module_mm")


@pytest.mark.parametrize("measures", [METRIC, INCHES])
@pytest.mark.parametrize(
    ("text", "module"),
    [
        ("48p", 25.4 / 48),
        ("48P", 25.4 / 48),
        ("32dp", 25.4 / 32),
        ("32 DP", 25.4 / 32),
        ("64 pitch", 25.4 / 64),
        ("pitch 48", 25.4 / 48),
        ("0.8", 0.8),
        ("0,8", 0.8),
        ("m0.6", 0.6),
        ("M 1", 1.0),
        ("mod 0.6", 0.6),
        ("mod. 0.6", 0.6),
        ("Modul 0,5", 0.5),
        ("module 0.8", 0.8),
        ("0.8 mm", 0.8),
        ("m48", 48.0),
        ("48 mm", 48.0),
    ],
)
def test_teeth_are_typed_by_module_or_by_pitch(
    text: str, module: float, measures: Measures
) -> None:
    assert read_figure(MODULE, text, measures) == pytest.approx(module, rel=1e-12)
    assert CHASSIS.field("gear_module_mm").read(text, "here") == pytest.approx(module, rel=1e-12)


@pytest.mark.parametrize("measures", [METRIC, INCHES])
@pytest.mark.parametrize("pitch", [32, 48, 64])
def test_a_bare_pitch_asks_which_is_meant(pitch: int, measures: Measures) -> None:
    with pytest.raises(BadInput) as asked:
        read_figure(MODULE, str(pitch), measures)
    assert f"{pitch}p for a pitch" in str(asked.value)
    assert f"module {25.4 / pitch:.3g}," in str(asked.value)
    assert f"m{pitch} for a module" in str(asked.value)


@pytest.mark.parametrize("text", ["0p", "p", "48 g", "48pp", "-48p", "m", "mod"])
def test_what_is_no_size_of_teeth_is_refused(text: str) -> None:
    with pytest.raises(BadInput):
        read_figure(MODULE, text, METRIC)


@pytest.mark.parametrize("measures", [METRIC, INCHES])
@pytest.mark.parametrize("module", [25.4 / 48, 25.4 / 32, 0.8, 0.6, 1.0, 0.53])
def test_what_is_shown_reads_back_the_same(module: float, measures: Measures) -> None:
    text = shown_value(MODULE, module, measures)
    assert read_figure(MODULE, text, measures) == pytest.approx(module, rel=1e-9)


def test_teeth_are_shown_as_a_persons_units_ask() -> None:
    assert METRIC.figure(MODULE, 25.4 / 48) == "0.53 mm"
    assert INCHES.figure(MODULE, 25.4 / 48) == "48 pitch"
    assert INCHES.figure(MODULE, 0.8) == "31.75 pitch"
    assert METRIC.gear_size(25.4 / 48) == "module 0.53"
    assert INCHES.gear_size(25.4 / 32) == "32 pitch"


def test_lists_slots_and_the_sheet_say_the_pitch_in_inches() -> None:
    part = Part("pinion", "23 teeth", {"teeth": 23, "module_mm": 25.4 / 48, "bore_mm": 3.175})
    header, row = parts_list([part], INCHES).splitlines()
    assert "pitch" in header
    assert "module" not in header
    assert " 48 " in row
    assert detail_of(part, INCHES) == "23 teeth, 48 pitch"
    assert detail_of(part, METRIC) == "23 teeth, module 0.53 mm"
    assert "48 pitch" in bench_figures(part, INCHES)
    assert "module 0.53 mm" in bench_figures(part, METRIC)


def test_the_gear_chart_says_the_pitch_in_inches() -> None:
    pinions = (Part("pinion", "23 teeth", {"teeth": 23, "module_mm": 25.4 / 48}),)
    spurs = (Part("spur", "87 teeth", {"teeth": 87, "module_mm": 25.4 / 48}),)
    said = [
        work_out(Asked(a_build(), pinions, spurs, measures)).module_of(pinions[0])
        for measures in (METRIC, INCHES)
    ]
    assert said == ["module 0.53", "48 pitch"]


@pytest.mark.parametrize(
    ("header", "cell"),
    [("module (pitch)", "48"), ("module_mm", "48p"), ("module", "48 pitch"), ("module (dp)", "48")],
)
def test_a_table_may_name_the_pitch(tmp_path: Path, header: str, cell: str) -> None:
    path = tmp_path / "pinion.csv"
    path.write_text(f"name,teeth,{header}\nblue,23,{cell}\n")
    with Workshop.open(tmp_path / "parts.sqlite") as workshop:
        workshop.builds.save(a_build())
        workshop.import_file(path)
        blue = next(one for one in workshop.catalogue.parts("pinion") if one.name == "blue")
    assert blue.figures["module_mm"] == pytest.approx(25.4 / 48, rel=1e-12)


def test_a_column_of_modules_goes_over_to_pitches() -> None:
    modules = [25.4 / 48, 25.4 / 32, 0.8]
    parts = [Part("pinion", f"p{i}", {"teeth": 20, "module_mm": m}) for i, m in enumerate(modules)]
    stock = Stock(PINION, parts, INCHES)
    place = [column.key for column in stock.columns].index("module_mm")
    assert stock.columns[place].title == "pitch"
    assert [stock.text(place, i) for i in range(3)] == ["48.00", "32.00", "31.75"]
    assert np.allclose(stock.keys[place], [48, 32, 31.75])
