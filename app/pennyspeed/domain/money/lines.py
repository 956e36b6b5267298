"""Lines of a build's money: one thing each, from wish to spent."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import Any

from pennyspeed.domain.parts.fields import Field
from pennyspeed.domain.units import G

QUANTITY = Field(
    "quantity",
    "quantity",
    "quantity",
    "How many are bought.",
    default=1,
    high=1e6,
    decimals=2,
)

MASS = Field(
    "mass_g",
    "mass",
    "mass",
    "Mass of one, for order costs that are shared by mass.",
    G,
    high=1e6,
)


class Status(StrEnum):
    """Where a line stands."""

    PLANNED = "planned"
    ORDERED = "ordered"
    RECEIVED = "received"
    OWNED = "owned"
    MADE = "made"
    CANCELLED = "cancelled"
    RETURNED = "returned"


HERE = (Status.RECEIVED, Status.OWNED, Status.MADE)
"""It can be used."""

OPEN = (Status.PLANNED, Status.ORDERED)
"""It is still to come."""

GONE = (Status.CANCELLED, Status.RETURNED)
"""It does not come any more, or went back."""

BOUGHT = (Status.ORDERED, *HERE)
"""It is the person's own: another part in its place does not bring the money back."""


@dataclass(frozen=True)
class Line:
    """One line of a build's money."""

    part: str
    """Slot it belongs to, "extras", or "" for a thing that is in no slot."""
    name: str
    quantity: Decimal = Decimal(1)
    unit_price: Decimal | None = None
    """In `currency`; None is not known. A part with a recipe then costs what its recipe says."""
    status: Status = Status.PLANNED
    counts: bool = True
    """Toward the cap."""
    supplier: str = ""
    """Where it is "", the order's."""
    order: str = ""
    """Reference of one of the build's orders, or a note of the person's own."""
    arrives: date | None = None
    """When it comes, or came."""
    unknown_keys: Mapping[str, Any] = field(default_factory=dict)
    currency: str = ""
    """Of what it costs; "" is the build's."""
    rate: Decimal | None = None
    """Of the build's currency for one of `currency`; stays with the line. None follows the build's
    rates."""
    rate_on: date | None = None
    """The day of that rate."""
    ordered: date | None = None
    """The day it was ordered; where None, the order's holds."""
    arrived: date | None = None
    """The day it did come; where None, the order's holds."""
    came: Decimal | None = None
    """How many of an ordered quantity are here."""
    refund: Decimal | None = None
    """Given back in all, in `currency`. None is all of it for a cancelled line, nothing yet for a
    returned one."""
    mass_g: Decimal | None = None
    """Of one, for order costs that are shared by mass; None is the mass of the part in its slot."""
    fitted: bool = True
    """False for what was bought for that slot and lies in the drawer now."""

    @property
    def called(self) -> str:
        """What a sentence calls it: its name, else its slot."""
        return self.name or self.part or "Something without a name"

    @property
    def is_awaited(self) -> bool:
        """Tell whether the build needs it and it is not here yet."""
        return self.fitted and self.status in OPEN
