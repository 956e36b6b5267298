"""What could still be bought for what is left, against trying everything one by one."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builds import a_build
from pennyspeed.domain.assembly import assemble, mass_kg
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Facts, Level, checked
from pennyspeed.domain.kinds import SLOTS
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.money import Money
from pennyspeed.physics.predict import predict
from pennyspeed.services.shelf.next_change import LEAST_GAIN
from pennyspeed.services.shelf.within import within
from services.swaps import CATALOGUE, demo_builds


def quickest(build: Build, slot: str) -> float | None:
    """The highest speed of any part in a slot that can be paid and is not stopped."""
    best = None
    for part in CATALOGUE[slot]:
        swapped = build.with_part(part)
        car, money = assemble(swapped), costs(swapped)
        no_price = part.price is None or part.price.amount.currency != build.currency
        if car is None or money.unpriced or no_price:
            continue
        if money.left is not None and money.left.minor < 0:
            continue
        found = predict(car)
        facts = Facts(swapped, found, money, mass_kg(swapped))
        if any(check.level is Level.STOP for check in checked(facts)):
            continue
        if best is None or found.road_speed > best:
            best = found.road_speed
    return best


@pytest.mark.parametrize("cap", [None, 22000, 26000, 40000])
def test_each_slot_gets_the_quickest_part_that_can_be_paid(cap: int | None) -> None:
    build = next(iter(demo_builds()))
    build = replace(build, cap=None if cap is None else Money(cap, build.currency))
    car = assemble(build)
    assert car is not None
    now = predict(car).road_speed

    found = {change.parts[0].kind_key: change for change in within(build, CATALOGUE)}

    for slot in SLOTS:
        best = quickest(build, slot)
        if best is None or best - now <= LEAST_GAIN * now:
            assert slot not in found
        else:
            assert found[slot].speed == pytest.approx(best, rel=1e-9)
            left = costs(found[slot].build).left
            assert left is None or left.minor >= 0
    assert found, "nothing was found that could be held against anything"


def test_what_brings_most_comes_first_and_says_what_it_costs() -> None:
    build = next(iter(demo_builds()))
    changes = within(build, CATALOGUE)
    gains = [change.gain for change in changes]
    assert len(gains) > 1
    assert gains == sorted(gains, reverse=True)
    before = costs(build).counted
    for change in changes:
        assert costs(change.build).counted == before + change.cost


def test_a_car_that_is_not_whole_has_nothing_to_gain() -> None:
    assert within(a_build().without_part("motor"), CATALOGUE) == ()


def test_what_is_put_away_is_not_proposed() -> None:
    build = next(iter(demo_builds()))
    first = within(build, CATALOGUE)[0].parts[0]
    away = {
        key: [replace(one, archived=one.same_article(first)) for one in parts]
        for key, parts in CATALOGUE.items()
    }
    names = {change.parts[0].name for change in within(build, away)}
    assert first.name not in names
