"""Gear chart: every pinion with every spur in one build, as a table.

::

                 spur 54   58   62       teeth left: how many more the pinion may have before it
    pinion 20      ..     ..    ..       no longer meshes with this spur, and what they would bring
           24      ..    [now]  ..
           28      //     ..    ..       //  does not mesh or fit, and why
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from pennyspeed.domain.assembly import assemble
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import BY_CODE, Facts
from pennyspeed.domain.checks.facts import labels
from pennyspeed.domain.checks.fit import mesh_centre_distance
from pennyspeed.domain.checks.limits import MOST_MOTOR_CELSIUS, motor_celsius
from pennyspeed.domain.checks.seen import ROUNDING, STOP, over
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.money.costs import costs
from pennyspeed.domain.parts.parts import Part, is_same
from pennyspeed.domain.units import KMH, MM, RPM
from pennyspeed.physics.car import FloatArray, Floats, IntArray
from pennyspeed.physics.gears import roll_out
from pennyspeed.physics.predict import predict
from pennyspeed.services.gears.suited_gears import teeth
from pennyspeed.services.shelf.candidates import CODES, Candidates, pair_candidates, speed_now

FITTING = ("gear-module", "mesh-distance", "pinion-bore")
"""Codes of the checks that say whether a pair can be driven at all, the most telling first."""


@dataclass(frozen=True)
class TeethLeft:
    """What one spur still allows.

    Attributes
    ----------
    most : int or None
        Teeth of the largest pinion that meshes with this spur; None where that is not known.
    left : int or None
        Beyond the pinion that is in; below 0 where that one does not mesh.
    gain : float or None
        In speed on this road with a pinion of `most` teeth, against the pinion that is in [m/s];
        None where there is no whole car.
    """

    most: int | None = None
    left: int | None = None
    gain: float | None = None


@dataclass(frozen=True)
class GearChart:
    """Arrays of shape (pinions, spurs); NaN where something is not known or does not move.

    Attributes
    ----------
    pinions, spurs : tuple of Part
        Rows and columns, by teeth.
    speed : array
        On this road [m/s].
    ratio : array
        Final drive ratio.
    roll_out : array
        Distance per motor turn at rest [m].
    motor_rpm : array
        At that speed.
    motor_celsius : array
        At the lift point.
    centre_distance : array
        At which the pair meshes [mm].
    price, unpriced : array of int, array of bool
        What the pair costs beyond what is in, in minor units; whether that is not known.
    fits : array of bool
        Nothing says that the pair cannot be driven: module, centre distance, bore.
    left : tuple of TeethLeft
        One for each spur, where it was asked for.
    now : tuple of int or None
        Row and column of the pair that is in.
    """

    candidates: Candidates
    pinions: tuple[Part, ...]
    spurs: tuple[Part, ...]
    speed: FloatArray
    ratio: FloatArray
    roll_out: FloatArray
    motor_rpm: FloatArray
    motor_celsius: FloatArray
    centre_distance: FloatArray
    price: IntArray
    unpriced: NDArray[np.bool_]
    fits: NDArray[np.bool_]
    left: tuple[TeethLeft, ...]
    now: tuple[int, int] | None

    @cached_property
    def reached(self) -> NDArray[np.bool_]:
        """Whether the target is reached on this road."""
        goal = self.candidates.trials.original.target_kmh
        return self.speed >= (math.nan if goal is None else KMH.to_si(goal))

    @cached_property
    def over_rated(self) -> NDArray[np.bool_]:
        """Whether the motor turns faster than rated on this road."""
        rated = self.candidates.trials.figure("motor", "max_rpm")
        return np.asarray(over(self.motor_rpm, rated))

    @cached_property
    def over_hot(self) -> NDArray[np.bool_]:
        """Whether it gets hotter than `MOST_MOTOR_CELSIUS`."""
        return np.asarray(over(self.motor_celsius, MOST_MOTOR_CELSIUS))

    def row(self, pinion: int, spur: int) -> int:
        """Return the row of `candidates` that is a cell of the chart."""
        return pinion * len(self.spurs) + spur

    def build(self, pinion: int, spur: int) -> Build:
        """Return the build that taking a pair makes."""
        return self.candidates.build(self.row(pinion, spur))

    def reason(self, pinion: int, spur: int, measures: Measures = METRIC) -> str:
        """Say why a pair does not mesh or fit; "" where it does."""
        row = self.row(pinion, spur)
        for code in FITTING:
            place = CODES.index(code)
            if self.candidates.levels[place, row] == STOP:
                build = self.candidates.build(row)
                facts = Facts(build, None, costs(build), 0.0, measures)
                return BY_CODE[code].outcome(facts).text
        return ""


def gear_chart(
    build: Build, pinions: Sequence[Part], spurs: Sequence[Part], with_left: bool = True
) -> GearChart:
    """Return the chart of a build, from whatever motor and chassis are in.

    With a slot still empty, speeds are NaN and ratios are there as far as they go. There is at
    least one gear of each kind. What each spur still allows takes two whole runs for each.
    """
    rows = tuple(sorted(pinions, key=teeth))
    columns = tuple(sorted(spurs, key=teeth))
    found = pair_candidates(build, rows, columns)
    trials, shape = found.trials, (len(rows), len(columns))

    def table(values: Floats) -> FloatArray:
        return np.broadcast_to(values, (len(found),)).reshape(shape)

    said = trials.readings
    ratio = table(
        trials.figure("spur", "teeth")
        / trials.figure("pinion", "teeth")
        * trials.figure("chassis", "internal_ratio")
    )
    diameter = MM.to_si(float(trials.figure("tyres", "diameter_mm")))
    fitting = np.stack([found.levels[CODES.index(code)] for code in FITTING])
    return GearChart(
        candidates=found,
        pinions=rows,
        spurs=columns,
        speed=found.speed.reshape(shape),
        ratio=ratio,
        roll_out=roll_out(diameter, 1.0) / ratio,
        motor_rpm=table(said.road_motor_speed / RPM.factor),
        motor_celsius=table(motor_celsius(trials)),
        centre_distance=table(mesh_centre_distance(trials)),
        price=found.cost_change.reshape(shape),
        unpriced=found.unpriced.reshape(shape),
        fits=(fitting != STOP).all(axis=0).reshape(shape),
        left=tuple(_teeth_left(build, spur) for spur in columns) if with_left else (),
        now=_now(build, rows, columns),
    )


def exact(chart: GearChart, cells: Iterable[tuple[int, int]]) -> GearChart:
    """Return the chart with the speeds, turns and temperatures of some cells worked out exactly.

    A chart's own figures come from one batch and are within 1e-3; a digit may round the other way.
    Some 0.5 ms a cell. Each is named by the places of its pinion and its spur.
    """
    speed, rpm, celsius = (
        table.copy() for table in (chart.speed, chart.motor_rpm, chart.motor_celsius)
    )
    start = chart.candidates.trials.original.condition("motor_temperature_c")
    for cell in cells:
        car = assemble(chart.build(*cell))
        if car is None:
            continue
        found = predict(car)
        speed[cell] = found.road_speed
        moves = found.balance_speed > 0.0
        rpm[cell] = RPM.from_si(found.road_motor_speed) if moves else math.nan
        if not math.isnan(celsius[cell]):
            celsius[cell] = start + found.motor_rise
    return replace(chart, speed=speed, motor_rpm=rpm, motor_celsius=celsius)


def teeth_left(build: Build) -> TeethLeft:
    """Return what the spur that is in still allows."""
    spur = build.part("spur")
    return TeethLeft() if spur is None else _teeth_left(build, spur)


def say_teeth_left(build: Build, found: TeethLeft, measures: Measures = METRIC) -> str:
    """Say how many teeth are left before the gear mesh ends, and what they would bring."""
    if found.most is None or found.left is None:
        missing = [slot for slot in ("chassis", "pinion", "spur") if build.part(slot) is None]
        if missing:
            return f"Cannot say how many teeth are left: {labels(missing)} missing"
        return "Not known how large a pinion meshes: enter the chassis' largest centre distance"
    if found.left < 0:
        return f"This pinion is {_so_many(-found.left)} too large for this spur"
    if found.left == 0:
        return "No tooth is left: a larger pinion does not mesh with this spur"
    text = f"{_so_many(found.left)} left before the gear mesh ends"
    if found.gain is None:
        return text
    gain = measures.signed(measures.shown(KMH.from_si(found.gain), KMH))
    return f"{text}: a pinion of {found.most} would bring {gain} {measures.speed_unit.symbol}"


def _so_many(count: int) -> str:
    return "1 tooth" if count == 1 else f"{count} teeth"


def _teeth_left(build: Build, spur: Part) -> TeethLeft:
    pinion, chassis = build.part("pinion"), build.part("chassis")
    if pinion is None or chassis is None:
        return TeethLeft()
    reach, module = chassis.known_number("mesh_max_mm"), spur.number("module_mm")
    if reach is None or not module:
        return TeethLeft()
    own = teeth(pinion)
    most = math.floor(2.0 * reach / module * (1.0 + ROUNDING) - teeth(spur))
    if most < 1:
        return TeethLeft(most, most - own)
    present = build.part("spur")
    with_spur = build if present is spur else build.with_part(spur)
    larger = replace(pinion, figures={**pinion.figures, "teeth": most})
    now, then = speed_now(with_spur), speed_now(with_spur.with_part(larger))
    if math.isnan(now):
        return TeethLeft(most, most - own)
    return TeethLeft(most, most - own, then - now)


def _now(build: Build, pinions: Sequence[Part], spurs: Sequence[Part]) -> tuple[int, int] | None:
    pinion, spur = build.part("pinion"), build.part("spur")
    if pinion is None or spur is None:
        return None
    rows = [i for i, part in enumerate(pinions) if is_same(part, pinion)]
    columns = [j for j, part in enumerate(spurs) if is_same(part, spur)]
    return (rows[0], columns[0]) if rows and columns else None
