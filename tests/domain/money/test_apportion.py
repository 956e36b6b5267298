"""Largest remainder: published examples, and what every apportionment keeps."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pennyspeed.domain.money.apportion import apportion, rounded, rounded_together

STATES = (
    630_560, 475_327, 432_879, 353_523, 331_589, 278_514, 236_841, 206_236, 179_570, 141_822,
    85_533, 70_835, 68_705, 68_446, 55_540,
)  # fmt: skip


@pytest.mark.parametrize(
    ("total", "weights", "shares"),
    [
        # 13 seats, quotas 2.67, 6.92 and 4.17: an exercise on Hamilton's method that is set widely.
        (13, (Decimal("2.67"), Decimal("6.92"), Decimal("4.17")), [2, 7, 4]),
        # 60 seats for the states of 1790: electowiki.org, "Hamilton method", example.
        (60, STATES, [11, 8, 7, 6, 6, 5, 4, 3, 3, 2, 1, 1, 1, 1, 1]),
        # Wikipedia, "Largest remainder method", Hare quota, 10 seats (from memory).
        (10, (47000, 16000, 15800, 12000, 6100, 3100), [5, 2, 1, 1, 1, 0]),
        # Worked by hand: quotas 183.16, 274.79, 41.23 of postage 4.99.
        (499, (1999, 2999, 450), [183, 275, 41]),
        (100, (1, 1, 1), [34, 33, 33]),
        (-100, (1, 1, 1), [-34, -33, -33]),
        (5, (0, 0), [3, 2]),
        (5, (0, 1), [0, 5]),
        (0, (3, 4), [0, 0]),
    ],
)
def test_a_total_is_shared_by_the_largest_remainder(
    total: int, weights: tuple[int, ...], shares: list[int]
) -> None:
    assert apportion(total, weights) == shares


weights = st.lists(st.integers(0, 10**6) | st.decimals(0, 10**6, places=3), min_size=1, max_size=12)


@given(st.integers(-(10**9), 10**9), weights)
def test_shares_add_up_and_keep_the_quota(total: int, given_weights: list[Decimal | int]) -> None:
    # The quota rule, which Hamilton's method keeps: nobody is a whole unit off the exact share.
    shares = apportion(total, given_weights)
    assert sum(shares) == total
    whole = sum(map(Decimal, given_weights))
    if whole:
        for share, weight in zip(shares, given_weights, strict=True):
            assert abs(share - total * Decimal(weight) / whole) < 1


@pytest.mark.parametrize(
    ("amount", "nearest"), [("0.5", 1), ("0.49", 0), ("2.5", 3), ("-0.5", 0), ("-0.51", -1)]
)
def test_a_half_goes_up(amount: str, nearest: int) -> None:
    assert rounded(Decimal(amount)) == nearest


@given(st.lists(st.decimals(0, 10**6, places=4), max_size=12))
def test_rounded_amounts_add_up_to_their_sum_rounded_once(amounts: list[Decimal]) -> None:
    found = rounded_together(amounts)
    assert sum(found) == rounded(sum(amounts, Decimal(0)))
    for amount, whole in zip(amounts, found, strict=True):
        assert abs(amount - whole) < 1
        assert whole == amount or amount % 1
