"""Changes of the catalogue as values, so that they can be taken back and made again."""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.domain.parts.parts import Part, Price


@dataclass(frozen=True, slots=True)
class Kept:
    """What the catalogue holds under one number."""

    id: int
    part: Part | None = None
    """None where there is no part of that number."""
    prices: tuple[Price, ...] = ()
    """What it cost, newest first."""


@dataclass(frozen=True, slots=True)
class PartChange:
    """One part before and after a change of the catalogue."""

    before: Kept
    after: Kept

    def reversed(self) -> PartChange:
        """Return the change that takes this one back."""
        return PartChange(self.after, self.before)

    @property
    def kind_key(self) -> str:
        """Key of the part's kind."""
        part = self.after.part or self.before.part
        assert part is not None
        return part.kind_key
