"""Whatever is not refused is answered: no crash, nothing infinite, nothing that is no number."""

from __future__ import annotations

import json
from typing import Any

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from builds import document
from pennyspeed.domain.build_document import build_from_document
from pennyspeed.domain.checks import CHECKS
from pennyspeed.domain.conditions import CONDITIONS
from pennyspeed.domain.kinds import KINDS
from pennyspeed.domain.parts.fields import Field, Shape
from pennyspeed.services.prediction.forecast import forecast
from pennyspeed.services.reports.answer import answer
from pennyspeed.services.reports.report import WIDTH, report


def values(field: Field) -> st.SearchStrategy[Any]:
    """Everything that a field takes, its ends more often than chance would have it."""
    if field.shape is Shape.CHOICE:
        return st.sampled_from(field.choices)
    if field.shape is Shape.TEXT:
        return st.text(max_size=5)
    if field.shape is Shape.SIZE:
        return st.lists(st.floats(field.low, field.high), min_size=3, max_size=3)
    if field.shape is Shape.WHOLE:
        return st.integers(int(field.low), int(field.high))
    return st.floats(field.low, field.high, exclude_min=field.low_open, exclude_max=field.high_open)


@st.composite
def documents(draw: st.DrawFn) -> dict[str, Any]:
    """A sound car of which a few figures are anything that their fields take."""
    found = document()
    places = [
        (found["parts"][kind.key], field)
        for kind in KINDS
        if not kind.many
        for field in kind.fields
    ]
    given = found["conditions"]
    spread = given["spread"] = {}
    places += [(spread if "." in field.key else given, field) for field in CONDITIONS]
    for i in draw(st.lists(st.integers(0, len(places) - 1), max_size=12, unique=True)):
        place, field = places[i]
        nothing = st.nothing() if field.required else st.none()
        place[field.key.rpartition(".")[2]] = draw(values(field) | nothing)
    return found


@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(documents())
def test_what_is_not_refused_is_answered(given_document: dict[str, Any]) -> None:
    found = forecast(build_from_document(given_document))
    text = json.dumps(answer(found), allow_nan=False)
    answered = json.loads(text)
    assert answered["road_speed_kmh"] is None or answered["road_speed_kmh"] >= 0
    assert answered["p10_kmh"] is None or answered["p10_kmh"] <= answered["p90_kmh"]
    assert len(answered["checks"]) == len(CHECKS)
    assert all(len(line) <= WIDTH for line in report(found).splitlines())
