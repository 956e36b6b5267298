"""Rows of checks: how many end at each level, and those that are not fine, worst first."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

from pennyspeed.domain.checks import SIGN_WORDS, Level, Outcome

ORDER = (Level.STOP, Level.WARN, Level.UNKNOWN)


def summary(checks: tuple[Outcome, ...]) -> list[tuple[str, Level]]:
    """Return how many checks end at each level, as words: "1 stop", "2 watch"."""
    counts = Counter(check.level for check in checks)
    return [(f"{counts[level]} {SIGN_WORDS[level]}", level) for level in ORDER if counts[level]]


def gathered(checks: tuple[Outcome, ...]) -> list[Outcome]:
    """Return the checks that are not fine, worst first; those that say the same stand once."""
    found: dict[tuple[Level, str], list[Outcome]] = {}
    for level in ORDER:
        for check in checks:
            if check.level is level:
                found.setdefault((level, check.text), []).append(check)
    return [
        alike[0]
        if len(alike) == 1
        else replace(alike[0], text=f"{alike[0].text} ({len(alike)} checks)")
        for alike in found.values()
    ]
