"""Listings of our own writing, and how a reading is held against what stands there."""

from __future__ import annotations

import math
import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any

from pennyspeed.domain.money.money import Money
from pennyspeed.services.listings import Reading, read_listing

FOLDER = Path(__file__).parent / "data" / "listings"


@dataclass
class Score:
    """What a reader made of some listings.

    Attributes
    ----------
    stands, met : int
        Figures that stand there, and those of them that were recognised.
    faults : list of str
        Wrong figures, traps that were stored, other kinds: none may be.
    missed : list of str
        Figures that stand there and were left alone.
    """

    stands: int = 0
    met: int = 0
    faults: list[str] = field(default_factory=list)
    missed: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        share = 100 * self.met / self.stands
        lines = [f"{self.met} of {self.stands} figures recognised ({share:.1f} %)"]
        return "\n".join([*lines, f"{len(self.faults)} wrong", *self.faults, *self.missed])


def listings(*names: str) -> list[dict[str, Any]]:
    """Return the listings of the files of those names."""
    found: list[dict[str, Any]] = []
    for name in names:
        found += tomllib.loads((FOLDER / f"{name}.toml").read_text(encoding="utf-8"))["listing"]
    return found


def scored(some: Sequence[dict[str, Any]]) -> Score:
    """Read listings and hold what is given against what stands there."""
    score = Score()
    for one in some:
        reading = read_listing(one["text"])
        where = " ".join(one["text"].split())[:50]
        if reading.kind_key != one["kind"]:
            score.faults.append(f"{where}: read as {reading.kind_key or reading.kinds}")
        if "kinds" in one and list(reading.kinds) != one["kinds"]:
            score.faults.append(f"{where}: fits {reading.kinds}")
        _hold(score, where, reading, one)
        stored = {claim for claim in reading.claims if reading.given.get(claim.key) == claim.value}
        for trap in one.get("traps", ()):
            start = one["text"].index(trap)
            for claim in stored:
                if start <= claim.start < start + len(trap):
                    score.faults.append(f"{where}: {claim.key} from {reading.words(claim)!r}")
    return score


def _hold(score: Score, where: str, reading: Reading, one: dict[str, Any]) -> None:
    wanted, given = one.get("figures", {}), reading.given
    for key, value in wanted.items():
        is_met = key in given and _same(given[key], value)
        score.stands += 1
        score.met += is_met
        if not is_met:
            score.missed.append(f"{where}: {key} {value} was left")
    for key, values in one.get("conflicts", {}).items():
        claimed = sorted(claim.value for claim in reading.conflicts.get(key, ()))
        score.stands += 1
        score.met += claimed == sorted(values)
        if claimed != sorted(values):
            score.missed.append(f"{where}: {key} says {claimed}, not {values}")
    for key, value in given.items():
        if key not in wanted or not _same(value, wanted[key]):
            score.faults.append(f"{where}: {key} {value} was stored")


def _same(value: object, wanted: Any) -> bool:
    if isinstance(value, Money):
        amount, currency = wanted.split()
        return value.amount == Decimal(amount) and value.currency == currency
    if isinstance(value, tuple):
        return all(map(_same, value, wanted))
    if isinstance(value, str):
        return value == wanted
    return isinstance(value, int | float) and math.isclose(value, wanted, rel_tol=1e-5)
