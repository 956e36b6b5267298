"""From a build to the car that the physics knows: figures filled in, converted to SI, drawn.

One function makes one car, a batch of draws and a batch of candidates: whatever is not the same in
all of them comes in as an array.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from pennyspeed.domain.builds import Build
from pennyspeed.domain.conditions import BY_KEY as CONDITION
from pennyspeed.domain.conditions import CONDITIONS_SLOT, SPREAD, VARYING, WIND
from pennyspeed.domain.hypercube import DRAWS, standard_draws
from pennyspeed.domain.kinds import BODY, EXTRAS
from pennyspeed.domain.kinds.motor import HEAT_CAPACITY_PER_GRAM
from pennyspeed.domain.kinds.tyres import WHEEL_INERTIA_FACTOR
from pennyspeed.domain.parts.fields import Draw
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import CM2, GCM2, GEE, KMH, MAH, MICROHENRY, MILLIOHM, MM, RPM_PER_V, G
from pennyspeed.physics.air import air_density
from pennyspeed.physics.car import (
    ALL,
    COPPER_COEFFICIENT,
    COPPER_REFERENCE_C,
    FRONT,
    NO_LIMIT,
    REAR,
    Car,
    Floats,
    IntArray,
)
from pennyspeed.physics.electrics import cold_factor
from pennyspeed.physics.pack import open_circuit_voltage

Key: TypeAlias = tuple[str, str]
"""Slot and key of a figure; extras stand as "extras.0", "extras.1" …"""

Figures: TypeAlias = Mapping[Key, Floats]
"""Figures that replace the build's own, in the keys' units; arrays for a batch.

A choice stands as its place among the field's choices, −1 where nothing is chosen."""

DRIVEN_CODES = {"rear": REAR, "front": FRONT, "all": ALL}
_INSIDE = 1e-9


@dataclass(frozen=True, slots=True)
class Drawn:
    """One figure that is not known exactly."""

    key: Key
    nominal: float
    spread: float
    """One standard deviation of ln(figure), or of the figure where it `is_additive`."""
    label: str
    is_additive: bool = False
    """Drawn from a normal distribution: what may as well be above 0 as below."""


def slots_of(build: Build) -> dict[str, Part]:
    """Return every part of the build by the slot name that figures use."""
    return dict(build.parts) | {f"{EXTRAS.key}.{i}": part for i, part in enumerate(build.extras)}


def mass_kg(build: Build) -> float:
    """Return the mass of everything in the build; masses that are not known count as zero."""
    return sum((part.number("mass_g") or 0.0) for part in slots_of(build).values()) * G.factor


def gear_ratio(build: Build) -> float | None:
    """Return the final drive ratio; None where chassis, pinion or spur is missing."""
    chassis, pinion, spur = (build.part(slot) for slot in ("chassis", "pinion", "spur"))
    if chassis is None or pinion is None or spur is None:
        return None
    internal = chassis.number("internal_ratio")
    driver, driven = pinion.number("teeth"), spur.number("teeth")
    assert internal is not None
    assert driver is not None
    assert driven is not None
    return driven / driver * internal


def free_speed_kmh(turns: Floats, diameter_mm: Floats, ratio: Floats) -> Floats:
    """Return the road speed of wheels at rest diameter, the motor turning so many rpm."""
    return turns * math.pi * diameter_mm * MM.factor / (ratio * 60.0 * KMH.factor)


def free_spin_kmh(build: Build) -> float | None:
    """Return how fast the wheels run in the air at full throttle, Kv × volts; None without a part.

    At the starting charge, the tyres taken at rest diameter.
    """
    motor, pack, tyres = (build.part(slot) for slot in ("motor", "pack", "tyres"))
    ratio = gear_ratio(build)
    if motor is None or pack is None or tyres is None or ratio is None:
        return None
    turns = (motor.number("kv_rpm_per_v") or 0.0) * (pack.number("cells_series") or 0.0)
    turns *= open_circuit_voltage(build.condition("state_of_charge"))
    return float(free_speed_kmh(turns, tyres.number("diameter_mm") or 0.0, ratio))


def standstill_current(build: Build) -> float | None:
    """Return U/R at rest in the starting state, before any limit [A]; None where a part misses."""
    motor, controller, pack = (build.part(slot) for slot in ("motor", "controller", "pack"))
    if motor is None or controller is None or pack is None:
        return None
    series = pack.number("cells_series") or 0.0
    warm = build.condition("motor_temperature_c") - COPPER_REFERENCE_C
    winding = (motor.number("resistance_mohm") or 0.0) * (1.0 + COPPER_COEFFICIENT * warm)
    cells = series * (pack.number("cell_resistance_mohm") or 0.0)
    cells *= float(cold_factor(build.condition("pack_temperature_c")))
    whole = winding + (controller.number("resistance_mohm") or 0.0)
    whole += cells / (pack.number("cells_parallel") or 1.0)
    return series * open_circuit_voltage(build.condition("state_of_charge")) / MILLIOHM.to_si(whole)


def density(build: Build) -> float:
    """Return the density of the air [kg/m^3]."""
    return float(
        air_density(
            build.condition("air_temperature_c"),
            build.condition("air_pressure_hpa"),
            build.condition("relative_humidity"),
        )
    )


def assemble(build: Build, figures: Figures | None = None) -> Car | None:
    """Return the build as the physics takes it, or None where a slot is empty or it has no mass.

    `figures` stand in for the build's own: draws, candidates, trials.
    """
    if build.empty_slots:
        return None
    parts = slots_of(build)
    other: Figures = figures or {}

    def known(slot: str, key: str) -> Floats | None:
        found = other.get((slot, key))
        return parts[slot].number(key) if found is None else found

    def get(slot: str, key: str) -> Floats:
        found = known(slot, key)
        return 0.0 if found is None else found

    def rating(slot: str, key: str) -> Floats:
        found = known(slot, key)
        return NO_LIMIT if found is None else found

    def chosen(slot: str, key: str, codes: Mapping[str, int]) -> int | IntArray:
        places, part = other.get((slot, key)), parts[slot]
        if places is None:
            return codes[str(part.figure(key))]
        in_order = np.array([codes[choice] for choice in part.kind.field(key).choices])
        return in_order[np.asarray(places, dtype=np.intp)]

    # Python's own max and min serve numbers faster; the fast path counts microseconds.
    masses = [get(slot, "mass_g") for slot in parts]
    mass: Floats = sum(masses[1:], start=masses[0]) * G.factor
    if not isinstance(mass, np.ndarray) and mass <= 0.0:
        return None

    motor_mass = known("motor", "mass_g")
    heat_capacity = known("motor", "heat_capacity_j_per_k")
    if heat_capacity is None:
        heat_capacity = heat_capacity_of(motor_mass)
    diameter = get("tyres", "diameter_mm") * MM.factor
    capacity = get("pack", "capacity_mah")
    series, parallel = get("pack", "cells_series"), get("pack", "cells_parallel")
    burst = rating("pack", "c_burst")
    body = BODY.key

    def condition(key: str) -> Floats:
        found = other.get((CONDITIONS_SLOT, key))
        return build.condition(key) if found is None else found

    slope = condition("slope_percent")
    rho = other.get((CONDITIONS_SLOT, "air_density"))
    return Car(
        mass=mass,
        wheelbase=get("chassis", "wheelbase_mm") * MM.factor,
        cg_height=get("chassis", "cg_height_mm") * MM.factor,
        front_share=_clipped(get("chassis", "front_share"), _INSIDE, 1 - _INSIDE),
        driven=chosen("chassis", "driven", DRIVEN_CODES),
        gear_ratio=get("spur", "teeth") / get("pinion", "teeth") * get("chassis", "internal_ratio"),
        drivetrain_efficiency=_clipped(get("chassis", "drivetrain_efficiency"), _INSIDE, 1.0),
        kv=get("motor", "kv_rpm_per_v") * RPM_PER_V.factor,
        motor_resistance=get("motor", "resistance_mohm") * MILLIOHM.factor,
        no_load_current=get("motor", "no_load_current_a"),
        no_load_voltage=get("motor", "no_load_voltage_v"),
        loss_speed_share=_clipped(get("motor", "loss_speed_share"), 0.0, 1.0),
        rotor_inertia=get("motor", "rotor_inertia_gcm2") * GCM2.factor,
        heat_capacity=heat_capacity,
        controller_resistance=get("controller", "resistance_mohm") * MILLIOHM.factor,
        current_limit=_smaller(
            rating("controller", "burst_current_a"), rating("motor", "peak_current_a")
        ),
        cells_series=series,
        pack_resistance=series * get("pack", "cell_resistance_mohm") * MILLIOHM.factor / parallel,
        capacity=capacity * MAH.factor,
        pack_current_limit=_smaller(burst * capacity * 1e-3, NO_LIMIT),
        tyre_diameter=diameter,
        growth=get("tyres", "growth_fraction"),
        growth_speed=get("tyres", "growth_at_kmh") * KMH.factor,
        growth_max=get("tyres", "growth_max_fraction"),
        grip=get("tyres", "grip") * condition("surface_grip_factor"),
        rolling=get("tyres", "rolling_coefficient") * condition("surface_rolling_factor"),
        wheel_inertia=0.5
        * get("tyres", "mass_g")
        * G.factor
        * (0.5 * diameter) ** 2
        * WHEEL_INERTIA_FACTOR,
        drag_coefficient=get(body, "drag_coefficient"),
        frontal_area=get(body, "frontal_area_cm2") * CM2.factor,
        downforce_front=get(body, "downforce_front"),
        downforce_rear=get(body, "downforce_rear"),
        air_density=density(build) if rho is None else rho,
        head_wind=condition(WIND) * KMH.factor,
        slope=np.arctan(slope * 0.01) if isinstance(slope, np.ndarray) else math.atan(slope * 0.01),
        state_of_charge=condition("state_of_charge"),
        motor_temperature=condition("motor_temperature_c"),
        road_length=condition("road_m"),
        brake_deceleration=condition("brake_g") * GEE.factor,
        driver_acceleration=condition("driver_g") * GEE.factor,
        pole_pairs=0.5 * get("motor", "poles"),
        inductance=get("motor", "inductance_uh") * MICROHENRY.factor,
        pack_temperature=condition("pack_temperature_c"),
        reaction=condition("reaction_s"),
        reserve=condition("reserve_m"),
    )


def drawn_figures(build: Build) -> list[Drawn]:
    """Return every figure that is not known exactly; a figure of 0 stays 0 and is left out.

    The wind alone may leave 0.
    """
    found = []
    for slot, part in slots_of(build).items():
        for field in part.kind.fields:
            if field.draw is Draw.EXACT:
                continue
            spread = part.spread_of(field.key)
            nominal = part.number(field.key)
            if nominal:
                label = f"{field.label}, {part.kind.label}"
                found.append(Drawn((slot, field.key), nominal, spread, label))
    for key in VARYING:
        spread, nominal = build.condition(f"{SPREAD}.{key}"), build.condition(key)
        is_additive = key == WIND
        if spread and (nominal or is_additive):
            label = CONDITION[key].label
            found.append(Drawn((CONDITIONS_SLOT, key), nominal, spread, label, is_additive))
    return found


def draw(drawn: list[Drawn], draws: int = DRAWS) -> dict[Key, Floats]:
    """Return independent draws of every figure: ln x ~ N(ln nominal, spread), or x itself."""
    if not drawn:
        return {}
    standard = np.stack([standard_draws(one.key, draws) for one in drawn])
    spreads = np.array([[one.spread] for one in drawn])
    nominal = np.array([[one.nominal] for one in drawn])
    values = nominal * np.exp(spreads * standard)
    for i, one in enumerate(drawn):
        if one.is_additive:
            values[i] = one.nominal + one.spread * standard[i]
    return {one.key: values[i] for i, one in enumerate(drawn)}


LEAST_GRAMS = 1e-6


def heat_capacity_of(mass: Floats | None) -> Floats:
    """Return the motor's heat capacity from its mass in grams; infinite where that is not known.

    A mass that is next to nothing counts as not known: heat over it would pass all bounds.
    """
    if isinstance(mass, np.ndarray):
        return np.where(mass > LEAST_GRAMS, mass * HEAT_CAPACITY_PER_GRAM, math.inf)
    return mass * HEAT_CAPACITY_PER_GRAM if mass and mass > LEAST_GRAMS else math.inf


def _smaller(one: Floats, other: Floats) -> Floats:
    if isinstance(one, np.ndarray) or isinstance(other, np.ndarray):
        return np.minimum(one, other)
    return min(one, other)


def _clipped(value: Floats, low: float, high: float) -> Floats:
    if isinstance(value, np.ndarray):
        return np.clip(value, low, high)
    return min(max(value, low), high)
