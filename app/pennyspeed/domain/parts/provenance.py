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
    WORKED_OUT = "worked-out"


WORDS = {
    Provenance.MEASURED: "measured",
    Provenance.MAKER: "maker’s figure",
    Provenance.ESTIMATED: "estimated",
    Provenance.GUESSED: "guessed",
    Provenance.WORKED_OUT: "worked out",
}
"""What a sentence calls each."""

SPREAD = {
    Provenance.MEASURED: 0.01,
    Provenance.MAKER: 0.05,
    Provenance.ESTIMATED: 0.15,
    Provenance.GUESSED: 0.30,
    Provenance.WORKED_OUT: 0.30,
}
"""One standard deviation, relative. Own judgement; a run day replaces it."""

FIRM_MAKER_SPREAD = 0.02
"""The maker's spread for what a buyer could check with scales or a calliper: masses, diameters."""


WIDEST_SPREAD = 2.0
"""The most that a figure's own spread may say."""


def usual_spread(provenance: Provenance, firm: bool) -> float:
    """Return the standard deviation of ln(figure) for a figure from this source."""
    if firm and provenance is Provenance.MAKER:
        return FIRM_MAKER_SPREAD
    return SPREAD[provenance]


def checked_spread(value: object, place: str) -> float:
    """Return the standard deviation of ln(figure) that `value` is, or raise BadInput."""
    if (
        isinstance(value, int | float)
        and not isinstance(value, bool)
        and 0 < value <= WIDEST_SPREAD
    ):
        return float(value)
    expected = f"a number above 0 to {WIDEST_SPREAD:g}, one standard deviation as a share"
    raise BadInput(place, value, expected)


def checked_provenance(value: object, place: str) -> Provenance:
    """Return the provenance that `value` names, or raise BadInput."""
    try:
        return Provenance(str(value)) if isinstance(value, str) else Provenance("")
    except ValueError:
        raise BadInput(place, value, "one of " + ", ".join(Provenance)) from None
