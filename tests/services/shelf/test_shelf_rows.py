"""The shelf without a window: which rows, which columns, and what a swap is called."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest

from builds import a_build
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import IN, OZ
from pennyspeed.services.shelf.answers import Question, answer
from pennyspeed.services.shelf.arrangement import in_sight
from pennyspeed.services.shelf.column_widths import Limits, share
from pennyspeed.services.shelf.row_texts import fitting_words, order_words, pairing_words
from pennyspeed.services.shelf.shelf_rows import ShelfRows
from pennyspeed.services.shelf.stock import Stock
from pennyspeed.services.shelf.stocks import Pairs, Stocks
from pennyspeed.services.shelf.swaps import bought, swap_of

BUILD = a_build()
OWN = BUILD.parts["motor"]
QUICK = OWN.with_figure("kv_rpm_per_v", 3600.0)
THICK = OWN.with_figure("can_mm", 60.0)
MOTORS = [
    OWN,
    Part("motor", "Quick 3600", QUICK.figures),
    Part("motor", "Thick 3100", THICK.figures),
]


@pytest.fixture
def rows() -> ShelfRows:
    """Three motors, answered."""
    rows = ShelfRows()
    rows.show_build(BUILD)
    rows.show_stock(Stock(BY_KEY["motor"], MOTORS, METRIC))
    rows.answers = answer(Question.about(BUILD, rows.stock), lambda _: rows.order, None)
    rows.arrange()
    return rows


def names(rows: ShelfRows) -> list[str]:
    return [rows.text(row, 0) for row in range(len(rows))]


def test_fastest_first_and_what_does_not_fit_last(rows: ShelfRows) -> None:
    assert names(rows)[-1] == "Thick 3100"
    column, falls = rows.sorted_by
    assert (rows.columns[column].key, falls) == ("speed", True)
    fits = [rows.fits(row) for row in range(3)]
    assert fits == [True, True, False]
    speeds = [float(rows.text(row, column)) for row in range(2)]
    assert speeds == sorted(speeds, reverse=True)


def test_narrowed_and_only_what_fits(rows: ShelfRows) -> None:
    rows.fits_only = True
    rows.arrange()
    assert sorted(names(rows)) == sorted([OWN.name, "Quick 3600"])
    rows.narrowing = "3600"
    rows.arrange()
    assert names(rows) == ["Quick 3600"]
    assert (rows.total, rows.unfit) == (3, 1)


def test_each_shelf_is_sorted_in_its_own_way(rows: ShelfRows) -> None:
    rows.sort(0, descending=True)
    rows.arrange()
    assert names(rows)[0] == "Quick 3600"
    motors = rows.stock
    rows.show_stock(Stock(BY_KEY["pack"], [BUILD.parts["pack"]], METRIC))
    assert rows.sorting_key == "speed"
    rows.show_stock(motors)
    assert rows.sorting_key == "name"


def test_a_question_is_about_parts_or_pairs() -> None:
    stock = Stock(BY_KEY["motor"], MOTORS, METRIC)
    one = Question.about(BUILD, stock)
    assert (one.ones, one.others) == (MOTORS, [])
    others = Stock(BY_KEY["controller"], [BUILD.parts["controller"]], METRIC)
    pairs = Question.about(BUILD, Pairs(stock, others))
    assert (pairs.ones, pairs.others) == (MOTORS, others.parts)
    assert pairs.is_of(Question.about(BUILD, Pairs(stock, others)))
    assert not pairs.is_of(one)
    none = Question.about(BUILD, Pairs(stock, Stock(BY_KEY["controller"], [], METRIC)))
    assert (none.ones, none.others) == ([], [])


def test_pairs_of_the_same_cars_keep_their_bands() -> None:
    controllers = Stock(BY_KEY["controller"], [BUILD.parts["controller"]], METRIC)
    pairs = Pairs(Stock(BY_KEY["motor"], MOTORS, METRIC), controllers)
    every = np.arange(3)
    before = answer(Question.about(BUILD, pairs), lambda _: every, None)
    assert before.has_band.all()
    swapped = Question.about(BUILD.with_part(MOTORS[1]), pairs)
    after = answer(swapped, lambda _: every[:0], before)
    assert after.p10.tolist() == before.p10.tolist()
    assert after.is_drawn.all()
    other_road = Question.about(BUILD.with_condition("road_m", 90.0), pairs)
    assert not answer(other_road, lambda _: every[:0], before).has_band.any()


def test_rows_in_sight_keep_their_distance_from_the_top() -> None:
    order = np.array([2, 0, 1])
    assert in_sight(order, 1, 0, 1).tolist() == [1]
    assert in_sight(order, 1, 1, 2).tolist() == [0, 1]
    assert in_sight(order, -1, None, 2).tolist() == [2, 0]


def test_stocks_are_made_once_and_pairs_where_asked() -> None:
    shelf = {"motor": MOTORS, "controller": [BUILD.parts["controller"]]}
    stocks = Stocks(lambda slot, archived: shelf[slot])
    one = stocks.shown("motor", False, False, "", METRIC)
    assert stocks.shown("motor", False, False, "", METRIC) is one
    pairs = stocks.shown("motor", False, True, "", METRIC)
    assert len(pairs) == 3
    assert pairs.parts_at(2) == (MOTORS[2], BUILD.parts["controller"])


# Columns ------------------------------------------------------------------------------------------

WANTS = {"name": 200, "kv": 60, "g": 50, "band": 116, "speed": 50, "gain": 50, "price": 60,
         "change": 60, "check": 160}  # fmt: skip
LIMITS = Limits((128, 320), 300, 230)


def shared(room: int, sorted_by: str = "speed", *hidden: str) -> dict[str, int]:
    return share(room, WANTS, 1, 3, sorted_by, frozenset(hidden), LIMITS)


@pytest.mark.parametrize("room", [400, 520, 640, 760, 900, 1200])
def test_columns_fill_the_room_and_are_whole(room: int) -> None:
    widths = shared(room)
    assert room - len(widths) < sum(widths.values()) <= room
    assert all(widths[key] >= WANTS[key] for key in widths if key != "name")
    assert widths["name"] >= 128


def test_figures_and_then_the_price_change_come_where_there_is_room() -> None:
    answers = set(WANTS) - {"kv", "g", "change"}
    assert set(shared(640)) == answers
    assert set(shared(700)) == answers | {"kv"}
    assert set(shared(760)) == answers | {"kv", "g"}
    assert set(shared(810)) == set(WANTS)


def test_what_sorts_stays_and_what_is_hidden_makes_room() -> None:
    assert "gain" not in shared(520)
    assert "gain" in shared(520, "gain")
    assert "gain" in shared(520, "speed", "check", "price")
    assert "name" in shared(900, "speed", "name")


# Words --------------------------------------------------------------------------------------------


def test_switches_say_what_they_would_do() -> None:
    assert fitting_words(0, hidden=False) == ""
    assert fitting_words(1, hidden=False) == "hide 1 that does not fit"
    assert fitting_words(1200, hidden=True) == "show 1,200 that do not fit"
    assert pairing_words(BY_KEY["motor"], paired=False) == "with every controller"
    assert pairing_words(BY_KEY["motor"], paired=True) == "motors alone"
    assert pairing_words(BY_KEY["body"], paired=False) == ""


def test_the_order_is_said_in_words(rows: ShelfRows) -> None:
    said = {column.key: order_words(column, True) for column in rows.columns}
    assert said["speed"] == "fastest first"
    assert said["name"] == "by name, last first"
    assert said["kv_rpm_per_v"] == "by rpm/V, largest first"


def test_a_swap_says_how_it_is_undone() -> None:
    pinion, spur = BUILD.parts["pinion"], BUILD.parts["spur"]
    larger = Part("pinion", "35 teeth", {**pinion.figures, "teeth": 35})
    assert bought(BUILD, (larger, spur)) == (larger,)
    assert bought(None, (larger,)) == ()
    smaller = Part("spur", "60 teeth", {**spur.figures, "teeth": 60})
    both = swap_of(BUILD, (larger, smaller))
    assert both is not None
    assert [both.build.parts[slot] for slot in ("pinion", "spur")] == [larger, smaller]
    assert both.done == "put in 35 teeth with 60 teeth"
    assert both.undone == "put back 33 teeth with 66 teeth"
    one = swap_of(BUILD, (larger, spur))
    assert one is not None
    assert (one.done, one.undone) == ("put in 35 teeth", "put back 33 teeth")
    bare = swap_of(BUILD.without_part("spur"), (larger, spur))
    assert bare is not None
    assert bare.undone == "took 35 teeth with 66 teeth out again"
    assert swap_of(BUILD, (pinion, spur)) is None


def test_none_of_it_needs_a_window() -> None:
    modules = ("shelf.shelf_rows", "shelf.column_widths", "shelf.stocks", "gears.gear_cells")
    imports = "".join(f"import pennyspeed.services.{name}\n" for name in modules)
    check = f"{imports}import sys\nassert not any('PySide6' in name for name in sys.modules)"
    subprocess.run([sys.executable, "-c", check], check=True)


@pytest.mark.parametrize("left", [2, 4])
def test_a_stock_of_more_or_fewer_parts_takes_no_column_from_the_one_before(left: int) -> None:
    kind = BY_KEY["motor"]
    before = Stock(kind, MOTORS, METRIC)
    parts = [MOTORS[2], MOTORS[1], OWN, OWN][:left]
    made, anew = Stock(kind, parts, METRIC, before), Stock(kind, parts, METRIC)
    for found, wanted in zip(made.keys, anew.keys, strict=True):
        np.testing.assert_array_equal(found, wanted)


def test_a_stock_in_other_units_takes_no_column_from_the_one_before() -> None:
    kind, imperial = BY_KEY["motor"], Measures(length_unit=IN, mass_unit=OZ)
    before = Stock(kind, MOTORS, METRIC)
    made, anew = Stock(kind, MOTORS, imperial, before), Stock(kind, MOTORS, imperial)
    for found, wanted in zip(made.keys, anew.keys, strict=True):
        np.testing.assert_array_equal(found, wanted)
