"""Tyres: a set of four."""

from pennyspeed.domain.kinds.kind import Kind, mass_field
from pennyspeed.domain.parts.fields import Draw, Field, Shape
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.domain.units import KMH, MM

TYRES = Kind(
    "tyres",
    "tyres",
    "tyre sets",
    (
        Field(
            "diameter_mm",
            "outside diameter",
            "mm",
            "At rest; roll-out = π × diameter / final drive ratio.",
            MM,
            required=True,
            low=0.1,
            high=1e4,
            draw=Draw.FIRM,
            decimals=1,
            on_shelf=1,
        ),
        Field(
            "grip",
            "grip",
            "grip",
            "Largest push along the road over the load on the tyre.",
            default=0.8,
            high=100,
            draw=Draw.FIGURE,
            sure=Provenance.GUESSED,
            decimals=2,
            on_shelf=2,
        ),
        Field(
            "rated_kmh",
            "speed rating",
            "rated km/h",
            "The fastest that the maker allows; beyond it a tyre may come off the rim or burst.",
            KMH,
            low_open=True,
            high=1e4,
            on_shelf=3,
        ),
        Field(
            "growth_fraction",
            "growth",
            "growth",
            "How much larger the diameter gets at the growth speed, as a share.",
            default=0.0,
            high=10,
            draw=Draw.FIGURE,
            decimals=3,
            on_shelf=4,
        ),
        Field(
            "growth_at_kmh",
            "growth speed",
            "at km/h",
            "Speed at which the growth was measured.",
            KMH,
            default=100.0,
            low=0.1,
            high=1e4,
        ),
        Field(
            "growth_max_fraction",
            "largest growth",
            "growth max",
            "The tyre never grows by more than this share.",
            default=0.1,
            high=10,
            decimals=3,
        ),
        Field(
            "rolling_coefficient",
            "rolling resistance coefficient",
            "rolling",
            "Rolling resistance over the load on the tyres.",
            default=0.02,
            high=10,
            draw=Draw.FIGURE,
            sure=Provenance.GUESSED,
            decimals=3,
            on_shelf=5,
        ),
        mass_field("Of all four, with rims.", on_shelf=6),
        Field(
            "construction",
            "construction",
            "construction",
            "What they are made of; growth and rolling resistance are worked out from it.",
            shape=Shape.CHOICE,
            choices=("foam", "belted rubber", "unbelted rubber"),
        ),
    ),
    needed=True,
)

WHEEL_INERTIA_FACTOR = 1.5
"""Spin inertia of four wheels over that of a solid disc of their mass: most of it sits outside."""
