"""Held builds: states of a car that stand beside the one shown, as text for the file's settings."""

from __future__ import annotations

import json
from collections.abc import Sequence

from pennyspeed.domain.build_document import build_from_document, document_from_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import UserError

HELD_BUILDS = "held_builds"
"""Their key among the settings."""


def text_of_held(held: Sequence[tuple[str, Build]]) -> str:
    """Return held builds, each with its label, as text."""
    return json.dumps(
        [{"label": label, "build": document_from_build(build)} for label, build in held],
        ensure_ascii=False,
    )


def held_from_text(text: str) -> list[tuple[str, Build]]:
    """Return what :func:`text_of_held` wrote.

    They are comfort, never the only copy of anything: what cannot be read is left out.
    """
    try:
        entries = json.loads(text)
    except ValueError:
        return []
    found = []
    for entry in entries if isinstance(entries, list) else []:
        try:
            found.append((str(entry["label"]), build_from_document(entry["build"])))
        except (UserError, KeyError, TypeError):
            continue
    return found
