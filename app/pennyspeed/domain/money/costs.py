"""Costs: what a build's lines add up to, against its cap."""

from __future__ import annotations

from pennyspeed.domain.builds import Build
from pennyspeed.domain.money.book import book
from pennyspeed.domain.money.entries import Costs as Costs


def costs(build: Build) -> Costs:
    """Return the sums over the build's :mod:`~pennyspeed.domain.money.book`."""
    return book(build)
