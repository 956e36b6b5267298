"""Room of parts: what is larger than its place in the chassis, in millimetres and in words."""

from __future__ import annotations

from pennyspeed.domain.builds import Build
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import MM


def room_words(build: Build, slot: str, measures: Measures) -> str:
    """Return the part in a slot, and by how much it is too large."""
    kind, part = BY_KEY[slot], build.part(slot)
    if kind.many:
        return f"{kind.label}: " + ", ".join(extra.name for extra in build.extras)
    if part is None:
        return f"No {kind.label} yet"
    texts = [f"{kind.label}: {part.name}"]
    for where, how, much in excesses(build):
        if where == slot:
            texts.append(f"{measures.with_unit(much, MM, 0 if much >= 1 else 1)} {how}")
    return ", ".join(texts)


def excesses(build: Build) -> list[tuple[str, str, float]]:
    """Return what is larger than its room, as (slot, in words how, by how many millimetres)."""
    chassis, pack, motor = (build.part(slot) for slot in ("chassis", "pack", "motor"))
    found = []
    bay, size = size_of(chassis, "pack_bay_mm"), size_of(pack, "size_mm")
    if bay is not None and size is not None:
        for side, much, room in zip(("long", "wide", "high"), size, bay, strict=True):
            if much > room:
                found.append(("pack", f"too {side} for its bay", much - room))
    for key, limit, how in (
        ("can_mm", "motor_can_mm", "too thick for the chassis"),
        ("length_mm", "motor_length_max_mm", "too long for the chassis"),
    ):
        motors, most = number_of(motor, key), number_of(chassis, limit)
        if motors is not None and most is not None and motors > most:
            found.append(("motor", how, motors - most))
    return found


def number_of(part: Part | None, key: str) -> float | None:
    """Return a figure of a part that may be missing; None where it is not known."""
    return None if part is None else part.known_number(key)


def size_of(part: Part | None, key: str) -> tuple[float, float, float] | None:
    """Return length, width and height of a part that may be missing."""
    value = None if part is None else part.figure(key)
    return value if isinstance(value, tuple) else None
