"""The shelf's model without a window: columns, order, narrowing, money."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date
from decimal import Decimal

import numpy as np
import pytest
from PySide6.QtCore import Qt

from pennyspeed.desktop.shelf.shelf_model import ShelfModel
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import Rate
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.shelf import stock as table
from pennyspeed.services.shelf.answers import Answers, Question
from pennyspeed.services.shelf.candidates import candidates
from pennyspeed.services.shelf.concern import concern
from pennyspeed.services.shelf.stock import Stock, natural_key, ranks

UP, DOWN = Qt.SortOrder.AscendingOrder, Qt.SortOrder.DescendingOrder


def motor(number: int, name: str, kv: float, price: str | None, **more: float) -> Part:
    asked = None if price is None else Price(Money.of(price, "EUR"), date(2027, 1, 1), "Quay shop")
    figures = {"kv_rpm_per_v": kv, "resistance_mohm": 10.0, **more}
    return Part("motor", name, figures, price=asked, id=number)


MOTORS = [
    motor(1, "Wren 9", 3000, "30.00", max_rpm=50_000.0),
    motor(2, "Wren 10", 2500, "45.50"),
    motor(3, "Rook 8", 4000, None, max_rpm=60_000.0),
    motor(4, "Rook, used", 3500, "12.00", max_rpm=40_000.0),
]


@pytest.fixture
def model(qtmodeltester: object) -> ShelfModel:
    model = ShelfModel()
    model.show_stock(Stock(BY_KEY["motor"], MOTORS, Measures()))
    return model


def names(model: ShelfModel) -> list[str]:
    return [model.rows.text(row, 0) for row in range(model.rowCount())]


def column(model: ShelfModel, key: str) -> int:
    return next(i for i, one in enumerate(model.rows.columns) if one.key == key)


def with_motor(part: Part, cap: str = "50.00") -> Build:
    return replace(Build("one").with_part(part), cap=Money.of(cap, "EUR"))


def show(model: ShelfModel, build: Build) -> None:
    """Show a build and what each part would make of it."""
    parts = model.rows.stock.parts
    found = candidates(build, parts)
    model.show_build(build)
    question = Question(build, parts, [], model.rows.stock.measures)
    model.show_answers(Answers(question, found, concern(found)))


def test_it_is_a_good_model(model: ShelfModel, qtmodeltester: object) -> None:
    qtmodeltester.check(model)
    model.narrow("wren")
    qtmodeltester.check(model)
    show(model, with_motor(MOTORS[0]))
    qtmodeltester.check(model)
    model.sort(column(model, "left"), DOWN)
    qtmodeltester.check(model)
    model.show_fitting(True)
    qtmodeltester.check(model)


def test_sorts_by_the_first_figure_until_told_otherwise(model: ShelfModel) -> None:
    assert names(model) == ["Wren 10", "Wren 9", "Rook, used", "Rook 8"]


def test_names_sort_as_people_count(model: ShelfModel) -> None:
    model.sort(0, UP)
    assert names(model) == ["Rook 8", "Rook, used", "Wren 9", "Wren 10"]
    assert natural_key("9 teeth") < natural_key("10 teeth")
    assert list(ranks(("b", "a", "b"))) == [1.0, 0.0, 1.0]


@pytest.mark.parametrize(
    "changes",
    [{"mass_g": 180.25}, {"mass_g": None}, {"kv_rpm_per_v": 2.5, "max_rpm": 12.0}, {}],
    ids=str,
)
def test_a_stock_made_from_the_one_before_is_as_if_made_anew(changes: dict[str, float]) -> None:
    kind = BY_KEY["motor"]
    parts = [replace(part, id=i) for i, part in enumerate(MOTORS)]
    before = Stock(kind, parts, Measures())
    texts = [before.text(c, i) for c in range(len(before.columns)) for i in range(len(parts))]
    other = parts[1]
    for key, value in changes.items():
        other = other.with_figure(key, value)
    after = [parts[0], replace(other, name="Wren 7"), *parts[2:]]
    made, anew = Stock(kind, after, Measures(), before), Stock(kind, after, Measures())
    for keys, wanted in zip(made.keys, anew.keys, strict=True):
        np.testing.assert_array_equal(keys, wanted)
    for c in range(len(anew.columns)):
        for i in range(len(parts)):
            assert made.text(c, i) == anew.text(c, i)
    assert made.haystacks == anew.haystacks
    # Nor did the one before lose anything by it.
    assert texts == [before.text(c, i) for c in range(len(made.columns)) for i in range(len(parts))]


@pytest.mark.parametrize("order", [UP, DOWN])
def test_what_is_not_known_comes_last_either_way(model: ShelfModel, order: Qt.SortOrder) -> None:
    model.sort(column(model, "max_rpm"), order)
    assert names(model)[-1] == "Wren 10"
    assert model.rows.text(3, column(model, "max_rpm")) == "not known"
    model.sort(column(model, "price"), order)
    assert names(model)[-1] == "Rook 8"


def test_narrowing_needs_every_word_and_looks_at_the_supplier(model: ShelfModel) -> None:
    model.narrow("rook USED")
    assert names(model) == ["Rook, used"]
    model.narrow("quay")
    assert len(names(model)) == 3
    model.narrow("nothing of the kind")
    assert model.rowCount() == 0
    assert model.rows.total == 4
    model.narrow("")
    assert model.rowCount() == 4


def test_change_and_left_against_the_part_in_the_slot(model: ShelfModel) -> None:
    build = with_motor(MOTORS[0])
    show(model, build)
    change, left = column(model, "change"), column(model, "left")
    told = {
        model.rows.text(r, 0): (model.rows.text(r, change), model.rows.text(r, left))
        for r in range(4)
    }
    assert told == {
        "Wren 9": ("now", "20.00"),
        "Wren 10": ("+15.50", "4.50"),
        "Rook 8": ("not known", "not known"),
        "Rook, used": ("−18.00", "38.00"),
    }
    assert model.rows.row_now == names(model).index("Wren 9")


def test_a_part_that_passes_the_cap_is_marked(model: ShelfModel) -> None:
    build = with_motor(MOTORS[0], cap="40.00")
    show(model, build)
    left = column(model, "left")
    over = {model.rows.text(r, 0) for r in range(4) if model.rows.is_over(r, left)}
    assert over == {"Wren 10"}


def test_a_price_in_another_currency_says_so(model: ShelfModel) -> None:
    price = Price(Money.of("20.00", "USD"), date(2027, 1, 1))
    foreign = replace(MOTORS[0], price=price, id=9, name="Far 1")
    model.show_stock(Stock(BY_KEY["motor"], [foreign], Measures()))
    build = with_motor(MOTORS[1])
    show(model, build)
    assert model.rows.text(0, column(model, "price")) == "20.00 USD"
    assert model.rows.text(0, column(model, "change")) == "not known"


def test_a_price_in_another_currency_stands_at_the_rate_of_the_build(model: ShelfModel) -> None:
    price = Price(Money.of("20.00", "USD"), date(2027, 1, 1))
    foreign = replace(MOTORS[0], price=price, id=9, name="Far 1")
    model.show_stock(Stock(BY_KEY["motor"], [foreign, MOTORS[3]], Measures()))
    rate = Rate("USD", Decimal("0.92"), date(2027, 1, 1))
    show(model, with_motor(MOTORS[1]).with_rate(rate))
    model.sort(column(model, "price"), UP)
    assert [model.rows.text(row, column(model, "price")) for row in range(2)] == ["12.00", "18.40"]
    # 20.00 USD × 0.92 in place of 45.50 EUR
    assert model.rows.text(1, column(model, "change")) == "−27.10"


def test_packs_do_not_count_unless_somebody_says(model: ShelfModel) -> None:
    price = Price(Money.of("28.00", "EUR"), date(2027, 1, 1))
    figures = {"cells_series": 3, "capacity_mah": 4000.0, "cell_resistance_mohm": 4.0}
    pack = Part("pack", "Millet", figures, price=price, id=1)
    model.show_stock(Stock(BY_KEY["pack"], [pack], Measures()))
    build = replace(Build("one"), cap=Money.of("50.00", "EUR"))
    show(model, build)
    assert model.rows.text(0, column(model, "change")) == "0.00"
    assert model.rows.text(0, column(model, "left")) == "50.00"


def test_sorting_keeps_hold_of_a_row(model: ShelfModel) -> None:
    from PySide6.QtCore import QPersistentModelIndex

    kept = QPersistentModelIndex(model.index(1, 0))
    part = model.rows.part(1)
    model.sort(0, DOWN)
    assert model.rows.part(kept.row()) is part


def test_decimals_are_those_that_the_column_needs() -> None:
    parts = [motor(i, f"M{i}", 3000, None, can_mm=can) for i, can in enumerate((36.0, 28.5))]
    model = ShelfModel()
    model.show_stock(Stock(BY_KEY["motor"], parts, Measures()))
    can = column(model, "can_mm")
    assert {model.rows.text(row, can) for row in range(2)} == {"36.0", "28.5"}


def test_thousands_of_rows_are_the_models_own_work(model: ShelfModel) -> None:
    many = [motor(i, f"Wren {i}", 1000 + i % 700, "10.00") for i in range(5000)]
    model.show_stock(Stock(BY_KEY["motor"], many, Measures()))
    model.sort(column(model, "kv_rpm_per_v"), DOWN)
    keys = [float(model.rows.part(row).figures["kv_rpm_per_v"]) for row in range(5000)]
    assert keys == sorted(keys, reverse=True)
    model.narrow("wren 4999")
    assert names(model) == ["Wren 4999"]


def test_of_thousands_only_what_was_edited_is_priced_anew(monkeypatch: pytest.MonkeyPatch) -> None:
    kind, parts = BY_KEY["motor"], list(MOTORS)
    before = Stock(kind, parts, Measures())
    before.prices("EUR")
    dearer = replace(parts[2], price=Price(Money(98700, "EUR"), date(2027, 3, 1), "Seed box"))
    after = [*parts[:2], dearer, *parts[3:]]
    asked: list[int] = []
    real = table._priced

    def counted(some: Sequence[Part], *given: object) -> object:
        asked.append(len(some))
        return real(some, *given)  # type: ignore[arg-type]

    monkeypatch.setattr(table, "_priced", counted)
    made = Stock(kind, after, Measures(), before)
    found = made.prices("EUR")
    assert asked == [1]
    assert found[2] == 98700
    np.testing.assert_array_equal(found, Stock(kind, after, Measures()).prices("EUR"))
