"""Random builds and swaps from the demo catalogue, for tests that compare many with one."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np

from builds import a_build
from pennyspeed import resources
from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY, SLOTS
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.build_files import read_build
from services.demo_catalogue import parts

CATALOGUE: dict[str, tuple[Part, ...]] = {kind: parts(kind) for kind in BY_KEY}


@cache
def demo_builds() -> tuple[Build, ...]:
    found = sorted(resources.path("demo/builds").glob("*.build.json"))
    return (a_build(), *(read_build(path) for path in found))


def some_build(rng: np.random.Generator) -> Build:
    """A demo build with two or three other parts in it, on another road."""
    builds = demo_builds()
    build = builds[rng.integers(len(builds))]
    for kind in rng.choice(SLOTS, size=rng.integers(1, 4), replace=False):
        stock = CATALOGUE[str(kind)]
        build = build.with_part(stock[rng.integers(len(stock))])
    if rng.random() < 0.2:
        build = build.without_part(str(rng.choice(SLOTS)))
    conditions = {**build.conditions, "road_m": float(rng.uniform(80, 500))}
    conditions["state_of_charge"] = float(rng.uniform(0.6, 1.0))
    conditions["driver_g"] = float(rng.uniform(0.3, 1.0))
    return replace(build, conditions=conditions, target_kmh=float(rng.uniform(60, 140)))


def grown(kind: str, count: int, seed: int = 3) -> list[Part]:
    """As many parts of a kind, each a little different from one of the catalogue's."""
    rng = np.random.default_rng(seed)
    stock = CATALOGUE[kind]
    found = []
    for place in range(count):
        part = stock[place % len(stock)]
        figures = {
            key: value * float(np.exp(rng.normal(0.0, 0.05))) if isinstance(value, float) else value
            for key, value in part.figures.items()
        }
        found.append(replace(part, name=f"{part.name}, {place}", figures=figures))
    return found
