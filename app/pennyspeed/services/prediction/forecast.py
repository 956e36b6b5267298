"""Forecast: everything the window and the command line say about one build."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from pennyspeed.domain.assembly import (
    assemble,
    density,
    draw,
    drawn_figures,
    gear_ratio,
    mass_kg,
    standstill_current,
)
from pennyspeed.domain.builds import Build
from pennyspeed.domain.checks import Facts, Outcome, checked
from pennyspeed.domain.measures import METRIC, Measures
from pennyspeed.domain.money.calendar import Leads
from pennyspeed.domain.money.costs import Costs, costs
from pennyspeed.domain.units import KMH, MM
from pennyspeed.physics.batch.runs import predict_many_with_traces
from pennyspeed.physics.car import FloatArray
from pennyspeed.physics.gears import roll_out
from pennyspeed.physics.predict import predict
from pennyspeed.physics.results import Prediction
from pennyspeed.services.prediction.unknowns import Unknowns, unknowns

BAND_POINTS = 127

# speed goes as the root of the distance from either end of the road, hence crowded there
_ALONG = 0.5 - 0.5 * np.cos(np.linspace(0.0, math.pi, BAND_POINTS))


@dataclass(frozen=True)
class Band:
    """How sure the speed on this road is; speeds in m/s.

    Attributes
    ----------
    p10, p50, p90 : float
    chance : float or None
        Of reaching the target; None without one.
    distance, low, high : ndarray, shape (m,)
        The tenth and ninetieth percentile of speed along the road.
    """

    p10: float
    p50: float
    p90: float
    chance: float | None
    distance: FloatArray
    low: FloatArray
    high: FloatArray


@dataclass(frozen=True)
class Forecast:
    """One build's answer.

    Attributes
    ----------
    prediction : Prediction or None
        None where a slot is empty or nothing has a mass.
    band : Band or None
        None also as long as :func:`with_band` has not been asked.
    mass_kg, air_density : float
    gear_ratio, roll_out_m : float or None
        Final drive ratio; distance per motor turn at rest.
    standstill_current : float or None
        [A]
    checks : tuple of Outcome
        In the order of the codes.
    unknowns : Unknowns or None
        None as long as :func:`with_unknowns` has not been asked.
    """

    build: Build
    prediction: Prediction | None
    band: Band | None
    mass_kg: float
    air_density: float
    gear_ratio: float | None
    roll_out_m: float | None
    standstill_current: float | None
    costs: Costs
    checks: tuple[Outcome, ...]
    unknowns: Unknowns | None = None


def forecast(build: Build, measures: Measures = METRIC, leads: Leads | None = None) -> Forecast:
    """Return what can be said about a build; what a missing part leaves open is None.

    Its unknowns wait for :func:`with_unknowns`. `measures` write the figures of the checks'
    sentences. `leads` say how long suppliers take; else only what came in this build is known.
    """
    return with_band(without_band(build, measures, leads))


def without_band(build: Build, measures: Measures = METRIC, leads: Leads | None = None) -> Forecast:
    """Return a forecast but for its band, which takes longer than all the rest."""
    car = assemble(build)
    prediction = None if car is None else predict(car)
    mass = mass_kg(build)
    ratio = gear_ratio(build)
    tyres = build.part("tyres")
    diameter = None if tyres is None else tyres.number("diameter_mm")
    money = costs(build)
    return Forecast(
        build=build,
        prediction=prediction,
        band=None,
        mass_kg=mass,
        air_density=density(build),
        gear_ratio=ratio,
        roll_out_m=None
        if ratio is None or diameter is None
        else roll_out(diameter * MM.factor, ratio),
        standstill_current=standstill_current(build),
        costs=money,
        checks=checked(Facts(build, prediction, money, mass, measures, leads)),
    )


def is_same_car(one: Build, other: Build) -> bool:
    """Tell whether two builds run alike: they differ in no more than name, money and days."""
    return (
        one.parts == other.parts
        and one.extras == other.extras
        and one.conditions == other.conditions
        and one.target_kmh == other.target_kmh
    )


def with_money_of(
    found: Forecast, build: Build, measures: Measures = METRIC, leads: Leads | None = None
) -> Forecast:
    """Return the forecast of a build that runs like that of `found`: costs and checks are new."""
    money = costs(build)
    facts = Facts(build, found.prediction, money, found.mass_kg, measures, leads)
    return replace(found, build=build, costs=money, checks=checked(facts))


def with_band(found: Forecast) -> Forecast:
    """Return a forecast with its band, which is None where there is no car."""
    if found.prediction is None or found.band is not None:
        return found
    return replace(found, band=band(found.build))


def with_unknowns(found: Forecast) -> Forecast:
    """Return a forecast with what makes its band wide, which takes longer than the band."""
    if found.prediction is None or found.unknowns is not None:
        return found
    return replace(found, unknowns=unknowns(found.build))


def band(build: Build) -> Band:
    """Return how sure a whole build's speed is, from draws of every figure that is not exact."""
    drawn = drawn_figures(build)
    car = assemble(build, draw(drawn))
    assert car is not None
    distance = build.condition("road_m") * _ALONG
    many, traces = predict_many_with_traces(car, distance)
    traces.sort(axis=0)
    p10, p50, p90, chance = percentiles(many.road_speed, build.target_kmh)
    return Band(
        p10=float(p10),
        p50=float(p50),
        p90=float(p90),
        chance=None if build.target_kmh is None else float(chance),
        distance=distance,
        low=_percentile(traces, 0.1),
        high=_percentile(traces, 0.9),
    )


def percentiles(speeds: FloatArray, target_kmh: float | None) -> FloatArray:
    """Return what draws of the speed on the road say.

    Parameters
    ----------
    speeds : array (draws, ...)
        [m/s]

    Returns
    -------
    array (4, ...)
        P10, P50, P90 [m/s] and the chance of the target; NaN without one.
    """
    ordered = np.sort(speeds, axis=0)
    share = np.full(ordered.shape[1:], math.nan)
    if target_kmh is not None:
        reached = np.count_nonzero(ordered >= KMH.to_si(target_kmh), axis=0)
        share = np.asarray(reached / len(ordered))
    return np.stack([*(_percentile(ordered, part) for part in (0.1, 0.5, 0.9)), share])


def _percentile(ordered: FloatArray, share: float) -> FloatArray:
    """Return the percentile along the first axis, linear between its two neighbours."""
    place = share * (len(ordered) - 1)
    low, high = math.floor(place), math.ceil(place)
    return np.asarray(ordered[low] + (place - low) * (ordered[high] - ordered[low]))
