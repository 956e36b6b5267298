"""Taking: what a row of the shelf would put into a build, as values and as one step."""

from __future__ import annotations

from pennyspeed.desktop.session import Session
from pennyspeed.domain.builds import Build
from pennyspeed.domain.parts.parts import Part, is_same


def bought(build: Build | None, parts: tuple[Part, ...]) -> tuple[Part, ...]:
    """Return those of a row's parts that are not in the build already."""
    if build is None:
        return ()
    found = []
    for part in parts:
        old = None if part.kind.many else build.part(part.kind_key)
        if old is None or not is_same(old, part):
            found.append(part)
    return tuple(found)


def name_of(parts: tuple[Part, ...]) -> str:
    """Return what people call a row's parts together."""
    return " with ".join(part.name for part in parts)


def with_parts(build: Build, parts: tuple[Part, ...]) -> Build:
    """Return a build with parts put in."""
    for part in parts:
        build = build.with_part(part)
    return build


def put_in(session: Session, parts: tuple[Part, ...]) -> None:
    """Put a row's parts into the session's build, as one step."""
    build = session.bench.build
    new = bought(build, parts)
    if len(new) == 1:
        session.builds.put_in(new[0])
    elif new and build is not None:
        old = [build.part(part.kind_key) for part in new]
        names = name_of(tuple(part for part in old if part is not None))
        undid = f"put back {names}" if None not in old else f"took {name_of(parts)} out again"
        session.builds.change(with_parts(build, new), f"put in {name_of(parts)}", undid)
