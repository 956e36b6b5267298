"""Controller: what switches the pack onto the motor."""

from pennyspeed.domain.kinds.kind import Kind, mass_field
from pennyspeed.domain.parts.fields import Draw, Field, Shape
from pennyspeed.domain.units import AMPERE, MILLIOHM, RPM

CONTROLLER = Kind(
    "controller",
    "controller",
    "controllers",
    (
        Field(
            "max_cells",
            "most cells in series",
            "cells",
            "One lithium cell more than this and the controller burns.",
            shape=Shape.WHOLE,
            low=1,
            high=1000,
            on_shelf=1,
        ),
        Field(
            "continuous_current_a",
            "continuous current",
            "cont. A",
            "What the controller bears for minutes.",
            AMPERE,
            low_open=True,
            on_shelf=2,
        ),
        Field(
            "burst_current_a",
            "burst current",
            "burst A",
            "What the controller bears for seconds.",
            AMPERE,
            low_open=True,
            on_shelf=3,
        ),
        Field(
            "max_electrical_rpm",
            "highest electrical rpm",
            "elec. rpm",
            "How fast the controller can commutate: rpm × poles / 2.",
            RPM,
            low_open=True,
            high=1e9,
            on_shelf=4,
        ),
        Field(
            "resistance_mohm",
            "on-resistance",
            "mΩ",
            "Of its switches and leads together.",
            MILLIOHM,
            default=0.5,
            high=1e6,
            draw=Draw.FIGURE,
            decimals=2,
        ),
        mass_field("With its leads.", on_shelf=5),
        Field(
            "connector",
            "connector",
            "connector",
            "Type of its battery plug; the pack's must be the same.",
            shape=Shape.TEXT,
            on_shelf=6,
        ),
    ),
    needed=True,
)
