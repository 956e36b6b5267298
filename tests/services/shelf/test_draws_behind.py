"""Rows out of sight rest on few draws: these lie neither too high nor too low."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from unittest.mock import patch
from zlib import crc32

import numpy as np
from scipy.stats import norm

from pennyspeed.domain import assembly
from pennyspeed.domain.assembly import Key, assemble, drawn_figures
from pennyspeed.domain.builds import Build
from pennyspeed.physics.batch.runs import predict_many
from pennyspeed.physics.car import FloatArray
from pennyspeed.services.shelf import bands
from pennyspeed.services.shelf.candidates import candidates
from services.swaps import some_build

CARS, INDEPENDENT = 24, 20_000


def varied_cars() -> Iterator[Build]:
    """Whole cars: as they come, on a day that varies, held by grip, on a long road."""
    rng, count = np.random.default_rng(11), 0
    while count < CARS:
        build = some_build(rng)
        if build.empty_slots:
            continue
        if count % 2:
            build = build.with_careful_driver()
        other = {2: {"driver_g": 5.0, "road_m": 90.0}, 3: {"road_m": 700.0}}.get(count % 4, {})
        yield replace(build, conditions={**build.conditions, **other})
        count += 1


def independent(build: Build) -> FloatArray:
    """Speeds of independent cars, without the program's own draws."""
    rng, figures = np.random.default_rng(1), {}
    for one in drawn_figures(build):
        normal = one.spread * rng.standard_normal(INDEPENDENT)
        is_wind = one.key == ("conditions", "head_wind_kmh")
        figures[one.key] = one.nominal + normal if is_wind else one.nominal * np.exp(normal)
    car = assemble(build, figures)
    assert car is not None
    return np.asarray(predict_many(car).road_speed)


def behind(build: Build) -> tuple[float, float]:
    (found,) = bands.bands_behind(candidates(build, [build.parts["motor"]]))
    return float(found.p10[0]), float(found.p90[0])


def by_chance(key: Key, draws: int = 64) -> FloatArray:
    """Draws whose orders are left as they fall: correlated by accident."""
    order = np.random.default_rng(crc32("/".join(key).encode())).permutation(draws)
    return np.asarray(norm.ppf((order + 0.5) / draws))


def test_few_draws_are_unbiased_which_those_left_to_chance_are_not() -> None:
    errors, before = [], []
    for build in varied_cars():
        low, high = np.percentile(independent(build), (10, 90))
        errors.append((np.array(behind(build)) - (low, high)) / (high - low))
        with (
            patch.object(assembly, "standard_draws", by_chance),
            patch.object(bands, "standard_draws", by_chance),
        ):
            before.append((behind(build)[0] - low) / (high - low))
    assert len(errors) == CARS
    p10, p90 = np.mean(errors, axis=0)
    assert abs(p10) < 0.02
    assert abs(p90) < 0.03
    assert np.mean(before) > 0.03, "what this test is there to catch"
