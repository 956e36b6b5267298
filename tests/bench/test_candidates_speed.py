"""How fast candidates are worked out, printed; no clock is judged.

Run with ``pytest -m bench tests/bench/test_candidates_speed.py``. Processor time of one thread is
printed, beside that of a general ODE solver for one car in the same process: a yardstick for how
fast the machine is (3.6 ms where the goals were set). What is asserted is that the work was done.
"""

from __future__ import annotations

from collections.abc import Callable
from statistics import median
from time import process_time

import numpy as np
import pytest

from bench.test_physics_speed import by_solver, fast_car
from builds import a_build
from pennyspeed.physics.batch.runs import predict_many
from pennyspeed.physics.loads import loads
from pennyspeed.physics.predict import predict
from pennyspeed.services.gears.gear_chart import gear_chart
from pennyspeed.services.prediction.sensitivity import sensitivity
from pennyspeed.services.shelf.bands import bands, bands_behind
from pennyspeed.services.shelf.candidates import candidates
from pennyspeed.services.shelf.next_change import cheapest_next_change
from services.swaps import CATALOGUE, demo_builds, grown

pytestmark = pytest.mark.bench

ROWS, IN_SIGHT = 5000, 20


def ms(work: Callable[[], object], repetitions: int = 9) -> float:
    """Median processor time of one call [ms]."""
    work()
    taken = []
    for _ in range(repetitions):
        start = process_time()
        work()
        taken.append(process_time() - start)
    return 1e3 * median(taken)


def solve_one() -> None:
    car = fast_car()
    by_solver(car, predict(car).lift_at)


@pytest.mark.parametrize("kind", ["motor", "pack", "tyres", "chassis"])
def test_candidates_of_one_slot(kind: str, capsys: pytest.CaptureFixture[str]) -> None:
    build, stock = a_build(), grown(kind, ROWS)
    start = process_time()
    found = candidates(build, stock)
    first = 1e3 * (process_time() - start)
    again = ms(lambda: candidates(build, stock))
    car, _ = found.trials.cars()
    assert car is not None
    many = predict_many(car)
    speeds = ms(lambda: predict_many(car))
    asked = ms(lambda: loads(car, many))
    sight = ms(lambda: bands(found, range(IN_SIGHT)))
    words = ms(lambda: found.shown(range(IN_SIGHT)))
    some = ms(lambda: list(bands_behind(found, range(0, ROWS, 20))), 1)
    yardstick = ms(solve_one)
    with capsys.disabled():
        print(
            f"\nyardstick {yardstick:.1f} ms; {kind}: {ROWS} rows {again:.1f} ms "
            f"(first time {first:.1f}; goal 30), of which speeds {speeds:.1f}, "
            f"loads {asked:.1f}, general path {int(many.general_path.sum())}; "
            f"{IN_SIGHT} in sight: bands {sight:.1f}, words {words:.1f} (goal 50); "
            f"bands of all {some * 20 / 1e3:.2f} s (goal 3)"
        )
    assert np.isfinite(found.speed).all()
    assert len(set(found.speed.tolist())) > ROWS / 2


def test_what_the_demo_takes(capsys: pytest.CaptureFixture[str]) -> None:
    for build in demo_builds():
        change = ms(lambda build=build: cheapest_next_change(build, CATALOGUE), 5)
        chart = ms(lambda build=build: gear_chart(build, CATALOGUE["pinion"], CATALOGUE["spur"]), 5)
        bars = ms(lambda build=build: sensitivity(build), 5)
        with capsys.disabled():
            print(
                f"\n{build.name}: next change {change:.1f} ms (goal 150), "
                f"gear chart {chart:.1f} ms, sensitivity {bars:.1f} ms"
            )
        assert gear_chart(build, CATALOGUE["pinion"], CATALOGUE["spur"]).speed.size > 100


def test_the_next_change_in_a_large_catalogue(capsys: pytest.CaptureFixture[str]) -> None:
    build = a_build(target_kmh=500.0, money=None)
    catalogue = {kind: grown(kind, ROWS if kind == "motor" else 60) for kind in CATALOGUE}
    taken = ms(lambda: cheapest_next_change(build, catalogue), 3)
    change = cheapest_next_change(build, catalogue)
    with capsys.disabled():
        print(
            f"\nnext change among {ROWS} motors, 60 of every other kind, all pairs: {taken:.0f} ms"
        )
    assert change is not None
    assert not change.reaches
