"""What a part's form says of itself: how much is known from where, and which sections it has."""

from __future__ import annotations

from collections.abc import Collection, Mapping

from pennyspeed.domain.kinds import BY_KEY, KINDS, Kind
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.services.editing.entered_part import EstimateRow
from pennyspeed.services.listings import Reading

_OWN = ("price", "supplier", "link", "note")


def typed_keys(kind: Kind, part: Part | None) -> list[str]:
    """Return the keys of what the person knows by himself: measured, estimated or guessed."""
    found = list(_OWN)
    if part is not None:
        found += [
            field.key
            for field in kind.fields
            if part.provenance.get(field.key)
            in (Provenance.MEASURED, Provenance.ESTIMATED, Provenance.GUESSED)
        ]
    return found


def is_default(kind: Kind, key: str, chosen: str) -> bool:
    """Tell whether a new part's field of choices says that only because nobody has chosen."""
    fields = [one for one in kind.fields if one.key == key and one.choices]
    return bool(fields) and chosen == (fields[0].default or fields[0].choices[0])


def summary(
    kind: Kind,
    texts: Mapping[str, str],
    taken: Mapping[str, str],
    rows: Mapping[str, EstimateRow],
) -> tuple[str, str]:
    """Return how many figures come from where, and the same in short.

    "6 figures from a listing, 2 typed, 5 worked out", "5 worked out".
    """
    figures = {field.key for field in kind.fields if not field.choices}
    from_listing = [key for key in taken if key in figures and texts[key].strip() == taken[key]]
    typed = [key for key in figures if texts.get(key, "").strip() and key not in from_listing]
    worked_out = [row for row in rows.values() if row.number and row.is_used]
    said = []
    if from_listing:
        count = len(from_listing)
        said.append(f"{count} figure{'s' * (count != 1)} from a listing")
    if typed:
        count = len(typed)
        said.append(f"{count} typed" if said else f"{count} figure{'s' * (count != 1)} given")
    if worked_out:
        said.append(f"{len(worked_out)} worked out")
    return ", ".join(said), said[-1] if said else ""


def kinds_to_ask(reading: Reading) -> list[tuple[str, str]]:
    """Return label and key of the kinds that a listing may be about."""
    keys: Collection[str] = reading.kinds or [kind.key for kind in KINDS]
    return [(BY_KEY[key].label, key) for key in keys]
