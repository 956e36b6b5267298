"""Pinion and spur: the pair of gears that a person changes to trade speed for pull."""

from pennyspeed.domain.kinds.kind import Kind, mass_field
from pennyspeed.domain.parts.fields import Field, Shape
from pennyspeed.domain.units import MM, MODULE


def _teeth(help: str) -> Field:
    return Field(
        "teeth",
        "teeth",
        "teeth",
        help,
        shape=Shape.WHOLE,
        required=True,
        low=1,
        high=10_000,
        on_shelf=1,
    )


_MODULE = Field(
    "module_mm",
    "module",
    "module",
    "Pitch diameter over teeth; gears of different module do not mesh. A pitch is typed as 48p.",
    MODULE,
    required=True,
    low=0.01,
    high=100,
    decimals=2,
    on_shelf=2,
)


def _material(default: str) -> Field:
    return Field(
        "material",
        "material",
        "material",
        "What it is made of; its mass is worked out from it.",
        shape=Shape.CHOICE,
        default=default,
        choices=("steel", "aluminium", "plastic"),
    )


PINION = Kind(
    "pinion",
    "pinion",
    "pinions",
    (
        _teeth("Of the gear on the motor; more teeth, more speed, more heat."),
        _MODULE,
        Field(
            "bore_mm",
            "bore",
            "bore mm",
            "Must equal the motor's shaft.",
            MM,
            low_open=True,
            high=1e3,
            decimals=3,
            on_shelf=3,
        ),
        mass_field("Of the pinion.", on_shelf=4),
        _material("steel"),
    ),
    needed=True,
)

SPUR = Kind(
    "spur",
    "spur",
    "spurs",
    (
        _teeth("Of the gear that the pinion turns; fewer teeth, more speed."),
        _MODULE,
        mass_field("Of the spur.", on_shelf=3),
        _material("plastic"),
    ),
    needed=True,
)
