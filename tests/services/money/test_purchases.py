"""Purchases over time: swapped, renamed, copied, deleted, and taken back."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from builds import a_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import Order, Rate
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.services.money.line_changes import line_with_status
from pennyspeed.services.workshop import Workshop

ORDERED, CAME = date(2027, 3, 1), date(2027, 3, 9)


def a_motor(workshop: Workshop, name: str, price: str) -> Part:
    part = replace(a_build().parts["motor"], name=name)
    asked = Price(Money.of(price, "EUR"), ORDERED, "Quay shop")
    return workshop.catalogue.save_part(replace(part, price=asked))


def came_from_the_quay(workshop: Workshop) -> list[tuple[str, date, date]]:
    return [one for one in workshop.suppliers.arrivals() if one[0] == "Quay shop"]


@pytest.fixture
def bought(workshop: Workshop) -> Build:
    """A build whose motor came by an order, with postage."""
    build = Build("First plan").with_part(a_motor(workshop, "Alder 30", "50.00"))
    build = build.with_order(Order("Q-1", "Quay shop", postage=Decimal(4), ordered=ORDERED))
    line = replace(build.lines[0], status=Status.RECEIVED, order="Q-1", arrived=CAME)
    return workshop.builds.save(
        build.with_line(0, line).with_rate(Rate("USD", Decimal("0.9"), CAME))
    )


def test_a_bought_part_swapped_out_is_paid_for_and_goes_in_again_for_nothing(
    workshop: Workshop, bought: Build
) -> None:
    paid = book(bought).spent
    assert paid == Money(5400, "EUR")
    other = workshop.builds.save(bought.with_part(a_motor(workshop, "Birch 40", "30.00")))
    assert (book(other).spent, book(other).planned) == (paid, Money(3000, "EUR"))
    out = workshop.builds.save(other.without_part("motor"))
    assert (book(out).spent, book(out).counted) == (paid, paid)
    (part,) = [one for one in workshop.catalogue.parts("motor") if one.name == "Alder 30"]
    again = workshop.builds.save(out.with_part(part))
    assert again.lines == bought.lines
    assert book(again).counted == paid


def test_the_drawer_knows_a_part_by_its_new_name(workshop: Workshop, bought: Build) -> None:
    other = workshop.builds.save(bought.with_part(a_motor(workshop, "Birch 40", "30.00")))
    (part,) = [one for one in workshop.catalogue.parts("motor") if one.name == "Alder 30"]
    change = workshop.catalogue.change_part(replace(part, name="Alder 30 S"))
    renamed = workshop.builds.get(other.id or 0)
    assert {line.name for line in renamed.lines} == {"Birch 40", "Alder 30 S"}
    assert change.after.part is not None
    assert book(renamed.with_part(change.after.part)).counted == Money(5400, "EUR")
    workshop.catalogue.turn_back([change])
    assert workshop.builds.get(other.id or 0).lines == other.lines


def test_a_name_that_two_parts_share_stays_with_the_other(workshop: Workshop) -> None:
    one = a_motor(workshop, "Alder 30", "50.00")
    a_motor(workshop, "Alder 30", "55.00")
    build = workshop.builds.save(Build("b").with_part(one))
    workshop.catalogue.save_part(replace(one, name="Alder 30 S"))
    assert [line.name for line in workshop.builds.get(build.id or 0).lines] == ["Alder 30"]


def test_a_copy_is_another_plan_for_the_same_purchases(workshop: Workshop, bought: Build) -> None:
    copy = workshop.builds.copy(bought, "Second plan")
    assert (copy.lines, copy.orders, copy.rates) == (bought.lines, bought.orders, bought.rates)
    assert book(copy).spent == book(bought).spent
    # One parcel came, whatever plans it is part of: it teaches one lead time.
    assert came_from_the_quay(workshop) == [("Quay shop", ORDERED, CAME)]


def test_a_deleted_build_comes_back_with_all_its_money(workshop: Workshop, bought: Build) -> None:
    assert bought.id is not None
    gone = workshop.builds.delete(bought.id)
    assert came_from_the_quay(workshop) == []
    back = workshop.builds.save(gone)
    assert workshop.builds.get(bought.id) == back == bought
    assert came_from_the_quay(workshop) == [("Quay shop", ORDERED, CAME)]


def test_of_two_equal_extras_the_one_taken_out_takes_its_own_line(workshop: Workshop) -> None:
    ballast = Part("extras", "Ballast", {"mass_g": 50.0})
    here = Line("extras", "Ballast", unit_price=Decimal(4), status=Status.RECEIVED)
    planned = replace(here, status=Status.PLANNED)
    build = Build("b", extras=(ballast, ballast), lines=(here, planned))
    assert build.without_extra(1).lines == (here,)
    assert [line.status for line in build.without_extra(0).lines] == ["received", "planned"]
    # A line of two pays for the other one as long as it rides along.
    pair = Build("b", extras=(ballast, ballast), lines=(replace(planned, quantity=Decimal(2)),))
    assert pair.without_extra(1).lines == pair.lines
    assert pair.without_extra(1).without_extra(0).lines == ()


@pytest.mark.parametrize(("own", "whole"), [(CAME, None), (None, CAME)])
def test_a_day_that_is_known_stays_when_a_line_is_received(
    own: date | None, whole: date | None
) -> None:
    """Whether the line has it, or its order: today's stands in for neither."""
    build = Build("b").with_part(replace(a_build().parts["motor"], price=None))
    build = build.with_order(Order("Q-1", "Quay shop", ordered=ORDERED, arrived=whole))
    line = replace(build.lines[0], status=Status.ORDERED, order="Q-1", arrived=own)
    build = build.with_line(0, line)
    received = line_with_status(build, line, Status.RECEIVED, date(2027, 4, 1))
    assert (received.status, received.arrived) == (Status.RECEIVED, own)
