"""`pennyspeed work-out`: what it says, what it does, and to which parts."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from cli_runs import Captured, ran_on
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.services.workshop import Workshop


def inductance(data: Path, name: str = "Greenhouse 3100") -> object:
    with Workshop.open(data) as workshop:
        (part,) = (one for one in workshop.catalogue.parts("motor") if one.name == name)
    return part.figures.get("inductance_uh")


def test_a_look_lists_and_changes_nothing(capsys: Captured, data: Path):
    code, out, _ = ran_on(capsys, data, "work-out", "Greenhouse 3100", "--look")
    assert code == 0
    # 0.45 µH/mΩ · 11 mΩ = 4.95 µH, ± 45 %
    head, line, *_ = (re.split(r" {2,}", one) for one in out.splitlines())
    assert head == ["part", "figure", "likely, 8 in 10", "worked out from"]
    assert line == [
        "Greenhouse 3100",
        "winding inductance",
        "about 5.0 µH",
        "3 to 9",
        "resistance and a rule",
    ]
    assert inductance(data) is None


def test_it_fills_in_one_part_and_then_nothing_is_missing(capsys: Captured, data: Path):
    code, out, _ = ran_on(capsys, data, "work-out", "Greenhouse 3100", "--json")
    (found,) = json.loads(out)["figures"]
    assert code == 0
    assert (found["part"], found["key"], found["peers"]) == ("Greenhouse 3100", "inductance_uh", 0)
    assert found["value"] == pytest.approx(4.95)
    assert found["low"] < found["value"] < found["high"]
    assert inductance(data) == pytest.approx(4.95)
    code, out, _ = ran_on(capsys, data, "work-out", "Greenhouse 3100")
    assert (code, out) == (0, "Nothing is missing that can be worked out.\n")
    code, out, _ = ran_on(capsys, data, "work-out", "Greenhouse 3100", "--again", "--json")
    assert [one["key"] for one in json.loads(out)["figures"]] == ["inductance_uh"]


def test_without_a_name_it_is_every_part_and_the_builds_are_listed(capsys: Captured, data: Path):
    with Workshop.open(data) as workshop:
        build = workshop.builds.named("Allotment runner")
        motor = build.parts["motor"].with_figure("mass_g", None)
        workshop.catalogue.change_part(motor.with_figure("mass_g", 185.0))
        stored = workshop.catalogue.part(motor.id or 0)
        stored = stored.with_figure("no_load_current_a", 0.0)
        workshop.catalogue.change_part(stored)
        with workshop.begin() as work:
            (dunlin,) = (one for one in work.parts.of_kind("motor") if one.name == "Dunlin 2900")
            work.parts.save(dunlin.with_figure("inductance_uh", None))
            work.commit()
    code, out, _ = ran_on(capsys, data, "work-out")
    assert code == 0
    assert "Dunlin 2900" in out
    assert inductance(data, "Dunlin 2900") is not None
    with Workshop.open(data) as workshop:
        part = workshop.builds.named("Allotment runner").parts["motor"]
    assert part.figures["no_load_current_a"] == 0.0, "a 0 that somebody gave is given"
    assert part.provenance_of("inductance_uh") is Provenance.WORKED_OUT


def test_a_part_that_is_not_there_is_one_sentence(capsys: Captured, data: Path):
    code, out, err = ran_on(capsys, data, "work-out", "Nobody 12")
    assert (code, out) == (2, "")
    assert err == "No part is called 'Nobody 12'; pennyspeed parts lists those of a kind.\n"
