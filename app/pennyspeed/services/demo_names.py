"""Names of the builds that came with a file."""

from __future__ import annotations

import json
from functools import cache

from pennyspeed.resources import path


@cache
def demo_names() -> tuple[str, ...]:
    """Return what the demo's builds are called."""
    files = sorted(path("demo/builds").glob("*.build.json"))
    return tuple(json.loads(file.read_text(encoding="utf-8"))["name"] for file in files)
