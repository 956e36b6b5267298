"""How long a listing takes to read.

Prints milliseconds and, for the machine of the next person, the ratio to a plain search for words
and numbers over the same text. Counts are asserted, times are not.
"""

from __future__ import annotations

import re
import statistics
import tomllib
from collections.abc import Callable
from functools import partial
from pathlib import Path
from time import perf_counter

import pytest

from pennyspeed.services.listings import read_listing

pytestmark = pytest.mark.bench

FOLDER = Path(__file__).parents[1] / "data" / "listings"


def best_of_three(work: Callable[[], object]) -> float:
    times = []
    for _ in range(3):
        begin = perf_counter()
        work()
        times.append(perf_counter() - begin)
    return min(times)


def test_a_listing_is_read() -> None:
    texts = [
        one["text"]
        for path in sorted(FOLDER.glob("*.toml"))
        for one in tomllib.loads(path.read_text(encoding="utf-8"))["listing"]
    ]
    assert len(texts) >= 60
    read_listing(texts[0])
    times, plain = [], []
    for text in texts:
        times.append(best_of_three(partial(read_listing, text)))
        plain.append(best_of_three(partial(re.findall, r"\w+|[0-9.,]+", text)))
    page = "\n".join(texts)[:5_000]
    whole = best_of_three(partial(read_listing, page, "motor"))
    middle = statistics.median(times)
    print(
        f"\na listing {1e3 * middle:.2f} ms, the slowest {1e3 * max(times):.2f} ms (goal 5), "
        f"5,000 characters {1e3 * whole:.1f} ms; "
        f"{middle / statistics.median(plain):.0f} times a search for words"
    )
