"""The plot of spending: what it says is what the timeline holds, and it can be read."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable
from datetime import timedelta
from decimal import Decimal
from itertools import combinations

import pytest
from PySide6.QtCore import QRectF, Qt
from PySide6.QtTest import QTest
from pytestqt.qtbot import QtBot

from builds import a_build
from desktop.money_story import DAYS_LATE, day, with_story
from pennyspeed.desktop.charts.saving import csv as plot_csv
from pennyspeed.desktop.charts.saving import svg
from pennyspeed.desktop.charts.views.spending import SpendingChart
from pennyspeed.desktop.widgets import theme
from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.timeline import timeline
from pennyspeed.services.charts.spending import sums_at
from pennyspeed.services.charts.spending_steps import steps_of
from pennyspeed.services.prediction.forecast import forecast

SIZES = ((822, 200, 100), (822, 272, 100), (512, 176, 100), (1000, 420, 200))


@pytest.fixture
def plot(keeper: theme.ThemeKeeper, qtbot: QtBot) -> Callable[..., SpendingChart]:
    def make(build: Build, width: int = 822, height: int = 240) -> SpendingChart:
        made = SpendingChart()
        qtbot.addWidget(made)
        made.resize(width, height)
        made.show()
        made.show_forecast(forecast(build), Measures())
        made.settle()
        return made

    return make


def test_the_line_ends_at_the_books_own_sums(plot: Callable[..., SpendingChart]) -> None:
    build = with_story(a_build())
    found = book(build)
    made = plot(build)
    shown, layout = made.spending, made.layout_shown
    assert shown is not None
    assert layout is not None
    # 58.00 + 11.04 + 10.53 are spent, 49.44 + 10.53 promised, 34.90 planned.
    assert [found.spent.minor, found.promised.minor, found.planned.minor] == [7957, 5997, 3490]
    scale = layout.scale
    assert layout.gone[-1].y() == pytest.approx(scale.y(79.57 + 59.97))
    assert layout.spent[-1].y() == pytest.approx(scale.y(79.57))
    assert layout.planned[-1].y() == pytest.approx(scale.y(174.44))
    assert layout.cap == pytest.approx(scale.y(260.0))
    assert steps_of(shown.steps)[-1].level == found.counted.minor
    assert layout.today == pytest.approx(scale.x(shown.place(day(0))))
    assert layout.event == pytest.approx(scale.x(shown.place(day(80 - DAYS_LATE))))


def test_each_line_runs_from_its_order_to_its_arrival(plot: Callable[..., SpendingChart]) -> None:
    build = with_story(a_build())
    made = plot(build)
    shown, layout = made.spending, made.layout_shown
    assert shown is not None
    assert layout is not None
    ways = {way.span.entry.line.called: way for way in layout.ways}
    chassis = ways[build.lines[0].name]
    for x, ahead in ((chassis.start.x(), -40), (chassis.end.x(), -38)):
        assert x == pytest.approx(layout.scale.x(shown.place(day(ahead))))
    late = ways[build.lines[3].name]
    assert late.days_late == DAYS_LATE
    texts = [label.words.text for label in layout.labels]
    assert f"motor 34.90, {DAYS_LATE} days late" in texts
    assert len(layout.signs) == 1
    assert f"{build.lines[3].name} {DAYS_LATE} days late" in made.summary


def test_arrow_keys_read_the_sums_day_by_day(plot: Callable[..., SpendingChart]) -> None:
    build = with_story(a_build())
    made = plot(build)
    steps = timeline(build, book(build), day(0))
    made.setFocus()
    QTest.keyClick(made, Qt.Key.Key_Right)
    assert made.card is not None
    assert dict(made.card.rows)["spent"] == "58.00"
    QTest.keyClick(made, Qt.Key.Key_Left)
    assert made.card is not None
    assert dict(made.card.rows)["spent"] == "0.00"
    assert made.spending is not None
    for ahead in (-40, -39, -10, -1, 0, 79, 80):
        made.read_at(made.spending.place(day(ahead)))
        card = made.card
        assert card is not None
        spent, promised, planned = sums_at(steps, day(ahead))
        rows = dict(row[:2] for row in card.rows)
        assert Decimal(rows["spent"]) * 100 == spent
        assert Decimal(rows["promised"]) * 100 == promised
        assert Decimal(rows["planned"]) * 100 == planned
        assert Decimal(rows["together"]) * 100 == spent + promised + planned
        assert Decimal(rows["left of the cap"]) * 100 == 26000 - spent - promised - planned
    assert dict(row[:2] for row in card.rows)["comes"] == f"{build.lines[3].name} 34.90"


def test_the_figures_are_saved_to_the_last_digit(plot: Callable[..., SpendingChart]) -> None:
    build = with_story(a_build())
    made = plot(build)
    rows = list(csv.DictReader(io.StringIO(plot_csv(made).decode("utf-8-sig"))))
    steps = timeline(build, book(build), day(0))
    assert [row["day"] for row in rows] == [one.isoformat() for one in steps.days]
    assert rows[-1]["together [EUR]"] == "174.44"
    drawing = svg(made).decode()
    for text in ("Spent over time", "cap", "motor 34.90, 10 days late"):
        assert text in drawing


def test_what_is_tried_has_a_line_of_its_own(plot: Callable[..., SpendingChart]) -> None:
    build = with_story(a_build())
    other = build.with_new_line(build.lines[3])
    made = plot(build)
    assert made.layout_shown is not None
    assert not made.layout_shown.ghost
    made.show_forecast(forecast(build), Measures(), forecast(other), "a second motor")
    layout = made.layout_shown
    assert layout.ghost[-1].y() == pytest.approx(layout.scale.y(174.44 + 34.90))
    assert "with a second motor 209.34" in made.summary


@pytest.mark.parametrize(("width", "height", "percent"), SIZES)
def test_no_label_covers_another_or_leaves_the_plot(
    plot: Callable[..., SpendingChart],
    keeper: theme.ThemeKeeper,
    width: int,
    height: int,
    percent: int,
) -> None:
    keeper.choose_text(percent)
    made = plot(with_story(a_build()), width, height)
    layout = made.layout_shown
    assert layout is not None
    boxes = [label.box for label in layout.labels]
    whole = QRectF(made.rect()).adjusted(-1, -1, 1, 1)
    for label, box in zip(layout.labels, boxes, strict=True):
        assert whole.contains(box), label.words.text
    for (one, a), (other, b) in combinations(zip(layout.labels, boxes, strict=True), 2):
        covered = a.adjusted(1, 3, -1, -3).intersects(b.adjusted(1, 3, -1, -3))
        assert not covered, (one.words.text, other.words.text)


@pytest.mark.parametrize(("more", "name"), [(0, "motor"), (1, "motor and motor"), (2, "3 lines")])
def test_two_things_of_a_step_are_named_and_more_are_counted(more: int, name: str) -> None:
    build = with_story(a_build())
    for _ in range(more):
        build = build.with_new_line(build.lines[3])
    assert steps_of(timeline(build, book(build), day(0)))[-1].name == name


def test_without_lines_it_says_so(plot: Callable[..., SpendingChart]) -> None:
    made = plot(Build("bare", parts=a_build().parts))
    assert not made.has_curve
    assert made.table() is None
    assert made.summary == "Nothing of this build has been written down as money yet."


def test_money_without_any_day_stands_today(plot: Callable[..., SpendingChart]) -> None:
    build = a_build()
    for part in build.parts.values():
        build = build.with_part(part)
    made = plot(build)
    assert made.spending is not None
    assert made.spending.last - made.spending.first >= timedelta(days=14)
