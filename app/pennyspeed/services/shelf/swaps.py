"""Swaps: what putting parts into a build makes of it, and how that is called."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pennyspeed.domain.builds import Build
from pennyspeed.domain.parts.parts import Part, is_same


@dataclass(frozen=True)
class Swap:
    """Several parts put in as one step.

    Attributes
    ----------
    build : Build
        With the parts in.
    done, undone : str
        The step and its undoing in words.
    """

    build: Build
    done: str
    undone: str


def bought(build: Build | None, parts: Sequence[Part]) -> tuple[Part, ...]:
    """Return those of some parts that are not in the build already."""
    if build is None:
        return ()
    found = []
    for part in parts:
        old = None if part.kind.many else build.part(part.kind_key)
        if old is None or not is_same(old, part):
            found.append(part)
    return tuple(found)


def name_of(parts: Sequence[Part]) -> str:
    """Return what people call parts that go in together."""
    return " with ".join(part.name for part in parts)


def with_parts(build: Build, parts: Sequence[Part]) -> Build:
    """Return a build with parts put in."""
    for part in parts:
        build = build.with_part(part)
    return build


def swap_of(build: Build, parts: Sequence[Part]) -> Swap:
    """Return the step that puts parts in."""
    old = [part for part in (build.part(new.kind_key) for new in parts) if part is not None]
    is_whole = len(old) == len(parts)
    undone = f"put back {name_of(old)}" if is_whole else f"took {name_of(parts)} out again"
    return Swap(with_parts(build, parts), f"put in {name_of(parts)}", undone)
