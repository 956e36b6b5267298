"""Candidates: what a row shows is what taking its part then shows."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from typing import Any

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builds import a_build
from pennyspeed.domain.build_document import build_from_document
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import BY_CODE, CHECKS, Facts, Level
from pennyspeed.domain.checks.seen import LEVELS
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import METRIC
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.domain.units import KMH
from pennyspeed.services.prediction.forecast import Forecast, forecast
from pennyspeed.services.shelf.bands import bands, bands_behind
from pennyspeed.services.shelf.candidates import CODES, Candidates, candidates, pair_candidates
from services.prediction.test_any_build import documents
from services.swaps import CATALOGUE, demo_builds, grown, some_build

KINDS = tuple(BY_KEY)


def said(speed: float) -> str:
    return METRIC.speed(KMH.from_si(speed))


def hundredths(chance: float | None) -> str:
    return "" if chance is None or np.isnan(chance) else METRIC.number(100 * chance)


def worst(found: Forecast) -> int:
    return min(LEVELS.index(check.level) for check in found.checks)


def equals_taking(found: Candidates, row: int, build: Build, taken: Build) -> None:
    """Compare one row, in sight and not, with the forecast of the build that taking it makes."""
    answer = forecast(taken)
    shown = found.shown((row,))[0]
    band = bands(found, (row,))
    levels = found.levels[:, row]
    level = LEVELS[int(levels.min())]
    assert level is LEVELS[worst(answer)], CODES[int(levels.argmin())]
    assert found.fits[row] == (worst(answer) != LEVELS.index(Level.STOP))
    assert shown.check == next(one for one in answer.checks if one.level is level)
    assert int(found.cost[row]) == answer.costs.counted.minor
    assert int(found.cost_change[row]) == (answer.costs.counted - costs(build).counted).minor
    left = answer.costs.left
    assert (None if found.left is None else int(found.left[row])) == (left and left.minor)
    assert bool(found.unpriced[row]) == bool(answer.costs.unpriced)
    if answer.prediction is None or answer.band is None:
        assert shown.speed is None
        assert np.isnan(found.speed[row])
        assert np.isnan(band.p50[0])
        return
    speed = answer.prediction.road_speed
    assert shown.speed == speed
    assert found.speed[row] == pytest.approx(speed, rel=1e-3, abs=1e-6)
    for mine, theirs in zip((band.p10, band.p50, band.p90), (
        answer.band.p10, answer.band.p50, answer.band.p90
    ), strict=True):  # fmt: skip
        assert said(mine[0]) == said(theirs)
        assert mine[0] == pytest.approx(theirs, rel=1e-5, abs=1e-6)
    assert hundredths(band.chance[0]) == hundredths(answer.band.chance)
    now = forecast(build).prediction
    if now is not None:
        assert shown.change == pytest.approx(speed - now.road_speed)
        assert found.change[row] == pytest.approx(speed - now.road_speed, abs=1e-3 * speed)


@pytest.mark.parametrize("seed", range(40))
def test_what_a_row_shows_is_what_taking_the_part_then_shows(seed: int) -> None:
    rng = np.random.default_rng(seed)
    build = some_build(rng)
    kind = KINDS[seed % len(KINDS)]
    stock = CATALOGUE[kind]
    found = candidates(build, stock)
    for row in rng.choice(len(stock), size=5, replace=False).tolist():
        old = build.part(kind)
        fitted = old is not None and old.same_article(stock[row])
        taken = build if fitted else build.with_part(stock[row])
        assert found.build(row) == taken
        equals_taking(found, row, build, taken)


@pytest.mark.parametrize(("one", "other"), [("pinion", "spur"), ("motor", "controller")])
def test_pairs_are_what_taking_both_then_shows(one: str, other: str) -> None:
    rng = np.random.default_rng(8)
    for build in demo_builds():
        ones, others = CATALOGUE[one][:7], CATALOGUE[other][-6:]
        found = pair_candidates(build, ones, others)
        assert len(found) == 42
        for row in rng.choice(42, size=3, replace=False).tolist():
            first, second = divmod(row, 6)
            assert found.parts(row) == (ones[first], others[second])
            equals_taking(found, row, build, found.build(row))
            assert found.build(row).parts[one].same_article(ones[first])
            assert found.build(row).parts[other].same_article(others[second])


def test_the_part_that_is_in_changes_nothing_not_even_its_line_of_money() -> None:
    build = a_build()
    pack = build.parts["pack"]
    line = replace(build.lines[0], quantity=Decimal("1.5"), unit_price=Decimal("10.333"))
    build = replace(build, lines=(line, *build.lines[1:]))
    motor = build.parts["motor"]
    found = candidates(build, [CATALOGUE["motor"][0], motor])
    assert found.cost_change[1] == 0
    assert found.build(1) == build
    assert found.build(0) != build
    assert candidates(build, [pack, CATALOGUE["pack"][0]]).cost_change.tolist() == [0, 0]


@pytest.mark.parametrize(("share", "level"), [(1.001, Level.OK), (0.999, Level.WARN)])
def test_a_row_is_past_a_rating_where_its_part_in_the_car_is(share: float, level: Level) -> None:
    build = a_build()
    run = forecast(build).prediction
    assert run is not None
    assert run.asked_motor_current is not None
    rated = build.parts["motor"].with_figure("peak_current_a", share * run.asked_motor_current)
    row = candidates(build, [rated]).levels[CODES.index("current-motor")]
    assert [LEVELS[place] for place in row] == [level]
    taken = forecast(build.with_part(rated)).checks
    assert next(check for check in taken if check.code == "current-motor").level is level


def test_a_part_fills_an_empty_slot_and_an_extra_comes_beside_the_others() -> None:
    build = a_build().without_part("body")
    found = candidates(build, CATALOGUE["body"])
    assert np.isnan(found.now)
    assert np.isnan(found.change).all()
    assert (found.speed > 10.0).all()
    extras = candidates(a_build(), CATALOGUE["extras"])
    assert len(extras.build(0).extras) == len(a_build().extras) + 1


def test_a_car_that_weighs_nothing_or_lacks_a_slot_has_no_speed_but_its_checks() -> None:
    bare = a_build(parts__extras=[])
    for slot, part in bare.parts.items():
        bare = bare.with_part(part.with_figure("mass_g", None)) if slot != "motor" else bare
    motor = bare.parts["motor"]
    found = candidates(bare, [motor, motor.with_figure("mass_g", None)])
    assert found.speed[0] > 0.0
    assert np.isnan(found.speed[1])
    assert found.levels[CODES.index("cannot-move"), 1] == LEVELS.index(Level.UNKNOWN)
    headless = a_build().without_part("pack")
    pinions = candidates(headless, CATALOGUE["pinion"])
    assert np.isnan(pinions.speed).all()
    assert (~pinions.fits).any()
    assert pinions.fits.any()


@pytest.mark.parametrize("kind", ["motor", "tyres", "pack", "chassis"])
def test_every_level_of_every_check_is_that_of_its_sentence(kind: str) -> None:
    rng = np.random.default_rng(5)
    build = a_build()
    stock = grown(kind, 60)
    found = candidates(build, stock)
    rows = rng.choice(len(stock), size=12, replace=False)
    for row in rows.tolist():
        checks = forecast(build.with_part(stock[row])).checks
        levels = {CODES[i]: LEVELS[place] for i, place in enumerate(found.levels[:, row])}
        assert levels == {check.code: check.level for check in checks}


@settings(
    max_examples=25,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow],
)
@given(documents(), st.sampled_from(KINDS), st.integers(0, 10))
def test_levels_agree_whatever_the_figures_are(given_document: Any, kind: str, row: int) -> None:
    build = build_from_document(given_document)
    found = candidates(build, CATALOGUE[kind])
    checks = forecast(found.build(row)).checks
    levels = {CODES[i]: LEVELS[place] for i, place in enumerate(found.levels[:, row])}
    assert levels == {check.code: check.level for check in checks}


def test_a_pack_that_runs_flat_is_told_from_one_that_does_not() -> None:
    build = a_build(conditions={"road_m": 900})
    pack = build.parts["pack"]
    small = pack.with_figure("capacity_mah", 40.0)
    found = candidates(build, [pack, small])
    place = CODES.index("pack-flat")
    assert [LEVELS[i] for i in found.levels[place]] == [Level.OK, Level.WARN]
    flat = next(one for one in forecast(build.with_part(small)).checks if one.code == "pack-flat")
    assert flat.level is Level.WARN


def test_rules_and_sentences_go_by_the_same_codes() -> None:
    facts = Facts(a_build(), None, costs(a_build()), 1.0)
    assert [check.outcome(facts).code for check in CHECKS] == list(BY_CODE)


def test_bands_behind_come_in_the_order_asked_for_and_agree_with_those_in_sight() -> None:
    build = a_build()
    stock = list(CATALOGUE["tyres"])
    found = candidates(build, stock)
    rows = [7, 2, 9, 0, 4]
    pieces = list(bands_behind(found, rows, chunk=2))
    assert [piece.rows.tolist() for piece in pieces] == [[7, 2], [9, 0], [4]]
    sight = bands(found, rows)
    # fewer draws, hence not the same: within a quarter of the band at its ends, 1 % in its middle
    ends, width = np.concatenate([piece.p90 for piece in pieces]), sight.p90 - sight.p10
    assert (np.abs(ends - sight.p90) < 0.25 * width).all()
    middles = np.concatenate([piece.p50 for piece in pieces])
    np.testing.assert_allclose(middles, sight.p50, rtol=1e-2)
    assert sum(piece.rows.size for piece in bands_behind(found)) == len(stock)
    assert bands(found, ()).rows.size == 0


def test_a_wider_band_for_a_part_whose_figures_are_guessed() -> None:
    build = a_build()
    motor = build.parts["motor"]
    sure = replace(motor, provenance={"kv_rpm_per_v": Provenance.MEASURED})
    unsure = replace(motor, provenance={"kv_rpm_per_v": Provenance.GUESSED})
    found = bands(candidates(build, [sure, unsure]), (0, 1))
    widths = found.p90 - found.p10
    assert widths[1] > 2.0 * widths[0]


def test_bands_hold_the_spreads_of_the_day_as_the_forecast_does() -> None:
    plain = a_build(conditions__road_m=60)
    day = {"driver_g": 0.15, "brake_g": 0.15, "head_wind_kmh": 5}
    build = a_build(conditions__road_m=60, conditions__spread=day)
    stock = [build.parts["motor"], CATALOGUE["motor"][9]]
    seen = bands(candidates(build, stock), (0, 1))
    calm = bands(candidates(plain, stock), (0, 1))
    assert (seen.p90 - seen.p10 > 1.5 * (calm.p90 - calm.p10)).all()
    for row, part in enumerate(stock):
        band = forecast(build.with_part(part)).band
        assert band is not None
        assert seen.p10[row] == pytest.approx(band.p10, rel=1e-6)
        assert seen.p90[row] == pytest.approx(band.p90, rel=1e-6)


def test_heat_capacity_follows_the_drawn_mass_only_where_it_is_not_given() -> None:
    build = a_build()
    motor = build.parts["motor"]
    stock: list[Part] = [
        motor,
        motor.with_figure("heat_capacity_j_per_k", 40.0),
        motor.with_figure("mass_g", None),
    ]
    found = candidates(build, stock)
    seen = bands(found, range(3))
    for row, part in enumerate(stock):
        band = forecast(build.with_part(part)).band
        assert band is not None
        assert seen.p50[row] == pytest.approx(band.p50, rel=1e-6)


def test_a_part_without_its_mass_is_said_to_lack_it() -> None:
    motor = a_build().parts["motor"]
    found = candidates(a_build(), [motor, motor.with_figure("mass_g", None)])
    levels = [LEVELS[i] for i in found.levels[CODES.index("masses")]]
    assert levels == [Level.OK, Level.UNKNOWN]
