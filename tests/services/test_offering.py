"""Offers changed, and each change taken back exactly."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from pennyspeed.domain.errors import NotFound
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.workshop import Workshop


def price(minor: int, supplier: str, day: str = "2027-03-01") -> Price:
    return Price(Money(minor, "EUR"), date.fromisoformat(day), supplier)


@pytest.fixture
def part(workshop: Workshop) -> Part:
    return workshop.catalogue.save_part(Part("motor", "Wren 3000", {"kv_rpm_per_v": 3000.0}))


@pytest.fixture
def id(part: Part) -> int:
    assert part.id is not None
    return part.id


def test_a_first_offer_is_the_parts_price_and_undoing_it_leaves_none(
    workshop: Workshop, id: int
) -> None:
    change = workshop.offers.change(id, None, price(2990, "Seed box"))
    assert workshop.catalogue.part(id).price == price(2990, "Seed box")
    workshop.catalogue.turn_back([change])
    assert workshop.catalogue.part(id).price is None
    assert workshop.offers.of([id])[id] == ()


def test_the_parts_own_price_stays_its_own_when_it_is_corrected(
    workshop: Workshop, id: int
) -> None:
    own = price(2990, "Seed box")
    workshop.offers.change(id, None, own)
    workshop.offers.change(id, None, price(2500, "Post counter"))
    assert workshop.catalogue.part(id).price == own

    moved = replace(own, supplier="Seed shop", in_stock=4)
    change = workshop.offers.change(id, own, moved)
    assert workshop.catalogue.part(id).price == moved
    assert workshop.catalogue.price_history(id).count(own) == 0

    workshop.catalogue.turn_back([change])
    assert workshop.catalogue.part(id).price == own
    assert {one.supplier for one in workshop.offers.of([id])[id]} == {"Seed box", "Post counter"}


def test_a_deleted_offer_comes_back_as_it_was(workshop: Workshop, id: int) -> None:
    own, other = price(2990, "Seed box"), replace(price(2500, "Post counter"), lead_days=6)
    workshop.offers.change(id, None, own)
    workshop.offers.change(id, None, other)
    change = workshop.offers.change(id, other, None)
    assert workshop.offers.of([id])[id] == (own,)
    workshop.catalogue.turn_back([change])
    assert other in workshop.offers.of([id])[id]
    assert workshop.catalogue.part(id).price == own


def test_what_is_not_there_cannot_be_changed_and_nothing_is(workshop: Workshop, id: int) -> None:
    workshop.offers.change(id, None, price(2990, "Seed box"))
    before = workshop.catalogue.price_history(id)
    with pytest.raises(NotFound):
        workshop.offers.change(id, price(1, "Nobody"), price(2, "Nobody"))
    assert workshop.catalogue.price_history(id) == before
