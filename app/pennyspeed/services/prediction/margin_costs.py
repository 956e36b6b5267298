"""What the margin costs: speed that the reserve takes, with this pinion and its neighbours."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from pennyspeed.domain.assembly import assemble
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import BY_CODE
from pennyspeed.domain.checks.seen import STOP
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import KMH
from pennyspeed.physics.predict import predict
from pennyspeed.services.gears.suited_gears import suited, teeth
from pennyspeed.services.shelf.trials import single

NOTHING = 0.05
"""A cost in speed below this is none [km/h or mph]."""

_MESHING = ("gear-module", "pinion-bore", "mesh-distance")
_SMALLER, _LARGER = 1, 2
_ROAD_ENDS_IT = 0.99


@dataclass(frozen=True, slots=True)
class MarginCost:
    """What the reserve costs with one pinion."""

    teeth: int
    is_now: bool
    lost_kmh: float
    """Speed on this road without a reserve, less the speed with it."""
    road_limits: bool
    """The road holds the car back with the reserve, not what is in the car."""


def margin_costs(build: Build, pinions: Sequence[Part]) -> tuple[MarginCost, ...]:
    """Return what the reserve costs with the pinion that is in and with its neighbours that mesh.

    One smaller and two larger ones, by their teeth. It takes some milliseconds.
    """
    own = build.part("pinion")
    if own is None or assemble(build) is None:
        return ()
    others = {teeth(one): one for one in _meshing(build, pinions) if teeth(one) != teeth(own)}
    smaller = sorted(count for count in others if count < teeth(own))[-_SMALLER:]
    larger = sorted(count for count in others if count > teeth(own))[:_LARGER]
    found = []
    for count in [*smaller, teeth(own), *larger]:
        with_it = build if count == teeth(own) else build.with_part(others[count])
        car, free = assemble(with_it), assemble(with_it.with_condition("reserve_m", 0.0))
        if car is None or free is None:
            continue
        kept = predict(car)
        lost = KMH.from_si(predict(free).road_speed - kept.road_speed)
        ends = kept.road_speed < _ROAD_ENDS_IT * kept.balance_speed
        found.append(MarginCost(count, count == teeth(own), max(lost, 0.0), ends))
    return tuple(found)


def _meshing(build: Build, pinions: Sequence[Part]) -> list[Part]:
    """Return the pinions that suit shaft, module and the room between the axles."""
    some = suited(build, "pinion", pinions)
    if not some:
        return []
    trials = single(build, some)
    fits = np.ones(len(some), dtype=bool)
    for code in _MESHING:
        fits &= np.asarray(BY_CODE[code].levels(trials)) != STOP
    return [one for one, does in zip(some, fits, strict=True) if does]


def cost_words(
    costs: Sequence[MarginCost], build: Build, measures: Measures
) -> tuple[list[tuple[str, str]], str]:
    """Return each pinion with what it loses, and a remark behind them."""
    if build.condition("reserve_m") == 0.0:
        return [], "nothing: no reserve is kept"
    words = []
    unit = measures.speed_unit.symbol
    for one in costs:
        lost = measures.shown(one.lost_kmh, KMH)
        figure = "nothing" if lost < NOTHING else f"{measures.number(-lost, 1)} {unit}"
        words.append((f"{one.teeth} teeth{', now' if one.is_now else ''}", figure))
    losing = [one for one in costs if measures.shown(one.lost_kmh, KMH) >= NOTHING]
    if not losing or not all(one.road_limits for one in losing):
        return words, ""
    if len(losing) == len(costs):
        return words, "the road limits, not the motor"
    return words, "with those that lose, the road limits, not the motor"
