"""Limits along the road: what holds the car back where, and how that is said."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from pennyspeed.domain.builds import Build
from pennyspeed.domain.conditions import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.physics.car import LIMIT_NAMES
from pennyspeed.physics.results import Prediction

REACTION, BRAKING, RESERVE = "reaction", "braking", "reserve"
OF_THE_DRIVER = (REACTION, BRAKING, RESERVE)
"""What the driver does or keeps, where nothing holds the car back."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A piece of road [m] on which one limit holds, of LIMIT_NAMES or OF_THE_DRIVER."""

    start: float
    end: float
    limit: str


def stretches(prediction: Prediction, reserve: float = 0.0) -> tuple[Stretch, ...]:
    """Return the pieces of road, in order; none where the car does not move.

    They lead from rest over the driver's reaction to rest, and to the end of the reserve [m] where
    one is kept.
    """
    curve, lift, marker = prediction.curve, prediction.lift_at, prediction.marker_at
    if curve is None or prediction.road_speed <= 0.0 or not len(curve.limit):
        return ()
    codes = np.asarray(curve.limit)
    starts = np.flatnonzero(np.concatenate(([True], codes[1:] != codes[:-1])))
    # A limit holds from its first point of the curve to the first of the next.
    edges = [float(curve.distance[i]) for i in starts[1:]]
    found = []
    for i, start in enumerate([0.0, *edges]):
        end = min(edges[i] if i < len(edges) else marker, marker)
        if end > start:
            found.append(Stretch(start, end, LIMIT_NAMES[int(codes[starts[i]])]))
    stop = lift + prediction.stop_distance
    if marker < lift:
        found.append(Stretch(marker, lift, REACTION))
    found.append(Stretch(lift, stop, BRAKING))
    if reserve > 0.0:
        found.append(Stretch(stop, stop + reserve, RESERVE))
    return tuple(found)


def limit_at(pieces: tuple[Stretch, ...], distance: float) -> str | None:
    """Return what holds at a distance, None where the car stands."""
    return next((piece.limit for piece in pieces if distance <= piece.end), None)


def said(build: Build, limit: str, measures: Measures) -> tuple[str, ...]:
    """Return how a limit is written, from the fullest words to the shortest.

    The fullest follow 'held back', but for what the driver does.
    """
    if limit in (REACTION, RESERVE):
        return (limit,)
    if limit == "driver":
        allowed = measures.figure(BY_KEY["driver_g"], build.condition("driver_g"))
        return (f"by the driver’s {allowed}", f"driver, {allowed}", "driver")
    if limit == "voltage":
        return ("by the pack’s voltage", "voltage")
    if limit == "current":
        owner, rating = _smaller_rating(build)
        amperes = f"{measures.number(rating)} A"
        return (f"by the {owner}’s {amperes}", f"{owner}, {amperes}", owner)
    if limit == "pack":
        pack = build.part("pack")
        burst = 0.0
        if pack is not None:
            burst = (pack.number("c_burst") or 0.0) * (pack.number("capacity_mah") or 0.0)
        amperes = f"{measures.number(burst / 1000)} A"
        return (f"by the pack’s {amperes}", f"pack, {amperes}", "pack")
    if limit == "grip":
        return ("by the tyres’ grip", "grip")
    asked = build.condition("brake_g")
    tyres = build.part("tyres")
    grip = (
        (tyres.number("grip") or 0.0) * build.condition("surface_grip_factor") if tyres else asked
    )
    if grip < asked:
        return ("braking as hard as the tyres hold", "braking, tyres’ grip", "braking")
    figure = measures.figure(BY_KEY["brake_g"], asked)
    return (f"braking at {figure}", "braking")


def _smaller_rating(build: Build) -> tuple[str, float]:
    """Return whose rating the current limit is, and how much [A]."""
    found = []
    for slot, key in (("controller", "burst_current_a"), ("motor", "peak_current_a")):
        part = build.part(slot)
        rating = None if part is None else part.number(key)
        if rating is not None:
            found.append((rating, slot))
    rating, slot = min(found, default=(0.0, "controller"))
    return slot, rating
