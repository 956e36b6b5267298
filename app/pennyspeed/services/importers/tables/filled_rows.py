"""Rows of parts with what a table leaves out worked out: catalogue and table teach the rules."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from pennyspeed.domain.estimates.rules import expected_words, rules_of
from pennyspeed.domain.estimates.work_out import Estimator
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.parts.parts import Part
from pennyspeed.services.estimates.filling import Entered, left_out
from pennyspeed.services.estimates.peers import is_own
from pennyspeed.services.importers.tables.part_changes import changes_of
from pennyspeed.services.importers.tables.rows import Refusal, Row, Verdict

if TYPE_CHECKING:
    from pennyspeed.services.importers.tables.part_rows import PartEntry


def filled_rows(
    rows: Sequence[Row[PartEntry]], of_kind: Callable[[str], Iterable[Part]], measures: Measures
) -> list[Row[PartEntry]]:
    """Return the rows with their parts filled in; what none can do without refuses its row."""
    found = list(rows)
    touched: dict[str, list[tuple[int, Entered]]] = {}
    for place, row in enumerate(rows):
        if row.verdict in (Verdict.NEW, Verdict.CHANGED):
            entry, before = row.value, row.before
            assert entry is not None
            entered = Entered(entry.part, None if before is None else before.part)
            touched.setdefault(entered.part.kind_key, []).append((place, entered))
    for kind_key, some in touched.items():
        lacking = [(place, one, keys) for place, one in some if (keys := left_out(one))]
        if not lacking:
            continue
        after = _after(of_kind(kind_key), some)
        estimator = Estimator(kind_key, filter(is_own, after))
        filled = estimator.filled(
            [one.part for _, one, _ in lacking], only=[keys for _, _, keys in lacking]
        )
        for (place, one, keys), part in zip(lacking, filled, strict=True):
            found[place] = _row(rows[place], one, part, keys, measures)
    return found


def _after(parts: Iterable[Part], some: Sequence[tuple[int, Entered]]) -> list[Part]:
    """Return the catalogue as it will be."""
    changed = {one.part.id for _, one in some}
    return [part for part in parts if part.id not in changed] + [one.part for _, one in some]


def _row(
    row: Row[PartEntry], entered: Entered, part: Part, keys: frozenset[str], measures: Measures
) -> Row[PartEntry]:
    kind = BY_KEY[part.kind_key]
    for rule in rules_of(part.kind_key):
        declared = kind.field(rule.key)
        if declared.required and rule.key in keys and part.figures.get(rule.key) is None:
            expected = expected_words(kind.key, part.figures, rule.key)
            refusal = Refusal(row.number, rule.key, None, expected)
            return replace(
                row,
                verdict=Verdict.REFUSED,
                value=None,
                before=None,
                changes=(),
                refusals=(refusal,),
            )
    entry = row.value
    assert entry is not None
    value = replace(entry, part=part)
    if entered.before is None:
        return replace(row, value=value)
    was = changes_of(entered.before, entered.part, measures)
    more = [change for change in row.changes if change not in was]  # of the history of prices
    changes = (*changes_of(entered.before, part, measures), *more)
    return replace(row, value=value, changes=changes)
