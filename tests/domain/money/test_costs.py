"""Costs: sums of lines, exact."""

from __future__ import annotations

from decimal import Decimal

from hypothesis import given
from hypothesis import strategies as st

from builds import a_build
from pennyspeed.domain.builds import Build, Line, Status
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.money.money import Money


def test_lines_add_up_by_status() -> None:
    found = costs(a_build())
    assert found.counted == Money(8920, "EUR")  # 64.50 + 2 x 12.35
    assert found.uncounted == Money(4100, "EUR")
    assert found.promised == Money(6450, "EUR")
    assert found.spent == Money(2470, "EUR")
    assert found.planned == Money(0, "EUR")
    assert found.left == Money(16080, "EUR")
    assert found.unpriced == ()


def test_without_a_cap_nothing_is_left_or_over() -> None:
    assert costs(a_build(money__cap=None)).left is None


def test_lines_without_a_price_are_named_where_they_count() -> None:
    build = Build("b", lines=(Line("motor", "A"), Line("pack", "B", counts=False)))
    assert costs(build).unpriced == ("A",)


def test_parts_of_a_cent_add_up_before_they_are_rounded() -> None:
    # three times 1.5 x 0.33 = 1.485, not three times 0.50
    line = Line("", "wire", quantity=Decimal("1.5"), unit_price=Decimal("0.33"))
    assert costs(Build("b", lines=(line, line, line))).counted == Money(149, "EUR")


def test_a_currency_without_cents_has_none() -> None:
    line = Line("motor", "A", unit_price=Decimal("1499.4"))
    assert str(costs(Build("b", currency="JPY", lines=(line,))).counted) == "1499"


prices = st.decimals(0, 10_000, places=2)
lines = st.builds(
    Line,
    part=st.just("motor"),
    name=st.just("x"),
    quantity=st.integers(0, 50).map(Decimal),
    unit_price=prices,
    status=st.sampled_from(Status),
    counts=st.booleans(),
)


@given(st.lists(lines, max_size=30))
def test_the_sum_is_that_of_whole_cents(found: list[Line]) -> None:
    expected = sum(
        int(line.quantity) * int(line.unit_price * 100)
        for line in found
        if line.counts and line.unit_price is not None and line.status is not Status.CANCELLED
    )
    result = costs(Build("b", lines=tuple(found)))
    assert result.counted.minor == expected
    assert result.spent + result.promised + result.planned == result.counted
