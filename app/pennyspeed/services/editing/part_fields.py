"""What is typed about a part: its name, each figure and its price, read back into it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.estimates.estimate_words import stored_words
from pennyspeed.domain.estimates.rules import expected_words, lacking, rule_of
from pennyspeed.domain.kinds import Kind
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import DEFAULT_CURRENCY
from pennyspeed.domain.parts.fields import Draw, Field, Shape, Value
from pennyspeed.domain.parts.glossary import field_help
from pennyspeed.domain.parts.parts import Part, Price, checked_name
from pennyspeed.domain.parts.provenance import WORDS, Provenance
from pennyspeed.services.editing.amounts import read_money
from pennyspeed.services.editing.figures import read_figure, shown_value
from pennyspeed.services.editing.form_fields import FormField

_SOURCES = tuple((WORDS[one], one.value) for one in Provenance if one is not Provenance.WORKED_OUT)


def currency_of(part: Part | None, build: Build | None) -> str:
    """Return the currency that a price without one is in."""
    if part is not None and part.price is not None:
        return part.price.amount.currency
    return build.currency if build is not None else DEFAULT_CURRENCY


def keys_of(kind: Kind) -> list[str]:
    """Return the key of everything that can be said about a part, its name first."""
    return ["name", *(field.key for field in kind.fields), "price", "supplier", "link", "note"]


def form_fields(
    kind: Kind, part: Part | None, currency: str, measures: Measures
) -> list[FormField]:
    """Return a field for everything that can be said about a part, None for a new one."""
    return [form_field(key, kind, part, currency, measures) for key in keys_of(kind)]


def form_field(
    key: str, kind: Kind, part: Part | None, currency: str, measures: Measures
) -> FormField:
    """Return the field of one key, with what the part says there."""
    price = part.price if part is not None else None
    match key:
        case "name":
            return FormField(key, key, "What it is called.", part.name if part else "")
        case "price":
            help = f"What it costs now, in {currency} unless you say; older prices are kept."
            return FormField(key, key, help, measures.money(price.amount) if price else "")
        case "supplier":
            return FormField(key, key, "Who asks that price.", price.supplier if price else "")
        case "link":
            return FormField(key, key, "Where it is offered.", price.link if price else "")
        case "note":
            return FormField(key, key, "Whatever you want to remember.", part.note if part else "")
    field = kind.field(key)
    value = None if part is None else part.figures.get(key)
    hint = _hint(field, measures)
    if part is not None and part.provenance.get(key) is Provenance.WORKED_OUT:
        # nobody typed it: the field waits for somebody who knows better
        value, hint = None, stored_words(part, key, measures)
    words = tuple((word, word) for word in field.choices)
    known = part.provenance_of(key) if part and value is not None else field.sure
    return FormField(
        key,
        field.label,
        field_help(kind.key, field),
        shown_value(field, value, measures),
        hint,
        words if field.required or not words else ((hint, ""), *words),
        () if field.draw is Draw.EXACT else _SOURCES,
        known.value,
    )


def _hint(field: Field, measures: Measures) -> str:
    unit = measures.unit_for(field.unit).symbol
    if field.shape is Shape.SIZE:
        return f"length x width x height {unit}"
    if field.required:
        return f"needed, {unit}" if unit else "needed"
    if field.default is not None:
        return f"{measures.figure(field, field.default)} unless given"
    return f"not known, {unit}" if unit else "not known"


def with_typed(
    part: Part, key: str, text: str, source: str, currency: str, measures: Measures
) -> Part:
    """Return the part with what is typed about one key, and where its figure comes from.

    `source` is "" where nothing is chosen. What is no good is BadInput. A figure that is left out
    goes, even one that no part can do without, if it can be worked out from the others; one that
    was worked out stays.
    """
    match key:
        case "name":
            return replace(part, name=checked_name(text, "name"))
        case "note":
            return replace(part, note=text.strip())
        case "price":
            return replace(part, price=_read_price(text, part.price, currency, measures))
        case "supplier" if part.price is not None:
            return replace(part, price=replace(part.price, supplier=text.strip()))
        case "link" if part.price is not None:
            return replace(part, price=replace(part.price, link=text.strip()))
        case "supplier" | "link":
            return part
    field = part.kind.field(key)
    value: Value | None
    before = part.figures.get(key)
    if not text.strip() and part.provenance.get(key) is Provenance.WORKED_OUT:
        return part
    if not text.strip() and field.required and rule_of(part.kind_key, key) is not None:
        if lacking(part.kind_key, part.figures, key):
            raise BadInput(field.label, None, expected_words(part.kind_key, part.figures, key))
        return _without(part, key)
    if text == shown_value(field, before, measures) and before is not None:
        value = before  # untouched: no rounding by the way through another unit
    elif field.shape in (Shape.TEXT, Shape.CHOICE):
        value = field.read(text, field.label)
    else:
        value = read_figure(field, text, measures)
    provenance = spread = None
    if source and value is not None:
        chosen = Provenance(source)
        if value == before and chosen is part.provenance_of(key):
            spread = part.spread.get(key)
        if chosen is Provenance.WORKED_OUT and value != before:
            chosen = field.sure  # what a person types was not worked out
        if key in part.provenance or chosen is not field.sure:
            provenance = chosen
    return part.with_figure(key, value, provenance, spread)


def read_part(
    part: Part,
    texts: Mapping[str, str],
    sources: Mapping[str, str],
    currency: str,
    measures: Measures,
) -> tuple[Part, dict[str, BadInput]]:
    """Return a part with everything that is typed about it, and what is no good, by its key."""
    faults: dict[str, BadInput] = {}
    keys = keys_of(part.kind)
    # what may be worked out comes after what it is worked out from
    for key in sorted(keys, key=lambda key: rule_of(part.kind_key, key) is not None):
        try:
            part = with_typed(part, key, texts[key], sources.get(key, ""), currency, measures)
        except BadInput as error:
            faults[key] = error
    return part, {key: faults[key] for key in keys if key in faults}


def _without(part: Part, key: str) -> Part:
    """Return the part without a figure that it needs, until that is worked out."""
    return replace(
        part,
        figures={other: value for other, value in part.figures.items() if other != key},
        provenance={other: source for other, source in part.provenance.items() if other != key},
        spread={other: spread for other, spread in part.spread.items() if other != key},
    )


def _read_price(text: str, old: Price | None, currency: str, measures: Measures) -> Price | None:
    """Return the price that typed text names: the old one where the amount is the same."""
    if not text.strip():
        return None
    example = f"an amount such as {measures.number(34.9, 2)} {currency}"
    money = read_money(text, currency, "price", measures, example)
    return old if old is not None and old.amount == money else Price(money, date.today())
