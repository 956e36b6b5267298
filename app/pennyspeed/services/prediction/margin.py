"""The margin on the road: where the driver decides, what a late lift does."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from pennyspeed.domain.assembly import assemble
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Level
from pennyspeed.domain.conditions import BY_KEY, OF_A_NEW_BUILD
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.apportion import rounded_together
from pennyspeed.domain.parts.provenance import WORDS
from pennyspeed.domain.units import KMH, M
from pennyspeed.physics.predict import HALF_A_SECOND, late_lifts
from pennyspeed.physics.results import LateLift
from pennyspeed.services.prediction.forecast import Forecast

LATE_BY = (0.0, 0.1, 0.2, 0.4, HALF_A_SECOND, 0.7, 1.0)
"""How much later than planned the throttle goes off, row by row [s]."""

NAMES = {
    "reaction_s": "reaction",
    "reserve_m": "reserve",
    "brake_g": "braking",
    "surface_grip_factor": "surface grip",
}
"""The conditions that make the margin."""


@dataclass(frozen=True, slots=True)
class Distances:
    """The pieces of a road, in whole units of the person's, so that they add up as they are shown.

    Shared by largest remainder; every place that shows one of them takes it from here.
    """

    measures: Measures
    marker: int
    """From the start to where the driver decides."""
    reaction: int
    braking: int
    reserve: int

    @property
    def throttle_off(self) -> int:
        """From the start to where the throttle is off."""
        return self.marker + self.reaction

    @property
    def stop(self) -> int:
        """From the start to rest."""
        return self.throttle_off + self.braking

    @property
    def road(self) -> int:
        """The whole road."""
        return self.stop + self.reserve

    def said(self, figure: int) -> str:
        """Return one of them with its unit."""
        return f"{self.measures.number(figure)} {self.measures.road_unit.symbol}"


def distances(forecast: Forecast, measures: Measures) -> Distances:
    """Return the pieces of the road; there has to be a prediction."""
    found = forecast.prediction
    assert found is not None
    pieces = (
        found.marker_at,
        found.lift_at - found.marker_at,
        found.stop_distance,
        forecast.build.condition("reserve_m") if found.road_speed > 0.0 else 0.0,
    )
    shown = [Decimal(str(round(measures.shown(one, M), 6))) for one in pieces]
    return Distances(measures, *rounded_together(shown))


def reaction_is_known(build: Build) -> bool:
    """Tell whether a reaction time was given; 0 is one."""
    return "reaction_s" in build.conditions


def usual_values(build: Build, measures: Measures) -> str:
    """Return what :meth:`Build.with_careful_driver` would set, in words: "0.7 s and 10 m".

    "" where a reaction time was given.
    """
    if reaction_is_known(build):
        return ""
    keys = [key for key in ("reaction_s", "reserve_m") if key not in build.conditions]
    return " and ".join(measures.figure(BY_KEY[key], OF_A_NEW_BUILD[key]) for key in keys)


# Late lifts ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class LateRow:
    """What one lift that is late does, in words."""

    late: LateLift
    distances: Distances
    """Of the lift that is planned."""
    measures: Measures

    @cached_property
    def left(self) -> int:
        """Whole units of road behind the stop, below 0 past the road's end.

        On the side where it is: neither what leaves the road nor what takes of the reserve is
        rounded away.
        """
        left, planned = self.late.road_left, self.distances
        whole = round(self.measures.shown(left, M))
        if self.late.seconds == 0.0:
            return planned.reserve
        if left < 0.0:
            return min(whole, -1)
        return max(min(whole, planned.reserve - 1), 0)

    @property
    def level(self) -> Level:
        """How it ends."""
        if self.late.road_left < 0.0 and self.late.seconds > 0.0:
            return Level.STOP
        return Level.OK if self.late.seconds == 0.0 else Level.WARN

    @property
    def happens(self) -> str:
        """How it ends, in words."""
        if self.level is Level.OK:
            return "stops in time"
        return "leaves the road" if self.level is Level.STOP else "into the reserve"

    @property
    def late_by(self) -> str:
        """How late it is."""
        if self.late.seconds == 0.0:
            return "on time"
        return f"{self.measures.number(self.late.seconds, 1)} s"

    @property
    def stops_at(self) -> str:
        """Where the car stands, from the start."""
        return self.distances.said(self.distances.road - self.left)

    @property
    def road_left(self) -> str:
        """How much road is behind the stop."""
        return self.distances.said(self.left)

    @property
    def at_end(self) -> str:
        """How fast it is at the road's end."""
        speed = self.measures.shown(KMH.from_si(self.late.end_speed), KMH)
        if self.level is not Level.STOP:
            return "standing"
        if speed < 1.0:
            return f"under 1 {self.measures.speed_unit.symbol}"
        return self.measures.speed(KMH.from_si(self.late.end_speed))

    @property
    def name(self) -> str:
        """What it is called beside its curve."""
        if self.late.seconds == HALF_A_SECOND:
            return "half a second late"
        return f"{self.late_by} late"

    @property
    def outcome(self) -> tuple[str, str]:
        """What is said beside its curve, in two lines, of which one may be empty."""
        beyond = self.distances.said(abs(self.left))
        if self.level is Level.STOP:
            return f"{self.at_end} at the road’s end,", f"stops {beyond} past it"
        return "", f"stops {beyond} before the road’s end"

    @property
    def phrase(self) -> str:
        """What it does, as a plot says it."""
        return f"{self.name}: {' '.join(filter(None, self.outcome))}"

    @property
    def sentence(self) -> str:
        """The whole row."""
        if self.late.seconds == 0.0:
            return f"on time: stops at {self.stops_at}, {self.road_left} of road left"
        return f"{self.phrase}; {self.happens}"


def late_rows(forecast: Forecast, measures: Measures) -> tuple[LateRow, ...]:
    """Return a row for every one of :data:`LATE_BY`; none where no road is left to drive."""
    car, found = assemble(forecast.build), forecast.prediction
    if car is None or found is None:
        return ()
    planned = distances(forecast, measures)
    return tuple(LateRow(late, planned, measures) for late in late_lifts(car, found, LATE_BY))


def late_row(
    forecast: Forecast, measures: Measures, late: LateLift | None = None
) -> LateRow | None:
    """Return what a plot shows of a late lift: the one given, or the half second where it matters.

    None where that is on time, or leaves the car on the road and nobody asked for it.
    """
    found = forecast.prediction
    if found is None:
        return None
    if late is None:
        late = found.late if found.late is not None and found.late.road_left < 0.0 else None
    if late is None or late.seconds == 0.0:
        return None
    return LateRow(late, distances(forecast, measures), measures)


# What is set --------------------------------------------------------------------------------


def meaning(key: str, forecast: Forecast, measures: Measures) -> str:
    """Return what one of :data:`NAMES` comes to on this road, "" where that is not known."""
    build, found = forecast.build, forecast.prediction
    moves = found is not None and found.road_speed > 0.0
    if key == "surface_grip_factor":
        tyres = build.part("tyres")
        grip = None if tyres is None else tyres.known_number("grip")
        if tyres is None or grip is None:
            return "grip of the tyres not known"
        figure = f"{measures.number(grip * build.condition(key), 2)} g"
        return f"grip {figure}, {WORDS[tyres.provenance_of('grip')]}"
    if key == "reserve_m":
        kept = build.condition(key) > 0.0
        return "kept free before the end" if kept else "nothing is kept free"
    if not moves:
        return ""
    assert found is not None
    planned = distances(forecast, measures)
    speed = measures.speed_toward(KMH.from_si(found.road_speed), build.target_kmh)
    if key == "brake_g":
        return f"{planned.said(planned.braking)} from {speed}"
    return f"{planned.said(planned.reaction)} at {speed}" if reaction_is_known(build) else "–"
