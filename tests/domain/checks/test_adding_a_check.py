"""Adding a check: a class in a file of `domain/checks/`, listed in `CHECKS`, is heard everywhere.

A copy of the program gets one more check, as DEVELOPERS.md says, and a process of its own asks it.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

import pennyspeed
from builds import a_build
from copies import copy_program, run_copy
from pennyspeed import cli
from pennyspeed.desktop.verdict.checks import ChecksModel
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks.seen import LEVELS
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import METRIC
from pennyspeed.services.build_files import write_build
from pennyspeed.services.prediction.forecast import without_band
from pennyspeed.services.shelf.answer_columns import CHECK
from pennyspeed.services.shelf.answers import Answers, Question, Sight
from pennyspeed.services.shelf.candidates import CODES, candidates
from pennyspeed.services.shelf.concern import concern
from pennyspeed.services.shelf.row_texts import RowTexts
from pennyspeed.services.shelf.stock import Stock

WHEELS = '''"""Wheels: whether the tyres turn under the body."""

from pennyspeed.domain.checks.check import Limit
from pennyspeed.domain.checks.outcome import Level


class TyreHeight(Limit):
    """Stop where the tyres are taller than 66 mm."""

    code = "tyre-height"
    worst = Level.STOP
    slots = ("tyres", "body")
    needs = (("tyres", "diameter_mm"),)
    broken = "tyres rub"
    lacking = "height"

    def compared(self, seen):
        return seen.figure("tyres", "diameter_mm"), 66.0

    def text(self, facts, value, limit):
        return f"Tyres are {value:.0f} mm tall, the body takes {limit:.0f}"

    def advice(self, facts, value, limit):
        return f"Tyres up to {limit:.0f} mm turn freely"

    def by_how_much(self, value, limit, measures):
        return f"{value - limit:.0f} mm too tall"
'''


def on_tyres(height_mm: float) -> Build:
    build = a_build()
    return build.with_part(build.parts["tyres"].with_figure("diameter_mm", height_mm))


def ask(folder: Path) -> None:
    """Write what the copy says into `folder`, its report to the terminal."""
    assert Path(pennyspeed.__file__).is_relative_to(folder)
    said: dict[str, Any] = {}
    builds = {"fits": on_tyres(65), "rubs": on_tyres(70), "bare": a_build().without_part("tyres")}
    for name, build in builds.items():
        found = without_band(build).checks[-1]
        said[name] = [found.code, found.level, found.text, found.advice]
    lines = ChecksModel()
    lines.show(without_band(builds["rubs"]).checks)
    said["line"] = lines.data(lines.index(0))

    stock = [builds[name].parts["tyres"] for name in ("fits", "rubs")]
    rows = candidates(a_build(), stock)
    answers = Answers(Question(a_build(), stock, [], METRIC), rows, concern(rows))
    texts = RowTexts(Stock(BY_KEY["tyres"], stock, METRIC), Counter(), "EUR")
    place, level = int(rows.levels[:, 1].argmin()), int(rows.levels[:, 1].min())
    said["worst"] = [CODES[place], LEVELS[level], rows.fits.tolist()]
    said["out of sight"] = [texts.of_answer(answers, CHECK, row) for row in (0, 1)]
    answers.take(Sight(rows.shown((0, 1), worst=answers.concern.place), None))
    said["in sight"] = [texts.of_answer(answers, CHECK, row) for row in (0, 1)]
    bare = candidates(builds["bare"], [a_build().parts["motor"]])
    said["not known"] = int(bare.levels[CODES.index("tyre-height"), 0])
    (folder / "said.json").write_text(json.dumps(said))

    file = folder / "car.build.json"
    write_build(builds["rubs"], file)
    assert cli.run(["predict", str(file)]) == 0
    assert cli.run(["sheet", str(file), "--out", str(folder / "sheet.txt")]) == 0


@pytest.fixture(scope="module")
def copy(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a copy that has the check, and of what it said."""
    folder = tmp_path_factory.mktemp("copy").resolve()
    package = copy_program(folder)

    checks = package / "domain" / "checks"
    (checks / "wheels.py").write_text(WHEELS)
    listing = checks / "__init__.py"
    before = listing.read_text()
    after = before.replace("ratings, road\n", "ratings, road, wheels\n")
    after = after.replace("    plan.Late(),\n", "    plan.Late(),\n    wheels.TyreHeight(),\n")
    assert len(after.splitlines()) == len(before.splitlines()) + 1
    listing.write_text(after)

    said = run_copy(folder, __file__, str(folder))
    (folder / "report.txt").write_text(said, encoding="utf-8")
    return folder


@pytest.fixture
def said(copy: Path) -> Any:
    return json.loads((copy / "said.json").read_text())


TEXT = "Tyres are 70 mm tall, the body takes 66"
ADVICE = "Tyres up to 66 mm turn freely"


def test_the_forecast_and_the_panel_say_it(said: Any) -> None:
    assert said["fits"] == ["tyre-height", "ok", "Tyres are 65 mm tall, the body takes 66", ""]
    assert said["rubs"] == ["tyre-height", "stop", TEXT, ADVICE]
    assert said["bare"] == ["tyre-height", "unknown", "Still missing: tyres", ""]
    assert said["line"] == TEXT


def test_rows_of_the_shelf_are_judged_by_it_and_say_so_in_few_words(said: Any) -> None:
    assert said["worst"] == ["tyre-height", "stop", [True, False]]
    assert said["out of sight"] == ["fine", "tyres rub"]
    assert said["in sight"] == ["fine", "4 mm too tall"]
    assert said["not known"] == 2


@pytest.mark.parametrize("name", ["report.txt", "sheet.txt"])
def test_report_and_sheet_print_it(copy: Path, name: str) -> None:
    printed = " ".join((copy / name).read_text(encoding="utf-8").split())
    assert TEXT in printed
    assert ADVICE in printed
    assert "26 of 30 checks are fine" in printed


if __name__ == "__main__":
    ask(Path(sys.argv[1]))
