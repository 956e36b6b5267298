"""Draws of figures: every stratum once, no accidental correlations, and each by its name alone."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import norm

from builds import a_build
from pennyspeed.domain.assembly import draw, drawn_figures
from pennyspeed.domain.hypercube import DRAWS, standard_draws

SIZES = (64, DRAWS, 4096)


@pytest.mark.parametrize("draws", SIZES)
def test_every_stratum_of_equal_chance_holds_one_draw(draws: int) -> None:
    for one in drawn_figures(a_build()):
        strata = np.floor(draws * norm.cdf(standard_draws(one.key, draws)))
        assert sorted(strata) == list(range(draws))


@pytest.mark.parametrize(("draws", "most"), [(64, 0.05), (DRAWS, 0.01), (4096, 0.001)])
def test_accidental_correlations_are_paired_away(draws: int, most: float) -> None:
    # orders drawn at random have correlations of 1/√draws: 0.125, 0.06 and 0.016
    build = a_build(conditions__spread={"driver_g": 0.15, "brake_g": 0.15, "head_wind_kmh": 5})
    extra, *keys = sorted((one.key for one in drawn_figures(build)), key=lambda key: -len(key[0]))
    assert extra[0] != "extras.0"
    keys = [key for key in [extra, *keys] if not key[0].startswith("extras.")]
    among = np.corrcoef(np.stack([standard_draws(key, draws) for key in keys]))
    assert np.abs(among - np.eye(len(keys))).max() < most
    weighed = np.stack([standard_draws(key, draws) for key in [("extras.0", "mass_g"), *keys]])
    assert np.abs(np.corrcoef(weighed)[0, 1:]).max() < most


def test_a_swapped_part_leaves_the_draws_of_all_others_alone() -> None:
    build = a_build()
    other = build.with_part(a_build(parts__motor__no_load_current_a=0).parts["motor"])
    before, after = draw(drawn_figures(build)), draw(drawn_figures(other))
    assert set(before) - set(after) == {("motor", "no_load_current_a")}
    assert all(np.array_equal(before[key], after[key]) for key in after)
