"""What sums leave out is said wherever they stand: in the window, on the sheet, in the terminal."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from PySide6.QtCore import Qt
from PySide6.QtTest import QTest

from pennyspeed.cli import run
from pennyspeed.desktop.money.money_panel import MoneyPanel
from pennyspeed.desktop.window import Window
from pennyspeed.domain.money.costs import costs
from pennyspeed.services.money.money_rows import BY_KIND
from pennyspeed.services.reports.report import says_cost
from pennyspeed.services.shopping.affordable_rows import cap_note

OUT = "and 1 line without a price"


@pytest.fixture
def unpriced(window: Window) -> Window:
    """A window on a build whose motor counts and has no price."""
    build = window.session.bench.build
    assert build is not None
    place = build.fitted_line("motor")
    assert place is not None
    line = replace(build.lines[place], unit_price=None, currency="")
    window.session.builds.change(build.with_line(place, line), "forgot it", "knew it again")
    return window


def test_every_sum_in_the_window_says_what_it_leaves_out(unpriced: Window) -> None:
    build, measures = unpriced.session.bench.build, unpriced.session.bench.measures
    assert build is not None
    assert OUT in unpriced.verdict.accessibleDescription()
    assert OUT in unpriced.verdict.unknowns.folded
    assert OUT in unpriced.verdict.bar.accessibleDescription()
    QTest.keyClick(unpriced.row, Qt.Key.Key_9)
    panel = unpriced.pages.currentWidget()
    assert isinstance(panel, MoneyPanel)
    assert panel.bar.left.endswith(f"left {OUT}")
    assert panel.foot.remark == OUT
    assert OUT in panel.plot.accessibleDescription()
    assert OUT in cap_note(build, measures)
    panel.arranged.choose(BY_KIND)
    assert OUT in panel.model.rows[panel.model.row_of(f"{BY_KIND} motor")].notes


def test_the_verdict_gives_it_a_line_of_its_own(
    unpriced: Window, settle: Callable[[Window], None]
) -> None:
    room = unpriced.verdict.checks.y()
    unpriced.session.undo_stack.undo()
    assert unpriced.verdict.checks.y() < room


def test_the_sheet_and_the_terminal_say_it(
    unpriced: Window, file: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    build, measures = unpriced.session.bench.build, unpriced.session.bench.measures
    assert build is not None
    assert says_cost(costs(build), measures).endswith(f"left {OUT}")
    paper = file.with_name("sheet.txt")
    assert run(["--data", str(file), "sheet", build.name, "-o", str(paper)]) == 0
    assert OUT in " ".join(paper.read_text(encoding="utf-8").split())
    for command in ("predict", "money"):
        capsys.readouterr()
        assert run(["--data", str(file), command, build.name]) == 0
        assert OUT in " ".join(capsys.readouterr().out.split())
