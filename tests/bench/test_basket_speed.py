"""How fast the cheapest shops are found, printed; no clock is judged.

Run with ``pytest -m bench tests/bench/test_basket_speed.py -s``.
"""

from __future__ import annotations

from statistics import median
from time import perf_counter

import pytest

from pennyspeed.services.money.cheapest import cheapest, landed
from services.money.test_cheapest import a_catalogue

pytestmark = pytest.mark.bench


def test_twenty_five_parts_from_eight_suppliers() -> None:
    taken = []
    for seed in range(20):
        deals, shops = a_catalogue(seed)
        start = perf_counter()
        chosen = cheapest(25, deals, shops)
        taken.append(1000 * (perf_counter() - start))
        assert landed(deals, shops, chosen) > 0
    print(f"\n25 parts x 8 suppliers: median {median(taken):.0f} ms, worst {max(taken):.0f} ms")
