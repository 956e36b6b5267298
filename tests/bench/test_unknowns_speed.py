"""How long the biggest unknowns take beside the band, and pairing draws. Prints; no limits."""

from __future__ import annotations

from collections.abc import Callable
from time import perf_counter

import pytest

from builds import a_build
from pennyspeed.domain import hypercube
from pennyspeed.services.prediction.forecast import band
from pennyspeed.services.prediction.unknowns import DRAWS, unknowns

pytestmark = pytest.mark.bench


def ms(work: Callable[[], object], rounds: int = 7) -> float:
    times = []
    for _ in range(rounds):
        start = perf_counter()
        work()
        times.append(1e3 * (perf_counter() - start))
    return min(times)


def test_the_band_and_the_shares(capsys: pytest.CaptureFixture[str]) -> None:
    build = a_build()
    assert unknowns(build).shares
    pairing = {}
    for draws in (64, hypercube.DRAWS, DRAWS):
        hypercube._paired.cache_clear()
        pairing[draws] = ms(lambda draws=draws: hypercube._paired(draws), 1)
    with capsys.disabled():
        print(
            f"\nband {ms(lambda: band(build)):.1f} ms (goal 6), "
            f"biggest unknowns {ms(lambda: unknowns(build)):.1f} ms; pairing, once: "
            + ", ".join(f"{draws} draws {each:.1f} ms" for draws, each in pairing.items())
        )
