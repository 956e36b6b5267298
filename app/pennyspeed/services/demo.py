"""The demo: an invented catalogue and the builds of an invented club, for the first start."""

from __future__ import annotations

from typing import TYPE_CHECKING

from pennyspeed.domain.builds import Build
from pennyspeed.resources import path
from pennyspeed.services.build_files import read_build
from pennyspeed.services.importers import csv_parts

if TYPE_CHECKING:
    from pennyspeed.storage.database import Work


def fill(work: Work) -> Build | None:
    """Put the demo's parts and builds into an empty file; return the build to show first.

    The caller commits: a start that is cut short leaves no half a demo.
    """
    for table in sorted(path("demo/parts").glob("*.csv")):
        for part in csv_parts.read(table, lambda kind, name: None).parts:
            work.parts.save(part)
    shown = None
    # Backwards, so that the first is the newest of the list.
    for file in sorted(path("demo/builds").glob("*.build.json"), reverse=True):
        shown = work.builds.save(read_build(file))
    return shown
