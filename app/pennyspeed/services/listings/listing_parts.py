"""A part made of what was read."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import BY_KEY
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.fields import Shape
from pennyspeed.domain.parts.parts import Part, Price, checked_name
from pennyspeed.services.editing.amounts import read_money
from pennyspeed.services.editing.figures import read_figure
from pennyspeed.services.listings.claims import Claim, Claimed
from pennyspeed.services.listings.reading import Reading


def part_of(
    reading: Reading,
    kind_key: str = "",
    chosen: Mapping[str, Claimed | None] | None = None,
    typed: Part | None = None,
    supplier: str = "",
    may_lack: bool = False,
) -> Part:
    """Return the part that a reading describes.

    Parameters
    ----------
    kind_key : str
        "" is the reading's own.
    chosen : mapping, optional
        Key to what a person settled: one of the claims of a conflict, or a name or figure of his
        own; None leaves a figure out.
    typed : Part, optional
        What is typed already: none of its figures is replaced.
    supplier : str
        Who asks the price.
    may_lack : bool
        Whether figures that a part needs may be missing, to be worked out after this.

    Raises
    ------
    BadInput
        Where the kind is not plain, a conflict is open, the name or a figure that is needed is
        missing.
    """
    kind_key = kind_key or reading.kind_key
    if not kind_key:
        raise BadInput("kind", None, f"one of {', '.join(reading.kinds or BY_KEY)}")
    if kind_key != reading.kind_key:
        raise BadInput("kind", kind_key, f"the kind that was read, {reading.kind_key or 'none'}")
    kind = BY_KEY[kind_key]
    settled = dict(chosen or {})
    values = {**reading.given, **settled}
    held = typed.figures if typed is not None else {}
    for key, claims in reading.conflicts.items():
        is_held = key in held or (key == "price" and typed is not None and typed.price is not None)
        if key not in settled and not is_held:
            label = key if key in ("name", "price") else kind.field(key).label
            says = " and ".join(reading.words(one) for one in claims)
            raise BadInput(label, f"says {says}", "one of the two, chosen")
    name = typed.name if typed is not None and typed.name else values.get("name")
    part = replace(typed or Part(kind_key, ""), name=checked_name(name, "name"))
    for field in kind.fields:
        value = values.get(field.key)
        if value is not None and field.key not in held:
            part = part.with_figure(field.key, field.checked(value, field.label))
    price = values.get("price")
    if isinstance(price, Money) and part.price is None:
        part = replace(part, price=Price(price, date.today(), supplier))
    lacking = missing_keys(part)
    if lacking and not may_lack:
        field = kind.field(lacking[0])
        raise BadInput(field.label, None, field.expected)
    return part


def claim_of(
    reading: Reading, key: str, start: int, end: int, measures: Measures, currency: str
) -> Claim:
    """Return what a stretch of the text says about a figure that a person gives it to.

    A bare number is in the person's unit, or currency.

    Raises
    ------
    BadInput
        Where the words are no such figure.
    """
    words = " ".join(reading.text[start:end].split())
    value: Claimed | None
    if key == "name":
        value = checked_name(words, key)
    elif key == "price":
        value = read_money(words, currency, key, measures)
    else:
        field = BY_KEY[reading.kind_key].field(key)
        is_text = field.shape in (Shape.TEXT, Shape.CHOICE)
        value = field.read(words, field.label) if is_text else read_figure(field, words, measures)
        if value is None:
            raise BadInput(field.label, None, field.expected)
    return Claim(key, value, start, end)


def missing_keys(part: Part) -> list[str]:
    """Return the figures that a part of its kind needs and this one lacks."""
    return [one.key for one in part.kind.fields if one.required and one.key not in part.figures]
