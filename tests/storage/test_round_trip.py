"""What is stored comes back as it was, whatever it is."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from sqlalchemy import Engine

from builds import a_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput, Defect
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.storage.database import Work
from storage.values import any_build, any_part

thorough = settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow])


@pytest.fixture
def work(memory: Engine) -> Iterator[Work]:
    with Work(memory) as work:
        yield work


def same(part: Part, other: Part) -> bool:
    """Equal, and of the same types: 1 and 1.0 are equal to Python, but not to a form."""
    return part == other and json.dumps(dict(part.figures)) == json.dumps(dict(other.figures))


@thorough
@given(any_part)
def test_every_figure_of_a_part_comes_back(memory: Engine, part: Part) -> None:
    with Work(memory) as work:
        saved = work.parts.save(part)
        assert saved.id is not None
        assert same(work.parts.get(saved.id), part)
        listed = work.parts.of_kind(part.kind_key, archived=True)
        assert [found for found in listed if found.id == saved.id] == [part]


@thorough
@given(any_part, any_part)
def test_a_part_may_change_into_any_other(memory: Engine, part: Part, other: Part) -> None:
    with Work(memory) as work:
        saved = work.parts.save(part)
        work.parts.save(replace(other, id=saved.id))
        assert saved.id is not None
        assert same(work.parts.get(saved.id), other)


@thorough
@given(any_build())
def test_every_field_of_a_build_comes_back(memory: Engine, build: Build) -> None:
    with Work(memory) as work:
        saved = work.builds.save(build)
        assert saved.id is not None
        stored = work.builds.get(saved.id)
        assert stored == saved
        assert (stored.code, stored.revision) == (saved.code, 1)
        assert stored == build


@thorough
@given(any_build(), any_build())
def test_a_build_may_change_into_any_other(memory: Engine, build: Build, other: Build) -> None:
    with Work(memory) as work:
        saved = work.builds.save(build)
        assert saved.id is not None
        work.builds.save(replace(other, id=saved.id))
        stored = work.builds.get(saved.id)
        assert stored == other
        assert stored.code == saved.code
        assert stored.revision == (2 if other != build else 1)


def test_a_part_changed_more_than_once_is_remembered_as_it_was_at_first(work: Work) -> None:
    first = work.parts.save(a_build().extras[0])
    assert first.id is not None
    work.parts.watch()
    work.parts.save(replace(first, note="scratched"))
    work.parts.delete(first.id)
    (change,) = work.parts.changes()
    assert (change.before.part, change.after.part) == (first, None)


def test_decimal_text_keeps_its_digits(work: Work) -> None:
    line = replace(a_build().lines[0], quantity=Decimal("1.50"), unit_price=Decimal("0.10"))
    saved = work.builds.save(replace(a_build(), lines=(line,)))
    stored = work.builds.get(saved.id or 0).lines[0]
    assert (str(stored.quantity), str(stored.unit_price)) == ("1.50", "0.10")


def test_an_unchanged_build_is_not_written(work: Work) -> None:
    saved = work.builds.save(a_build())
    before = work.builds.entries()
    assert work.builds.save(saved).revision == saved.revision
    assert work.builds.entries() == before


def test_what_json_cannot_hold_is_refused(work: Work) -> None:
    part = replace(a_build().extras[0], unknown_keys={"rating": float("nan")})
    with pytest.raises(BadInput, match="what JSON can hold"):
        work.parts.save(part)


def test_a_cap_in_another_currency_is_refused(work: Work) -> None:
    with pytest.raises(BadInput, match="an amount in GBP"):
        work.builds.save(replace(a_build(), currency="GBP"))


def price(minor: int) -> Price:
    return Price(Money(minor, "EUR"), date(2027, 1, 2))


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE price SET minor = 1.5",
        "UPDATE price SET currency = 'EURO'",
        "UPDATE price SET is_current = 1",
        "UPDATE part SET figures = '{'",
        "UPDATE part SET archived = 2",
        "UPDATE build SET cap_minor = 'much'",
        "UPDATE build_part SET slot = 'motor' WHERE slot = 'extras'",
        "INSERT INTO build_part SELECT build_id, 'motor', 1, part_id FROM build_part LIMIT 1",
        "DELETE FROM part",
        "UPDATE build_part SET part_id = 99999",
    ],
)
def test_the_file_itself_refuses_nonsense(memory: Engine, statement: str) -> None:
    with Work(memory) as work:
        motor = work.builds.save(a_build()).parts["motor"]
        for minor in (100, 200):
            work.parts.save(replace(motor, price=price(minor)))
        with pytest.raises(sqlite3.IntegrityError):
            work.parts._connection.execute(statement)


def test_what_the_file_refuses_is_our_mistake_and_undone(memory: Engine) -> None:
    with pytest.raises(Defect, match="CHECK constraint"), Work(memory) as work:
        work.builds.save(replace(a_build(), name=""))
    with Work(memory) as work:
        assert work.builds.entries() == []


def test_a_transaction_that_is_over_takes_nothing_more(memory: Engine) -> None:
    with Work(memory) as work:
        work.settings.put("key", "before")
        work.commit()
        with pytest.raises(Defect, match="transaction had ended"):
            work.settings.put("key", "after")
    with Work(memory) as work:
        assert work.settings.get("key") == "before"
