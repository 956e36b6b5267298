"""Words for the next change: its title, and the change as a sentence."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import METRIC, Measures, percent
from pennyspeed.domain.units import KMH
from pennyspeed.services.shelf.swaps import name_of

if TYPE_CHECKING:
    from pennyspeed.services.shelf.next_change import Change


def say_change(build: Build, change: Change | None, measures: Measures = METRIC) -> str:
    if change is None:
        return "Nothing in the catalogue makes it quicker for what is left"
    names = name_of(change.parts)
    speed = measures.speed_toward(KMH.from_si(change.speed), build.target_kmh)
    if change.cost.minor == 0 and change.beside_cap.minor > 0:
        price = f"for {measures.money(change.beside_cap)} that do not count toward the cap"
    elif change.cost.minor > 0:
        price = f"for {measures.money(change.cost)} more"
    elif change.cost.minor < 0:
        price = f"and saves {measures.money(-change.cost)}"
    else:
        price = "for no more money"
    if change.cost.minor != 0 and change.beside_cap.minor > 0:
        price += f", and {measures.money(change.beside_cap)} that do not count toward the cap"
    if change.reaches:
        return f"{names} reaches {speed} {price}"
    return f"{names} brings most for what is left: {speed} {price}"


def change_title(build: Build, change: Change | None, measures: Measures = METRIC) -> str:
    """Return what the change is."""
    if build.target_kmh is None or (change is not None and not change.reaches):
        return "Most speed for what is left"
    return f"Cheapest way to {measures.target(build.target_kmh)}"


def say_with_chance(build: Build, change: Change | None, measures: Measures = METRIC) -> str:
    """Return the change in one sentence, with the chance that it brings."""
    said = say_change(build, change, measures)
    if change is None or change.chance is None:
        return said
    return f"{said}, {percent(change.chance)} of 100"
