"""Money and days of thousands of trials at once: what taking each part then makes of the build."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from random import Random

import numpy as np
import pytest

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks.facts import Facts
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.lines import Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import Order, Rate, ShareBy
from pennyspeed.domain.parts.ingredients import Printed
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.domain.parts.recipes import Recipe, with_recipe
from pennyspeed.services.shelf.next_change import cheapest_next_change
from pennyspeed.services.shelf.trials import Trials, paired, single
from services.swaps import CATALOGUE, demo_builds

DAY = date(2027, 3, 1)


def some_money(random: Random, rated: bool) -> Build:
    """A demo build that was swapped about, with parts in the drawer and lines of every status."""
    build = random.choice(demo_builds())
    for _ in range(6):
        kind = random.choice(("motor", "pinion", "spur", "controller", "pack", "extras"))
        build = build.with_part(random.choice(stock(kind, random)))
        for i, line in enumerate(build.lines):
            if random.random() < 0.5:
                changed = replace(
                    line,
                    status=random.choice(tuple(Status)),
                    order=random.choice(("", "A", "B")),
                    arrives=random.choice((None, DAY + timedelta(days=random.randrange(90)))),
                    counts=random.random() < 0.8,
                )
                build = build.with_line(i, changed)
    orders = (
        Order("A", postage=Decimal("4.99"), expected=DAY, share_by=ShareBy.MASS),
        Order("B", postage=Decimal("7.77"), currency="USD", discount=Decimal("0.55")),
    )
    for order in orders:
        build = build.with_order(order)
    if rated:
        build = build.with_rate(Rate("USD", Decimal("0.923456789"), DAY))
    return build


def stock(kind: str, random: Random) -> list[Part]:
    """Catalogue parts, some priced in another currency, some made, some without a price."""
    found = []
    for part in random.sample(CATALOGUE[kind], min(9, len(CATALOGUE[kind]))):
        chance = random.random()
        if chance < 0.3:
            price = Price(Money(random.randrange(10**4), "USD"), DAY)
            part = replace(part, price=price)
        elif chance < 0.4:
            part = replace(part, price=None)
        elif chance < 0.5:
            recipe = Recipe((Printed("", mass_g=Decimal(77), price_per_kg=Decimal("25.37")),))
            part = with_recipe(part, recipe, "EUR", DAY)
        found.append(part)
    return found


def equals_taking(trials: Trials) -> None:
    late, undated = np.asarray(trials.comes_late), np.asarray(trials.undated)
    for row in range(len(trials)):
        taken = trials.build_at(row)
        money = costs(taken)
        assert int(trials.cost[row]) == money.counted.minor
        assert bool(np.asarray(trials.unpriced)[row]) == bool(money.unpriced)
        facts = Facts(taken, None, money, 0.0)
        assert (bool(late[row]), bool(undated[row])) == (facts.comes_late, facts.undated)


@pytest.mark.parametrize("seed", range(60))
def test_a_row_costs_and_comes_as_taking_it_does(seed: int) -> None:
    random = Random(seed)
    build = some_money(random, rated=seed % 4 > 0)
    for kind in ("motor", "pack", "extras"):
        drawer = [part for part in CATALOGUE[kind] if build.bought_before(part) is not None]
        equals_taking(single(build, [*stock(kind, random), *drawer[:3]]))
    equals_taking(paired(build, stock("pinion", random), stock("spur", random)))


def test_a_part_in_the_drawer_is_the_cheapest_next_change() -> None:
    build = next(one for one in demo_builds() if one.name == "Club car 130")
    change = cheapest_next_change(build, CATALOGUE)
    assert change is not None
    assert change.cost.minor > 0
    bought = build
    for part in change.parts:
        bought = bought.with_part(part)
        line = bought.line(part.kind_key)
        assert line is not None
        bought = bought.with_line(bought.lines.index(line), replace(line, status=Status.RECEIVED))
    back = bought
    for part in change.parts:
        back = back.with_part(build.parts[part.kind_key])
    again = cheapest_next_change(back, CATALOGUE)
    assert again is not None
    assert again.cost.minor == 0
    assert again.reaches
