"""The cheapest shops: held against trying everything, and against another programme of the same."""

from __future__ import annotations

import itertools
import os
import random
import subprocess
import sys

import numpy as np
import pytest
from scipy.optimize import LinearConstraint, milp

from pennyspeed.domain.errors import Defect
from pennyspeed.services.money.cheapest import (
    Assignment,
    Deal,
    Limit,
    Shop,
    cheapest,
    landed,
    postage,
)

CASES = 200
WHERE = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
Case = tuple[int, list[Deal], list[Shop], list[Limit]]


def a_case(seed: int) -> Case:
    """Return a small market: amounts from cents to thousands, gaps, free postage, short stock."""
    draw = random.Random(seed)
    wants, places = draw.randint(1, 5), draw.randint(1, 4)
    deals = []
    for want in range(wants):
        for shop in range(places):
            if draw.random() < 0.8:
                worth = draw.randint(1, 10 ** draw.randint(1, 7))
                deals.append(Deal(want, shop, worth + draw.choice([0, worth // 5]), worth))
    shops = [
        Shop(
            draw.choice([0, draw.randint(1, 2000)]),
            draw.choice([None, 0, draw.randint(1, 10 ** draw.randint(2, 7))]),
        )
        for _ in range(places)
    ]
    limits = []
    if deals and draw.random() < 0.4:
        short = draw.sample(range(len(deals)), draw.randint(1, len(deals)))
        amounts = tuple((i, draw.randint(1, 4)) for i in short)
        limits.append(Limit(amounts, draw.randint(1, 6)))
    return wants, deals, shops, limits


def rank(deals: list[Deal], shops: list[Shop], chosen: Assignment) -> tuple[int, int, int]:
    used = {deals[i].shop for i in chosen if i is not None}
    return chosen.count(None), landed(deals, shops, chosen), len(used)


def by_trying_everything(case: Case) -> tuple[int, int, int]:
    wants, deals, shops, limits = case
    ways = [[None, *(i for i, d in enumerate(deals) if d.want == want)] for want in range(wants)]
    return min(
        rank(deals, shops, chosen)
        for chosen in itertools.product(*ways)
        if all(sum(n for i, n in limit.amounts if i in chosen) <= limit.most for limit in limits)
    )


@pytest.mark.parametrize("seed", range(CASES))
def test_nothing_is_cheaper_than_the_answer(seed: int) -> None:
    case = wants, deals, shops, limits = a_case(seed)
    chosen = cheapest(wants, deals, shops, limits)
    assert all(i is None or deals[i].want == want for want, i in enumerate(chosen))
    for limit in limits:
        assert sum(amount for i, amount in limit.amounts if i in chosen) <= limit.most
    assert rank(deals, shops, chosen) == by_trying_everything(case)


def a_catalogue(seed: int, wants: int = 25, places: int = 8) -> tuple[list[Deal], list[Shop]]:
    """Return a market of the size that a whole car has."""
    draw = random.Random(seed)
    deals = []
    for want in range(wants):
        usual = draw.randint(300, 9000)
        for shop in range(places):
            worth = int(usual * draw.uniform(0.8, 1.25))
            deals.append(Deal(want, shop, worth, worth))
    shops = [
        Shop(draw.randint(300, 1200), draw.choice([None, draw.randint(4000, 15000)]))
        for _ in range(places)
    ]
    return deals, shops


def by_another_programme(wants: int, deals: list[Deal], shops: list[Shop]) -> int:
    """Solve it as scipy's `milp` with a state of every shop: paid postage, or free."""
    n, s = len(deals), len(shops)
    costs = [*(d.cost for d in deals), *(shop.postage for shop in shops), *([0] * s)]
    rows, low, high = [], [], []

    def add(row: dict[int, float], least: float, most: float) -> None:
        line = np.zeros(n + 2 * s)
        for column, value in row.items():
            line[column] = value
        rows.append(line)
        low.append(least)
        high.append(most)

    for want in range(wants):
        add({i: 1 for i, d in enumerate(deals) if d.want == want}, 1, 1)
    for place, shop in enumerate(shops):
        paid, free = n + place, n + s + place
        add({paid: 1, free: 1}, 0, 1)
        own = {i: d for i, d in enumerate(deals) if d.shop == place}
        for i in own:
            add({i: 1, paid: -1, free: -1}, -np.inf, 0)
        if shop.free_from is None:
            add({free: 1}, 0, 0)
        else:
            add({free: -shop.free_from, **{i: d.worth for i, d in own.items()}}, 0, np.inf)
    answer = milp(
        costs,
        integrality=np.ones(n + 2 * s),
        bounds=(0, 1),
        constraints=LinearConstraint(np.array(rows), low, high),
        options={"mip_rel_gap": 0.0},
    )
    assert answer.success
    return round(answer.fun)


@pytest.mark.parametrize("seed", range(6))
def test_a_whole_car_costs_what_another_formulation_says(seed: int) -> None:
    # scipy.optimize.milp, of the same solver, from rows written another way
    deals, shops = a_catalogue(seed)
    assert landed(deals, shops, cheapest(25, deals, shops)) == by_another_programme(
        25, deals, shops
    )


def test_free_postage_is_worth_a_dearer_part() -> None:
    # apart: 30 + 5 at A, 20 + 5 at B, 60 in all; together at A: 30 + 24, free from 54
    deals = [Deal(0, 0, 30, 30), Deal(1, 0, 24, 24), Deal(1, 1, 20, 20)]
    chosen = cheapest(2, deals, [Shop(5, 54), Shop(5)])
    assert chosen == (0, 1)
    assert landed(deals, [Shop(5, 54), Shop(5)], chosen) == 54
    # a unit short of it nothing is free: 30 + 24 + 5 is still less than 60
    assert landed(deals, [Shop(5, 55), Shop(5)], cheapest(2, deals, [Shop(5, 55), Shop(5)])) == 59


def test_one_unit_short_of_a_large_threshold_is_short() -> None:
    # floating point with a tolerance of a millionth would let ten million pass as reached
    for worth, sent in ((9_999_999, 100), (10_000_000, 0)):
        deals = [Deal(0, 0, worth, worth), Deal(0, 1, worth + 50, 0)]
        shops = [Shop(100, 10_000_000), Shop(0)]
        chosen = cheapest(1, deals, shops)
        assert postage(shops[0], worth) == sent
        assert chosen == ((1,) if sent else (0,))


def test_of_equal_costs_the_one_from_fewer_shops_is_taken() -> None:
    deals = [Deal(0, 0, 10), Deal(1, 0, 10), Deal(0, 1, 10), Deal(1, 1, 10)]
    chosen = cheapest(2, deals, [Shop(0), Shop(0)])
    assert len({deals[i].shop for i in chosen if i is not None}) == 1


def test_what_has_no_deal_is_left_out_and_the_rest_is_found() -> None:
    assert cheapest(2, [Deal(1, 0, 10)], [Shop(3)]) == (None, 0)
    assert cheapest(2, [], []) == (None, None)


def test_the_solver_keeps_quiet() -> None:
    # on the standard output stands what a command answers, and nothing else
    code = (
        "from pennyspeed.services.money.cheapest import *\n"
        "assert cheapest(1, [Deal(0, 0, 5)], [Shop(1)]) == (0,)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, check=True, env=WHERE
    )
    assert (ran.stdout, ran.stderr) == ("", "")


def test_the_solver_is_loaded_only_where_it_is_used() -> None:
    code = (
        "import sys; import pennyspeed.services.money.baskets, pennyspeed.services.money.dates\n"
        "assert 'highspy' not in sys.modules and 'icalendar' not in sys.modules"
    )
    subprocess.run([sys.executable, "-c", code], check=True, env=WHERE)


def test_an_answer_that_does_not_count_up_is_not_given(monkeypatch: pytest.MonkeyPatch) -> None:
    def off_by_one(costs: object, rows: object) -> tuple[float, list[float]]:
        return 11.0, [1.0, 1.0, 0.0, 0.0]

    monkeypatch.setattr("pennyspeed.services.money.cheapest._solve", off_by_one)
    with pytest.raises(Defect):
        cheapest(1, [Deal(0, 0, 5)], [Shop(1)])
