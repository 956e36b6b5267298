"""Everything that can go wrong, as one family.

::

    PennyspeedError
    ├── UserError              the person can mend it; the message is one plain sentence
    │   ├── BadInput           a figure, a key, a row: place, value, what was expected
    │   ├── InUse              a part that builds still use
    │   ├── NotFound           no build or part of that name
    │   └── FileTrouble        a file that cannot be opened, read or written
    │       ├── NotOurFile     no Pennyspeed database
    │       ├── NewerFile      written by a newer version
    │       └── UnwritableFile read-only, locked, or a full disk
    └── Defect                 our own mistake; a report, not advice
"""

from __future__ import annotations

from collections.abc import Sequence


class PennyspeedError(Exception):
    """Root of the family."""


class UserError(PennyspeedError):
    """A person can mend this; ``str(error)`` is one plain sentence."""


class BadInput(UserError):
    """Input that is refused.

    Parameters
    ----------
    place : str
        Where it stands: a key path, a file with row and column, a field's label.
    value : object
        What stood there.
    expected : str
        What should have stood there, to follow the word "expected".
    """

    def __init__(self, place: str, value: object, expected: str) -> None:
        self.place, self.value, self.expected = place, value, expected
        super().__init__(f"{place}: {shown(value)} was given, expected {expected}.")

    def within(self, outer: str) -> BadInput:
        """Return the same complaint with `outer` (a file, a row) before its place."""
        return BadInput(f"{outer}, {self.place}", self.value, self.expected)


class InUse(UserError):
    """A part that builds still use; `builds` holds their names."""

    def __init__(self, part: str, builds: Sequence[str]) -> None:
        self.part, self.builds = part, tuple(builds)
        names = ", ".join(builds)
        super().__init__(f"{part} is used by {names}; archive it instead, or change those builds.")


class NotFound(UserError):
    """No build or part answers to the name."""


class FileTrouble(UserError):
    """A file that cannot be opened, read or written; it was left as it was."""


class NotOurFile(FileTrouble):
    """The file is no Pennyspeed database."""


class NewerFile(FileTrouble):
    """A newer version of Pennyspeed wrote the file."""


class UnwritableFile(FileTrouble):
    """The file or its disk takes no change."""


class Defect(PennyspeedError):
    """Our own mistake."""


def shown(value: object, longest: int = 60) -> str:
    """Return `value` as a message shows it, cut where it runs on.

    >>> shown("12 mm"), shown(None), shown(-3.0), shown(True)
    ("'12 mm'", 'nothing', '-3.0', 'true')
    """
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return str(value).lower()
    text = repr(value)
    return text if len(text) <= longest else text[: longest - 1] + "…"
