"""Where a figure comes from, and how far it may be off."""

from __future__ import annotations

from enum import StrEnum

from pennyspeed.domain.errors import BadInput


class Provenance(StrEnum):
    """Where a figure comes from."""

    MEASURED = "measured"
    MAKER = "maker"
    ESTIMATED = "estimated"
    GUESSED = "guessed"


WORDS = {
    Provenance.MEASURED: "measured",
    Provenance.MAKER: "maker’s figure",
    Provenance.ESTIMATED: "estimated",
    Provenance.GUESSED: "guessed",
}
"""What a sentence calls each."""

SPREAD = {
    Provenance.MEASURED: 0.01,
    Provenance.MAKER: 0.05,
    Provenance.ESTIMATED: 0.15,
    Provenance.GUESSED: 0.30,
}
"""One standard deviation, relative. Own judgement; a run day replaces it."""

FIRM_MAKER_SPREAD = 0.02
"""The maker's spread for what a buyer could check with scales or a calliper: masses, diameters."""


def spread(provenance: Provenance, firm: bool) -> float:
    """Return the standard deviation of ln(figure) for a figure from this source."""
    if firm and provenance is Provenance.MAKER:
        return FIRM_MAKER_SPREAD
    return SPREAD[provenance]


def checked_provenance(value: object, place: str) -> Provenance:
    """Return the provenance that `value` names, or raise BadInput."""
    try:
        return Provenance(str(value)) if isinstance(value, str) else Provenance("")
    except ValueError:
        raise BadInput(place, value, "one of " + ", ".join(Provenance)) from None
