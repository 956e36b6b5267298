"""Which parts of a file the rules may learn from: the person's own, and none that is invented.

A data file does not say which of its parts came with the demo, and older ones never could. So a
part counts as the demo's by its kind and name, or where all that is said of it is said of a part of
the demo, as of a copy under another name.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterable, Mapping
from functools import cache

from pennyspeed.domain.estimates.work_out import Estimator
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.parts.fields import Value
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.resources import path

_ENOUGH = 5
"""So many figures do not agree by chance."""

_Said = frozenset[tuple[str, Value]]


def is_own(part: Part) -> bool:
    """Tell whether a part is the person's own."""
    names, contents = _demo(part.kind_key)
    if part.name.strip() in names:
        return False
    given = {
        key: value
        for key, value in part.figures.items()
        if part.provenance.get(key) is not Provenance.WORKED_OUT
    }
    return len(given) < _ENOUGH or _said(given) not in contents


@cache
def _demo(kind_key: str) -> tuple[frozenset[str], frozenset[_Said]]:
    """Return the names of the demo's parts of a kind, and what is said of each."""
    with path(f"demo/parts/{kind_key}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file, strict=True))
    fields = [field for field in BY_KEY[kind_key].fields if field.key in rows[0]]
    read = [
        {field.key: field.read(row[field.key], row["name"]) for field in fields} for row in rows
    ]
    known = [{key: value for key, value in one.items() if value is not None} for one in read]
    return frozenset(row["name"] for row in rows), frozenset(map(_said, known))


def _said(figures: Mapping[str, Value]) -> _Said:
    return frozenset(figures.items())


class Estimators:
    """The rules of each kind as a file's own parts have taught them; each is made when asked for.

    Parameters
    ----------
    of_kind : callable
        Kind's key to all its parts, those put away too.
    """

    def __init__(self, of_kind: Callable[[str], Iterable[Part]]) -> None:
        self._of_kind = of_kind
        self._made: dict[str, Estimator] = {}

    def of(self, kind_key: str) -> Estimator:
        """Return the rules of one kind."""
        if kind_key not in self._made:
            own = filter(is_own, self._of_kind(kind_key))
            self._made[kind_key] = Estimator(kind_key, own)
        return self._made[kind_key]
