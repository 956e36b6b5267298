"""How a person could know figures better: in a few words, how long it takes, and what to mind.

To add one, add it to :data:`MEASUREMENTS`; one that tells several figures at once names them all.
How-tos and times are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.domain.kinds import KINDS

_SPINNING = (
    "Take the pinion off and clamp the motor; fingers, hair and cloth stay clear of what turns."
)
_HOT = "A few seconds only: wires and winding get hot, and the rotor must not turn."
_PACK = (
    "Never short a pack; stop where it swells or gets hot, and work on a surface that cannot burn."
)
_ROAD = "An empty, closed road, wheels and body checked, and room to stop."


@dataclass(frozen=True, slots=True)
class Measurement:
    """One thing that a person can do."""

    title: str
    """As an order: "Weigh the car"."""
    how: str
    """One sentence."""
    minutes: int
    figures: tuple[tuple[str, str], ...]
    """Kind and key of what is known to 1 % afterwards."""
    caution: str = ""
    """One sentence; "" where nothing can hurt."""


MEASUREMENTS: tuple[Measurement, ...] = (
    Measurement(
        "Measure winding resistance",
        "Send 5 A through two leads and divide the volts between them by the amps.",
        2,
        (("motor", "resistance_mohm"),),
        _HOT,
    ),
    Measurement(
        "Measure Kv",
        "Let the motor turn free at a known voltage and divide its rpm by the volts.",
        5,
        (("motor", "kv_rpm_per_v"),),
        _SPINNING,
    ),
    Measurement(
        "Measure no-load current",
        "Let the motor turn free at its no-load voltage and read the amps.",
        3,
        (("motor", "no_load_current_a"),),
        _SPINNING,
    ),
    Measurement(
        "Measure inductance",
        "Hold a meter at 1 kHz to two leads and take the mean over half a turn of the rotor.",
        3,
        (("motor", "inductance_uh"),),
        "Unplug the motor first.",
    ),
    Measurement(
        "Measure cell resistance",
        "Draw 20 A for ten seconds and divide the volts lost by the amps and the cells in series.",
        4,
        (("pack", "cell_resistance_mohm"),),
        _PACK,
    ),
    Measurement(
        "Measure capacity",
        "Let the charger empty the full pack to 3.0 V a cell and read the mAh.",
        60,
        (("pack", "capacity_mah"),),
        _PACK,
    ),
    Measurement(
        "Roll the tyres",
        "Mark ten turns of a wheel on the floor and divide the distance by 31.4.",
        2,
        (("tyres", "diameter_mm"),),
    ),
    Measurement(
        "Measure grip",
        "Pull the car with locked wheels along the road by a spring scale, over its weight.",
        5,
        (("tyres", "grip"),),
        "Unplug the pack first.",
    ),
    Measurement(
        "Measure frontal area",
        "Photograph the car from ten metres in front, a ruler at its bumper, and count squares.",
        10,
        (("body", "frontal_area_cm2"),),
    ),
    Measurement(
        "Coast down from 60 km/h",
        "Shut the throttle at 60 km/h, both ways, and let the logger tell drag from rolling.",
        4,
        (
            ("body", "drag_coefficient"),
            ("body", "frontal_area_cm2"),
            ("tyres", "rolling_coefficient"),
        ),
        _ROAD,
    ),
    Measurement(
        "Weigh front and rear",
        "Put each axle on a scale with the car level; front over both.",
        3,
        (("chassis", "front_share"),),
        "Unplug the pack first.",
    ),
    Measurement(
        "Weigh the car",
        "Put the car on a kitchen scale, ready to run.",
        1,
        tuple((kind.key, "mass_g") for kind in KINDS),
        "Unplug the pack first.",
    ),
)


def measurement_of(kind_key: str, key: str) -> Measurement | None:
    """Return how a figure can be measured; None where a person has no means."""
    return next((one for one in MEASUREMENTS if (kind_key, key) in one.figures), None)
