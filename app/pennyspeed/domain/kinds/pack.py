"""Pack: lithium-polymer cells in series and in parallel."""

from pennyspeed.domain.kinds.kind import Kind, mass_field
from pennyspeed.domain.parts.fields import Draw, Field, Shape
from pennyspeed.domain.units import MAH, MILLIOHM, MM

PACK = Kind(
    "pack",
    "pack",
    "packs",
    (
        Field(
            "cells_series",
            "cells in series",
            "cells",
            "Voltages add: 3.7 V nominal, 4.2 V full for each cell.",
            shape=Shape.WHOLE,
            required=True,
            low=1,
            high=1000,
            on_shelf=1,
        ),
        Field(
            "cells_parallel",
            "cells in parallel",
            "parallel",
            "Strings side by side; they share the current.",
            shape=Shape.WHOLE,
            default=1,
            low=1,
            high=1000,
        ),
        Field(
            "capacity_mah",
            "capacity",
            "mAh",
            "Charge of the whole pack.",
            MAH,
            required=True,
            low=0.1,
            high=1e7,
            draw=Draw.FIGURE,
            on_shelf=2,
        ),
        Field(
            "c_continuous",
            "continuous C rating",
            "cont. C",
            "Continuous current = C rating × capacity in Ah.",
            low_open=True,
            high=1e5,
            on_shelf=4,
        ),
        Field(
            "c_burst",
            "burst C rating",
            "burst C",
            "Current for seconds = burst C rating × capacity in Ah.",
            low_open=True,
            high=1e5,
            on_shelf=5,
        ),
        Field(
            "cell_resistance_mohm",
            "resistance of one cell",
            "cell mΩ",
            "It makes the voltage sag under load.",
            MILLIOHM,
            required=True,
            high=1e6,
            draw=Draw.FIGURE,
            decimals=1,
            on_shelf=3,
        ),
        mass_field("With leads and plug.", on_shelf=6),
        Field(
            "size_mm",
            "size",
            "size mm",
            "Length, width and height; all must fit the chassis' bay.",
            MM,
            Shape.SIZE,
            high=1e4,
            on_shelf=7,
        ),
        Field(
            "connector",
            "connector",
            "connector",
            "Type of its plug; the controller's must be the same.",
            shape=Shape.TEXT,
            on_shelf=8,
        ),
    ),
    counts=False,
    needed=True,
)

STORAGE_CELL_VOLTS = 3.8
"""At which a rested lithium cell is put away (common practice, no source)."""

CHARGE_C = 1.0
"""Charge current over capacity that every pack bears, where its maker states none: 1 A for 1 Ah
(common practice, no source)."""
