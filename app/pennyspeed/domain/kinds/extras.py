"""Extras: whatever else rides along and has a mass."""

from pennyspeed.domain.kinds.kind import Kind, mass_field

EXTRAS = Kind(
    "extras",
    "extra",
    "extras",
    (mass_field("Radio, servo, logger, ballast: all that moves with the car.", on_shelf=1),),
    many=True,
)
