"""How long ten thousand motors of a table take to be worked out, and one while a person types.

Prints seconds and, for the machine of the next person, the ratio to making the same parts anew by
the standard library. Counts are asserted, times are not.
"""

from __future__ import annotations

import random
import statistics
import sys
from dataclasses import replace
from time import perf_counter

import pytest

from pennyspeed.domain.estimates.work_out import Estimator
from pennyspeed.domain.parts.parts import Part

ROWS = 10_000
pytestmark = pytest.mark.bench


def motors(count: int) -> list[Part]:
    draw = random.Random(20270410)
    return [
        Part(
            "motor",
            f"Motor {i}",
            {
                "kv_rpm_per_v": float(draw.randint(1000, 6000)),
                "can_mm": draw.choice([28.0, 36.0, 40.0]),
                "length_mm": round(draw.uniform(40, 80), 1),
            },
        )
        for i in range(count)
    ]


def test_ten_thousand_motors(capsys: pytest.CaptureFixture[str]) -> None:
    parts = motors(ROWS)
    peers = [
        replace(part, figures={**part.figures, "resistance_mohm": 20.0 + i})
        for i, part in enumerate(motors(200))
    ]
    whole, one, copies = [], [], []
    for _ in range(5):
        begin = perf_counter()
        estimator = Estimator("motor", peers)
        filled = estimator.filled(parts)
        whole.append(perf_counter() - begin)
        begin = perf_counter()
        estimator.estimates(parts[0])
        one.append(perf_counter() - begin)
        begin = perf_counter()
        _ = [replace(part, figures=dict(part.figures)) for part in parts]
        copies.append(perf_counter() - begin)
    assert all(len(part.figures) == 8 for part in filled)
    unit = statistics.median(copies)
    seconds, once = statistics.median(whole), statistics.median(one)
    with capsys.disabled():
        print(
            f"\n{ROWS:,} motors worked out, five figures each: {seconds:.3f} s (aim 0.3), "
            f"{seconds / unit:.1f} × making them anew; one {1e3 * once:.2f} ms",
            file=sys.stderr,
        )
