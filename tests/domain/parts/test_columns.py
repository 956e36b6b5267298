"""Columns say of every part what the part says of itself."""

from __future__ import annotations

import math
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from builds import a_build
from pennyspeed.domain.kinds import BY_KEY, SLOTS
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.columns import Columns
from pennyspeed.domain.parts.fields import Shape
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.domain.parts.provenance import Provenance


def variants(slot: str) -> list[Part]:
    """The part, the part with nothing that need not be given, and the part a little changed."""
    part = a_build().parts[slot]
    bare = {field.key: part.figures[field.key] for field in part.kind.fields if field.required}
    changed = {
        key: value * 1.25 if isinstance(value, float) else value
        for key, value in part.figures.items()
    }
    return [part, replace(part, figures=bare), replace(part, figures=changed)]


@pytest.mark.parametrize("slot", SLOTS)
def test_every_column_is_what_each_part_says(slot: str) -> None:
    parts = variants(slot)
    columns = Columns(parts)
    for field in BY_KEY[slot].fields:
        if field.shape in (Shape.TEXT, Shape.CHOICE):
            assert columns.texts(field.key) == [str(one.figure(field.key) or "") for one in parts]
        elif field.shape is Shape.SIZE:
            sides = np.broadcast_arrays(*columns.sides(field.key), np.zeros(3))[:3]
            expected = [one.known(field.key) or (math.nan,) * 3 for one in parts]
            np.testing.assert_array_equal(np.transpose(sides), np.array(expected, dtype=float))
        else:
            for column, say in (
                (columns.known(field.key), Part.known_number),
                (columns.number(field.key), Part.number),
            ):
                expected = [say(one, field.key) for one in parts]
                np.testing.assert_array_equal(
                    np.broadcast_to(column, (3,)), np.array(expected, dtype=float), field.key
                )
        spreads = [one.spread_of(field.key) for one in parts]
        assert columns.spreads(field.key).tolist() == spreads


def test_what_is_the_same_in_all_stays_a_number() -> None:
    parts = variants("motor")
    assert Columns(parts[:1] * 3).number("kv_rpm_per_v") == 3100.0
    assert isinstance(Columns(parts).number("kv_rpm_per_v"), np.ndarray)
    assert math.isnan(float(Columns(parts[1:2] * 2).known("mass_g")))


def test_prices_of_another_currency_are_not_known() -> None:
    part = a_build().parts["motor"]
    day = date(2027, 1, 2)
    priced = [
        part,
        replace(part, price=Price(Money.of("12.50", "EUR"), day)),
        replace(part, price=Price(Money.of("9.00", "CHF"), day)),
    ]
    minor, known, _ = Columns(priced).prices("EUR")
    assert minor.tolist() == [0, 1250, 0]
    assert known.tolist() == [False, True, False]
    assert Columns(priced).prices("CHF")[0].tolist() == [0, 0, 900]


def test_a_part_is_found_by_its_number_or_else_by_what_it_is() -> None:
    part = a_build().parts["body"]
    others = [replace(part, id=3), replace(part, id=4), part, part.with_figure("mass_g", 9)]
    found = Columns(others)
    assert found.matching(replace(part, id=4, name="Renamed")).tolist() == [
        False, True, False, False
    ]  # fmt: skip
    assert found.matching(part).tolist() == [True, True, True, False]


def test_provenance_makes_the_spread() -> None:
    part = a_build().parts["body"]
    sure = replace(part, provenance={"drag_coefficient": Provenance.MEASURED})
    assert Columns([part, sure]).spreads("drag_coefficient").tolist() == [0.30, 0.01]
