"""Any part and any build that validates, for hypothesis."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import Decimal
from typing import Any

from hypothesis import strategies as st

from pennyspeed.domain.builds import Build
from pennyspeed.domain.conditions import CONDITIONS
from pennyspeed.domain.kinds import EXTRAS, KINDS, SLOTS, Kind
from pennyspeed.domain.money.lines import Line, Status
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.money.orders import Order, Rate, ShareBy
from pennyspeed.domain.parts.fields import Field, Shape, Value
from pennyspeed.domain.parts.ingredients import Flat, Printed
from pennyspeed.domain.parts.parts import Part, Price
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.domain.parts.recipes import Recipe

texts = st.text(max_size=20)
names = texts.map(str.strip).filter(bool)
days = st.dates(date(2000, 1, 1), date(2099, 12, 31))
currencies = st.sampled_from(("EUR", "JPY", "KWD", "GBP"))
amounts = st.integers(0, 10**12)
json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats(allow_nan=False, allow_infinity=False)
    | texts,
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(texts, inner, max_size=2),
    max_leaves=4,
)
unknown_keys = st.dictionaries(names.map(lambda name: f"x-{name}"), json_values, max_size=2)
decimals = st.decimals(0, 10**6, places=3) | st.sampled_from([Decimal("1"), Decimal("2.50")])


def figures_of(field: Field) -> st.SearchStrategy[Value]:
    numbers = st.floats(
        field.low, field.high, exclude_min=field.low_open, exclude_max=field.high_open
    )
    match field.shape:
        case Shape.NUMBER:
            return numbers
        case Shape.WHOLE:
            return st.integers(int(field.low), int(field.high))
        case Shape.TEXT:
            return texts
        case Shape.CHOICE:
            return st.sampled_from(field.choices)
        case Shape.SIZE:
            return st.tuples(numbers, numbers, numbers)


counts = st.none() | st.integers(0, 3650)
prices = st.builds(Price, st.builds(Money, amounts, currencies), days, texts, texts, counts, counts)
small = st.decimals(0, 1000, places=3)
ingredients = st.builds(
    Printed,
    texts,
    unknown_keys=unknown_keys,
    mass_g=st.none() | small,
    price_per_kg=st.none() | small,
) | st.builds(Flat, texts, unknown_keys=unknown_keys, price_each=st.none() | small)
recipes = st.builds(
    Recipe, st.lists(ingredients, max_size=2).map(tuple), small, st.none() | small, unknown_keys
)


@st.composite
def parts(draw: st.DrawFn, kind: Kind) -> Part:
    """A part as a build file brings it: figures, and nothing that only a catalogue knows."""
    figures = {
        field.key: draw(figures_of(field))
        for field in kind.fields
        if field.required or draw(st.booleans())
    }
    given = st.sampled_from(sorted(figures))
    sources = st.dictionaries(given, st.sampled_from(Provenance))
    spreads = st.dictionaries(given, st.floats(0, 2, exclude_min=True))
    return Part(
        kind.key,
        draw(names),
        figures,
        draw(sources) if figures else {},
        draw(unknown_keys),
        recipe=draw(st.none() | recipes),
        spread=draw(spreads) if figures else {},
    )


any_part = st.builds(
    replace,
    st.sampled_from(KINDS).flatmap(parts),
    price=st.none() | prices,
    note=texts,
    picture=texts,
    archived=st.booleans(),
)
by_key = {kind.key: kind for kind in KINDS}

lines = st.builds(
    Line,
    st.sampled_from((*SLOTS, EXTRAS.key, "")),
    names,
    decimals,
    st.none() | decimals,
    st.sampled_from(Status),
    st.booleans(),
    texts,
    texts,
    st.none() | days,
    unknown_keys,
    st.just("") | currencies,
    st.none() | decimals,
    st.none() | days,
    st.none() | days,
    st.none() | days,
    st.none() | decimals,
    st.none() | decimals,
    st.none() | decimals,
    st.booleans(),
)
orders = st.builds(
    Order,
    names,
    texts,
    st.just("") | currencies,
    st.none() | decimals,
    st.none() | days,
    decimals,
    decimals,
    decimals,
    st.sampled_from(ShareBy),
    st.none() | days,
    st.none() | days,
    st.none() | days,
    texts,
    unknown_keys,
)
rates = st.builds(Rate, currencies, decimals, days, texts)


@st.composite
def any_build(draw: st.DrawFn) -> Build:
    slots = draw(st.sets(st.sampled_from(SLOTS), max_size=3))
    currency = draw(currencies)
    conditions: dict[str, Any] = draw(
        st.fixed_dictionaries({}, optional={f.key: figures_of(f) for f in CONDITIONS})
    )
    return Build(
        name=draw(names),
        target_kmh=draw(st.none() | st.floats(0, 1e4, exclude_min=True)),
        parts={slot: draw(parts(by_key[slot])) for slot in sorted(slots)},
        extras=tuple(draw(st.lists(parts(EXTRAS), max_size=3))),
        conditions=conditions,
        currency=currency,
        cap=draw(st.none() | st.builds(Money, amounts, st.just(currency))),
        lines=tuple(draw(st.lists(lines, max_size=4))),
        orders=tuple(draw(st.lists(orders, max_size=3, unique_by=lambda one: one.reference))),
        rates=tuple(draw(st.lists(rates, max_size=3))),
        event_date=draw(st.none() | days),
        unknown_keys=draw(st.dictionaries(texts, unknown_keys, max_size=2)),
    )
