"""Short ids: what a printed sheet carries so that its build can be opened again."""

from __future__ import annotations

from pennyspeed.domain.builds import Build

PREFIX = "pennyspeed:"
"""Before the id, so that whoever reads the code can tell what it belongs to."""


def code_text(build: Build) -> str:
    """Return what the code of a stored build says: id and revision; "" before it is stored."""
    return f"{PREFIX}{build.code}@{build.revision}" if build.code else ""


def id_in(text: str) -> str:
    """Return the id that a code's text carries; any other text as it is.

    >>> id_in("pennyspeed:K7QX2M@14"), id_in("Club car")
    ('K7QX2M', 'Club car')
    """
    stripped = text.strip()
    if not stripped.casefold().startswith(PREFIX):
        return text
    return stripped[len(PREFIX) :].partition("@")[0]
