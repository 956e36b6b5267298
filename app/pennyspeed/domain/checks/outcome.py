"""Outcome: how a check ends for one build, in words."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Level(StrEnum):
    """How a check ends, worst first."""

    STOP = "stop"
    WARN = "warn"
    UNKNOWN = "unknown"
    OK = "ok"


SIGN_WORDS = {
    Level.STOP: "stop",
    Level.WARN: "watch",
    Level.UNKNOWN: "not known",
    Level.OK: "fine",
}
"""What a level is called."""


@dataclass(frozen=True)
class Outcome:
    """How one check ends.

    Attributes
    ----------
    code : str
        Of the check.
    level : Level
    value, limit : float, str or None
        In the unit of the nearest key.
    text : str
        A plain sentence, in the person's units.
    advice : str
        What would help, or "".
    slots : tuple of str
        The slots it concerns.
    """

    code: str
    level: Level
    value: float | str | None
    limit: float | str | None
    text: str
    advice: str = ""
    slots: tuple[str, ...] = ()
