"""Which checks a row is judged by, and that it is worked out as taking it would be."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from builds import a_build
from pennyspeed.domain.checks import Level
from pennyspeed.domain.kinds import SLOTS
from pennyspeed.domain.measures import METRIC
from pennyspeed.domain.units import KMH
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.shelf.bands import bands
from pennyspeed.services.shelf.candidates import CODES, candidates, pair_candidates
from pennyspeed.services.shelf.concern import concern
from services.swaps import CATALOGUE, some_build


def said(speed: float | None) -> str:
    return "" if speed is None else METRIC.speed(KMH.from_si(speed))


@pytest.mark.parametrize("seed", range(10))
def test_what_a_row_shows_is_what_taking_it_shows(seed: int) -> None:
    """200 random swaps in all: speed and chance to the last digit shown, the check word by word."""
    rng = np.random.default_rng(seed)
    build = some_build(rng)
    for _ in range(4):
        slot = str(rng.choice(SLOTS))
        found = candidates(build, CATALOGUE[slot])
        judged = concern(found)
        rows = rng.choice(len(found), size=5, replace=False)
        sight = bands(found, rows)
        for place, one in enumerate(found.shown(rows, worst=judged.place)):
            exact = forecast(found.build(one.row))
            speed = None if exact.prediction is None else exact.prediction.road_speed
            assert said(one.speed) == said(speed)
            if exact.band is not None and exact.band.chance is not None:
                assert f"{100 * sight.chance[place]:.0f}" == f"{100 * exact.band.chance:.0f}"
            if one.check.level is not Level.OK:
                assert one.check in exact.checks


def test_a_fault_of_another_part_hides_nothing() -> None:
    build = a_build()
    bay, pack = build.part("chassis").figure("pack_bay_mm"), build.part("pack")
    sides = (bay[0] + 10, bay[1], bay[2])
    build = build.with_part(replace(pack, figures={**pack.figures, "size_mm": sides}))
    found = candidates(build, CATALOGUE["motor"])
    judged = concern(found)
    assert not found.fits.any()
    assert judged.fits.any()
    assert CODES.index("pack-bay") not in judged.check[judged.worst < 3]
    packs = candidates(build, CATALOGUE["pack"])
    judged = concern(packs)
    assert CODES.index("pack-bay") in judged.check[~judged.fits]


def test_what_some_rows_pass_and_others_do_not_counts_whatever_slot_it_names() -> None:
    """A motor that drives the tyres past their rating says so in its row."""
    build = a_build()
    tyres = build.part("tyres")
    slow = replace(tyres, figures={**tyres.figures, "rated_kmh": 100.0})
    found = candidates(build.with_part(slow), CATALOGUE["motor"])
    code = CODES.index("tyre-speed")
    assert {0, 1, 2, 3} & set(found.levels[code].tolist()) >= {1, 3}
    judged = concern(found)
    over = found.levels[code] == 1
    assert (judged.worst[over] <= 1).all()


def test_a_row_says_the_worst_of_its_checks() -> None:
    build = a_build()
    motor = build.parts["motor"]
    overrated = replace(motor.with_figure("max_rpm", 20000), name="Overrated")
    both = replace(overrated.with_figure("can_mm", 60.0), name="Overrated and thick")
    found = candidates(build, [motor, overrated, both])
    said = [one.check for one in found.shown(range(3), worst=concern(found).place)]
    assert [check.level for check in said] == [Level.OK, Level.WARN, Level.STOP]
    assert [check.code for check in said[1:]] == ["motor-rpm", "motor-can"]


def test_the_cap_is_everybody_s_concern() -> None:
    found = candidates(a_build(), CATALOGUE["body"])
    assert concern(found).own[CODES.index("cap")]
    assert not concern(found).own[CODES.index("motor-can")]


def test_a_pair_is_judged_by_both_its_slots() -> None:
    build = a_build()
    found = pair_candidates(build, CATALOGUE["motor"][:3], CATALOGUE["controller"][:4])
    own = concern(found).own
    assert own[CODES.index("motor-can")]
    assert own[CODES.index("cells-over-controller")]
