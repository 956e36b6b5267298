"""The spread of a figure in a table: read, refused, and gone with the figure it was said of."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.services.importers.tables.rows import Change
from pennyspeed.services.workshop import Workshop

Take = Callable[[str], Part]

WORKED_OUT = Part(
    "motor",
    "Heath 36",
    {
        "kv_rpm_per_v": 3300.0,
        "resistance_mohm": 9.6,
        "no_load_current_a": 2.4,
        "inductance_uh": 4.3,
    },
    {"resistance_mohm": Provenance.WORKED_OUT},
    spread={"resistance_mohm": 0.28},
)
HEADER = "name,kv_rpm_per_v,resistance_mohm"


@pytest.fixture
def table(workshop: Workshop, tmp_path: Path) -> Callable[[str], Path]:
    workshop.catalogue.save_part(WORKED_OUT)

    def table(text: str) -> Path:
        path = tmp_path / "motor.csv"
        path.write_text(text, encoding="utf-8")
        return path

    return table


@pytest.fixture
def taken(workshop: Workshop, table: Callable[[str], Path]) -> Take:
    def taken(text: str) -> Part:
        workshop.tables.take(workshop.tables.preview(table(text)))
        return next(p for p in workshop.catalogue.parts("motor") if p.name == WORKED_OUT.name)

    return taken


def test_a_spread_is_read_beside_its_source(taken: Take) -> None:
    found = taken(
        f"{HEADER},provenance,spread\n"
        "Heath 36,3250,11,kv_rpm_per_v=measured; resistance_mohm=worked-out,"
        '"resistance_mohm=0.2; Kv=0.005"\n'
    )
    assert found.spread == {"resistance_mohm": 0.2, "kv_rpm_per_v": 0.005}
    assert found.spread_of("kv_rpm_per_v") == 0.005


def test_a_figure_that_stays_keeps_its_spread_and_a_new_one_does_not(taken: Take) -> None:
    kept = taken(f"{HEADER}\nHeath 36,3200,9.6\n")
    assert (kept.spread, kept.number("kv_rpm_per_v")) == ({"resistance_mohm": 0.28}, 3200)
    typed = taken(f"{HEADER}\nHeath 36,3200,9.7\n")
    assert typed.spread == {}
    assert typed.provenance_of("resistance_mohm") is Provenance.MAKER


def test_another_source_drops_the_spread(taken: Take) -> None:
    found = taken(f"{HEADER},provenance\nHeath 36,3300,9.6,resistance_mohm=measured\n")
    assert found.spread_of("resistance_mohm") == 0.01


def test_what_a_row_changes_is_said(workshop: Workshop, table: Callable[[str], Path]) -> None:
    path = table(
        f"{HEADER},provenance,spread\n"
        "Heath 36,3300,9.6,resistance_mohm=worked-out,resistance_mohm=0.105\n"
    )
    (row,) = workshop.tables.preview(path).rows
    assert row.changes == (Change("winding resistance", "(± 28 %)", "(± 10.5 %)"),)


@pytest.mark.parametrize("spread", ["0", "2.1", "-0.1", "wide", "nan", "1.2.3"])
def test_a_spread_that_is_none_refuses_its_row(
    workshop: Workshop, table: Callable[[str], Path], spread: str
) -> None:
    path = table(f"{HEADER},spread\nHeath 36,3300,9.6,resistance_mohm={spread}\n")
    (row,) = workshop.tables.preview(path).rows
    (refusal,) = row.refusals
    assert (refusal.column, refusal.value) == ("spread", spread)
    assert refusal.expected.startswith("a number above 0 to 2")


def test_a_spread_of_no_figure_is_refused(workshop: Workshop, table: Callable[[str], Path]) -> None:
    path = table(f"{HEADER},spread\nHeath 36,3300,9.6,colour=0.1\n")
    (row,) = workshop.tables.preview(path).rows
    (refusal,) = row.refusals
    assert (
        refusal.expected == "a figure of a motor and its spread, as in heat_capacity_j_per_k=0.28"
    )
