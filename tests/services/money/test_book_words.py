"""Words of a build's money: what is over the cap is said to the cent."""

from __future__ import annotations

from dataclasses import replace

import pytest

from builds import a_build
from pennyspeed.domain.measures import METRIC
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.money import Money
from pennyspeed.services.money.book_words import costs_sentence


@pytest.mark.parametrize(
    ("room", "said"), [(-1, "0.01 EUR over the cap"), (0, "0.00 EUR left"), (1, "0.01 EUR left")]
)
def test_what_passes_the_cap_by_a_cent_is_over_it(room: int, said: str) -> None:
    build = a_build()
    counted = costs(build).counted
    cap = Money(counted.minor + room, counted.currency)
    assert said in costs_sentence(costs(replace(build, cap=cap)), METRIC, None)
