"""Names that are free."""

from __future__ import annotations

from collections.abc import Collection


def free_name(name: str, taken: Collection[str], form: str = "{} {}") -> str:
    """Return `name`, with a number behind it where it is taken.

    >>> free_name("New build", ["New build", "New build 2"])
    'New build 3'
    """
    free, number = name, 2
    while free in taken:
        free, number = form.format(name, number), number + 1
    return free
