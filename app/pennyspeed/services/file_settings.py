"""What a file remembers beside builds and parts: held builds, and what is wanted on sheets."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from pennyspeed.domain.build_document import build_from_document, document_from_build
from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import UserError
from pennyspeed.services.transactions import InTransactions
from pennyspeed.storage.rows import COUNTED_KINDS

if TYPE_CHECKING:
    pass

CURRENCY = "currency of new builds"
_HELD_BUILDS = "held_builds"
_SHEET = "sheet of {}"
_MISSING = "missing figures left"


class FileSettings(InTransactions):
    """The settings in one open file."""

    def held(self) -> list[tuple[str, Build]]:
        """Return the builds that were held beside the one shown, each with its label."""
        with self._begin(reading=True) as work:
            text = work.settings.get(_HELD_BUILDS)
        return [] if text is None else held_from_text(text)

    def note_held(self, held: Sequence[tuple[str, Build]]) -> None:
        """Remember which builds are held beside the one shown."""
        with self._begin() as work:
            work.settings.put(_HELD_BUILDS, text_of_held(held))
            work.commit()

    def missing_left(self) -> int:
        """Return how many missing figures the person chose to leave as they are."""
        with self._begin(reading=True) as work:
            return int(work.settings.get(_MISSING) or 0)

    def note_missing_left(self, figures: int) -> None:
        """Remember that so many missing figures are to stay as they are."""
        with self._begin() as work:
            work.settings.put(_MISSING, str(figures))
            work.commit()

    def currency(self) -> str | None:
        """Return the currency of new builds; None where nobody has chosen it."""
        with self._begin(reading=True) as work:
            return work.settings.get(CURRENCY)

    def note_currency(self, code: str) -> None:
        """Have new builds count in a currency."""
        with self._begin() as work:
            work.settings.put(CURRENCY, code)
            work.commit()

    def note_counted_kinds(self, counted: Mapping[str, bool]) -> None:
        """Remember which kinds of parts count toward the cap, where a person has said so."""
        with self._begin() as work:
            work.settings.put(COUNTED_KINDS, json.dumps(dict(counted)))
            work.commit()

    def sheet_choices(self, build: Build) -> str | None:
        """Return what was noted of a build's sheet; None where nothing was."""
        with self._begin(reading=True) as work:
            return work.settings.get(_SHEET.format(build.code))

    def note_sheet_choices(self, build: Build, text: str) -> None:
        """Remember what a person wants on a stored build's sheet."""
        with self._begin() as work:
            work.settings.put(_SHEET.format(build.code), text)
            work.commit()


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
