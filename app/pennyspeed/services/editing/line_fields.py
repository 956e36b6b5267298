"""What is typed about a line of money: each field shows a part of it and takes it back as text."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from datetime import date
from decimal import Decimal

from pennyspeed.domain.builds import Build
from pennyspeed.domain.errors import BadInput, UserError
from pennyspeed.domain.kinds import EXTRAS, KINDS
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.days import iso, read_day
from pennyspeed.domain.money.lines import GONE, MASS, QUANTITY, Line, Status
from pennyspeed.domain.parts.parts import checked_name
from pennyspeed.services.editing.amounts import read_amount, read_price, read_rate
from pennyspeed.services.editing.build_fields import Item
from pennyspeed.services.editing.figures import read_figure
from pennyspeed.services.money.line_changes import line_with_status
from pennyspeed.services.money.money_words import amount_text, plain


class LineItem(Item):
    """One field of a line, edited in place."""

    def __init__(self, key: str, index: int) -> None:
        self.key, self.index = key, index
        self.label, self.help = _FIELDS[key].label, _FIELDS[key].help

    def show(self, build: Build, measures: Measures) -> str:
        return _FIELDS[self.key].text(build, build.lines[self.index], measures)

    def take(self, build: Build, text: str, measures: Measures) -> Build:
        line = build.lines[self.index]
        return build.with_line(
            self.index, _FIELDS[self.key].take(build, line, text.strip(), measures)
        )


def items_of(index: int) -> list[LineItem]:
    """Return every field of a line, in the order in which Tab goes through them."""
    return [LineItem(key, index) for key in _FIELDS]


def _take_status(build: Build, line: Line, text: str, measures: Measures) -> Line:
    found = [one for one in Status if one.value.startswith(text.casefold())] if text else []
    if len(found) != 1:
        raise BadInput("status", text, "one of " + ", ".join(Status))
    if found[0] is line.status:
        return line
    return line_with_status(build, line, found[0], date.today())


def _take_part(build: Build, line: Line, text: str, measures: Measures) -> Line:
    if text == _part_text(build, line, measures):
        return line
    if build.part_of_line(line) is not None:
        raise UserError(f"{line.called} is in the car: take it out of its slot to move its line.")
    labels = {kind.label: kind.key for kind in KINDS}
    if text and text.casefold() not in labels:
        raise BadInput("part", text, "one of " + ", ".join(labels) + ", or nothing")
    key = labels.get(text.casefold(), "")
    # Beside what is in the slot already it is a spare.
    is_spare = key in build.parts or key == EXTRAS.key
    return replace(line, part=key, fitted=not is_spare)


def _part_text(build: Build, line: Line, measures: Measures) -> str:
    return next((kind.label for kind in KINDS if kind.key == line.part), line.part)


def _take_name(build: Build, line: Line, text: str, measures: Measures) -> Line:
    if build.part_of_line(line) is not None and text != line.name:
        raise UserError(f"{line.called} is in the car: its name is changed in the part's form.")
    return replace(line, name=checked_name(text, "name"))


def _take_quantity(build: Build, line: Line, text: str, measures: Measures) -> Line:
    quantity = Decimal(1) if not text else read_amount(text, "quantity", measures, Decimal(0))
    if quantity > QUANTITY.high:
        raise BadInput("quantity", text, QUANTITY.expected)
    if line.came is not None and line.came > quantity:
        raise BadInput("quantity", text, f"at least the {plain(line.came, measures)} that came")
    return replace(line, quantity=quantity)


def _take_price(build: Build, line: Line, text: str, measures: Measures) -> Line:
    if not text:
        return replace(line, unit_price=None)
    own = line.currency or build.currency
    amount, currency = read_price(text, own, "price", measures)
    if currency == own:
        return replace(line, unit_price=amount)
    code = "" if currency == build.currency else currency
    # a rate of another currency says nothing about this one
    return replace(line, unit_price=amount, currency=code, rate=None, rate_on=None)


def _price_text(build: Build, line: Line, measures: Measures) -> str:
    currency = line.currency or build.currency
    text = amount_text(line.unit_price, currency, measures)
    return f"{text} {line.currency}" if text and line.currency else text


def _take_rate(build: Build, line: Line, text: str, measures: Measures) -> Line:
    if line.currency in ("", build.currency):
        raise UserError(f"{line.called} is in {build.currency} already and needs no rate.")
    if not text:
        return replace(line, rate=None, rate_on=None)
    expected = f"{build.currency} for one {line.currency}, more than 0"
    rate = read_rate(text, "rate", measures, expected)
    return line if rate == line.rate else replace(line, rate=rate, rate_on=None)


def _take_came(build: Build, line: Line, text: str, measures: Measures) -> Line:
    if line.status is not Status.ORDERED:
        raise UserError(f"{line.called} is {line.status.value}: only of what is ordered a part "
                        "can have come.")  # fmt: skip
    if not text:
        return replace(line, came=None)
    came = read_amount(text, "came", measures, Decimal(0))
    if came > line.quantity:
        raise BadInput("came", text, f"at most {plain(line.quantity, measures)}, as ordered")
    if came == line.quantity:
        return line_with_status(build, line, Status.RECEIVED, date.today())
    return replace(line, came=came)


def _take_refund(build: Build, line: Line, text: str, measures: Measures) -> Line:
    if line.status not in GONE:
        raise UserError(f"{line.called} is {line.status.value}: only for what is cancelled or "
                        "returned money comes back.")  # fmt: skip
    refund = None if not text else read_amount(text, "given back", measures, Decimal(0))
    return replace(line, refund=refund)


def _take_mass(build: Build, line: Line, text: str, measures: Measures) -> Line:
    value = read_figure(MASS, text, measures)
    return replace(line, mass_g=None if value is None else Decimal(str(value)))


def _mass_text(build: Build, line: Line, measures: Measures) -> str:
    return "" if line.mass_g is None else measures.figure(MASS, float(line.mass_g))


@dataclass(frozen=True, slots=True)
class _Field:
    label: str
    help: str
    text: Callable[[Build, Line, Measures], str]
    take: Callable[[Build, Line, str, Measures], Line]


def _day(attribute: str, label: str, help: str) -> _Field:
    def take(build: Build, line: Line, text: str, measures: Measures) -> Line:
        day = read_day(text, label, day_order=measures.day_order)
        return replace(line, **{attribute: day})  # type: ignore[arg-type]

    return _Field(label, help, lambda build, line, measures: iso(getattr(line, attribute)), take)


_FIELDS: dict[str, _Field] = {
    "status": _Field(
        "status", "Where it stands; its first letter will do.",
        lambda build, line, m: line.status.value, _take_status,
    ),
    "part": _Field("part", "The slot it is for; nothing for other things.", _part_text, _take_part),
    "name": _Field("name", "What it is.", lambda build, line, m: line.name, _take_name),
    "quantity": _Field(
        "quantity", QUANTITY.help, lambda build, line, m: plain(line.quantity, m), _take_quantity
    ),
    "price": _Field(
        "price", "Of one; a currency may follow, such as 12.50 USD.", _price_text, _take_price
    ),
    "rate": _Field(
        "rate", "What one unit of its currency was worth; nothing follows the build's rates.",
        lambda build, line, m: plain(line.rate, m), _take_rate,
    ),
    "from": _Field(
        "from", "Who sells it; nothing is the order's supplier.",
        lambda build, line, m: line.supplier,
        lambda build, line, text, m: replace(line, supplier=text),
    ),
    "order": _Field(
        "order", "The reference of its order, or a note.",
        lambda build, line, m: line.order,
        lambda build, line, text, m: replace(line, order=text),
    ),
    "ordered": _day(
        "ordered", "ordered on", "The day it was ordered; nothing is the order's day."
    ),
    "arrives": _day("arrives", "arrives", "The day it is to come; nothing is the order's day."),
    "arrived": _day("arrived", "arrived on", "The day it did come."),
    "came": _Field(
        "came so far", "How many of them are here, where the rest is still on its way.",
        lambda build, line, m: plain(line.came, m), _take_came,
    ),
    "refund": _Field(
        "given back", "Of what is cancelled or returned; nothing means all, or nothing yet.",
        lambda build, line, m: amount_text(line.refund, line.currency or build.currency, m),
        _take_refund,
    ),
    "mass": _Field("mass of one", MASS.help, _mass_text, _take_mass),
}  # fmt: skip
