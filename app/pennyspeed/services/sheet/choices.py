"""Choices: what a person wants on the sheet of one build, kept as JSON beside the build."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, replace

from pennyspeed.domain.measures import Measures
from pennyspeed.domain.units import IN, KMH, MM, MPH, OZ, G

SHEET, RUN_DAY, BESIDE, SHOPPING = "bench", "run-day", "beside", "shopping"
KINDS = (SHEET, RUN_DAY, BESIDE, SHOPPING)
"""Kinds of sheet: one build for the bench, a pack for the run day, builds beside each other, a list
of what to buy. The look says which sections each has."""

AS_SHOWN, METRIC, IMPERIAL, MILES = "as shown", "metric", "imperial", "metric, mph"
UNITS = (AS_SHOWN, METRIC, IMPERIAL, MILES)

A4, LETTER = "a4", "letter"
PAPERS: dict[str, tuple[float, float]] = {A4: (210.0, 297.0), LETTER: (215.9, 279.4)}
"""Width and height [mm] (ISO 216; ANSI/ASME Y14.1)."""

MOST_BESIDE = 4


@dataclass(frozen=True, slots=True)
class Choices:
    """One build's choices.

    Attributes
    ----------
    kind : str
        One of `KINDS`.
    sections : tuple of str
        Keys of the sections, in order; empty for those that the look gives the kind.
    units : str
        One of `UNITS`.
    paper : str
        One of `PAPERS`.
    mono : bool
        Black and white only, no grey.
    before : tuple of str
        The before-run list of this build; empty for the look's.
    """

    kind: str = SHEET
    sections: tuple[str, ...] = ()
    units: str = AS_SHOWN
    paper: str = A4
    mono: bool = False
    before: tuple[str, ...] = ()

    def measures(self, shown: Measures) -> Measures:
        """Return how figures are written; `shown` is how the window or command writes them."""
        if self.units == AS_SHOWN:
            return shown
        imperial = self.units == IMPERIAL
        return replace(
            shown,
            speed_unit=KMH if self.units == METRIC else MPH,
            length_unit=IN if imperial else MM,
            mass_unit=OZ if imperial else G,
        )


def text_of(choices: Choices) -> str:
    """Return choices as text for the file's settings."""
    return json.dumps(asdict(choices), ensure_ascii=False)


def from_text(text: str | None) -> Choices:
    """Return what :func:`text_of` wrote; what is damaged or unknown takes its default."""
    try:
        data = json.loads(text or "{}")
    except ValueError:
        return Choices()
    if not isinstance(data, dict):
        return Choices()
    found = Choices()
    for key, value in data.items():
        if key in _ALLOWED and value in _ALLOWED[key]:
            found = replace(found, **{key: value})
        elif key == "mono" and isinstance(value, bool):
            found = replace(found, mono=value)
        elif key == "sections" and _are_texts(value):
            found = replace(found, sections=tuple(value))
        elif key == "before" and _are_texts(value):
            found = replace(found, before=tuple(value))
    return found


_ALLOWED: dict[str, tuple[str, ...]] = {"kind": KINDS, "units": UNITS, "paper": tuple(PAPERS)}


def _are_texts(value: object) -> bool:
    return isinstance(value, list) and all(isinstance(text, str) for text in value)
