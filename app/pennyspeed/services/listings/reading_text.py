"""What was read from a listing, for the command line: as text, and as plain JSON values."""

from __future__ import annotations

from typing import Any

from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import Money
from pennyspeed.services.listings.claims import Claimed
from pennyspeed.services.listings.reading import Reading, State
from pennyspeed.services.reports.listing import aligned
from pennyspeed.services.reports.report import printable


def label_of(reading: Reading, key: str) -> str:
    """Return what a person calls one figure of a reading."""
    if key in ("name", "price"):
        return key
    return BY_KEY[reading.kind_key].field(key).label


def shown(reading: Reading, key: str, value: Claimed, measures: Measures) -> str:
    """Return a claimed value as a person reads it."""
    if isinstance(value, Money):
        return measures.money(value)
    if key == "name":
        return str(value)
    return measures.figure(BY_KEY[reading.kind_key].field(key), value)


def reading_text(reading: Reading, measures: Measures) -> str:
    """Return a reading as lines: each figure beside its words, then what was not understood."""
    rows = []
    for key, claims in reading.by_key.items():
        is_open = reading.state_of(key) is State.CONFLICT
        for one in reading.conflicts[key] if is_open else claims[:1]:
            value = shown(reading, key, one.value, measures)
            words = " ".join(reading.words(one).split())
            rows.append((label_of(reading, key), value, f"“{words}”", "or" if is_open else ""))
    texts = [BY_KEY[reading.kind_key].label + "\n" if reading.kind_key else ""]
    texts.append(aligned(rows, left=range(4)) if rows else "nothing recognised\n")
    for key, claims in reading.conflicts.items():
        values = " and ".join(shown(reading, key, one.value, measures) for one in claims)
        texts.append(f"{label_of(reading, key)}: says {values}; not taken before you choose\n")
    left = [" ".join(reading.text[slice(*place)].split()) for place in reading.not_understood]
    if left:
        texts.append(printable("not understood: " + " · ".join(left)) + "\n")
    if reading.note:
        texts.append(reading.note + "\n")
    return "".join(texts)


def reading_document(reading: Reading) -> dict[str, Any]:
    """Return a reading as plain JSON values, figures in the units that their keys name."""

    def plain(value: Claimed) -> Any:
        if isinstance(value, Money):
            return {"amount": str(value), "currency": value.currency}
        return list(value) if isinstance(value, tuple) else value

    return {
        "kind": reading.kind_key or None,
        "fits": list(reading.kinds),
        "figures": {key: plain(value) for key, value in reading.given.items()},
        "conflicts": {
            key: [plain(one.value) for one in claims] for key, claims in reading.conflicts.items()
        },
        "claims": [
            {
                "key": one.key,
                "value": plain(one.value),
                "words": reading.words(one),
                "start": one.start,
                "end": one.end,
            }
            for one in reading.claims
        ],
        "not_understood": [
            {"words": reading.text[start:end], "start": start, "end": end}
            for start, end in reading.not_understood
        ],
        "note": reading.note or None,
    }
