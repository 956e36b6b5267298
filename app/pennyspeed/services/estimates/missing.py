"""What is missing in a file: how many figures, and what working them out does to the builds."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from pennyspeed.domain.assembly import assemble
from pennyspeed.domain.builds import Build
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import KMH
from pennyspeed.physics.predict import predict
from pennyspeed.services.estimates.peers import Estimators
from pennyspeed.storage.changes import PartChange

LEAST_KMH = 0.05
"""A speed that changes by less stays as it is."""


@dataclass(frozen=True, slots=True)
class SpeedChange:
    """What working out does to the speed of one build on its road.

    Attributes
    ----------
    before_kmh, after_kmh : float
        [km/h]
    """

    id: int
    name: str
    before_kmh: float
    after_kmh: float

    def words(self, measures: Measures) -> str:
        """Return it as a person reads it: "Club car: 131 km/h, with them 118 km/h"."""
        before, after = measures.speed(self.before_kmh), measures.speed(self.after_kmh)
        return f"{self.name}: {before}, with them {after}"


@dataclass(frozen=True, slots=True)
class MissingFigures:
    """What is missing in a file and can be worked out.

    Attributes
    ----------
    figures, parts : int
        How many, and in how many parts.
    builds : tuple of SpeedChange
        Builds whose speed changes, the largest change first.
    """

    figures: int
    parts: int
    builds: tuple[SpeedChange, ...]

    @property
    def sentence(self) -> str:
        """The notice; "" where nothing is missing."""
        if not self.figures:
            return ""
        if self.figures == 1:
            return "1 figure is missing or counts as 0; work it out."
        return f"{self.figures:,} figures are missing or count as 0; work them out."

    def builds_words(self, measures: Measures, most: int = 3) -> str:
        """Return the builds whose speed changes, the largest change first."""
        said = [one.words(measures) for one in self.builds[:most]]
        more = len(self.builds) - len(said)
        if more:
            said.append(f"and {more:,} more build{'s' * (more != 1)}")
        return "; ".join(said) if said else "No build gets another speed by it."


def words_of(changes: Sequence[PartChange]) -> tuple[str, str]:
    """Return what working out did, and what taking it back does, as steps are told."""
    figures = sum(_moved(one.before.part, one.after.part) for one in changes)
    what = "1 figure" if figures == 1 else f"{figures:,} figures"
    names = [one.after.part.name for one in changes if one.after.part is not None]
    where = names[0] if len(names) == 1 else f"{len(names):,} parts"
    return f"worked out {what} of {where}", f"took {what} of {where} back"


def _moved(before: Part | None, after: Part | None) -> int:
    """Return how many figures are other ones."""
    if before is None or after is None or after is before:
        return 0
    return len(after.figures.items() - before.figures.items())


def worked_out(parts: Sequence[Part], estimators: Estimators, anew: bool = False) -> list[Part]:
    """Return parts of any kind with all that can be worked out in them, in their order."""
    found = list(parts)
    for kind_key in dict.fromkeys(part.kind_key for part in parts):
        rows = [row for row, part in enumerate(parts) if part.kind_key == kind_key]
        filled = estimators.of(kind_key).filled([parts[row] for row in rows], anew)
        for row, part in zip(rows, filled, strict=True):
            found[row] = part
    return found


def missing_figures(
    parts: Sequence[Part], builds: Iterable[Build], estimators: Estimators, anew: bool = False
) -> MissingFigures:
    """Return what is missing in a catalogue, and what it does to builds of its parts.

    With `anew` figures that were worked out before count where they would move.
    """
    filled = worked_out(parts, estimators, anew)
    added = [_moved(before, after) for before, after in zip(parts, filled, strict=True)]
    by_id = {after.id: after for after, count in zip(filled, added, strict=True) if count}
    changes = [_change(build, by_id) for build in builds]
    return MissingFigures(
        sum(added),
        len(by_id),
        tuple(
            sorted(
                (
                    one
                    for one in changes
                    if one is not None and abs(one.after_kmh - one.before_kmh) >= LEAST_KMH
                ),
                key=lambda one: -abs(one.after_kmh - one.before_kmh),
            )
        ),
    )


def _change(build: Build, filled: dict[int | None, Part]) -> SpeedChange | None:
    """Return what parts filled in do to a build; None where it holds none or is not whole."""
    after = replace(
        build,
        parts={slot: filled.get(part.id, part) for slot, part in build.parts.items()},
        extras=tuple(filled.get(part.id, part) for part in build.extras),
    )
    was, now = assemble(build), assemble(after)
    if after.parts == build.parts or was is None or now is None or build.id is None:
        return None
    speeds = [predict(car).road_speed / KMH.factor for car in (was, now)]
    return SpeedChange(build.id, build.name, *speeds)
