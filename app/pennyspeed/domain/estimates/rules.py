"""The rules, each with its source; figures stand in the units that their keys name.

To add one, add it to :data:`RULES`, behind the rules of the figures that it is worked out from, and
test it in ``tests/domain/estimates/test_rules.py``. Ratings have none: what a maker does not vouch
for stays not known.
"""

from __future__ import annotations

import math
from collections.abc import Mapping

from pennyspeed.domain.estimates.rule import Choice, Product, Rule, Slope
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.parts.materials import BY_KEY as MATERIAL

_CM3_PER_MM3 = 1e-3
_CM_PER_MM = 0.1
_AH_PER_MAH = 1e-3
_NOMINAL_VOLTS = 3.7
_PINION_FACE_MM, _SPUR_FACE_MM = 7.0, 5.0

_CAN = Product({"can_mm": 2, "length_mm": 1}, math.pi / 4 * _CM3_PER_MM3 / 50)
"""Volume of a motor's can over 50 cm³."""


def _gear(kind_key: str, face_mm: float) -> Rule:
    densities = {"steel": "steel", "aluminium": "aluminium", "plastic": "pom"}
    return Rule(
        kind_key,
        "mass_g",
        1.0,
        0.0,
        0.25,
        f"A solid disc of the pitch diameter, {face_mm:g} mm wide",
        Product({"module_mm": 2, "teeth": 2}, math.pi / 4 * face_mm * _CM3_PER_MM3),
        choice=Choice(
            "material", {word: float(MATERIAL[key].density) for word, key in densities.items()}
        ),
    )


RULES: tuple[Rule, ...] = (
    Rule(
        "motor",
        "resistance_mohm",
        110.0,
        0.5,
        0.25,
        "Similarity: the motor constant grows with size to the power 2.5; level from memory, "
        "motors with the rotor inside",
        Product({"kv_rpm_per_v": -2}, 1e6),
        (Slope(_CAN, -1.67, 0.4),),
    ),
    Rule(
        "motor",
        "no_load_current_a",
        0.2,
        0.3,
        0.35,
        "Gur and Rosen, Optimizing electric propulsion systems for unmanned aerial vehicles, "
        "AIAA 2008-5916",
        slopes=(Slope(Product({"resistance_mohm": 1}, 1e-3), -0.6, 0.1),),
    ),
    Rule(
        "motor",
        "mass_g",
        180.0,
        0.2,
        0.1,
        "Motors are alike inside; from memory",
        slopes=(Slope(_CAN, 1.0, 0.1),),
    ),
    Rule(
        "motor",
        "inductance_uh",
        0.45,
        0.2,
        0.4,
        "Inductance over resistance of makers’ iron-core motors: 0.39 to 0.58 ms",
        Product({"resistance_mohm": 1}),
    ),
    Rule(
        "motor",
        "rotor_inertia_gcm2",
        0.0094,
        0.4,
        0.3,
        "A rotor of 0.3 of the motor’s mass and half its diameter; from memory",
        Product({"mass_g": 1, "can_mm": 2}, _CM_PER_MM**2),
    ),
    Rule(
        "controller",
        "resistance_mohm",
        60.0,
        0.5,
        0.3,
        "Makers choose switches by the current; from memory",
        Product({"continuous_current_a": -1}),
    ),
    Rule(
        "controller",
        "mass_g",
        0.8,
        0.2,
        0.2,
        "Grams per ampere; from memory",
        Product({"continuous_current_a": 1}),
    ),
    Rule(
        "pack",
        "cell_resistance_mohm",
        14.0,
        0.4,
        0.35,
        "Resistance × capacity of a cell falls with its C rating; from memory",
        Product({"capacity_mah": -1, "cells_parallel": 1}, 1 / _AH_PER_MAH),
        # packs for cars say 25 to 100 C
        (Slope(Product({"c_continuous": 1}, 1 / 50), -0.4, 0.2, usual=(1.0, 0.5)),),
    ),
    Rule(
        "pack",
        "mass_g",
        6.7,
        0.12,
        0.08,
        "Grams per watt-hour; from memory",
        Product({"capacity_mah": 1, "cells_series": 1}, _NOMINAL_VOLTS * _AH_PER_MAH),
    ),
    _gear("pinion", _PINION_FACE_MM),
    _gear("spur", _SPUR_FACE_MM),
    Rule(
        "tyres",
        "mass_g",
        150.0,
        0.3,
        0.25,
        "Tyres and rims are alike but for size; from memory",
        slopes=(Slope(Product({"diameter_mm": 1}, 1 / 65), 2.0, 0.3),),
    ),
    Rule(
        "tyres",
        "growth_fraction",
        1.0,
        0.0,
        0.5,
        "Growth at 100 km/h by construction, with speed squared; from memory",
        Product({"growth_at_kmh": 2}, 1e-4),
        choice=Choice(
            "construction", {"foam": 0.003, "belted rubber": 0.01, "unbelted rubber": 0.06}
        ),
    ),
    Rule(
        "tyres",
        "rolling_coefficient",
        1.0,
        0.0,
        0.3,
        "By construction; from memory",
        choice=Choice(
            "construction", {"foam": 0.02, "belted rubber": 0.018, "unbelted rubber": 0.025}
        ),
    ),
    Rule(
        "body",
        "frontal_area_cm2",
        0.81,
        0.05,
        0.05,
        "Share of width × height that a car fills: Hucho, Aerodynamics of Road Vehicles; "
        "from memory",
        Product({"width_mm": 1, "height_mm": 1}, _CM_PER_MM**2),
    ),
    Rule(
        "body",
        "drag_coefficient",
        1.0,
        0.0,
        0.18,
        "By shape: ranges of Hoerner, Fluid-Dynamic Drag, and Hucho, Aerodynamics of Road "
        "Vehicles; from memory",
        choice=Choice(
            "shape",
            {
                "streamliner": 0.20,
                "low coupe": 0.28,
                "touring or GT": 0.38,
                "truck": 0.55,
                "open wheels": 0.65,
            },
        ),
    ),
    Rule(
        "chassis",
        "mass_g",
        900.0,
        0.3,
        0.25,
        "Chassis are alike but for size; from memory",
        slopes=(Slope(Product({"wheelbase_mm": 1}, 1 / 260), 2.5, 0.4),),
    ),
)


def rules_of(kind_key: str) -> tuple[Rule, ...]:
    """Return the rules of a kind, a figure behind those that it is worked out from."""
    return tuple(rule for rule in RULES if rule.kind_key == kind_key)


def rule_of(kind_key: str, key: str) -> Rule | None:
    """Return the rule of a figure; None where it is never worked out."""
    return next((one for one in rules_of(kind_key) if one.key == key), None)


def lacking(kind_key: str, figures: Mapping[str, object], key: str) -> tuple[str, ...]:
    """Return the keys that must be given before a figure can be worked out; () where it can.

    A figure that has no rule lacks itself.
    """
    rule = rule_of(kind_key, key)
    if rule is None:
        return (key,)
    kind = BY_KEY[kind_key]
    found: list[str] = []
    for needed in rule.needed:
        if figures.get(needed) is None and kind.field(needed).default is None:
            found += lacking(kind_key, figures, needed)
    return tuple(dict.fromkeys(found))


def expected_words(kind_key: str, figures: Mapping[str, object], key: str) -> str:
    """Return what is expected of a figure that is left out, to follow the word "expected".

    >>> expected_words("body", {"width_mm": 190}, "frontal_area_cm2")
    'a number from 0.01 to 1,000,000 cm², or height to work it out from'
    """
    kind = BY_KEY[kind_key]
    expected, missing = kind.field(key).expected, lacking(kind_key, figures, key)
    if not missing or missing == (key,):
        return expected
    labels = " and ".join(kind.field(one).label for one in missing)
    return f"{expected}, or {labels} to work it out from"
