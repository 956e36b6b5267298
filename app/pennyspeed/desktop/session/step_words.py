"""What a person reads of a changed part, an import, and their undoing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from pennyspeed.domain.measures import NOT_KNOWN, Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.catalogue import counted

if TYPE_CHECKING:
    from pennyspeed.services.catalogue import PartChange


def words_of(change: PartChange, measures: Measures) -> tuple[str, str]:
    """Return what was done to a part, and what undoing it does.

    "Kv 3400 of Larch 36" and "put back Kv 3300 of Larch 36"; where more than one thing is another,
    the part is named alone.
    """
    before, after = change.before.part, change.after.part
    if before is None:
        assert after is not None
        return f"wrote down {after.name}", f"removed {after.name}"
    if after is None:
        return f"deleted {before.name}", f"brought back {before.name}"
    differences = _differing(before, after, measures)
    if before.archived != after.archived and not differences:
        away, here = f"archived {after.name}", f"fetched back {after.name}"
        return (away, here) if after.archived else (here, away)
    if len(differences) != 1:
        return f"changed {after.name}", f"put {before.name} back as it was"
    was, now = differences[0]
    if before.name != after.name:
        return f"named it {after.name}", f"named it {before.name} again"
    return f"{now} of {after.name}", f"put back {was} of {after.name}"


def words_of_import(name: str, changes: Sequence[PartChange]) -> str:
    """Return what undoing an import does."""
    added = sum(change.before.part is None for change in changes)
    texts = []
    if added:
        texts.append(f"took {counted(added)} of {name} out again")
    if len(changes) > added:
        texts.append(f"put {counted(len(changes) - added)} back as before {name}")
    return ", ".join(texts) or f"took back {name}"


def _differing(before: Part, after: Part, measures: Measures) -> list[tuple[str, str]]:
    """Return what differs, each thing as it was and as it is."""
    from pennyspeed.services.importers.tables.part_changes import changes_of, price_changes

    changes = list(changes_of(before, replace(after, price=before.price), measures))
    # A new price comes with its day and its shop: that is one thing.
    changes += price_changes(before.price, after.price, measures)[:1]
    differences = [(_said(one.what, one.old), _said(one.what, one.new)) for one in changes]
    if before.name != after.name:
        differences.append((before.name, after.name))
    return differences


def _said(what: str, text: str) -> str:
    if what in ("note", "picture", "supplier"):
        return what
    return f"{what} ({NOT_KNOWN})" if text == NOT_KNOWN else f"{what} {text}"
