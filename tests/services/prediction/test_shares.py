"""Biggest unknowns: first-order shares of the variance, against brute force and by hand."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from builds import a_build
from pennyspeed.domain.assembly import Drawn, Key, assemble, draw, drawn_figures
from pennyspeed.domain.builds import Build
from pennyspeed.domain.hypercube import standard_draws
from pennyspeed.physics.batch.runs import predict_many
from pennyspeed.physics.car import FloatArray, Floats
from pennyspeed.physics.predict import predict
from pennyspeed.services.prediction.forecast import forecast, percentiles, with_unknowns
from pennyspeed.services.prediction.unknowns import (
    FROM_RUN_TO_RUN,
    TOGETHER,
    Share,
    Unknowns,
    first_order_shares,
    unknowns,
)

GUESSED_GRIP = {"grip": "guessed"}
GROWS = {"growth_fraction": 0.06, "growth_max_fraction": 0.15}
DAY = {"driver_g": 0.15, "brake_g": 0.15, "head_wind_kmh": 5.0}

CARS: dict[str, dict[str, Any]] = {
    "grip decides": {
        "parts__tyres__grip": 0.3, "parts__tyres__provenance": GUESSED_GRIP,
        "conditions__driver_g": 1.5, "conditions__road_m": 120.0,
    },
    "grip decides on one drawn axle": {
        "parts__tyres__grip": 0.35, "parts__tyres__provenance": GUESSED_GRIP,
        "parts__chassis__driven": "front", "conditions__driver_g": 1.5,
        "conditions__road_m": 150.0,
    },
    "grip or the driver": {
        "parts__tyres__grip": 0.5, "parts__tyres__provenance": GUESSED_GRIP,
        "conditions__driver_g": 0.5, "conditions__spread": DAY, "conditions__road_m": 90.0,
    },
    "growth decides": {
        "parts__tyres__growth_fraction": 0.06, "parts__tyres__growth_max_fraction": 0.15,
        "parts__tyres__provenance": {"growth_fraction": "guessed"},
    },
    "growth ends at its most": {
        "parts__tyres__growth_fraction": 0.06, "parts__tyres__growth_max_fraction": 0.05,
        "parts__tyres__provenance": {"growth_fraction": "guessed"},
        "parts__motor__provenance": {"kv_rpm_per_v": "measured"},
    },
    "the road decides": {"conditions__road_m": 70.0, "conditions__spread": DAY},
    "the road decides, hard braking": {
        "conditions__road_m": 100.0, "conditions__brake_g": 0.9, "conditions__spread": DAY,
        "conditions__driver_g": 0.9,
    },
    "the road or the car": {"conditions__road_m": 190.0, "conditions__spread": DAY},
    "a weak pack and the road": {
        "conditions__road_m": 130.0, "conditions__spread": DAY,
        "parts__pack__cell_resistance_mohm": 12.0,
        "parts__pack__provenance": {"cell_resistance_mohm": "guessed"},
    },
}  # fmt: skip


def speeds_of(build: Build, drawn: list[Drawn], normals: FloatArray) -> FloatArray:
    """Return the speeds of draws that are written out here, without the program's own."""
    figures: dict[Key, Floats] = {}
    for one, column in zip(drawn, normals, strict=True):
        moved = one.nominal + one.spread * column
        figures[one.key] = moved if one.is_additive else one.nominal * np.exp(one.spread * column)
    car = assemble(build, figures)
    assert car is not None
    return np.asarray(predict_many(car).road_speed)


@pytest.mark.parametrize("name", CARS)
def test_shares_agree_with_brute_force(name: str) -> None:
    """Against 20,000 independent draws, all by E[v | x] in bins and the largest by Jansen.

    Bins: Saltelli et al., Global Sensitivity Analysis, 2008, section 1.2. Jansen's estimator of
    the first order: Saltelli et al., Computer Physics Communications 181, 2010.
    """
    build = a_build(**CARS[name])
    drawn = drawn_figures(build)
    rng = np.random.default_rng(7)
    one, other = rng.standard_normal((2, len(drawn), 20_000))
    base = speeds_of(build, drawn, other)
    variance = float(np.concatenate([speeds_of(build, drawn, one), base]).var())
    found = first_order_shares(build)
    places = {figure.key: place for place, figure in enumerate(drawn)}
    for figure, share in found:
        bins = base[np.argsort(other[places[figure.key]])].reshape(200, -1)
        by_chance = bins.var(axis=1, ddof=1).mean() / bins.shape[1]
        binned = (bins.mean(axis=1).var() - by_chance) / base.var()
        assert share == pytest.approx(binned, abs=0.1), figure.label
    for figure, share in found[:4]:
        place = places[figure.key]
        mixed = one.copy()
        mixed[place] = other[place]
        apart = base - speeds_of(build, drawn, mixed)
        expected = 1.0 - float((apart * apart).mean()) / (2.0 * variance)
        assert share == pytest.approx(expected, abs=0.1), figure.label
    assert sum(share for _, share in found) < 1.1


def test_what_bends_is_not_named_after_its_slope() -> None:
    """Speed by the square of a figure alone: the slope in the middle is 0, the share is not."""
    build = a_build(
        conditions__head_wind_kmh=0.0,
        conditions__spread={"head_wind_kmh": 5.0},
        conditions__road_m=600.0,
    )
    keys = [one.key for one, share in first_order_shares(build) if share > 0.0]
    assert ("conditions", "head_wind_kmh") in keys


def test_what_widens_the_band_is_named_largest_first() -> None:
    vague = {"kv_rpm_per_v": "guessed"}
    found = with_unknowns(forecast(a_build(parts__motor__provenance=vague))).unknowns
    assert found is not None
    first, second, third = found.shares
    assert (first.slot, first.provenance) == ("motor", "guessed")
    assert "Kv" in first.label
    assert first.share > 0.8
    assert first.share >= second.share >= third.share


def test_shares_agree_with_moving_one_figure_at_a_time() -> None:
    """First-order shares from one-sided and other-sided steps of one standard deviation."""
    build = a_build()
    drawn = drawn_figures(build)
    squares = {}
    for one in drawn:
        ends = []
        for sign in (-1.0, 1.0):
            car = assemble(build, {one.key: one.nominal * float(np.exp(sign * one.spread))})
            assert car is not None
            ends.append(predict(car, speeds=128).road_speed)
        squares[one.label] = (ends[1] - ends[0]) ** 2
    total = sum(squares.values())
    shares = unknowns(build).shares
    expected = sorted(squares, key=lambda label: squares[label], reverse=True)[:2]
    assert [share.label for share in shares[:2]] == expected
    for share in shares:
        assert share.share == pytest.approx(squares[share.label] / total, abs=0.05)


def test_what_varies_from_run_to_run_says_so() -> None:
    found = unknowns(a_build(conditions__road_m=70.0, conditions__spread=DAY))
    rows = {row.label: row for row in found.rows()}
    (throttle,) = (row for label, row in rows.items() if "driver" in label and "brak" not in label)
    assert throttle.source == FROM_RUN_TO_RUN
    assert throttle.short == f"driver, {FROM_RUN_TO_RUN}"
    assert throttle.percent > 20
    assert TOGETHER in rows


def test_rows_add_up_to_100_and_leave_out_what_is_none_of_it() -> None:
    parts = (("Kv", 0.8349), ("resistance", 0.1601), ("mass", 0.0009))
    shares = tuple(Share("motor", label, label, "maker", part) for label, part in parts)
    rows = Unknowns(shares).rows()
    # by largest remainder: 83 + 16, and the one that is left goes to 0.49
    assert [(row.label, row.percent) for row in rows] == [("Kv", 84), ("resistance", 16)]
    assert sum(row.percent for row in rows) == 100
    assert Unknowns().rows() == []


def test_a_car_that_is_sure_has_no_unknowns(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("pennyspeed.services.prediction.unknowns.drawn_figures", lambda _: [])
    assert unknowns(a_build()) == Unknowns()


def test_a_car_that_moves_in_rare_draws_only_has_no_unknowns() -> None:
    build = a_build(conditions__slope_percent=90)
    band = forecast(build).band
    assert band is not None
    assert band.p10 == band.p90 == 0.0
    assert unknowns(build) == Unknowns()
    assert unknowns(a_build(parts__tyres=None)) == Unknowns()
    assert unknowns(a_build(conditions__road_m=0)) == Unknowns()


def test_draws_of_one_figure_hang_on_its_name_alone() -> None:
    """A swapped part leaves the draws of the others as they were."""
    key = ("motor", "kv_rpm_per_v")
    before = standard_draws(key).copy()
    standard_draws(("extras.3", "mass_g"))
    assert np.array_equal(standard_draws(key), before)


# The draws ---------------------------------------------------------------------------------


@pytest.mark.parametrize("draws", [64, 256])
def test_draws_are_a_hypercube_without_accidental_correlations(draws: int) -> None:
    drawn = drawn_figures(a_build())
    found = np.stack([standard_draws(one.key, draws) for one in drawn])
    for axis in found:
        assert np.array_equal(np.sort(axis), np.sort(found[0]))
        assert len(np.unique(axis)) == draws
    apart = np.corrcoef(found) - np.eye(len(found))
    # orders drawn at random: standard deviation 1/sqrt(draws - 1)
    assert np.sqrt((apart * apart).mean()) < 0.3 / np.sqrt(draws - 1)


def test_few_draws_lean_to_no_side() -> None:
    """The P10 of 64 draws against that of 40,000 independent ones, over all these cars."""
    rng = np.random.default_rng(3)
    leans = []
    for changes in CARS.values():
        for kv in (2400.0, 3100.0, 3800.0):
            build = a_build(**changes, parts__motor__kv_rpm_per_v=kv)
            drawn = drawn_figures(build)
            many = speeds_of(build, drawn, rng.standard_normal((len(drawn), 40_000)))
            car = assemble(build, draw(drawn, 64))
            assert car is not None
            few = np.asarray(predict_many(car).road_speed)
            found, expected = (percentiles(one, None)[:3] for one in (few, many))
            leans.append((found - expected) / (expected[2] - expected[0]))
    # orders drawn at random without pairing lean by 0.05 of the band
    assert np.abs(np.mean(leans, axis=0)).max() < 0.025
