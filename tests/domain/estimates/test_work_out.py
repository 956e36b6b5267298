"""Figures worked out: the closed form against brute force, and what counts as data."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pennyspeed.domain.estimates.rules import RULES
from pennyspeed.domain.estimates.work_out import Estimator, with_worked_out, work_out
from pennyspeed.domain.kinds import BY_KEY, KINDS
from pennyspeed.domain.parts.fields import Draw, Shape, Value
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance

MEASURED, WORKED_OUT = Provenance.MEASURED, Provenance.WORKED_OUT
SHOP = {"kv_rpm_per_v": 3150.0, "can_mm": 36.0, "length_mm": 50.0, "poles": 4}


def motor(name: str = "new", source: Provenance | None = MEASURED, **figures: Value) -> Part:
    said = {key: source for key in figures if key not in SHOP and source is not None}
    return Part("motor", name, {**SHOP, **figures}, said)


def volume(can: float, length: float) -> float:
    """Return ln of the can's volume over 50 cm³."""
    return math.log(math.pi / 4 * (can / 10) ** 2 * (length / 10) / 50)


# The closed form ----------------------------------------------------------------------------


def test_the_posterior_is_what_a_grid_of_all_levels_and_slopes_gives():
    # y = R·Kv² in mΩ·(rpm/V/1000)²: ln y = level + slope·ln(V/50), σ 0.25, measured 1 %.
    cans = [(28.0, 45.0), (36.0, 50.0), (36.0, 74.0), (40.0, 60.0)]
    kvs, resistances = [5200.0, 3900.0, 2400.0, 2100.0], [15.0, 7.5, 9.0, 12.0]
    peers = [
        motor(f"m{i}", can_mm=d, length_mm=le, kv_rpm_per_v=kv, resistance_mohm=r)
        for i, ((d, le), kv, r) in enumerate(zip(cans, kvs, resistances, strict=True))
    ]
    level, slope = np.meshgrid(
        math.log(110) + 0.5 * np.linspace(-6, 6, 801),
        -1.67 + 0.4 * np.linspace(-6, 6, 801),
        indexing="ij",
    )
    logs = -0.5 * ((level - math.log(110)) / 0.5) ** 2 - 0.5 * ((slope + 1.67) / 0.4) ** 2
    for (d, le), kv, r in zip(cans, kvs, resistances, strict=True):
        y = math.log(r * (kv / 1000) ** 2)
        logs -= 0.5 * (y - level - slope * volume(d, le)) ** 2 / (0.25**2 + 0.01**2)
    weights = np.exp(logs - logs.max())
    weights /= weights.sum()
    line = level + slope * volume(36, 50)
    mean = float((weights * line).sum())
    variance = float((weights * (line - mean) ** 2).sum()) + 0.25**2
    found = work_out(motor(), peers)["resistance_mohm"]
    assert found.value == pytest.approx(math.exp(mean) / 3.15**2, rel=1e-6)
    assert found.spread == pytest.approx(math.sqrt(variance), rel=1e-6)
    assert found.peers == 4
    # 1.2816 is the standard normal quantile of 0.9 (any table)
    assert found.low == pytest.approx(found.value * math.exp(-1.2816 * found.spread), rel=1e-4)
    assert found.high == pytest.approx(found.value * math.exp(1.2816 * found.spread), rel=1e-4)


def test_a_makers_figure_teaches_less_than_a_measured_one():
    # 5 % instead of 1 % beside a σ of 0.10: one peer twice as heavy as the rule has it
    heavy = {"mass_g": 366.0}
    sure = work_out(motor(), [motor("m", **heavy)])["mass_g"]
    maker = motor("m", None, **heavy)
    assert maker.provenance_of("mass_g") is Provenance.MAKER
    unsure = work_out(motor(), [maker])["mass_g"]
    assert 183 < unsure.value < sure.value
    assert unsure.spread > sure.spread


def test_a_feature_that_is_missing_carries_its_spread_along():
    found = work_out(motor())
    x = volume(36, 50)
    r = math.sqrt(0.5**2 + (0.4 * x) ** 2 + 0.25**2)
    assert found["resistance_mohm"].spread == pytest.approx(r)
    # L = 0.45 µH/mΩ · R: what R is unsure by, L is unsure by as well
    assert found["inductance_uh"].spread == pytest.approx(math.sqrt(0.2**2 + 0.4**2 + r**2))
    assert found["inductance_uh"].value == pytest.approx(0.45 * found["resistance_mohm"].value)
    ln_r = math.log(found["resistance_mohm"].value * 1e-3)
    assert found["no_load_current_a"].spread == pytest.approx(
        math.sqrt(0.3**2 + (0.1 * ln_r) ** 2 + 0.35**2 + (0.6 * r) ** 2)
    )
    known = work_out(motor(resistance_mohm=10.0))
    assert known["inductance_uh"].spread == pytest.approx(math.sqrt(0.2**2 + 0.4**2))


def test_a_stored_figure_that_was_worked_out_carries_its_own_spread_along():
    stored = motor().with_figure("resistance_mohm", 10.0, WORKED_OUT, 0.7)
    assert work_out(stored)["inductance_uh"].spread == pytest.approx(
        math.sqrt(0.2**2 + 0.4**2 + 0.7**2)
    )


@pytest.mark.parametrize("key", ["resistance_mohm", "mass_g", "cell_resistance_mohm"])
def test_intervals_hold_eight_in_ten_of_catalogues_that_differ_from_the_prior_by_its_spread(
    key: str,
):
    rng = np.random.default_rng(20270410)
    held = 0
    for _ in range(200):
        parts, truth = _simulated(key, rng)
        found = work_out(parts[0], parts[1:])[key]
        assert found.peers == 10
        held += found.low <= truth <= found.high
    assert 0.72 <= held / 200 <= 0.88


def _simulated(key: str, rng: np.random.Generator) -> tuple[list[Part], float]:
    """Return a part without its figure, ten measured ones of the same true law, and the truth."""
    prior = {  # of the table: level, slope, σ
        "resistance_mohm": ((math.log(110), 0.5), (-1.67, 0.4), 0.25),
        "mass_g": ((math.log(180), 0.2), (1.0, 0.1), 0.10),
        "cell_resistance_mohm": ((math.log(14), 0.4), (-0.4, 0.2), 0.35),
    }[key]
    (level, level_spread), (slope, slope_spread), sigma = prior
    level, slope = rng.normal(level, level_spread), rng.normal(slope, slope_spread)
    parts, truth = [], math.nan
    for i in range(11):
        if key == "cell_resistance_mohm":
            q, c = rng.uniform(2000, 8000), rng.uniform(20, 120)
            figures: dict[str, Any] = {"cells_series": 3, "capacity_mah": q, "c_continuous": c}
            x, scale = math.log(c / 50), 1000 / q
        else:
            can, length, kv = rng.uniform(24, 42), rng.uniform(35, 80), rng.uniform(1500, 6000)
            figures = {"kv_rpm_per_v": kv, "can_mm": can, "length_mm": length}
            x = volume(can, length)
            scale = 1e6 / kv**2 if key == "resistance_mohm" else 1.0
        true = scale * math.exp(level + slope * x + rng.normal(0, sigma))
        kind = "pack" if key == "cell_resistance_mohm" else "motor"
        if i == 0:
            truth = true
            parts.append(Part(kind, "new", figures))
        else:
            seen = true * math.exp(rng.normal(0, 0.01))
            parts.append(Part(kind, f"p{i}", {**figures, key: seen}, {key: MEASURED}))
    return parts, truth


# What counts as data ------------------------------------------------------------------------


def ten(factor: float, source: Provenance | None = MEASURED) -> list[Part]:
    """Return motors whose resistance is that many times what the rule alone says."""
    found = []
    for i in range(10):
        can, length, kv = 26 + 1.7 * i, 40 + 3.1 * i, 2000 + 300 * i
        r = factor * 110 * math.exp(-1.67 * volume(can, length)) / (kv / 1000) ** 2
        found.append(
            motor(f"m{i}", source, can_mm=can, length_mm=length, kv_rpm_per_v=kv, resistance_mohm=r)
        )
    return found


def test_ten_measured_motors_move_the_rule_toward_them():
    alone = work_out(motor())["resistance_mohm"]
    taught = work_out(motor(), ten(2.0))["resistance_mohm"]
    assert taught.peers == 10
    assert 1.9 * alone.value < taught.value < 2.0 * alone.value
    assert taught.spread < 0.5 * alone.spread


@pytest.mark.parametrize(
    "source", [Provenance.ESTIMATED, Provenance.GUESSED, Provenance.WORKED_OUT]
)
def test_only_what_is_measured_or_the_makers_teaches(source: Provenance):
    alone = work_out(motor())
    assert work_out(motor(), ten(2.0, source)) == alone
    # nor does a figure whose feature is no better: L over an R that was worked out
    peers = [
        motor(f"m{i}", inductance_uh=9.0).with_figure("resistance_mohm", 5.0, source)
        for i in range(10)
    ]
    assert work_out(motor(), peers) == alone


def test_parts_of_another_kind_and_figures_of_0_teach_nothing():
    spur = Part("spur", "s", {"teeth": 60, "module_mm": 0.6, "mass_g": 8.0})
    still = motor("m", no_load_current_a=0.0, inductance_uh=0.0, resistance_mohm=9.0)
    found = work_out(motor(resistance_mohm=10.0), [spur, still])
    assert [one.peers for one in found.values()] == [0] * len(found)


# Filling in ---------------------------------------------------------------------------------


def test_what_is_given_stays_and_what_is_filled_in_says_so():
    part = motor(no_load_current_a=1.9)
    full = with_worked_out(part)
    assert full.figures["no_load_current_a"] == 1.9
    new = full.figures.keys() - part.figures.keys()
    assert new == {"resistance_mohm", "mass_g", "inductance_uh", "rotor_inertia_gcm2"}
    estimates = work_out(part)
    for key in new:
        assert full.provenance_of(key) is WORKED_OUT
        assert full.figures[key] == estimates[key].value
        assert full.spread_of(key) == estimates[key].spread
    assert with_worked_out(full, ten(2.0)) == full, "it never moves by itself"


def test_work_out_again_moves_what_was_worked_out_and_nothing_else():
    full = with_worked_out(motor(no_load_current_a=1.9))
    again = with_worked_out(full, ten(2.0), anew=True)
    assert again == with_worked_out(motor(no_load_current_a=1.9), ten(2.0))
    assert again.figures["resistance_mohm"] > 1.9 * float(full.figures["resistance_mohm"])  # type: ignore[arg-type]
    typed = full.with_figure("resistance_mohm", 9.0, MEASURED)
    assert typed.spread_of("resistance_mohm") == 0.01
    again = with_worked_out(typed, ten(2.0), anew=True)
    assert again.figures["resistance_mohm"] == 9.0
    assert again.figures["inductance_uh"] == pytest.approx(0.45 * 9.0)


def test_a_pack_without_a_c_rating_is_as_unsure_as_packs_differ():
    pack = Part("pack", "p", {"cells_series": 2, "capacity_mah": 4000.0})
    rated = work_out(replace(pack, figures={**pack.figures, "c_continuous": 50.0}))
    bare = work_out(pack)
    assert "c_continuous" not in bare
    one, other = bare["cell_resistance_mohm"], rated["cell_resistance_mohm"]
    assert one.value == pytest.approx(other.value) == pytest.approx(3.5)
    assert one.spread == pytest.approx(math.hypot(other.spread, 0.4 * 0.5))


def test_two_cells_side_by_side_share_the_capacity():
    one = Part("pack", "p", {"cells_series": 2, "capacity_mah": 4000.0, "c_continuous": 50})
    two = replace(one, figures={**one.figures, "cells_parallel": 2})
    assert work_out(two)["cell_resistance_mohm"].value == pytest.approx(
        2 * work_out(one)["cell_resistance_mohm"].value
    )


def test_what_follows_far_out_of_range_is_not_worked_out():
    # a can of a hundredth of a millimetre: nobody knows
    assert "resistance_mohm" not in work_out(motor(can_mm=0.01, length_mm=0.01))
    assert work_out(motor(length_mm=0.0)).keys() == set()


def _values() -> st.SearchStrategy[Part]:
    def figures(kind_key: str) -> st.SearchStrategy[Part]:
        choices: dict[str, st.SearchStrategy[Any]] = {}
        for field in BY_KEY[kind_key].fields:
            if field.shape is Shape.CHOICE:
                choices[field.key] = st.sampled_from(field.choices)
            elif field.shape is Shape.WHOLE:
                choices[field.key] = st.integers(max(1, int(field.low)), 100)
            elif field.shape is Shape.NUMBER:
                low = max(field.low, 1e-3)
                choices[field.key] = st.floats(low, min(field.high, 1e4) * 0.999)
        given_ones = st.fixed_dictionaries({}, optional=choices)
        return given_ones.map(lambda found: Part(kind_key, "any", found))

    return st.sampled_from([kind.key for kind in KINDS]).flatmap(figures)


@given(_values())
@settings(max_examples=150, deadline=None)
def test_of_any_part_only_gaps_are_filled_with_what_its_fields_accept(part: Part):
    full = with_worked_out(part, ten(1.3))
    assert {key: full.figures[key] for key in part.figures} == dict(part.figures)
    for key in full.figures.keys() - part.figures.keys():
        field = part.kind.field(key)
        assert field.draw is not Draw.EXACT
        assert field.checked(full.figures[key], key) == full.figures[key]
        assert 0 < full.spread[key] <= 2
    assert with_worked_out(full, ten(1.3), anew=True) == full
    estimates = work_out(part, ten(1.3))
    assert estimates.keys() == full.figures.keys() - part.figures.keys()
    assert all(one.low < one.value < one.high for one in estimates.values())


@given(st.lists(_values(), max_size=12))
@settings(max_examples=40, deadline=None)
def test_many_parts_are_worked_out_as_each_alone(parts: list[Part]):
    for kind in KINDS:
        some = [part for part in parts if part.kind_key == kind.key]
        for one, alone in zip(
            Estimator(kind.key).filled(some), map(with_worked_out, some), strict=True
        ):
            assert one.figures == pytest.approx(alone.figures)
            assert one.spread == pytest.approx(alone.spread)


@given(st.integers(0, 9))
def test_more_motors_never_make_it_less_sure(count: int):
    few, more = (work_out(motor(), ten(1.4)[:n]) for n in (count, count + 1))
    assert more["resistance_mohm"].spread <= few["resistance_mohm"].spread


def test_a_rating_is_never_worked_out():
    ratings = {
        "max_rpm", "continuous_current_a", "peak_current_a", "burst_current_a", "max_cells",
        "max_electrical_rpm", "c_continuous", "c_burst", "rated_kmh",
    }  # fmt: skip
    assert not ratings & {rule.key for rule in RULES}
    assert all(BY_KEY[rule.kind_key].field(rule.key).draw is not Draw.EXACT for rule in RULES), (
        "what is exact is never drawn, so a guess of it would stand as certain"
    )
