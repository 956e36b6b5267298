"""The kinds of part, each declared once.

To add one:

1. write ``kinds/<kind>.py`` with a :class:`~pennyspeed.domain.kinds.kind.Kind` and its fields,
   a mass among them, `needed` only where ``assembly.py`` cannot do without it;
2. list it in `KINDS`, in the order of the build's slots;
3. put a row in ``resources/demo/parts/<kind>.csv`` and an icon in ``resources/icons/<kind>.svg``.
"""

from pennyspeed.domain.kinds.body import BODY
from pennyspeed.domain.kinds.chassis import CHASSIS
from pennyspeed.domain.kinds.controller import CONTROLLER
from pennyspeed.domain.kinds.extras import EXTRAS
from pennyspeed.domain.kinds.gears import PINION, SPUR
from pennyspeed.domain.kinds.kind import Kind
from pennyspeed.domain.kinds.motor import MOTOR
from pennyspeed.domain.kinds.pack import PACK
from pennyspeed.domain.kinds.tyres import TYRES

KINDS: tuple[Kind, ...] = (
    CHASSIS,
    MOTOR,
    CONTROLLER,
    PACK,
    PINION,
    SPUR,
    TYRES,
    BODY,
    EXTRAS,
)

BY_KEY: dict[str, Kind] = {kind.key: kind for kind in KINDS}

SLOTS: tuple[str, ...] = tuple(kind.key for kind in KINDS if not kind.many)
"""Slots that hold one part each; extras come beside them."""

NEEDED: tuple[str, ...] = tuple(kind.key for kind in KINDS if kind.needed)
"""Slots without whose part a car is not whole."""

__all__ = [
    "BODY",
    "BY_KEY",
    "CHASSIS",
    "CONTROLLER",
    "EXTRAS",
    "KINDS",
    "MOTOR",
    "NEEDED",
    "PACK",
    "PINION",
    "SLOTS",
    "SPUR",
    "TYRES",
    "Kind",
]
