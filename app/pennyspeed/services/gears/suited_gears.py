"""Suited gears: which of the shelf's a chart of a build shows."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks.fit import other_bore, other_module
from pennyspeed.domain.checks.seen import Bools
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part, is_same

MOST_GEARS = 48
"""Of each kind; of more, those nearest to what is in are shown."""


def teeth(part: Part) -> int:
    """Return how many teeth a gear has."""
    return round(part.number("teeth") or 0)


def suited(build: Build, kind_key: str, parts: Sequence[Part]) -> list[Part]:
    """Return the gears that suit the chassis' module and the motor's shaft, and the one that is in.

    All of them where none does, or where nothing says which would.
    """
    chassis, motor = build.part("chassis"), build.part("motor")
    module = None if chassis is None else chassis.known_number("gear_module_mm")
    if module is None:
        present = build.part("spur") or build.part("pinion")
        module = None if present is None else present.number("module_mm")
    shaft = None if motor is None else motor.known_number("shaft_mm")
    wants: list[tuple[str, float | None, Callable[[float, float], Bools]]] = [
        ("module_mm", module, other_module)
    ]
    if kind_key == "pinion":
        wants.append(("bore_mm", shaft, other_bore))
    own = build.part(kind_key)

    def suits(part: Part) -> bool:
        if own is not None and is_same(part, own):
            return True
        for key, wanted, is_other in wants:
            figure = part.known_number(key)
            if wanted is not None and figure is not None and is_other(figure, wanted):
                return False
        return True

    found = [part for part in parts if suits(part)]
    return found or list(parts)


def nearest(build: Build, kind_key: str, parts: Sequence[Part]) -> list[Part]:
    """Return at most :data:`MOST_GEARS` gears, those whose teeth are nearest to what is in."""
    if len(parts) <= MOST_GEARS:
        return list(parts)
    own = build.part(kind_key)
    middle = float(np.median([teeth(part) for part in parts])) if own is None else teeth(own)
    return sorted(parts, key=lambda part: abs(teeth(part) - middle))[:MOST_GEARS]


@dataclass(frozen=True, slots=True)
class Asked:
    """What a chart was asked for.

    Attributes
    ----------
    left_out : int
        Gears of the shelf that do not suit and are not shown.
    """

    build: Build
    pinions: tuple[Part, ...]
    spurs: tuple[Part, ...]
    measures: Measures
    left_out: int = 0


def asked_for(
    build: Build,
    pinions: Sequence[Part],
    spurs: Sequence[Part],
    measures: Measures,
    all_of_them: bool = False,
) -> Asked:
    """Return what to ask for: of the shelf's gears those that suit, or all, not too many."""
    shelf = len(pinions) + len(spurs)
    if not all_of_them:
        pinions, spurs = suited(build, "pinion", pinions), suited(build, "spur", spurs)
    pinions, spurs = nearest(build, "pinion", pinions), nearest(build, "spur", spurs)
    left_out = shelf - len(pinions) - len(spurs)
    return Asked(build, tuple(pinions), tuple(spurs), measures, left_out)
