"""Swaps: what putting parts into a build makes of it, and how that is called."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pennyspeed.domain.builds import Build
from pennyspeed.domain.parts.parts import Part, is_same


@dataclass(frozen=True)
class Swap:
    """Parts put in as one step.

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


def swap_of(build: Build, parts: Sequence[Part]) -> Swap | None:
    """Return the step that puts parts in; None where all are in already."""
    new = bought(build, parts)
    if not new:
        return None
    old = [part for part in (build.part(one.kind_key) for one in new) if part is not None]
    if len(old) == len(new):
        undone = f"put back {name_of(old)}"
    elif len(new) == 1 and not new[0].kind.many:
        undone = f"emptied the {new[0].kind.label} slot"
    else:
        undone = f"took {name_of(new)} out again"
    return Swap(build.with_parts(new), f"put in {name_of(new)}", undone)
