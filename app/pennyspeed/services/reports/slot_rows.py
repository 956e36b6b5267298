"""Rows of slots: the part in each, what it costs, and what is wrong with it."""

from __future__ import annotations

from dataclasses import dataclass

from pennyspeed.domain.builds import Build, Status
from pennyspeed.domain.checks import Level
from pennyspeed.domain.kinds import KINDS, Kind
from pennyspeed.domain.measures import Measures
from pennyspeed.domain.money.book import Entry, book
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.fields import Field, Shape
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.units import G
from pennyspeed.services.money.money_words import NOT_COUNTED
from pennyspeed.services.prediction.forecast import Forecast

WORST_FIRST = (Level.STOP, Level.WARN)


@dataclass(frozen=True, slots=True)
class SlotRow:
    kind: Kind
    name: str
    detail: str
    price: str
    level: Level | None
    is_empty: bool
    hint: str

    @property
    def label(self) -> str:
        """The slot's own name."""
        return self.kind.plural if self.kind.many else self.kind.label

    @property
    def sign(self) -> Level | None:
        """The sign beside it: what an empty slot will do is not known."""
        return Level.UNKNOWN if self.is_empty and self.level is None else self.level


def detail_of(part: Part, measures: Measures) -> str:
    """Return the two figures that tell a part from its neighbours."""
    shown = part.kind.shelf_fields
    told = [_told(f, part, measures) for f in shown if part.figure(f.key) is not None]
    return ", ".join(told[:2])


def _told(field: Field, part: Part, measures: Measures) -> str:
    figure = measures.figure(field, part.figure(field.key))
    if field.shape in (Shape.WHOLE, Shape.CHOICE):
        return f"{figure} {field.short}"
    if measures.unit_for(field.unit).is_reciprocal:
        return figure
    name = field.short.removesuffix(field.unit.symbol).strip() if field.unit.symbol else field.short
    return f"{name} {figure}" if name else figure


def _price(entries: list[Entry], build: Build, measures: Measures) -> str:
    """Return what a slot's lines cost, and whether that does not count toward the cap."""
    if not entries:
        return ""
    if all(entry.line.status in (Status.OWNED, Status.MADE) for entry in entries):
        return str(entries[0].line.status)
    why = next((entry.why for entry in entries if entry.why), "")
    if why:
        return why
    total = Money(sum(entry.total for entry in entries), build.currency)
    text = measures.money(total, currency=False)
    return text if any(entry.counts for entry in entries) else f"{text}, {NOT_COUNTED}"


Details = dict[str, tuple[Part, Measures, str]]


def slot_rows(
    build: Build | None,
    forecast: Forecast | None,
    measures: Measures,
    details: Details | None = None,
) -> list[SlotRow]:
    """Return what every slot shows, in the kinds' order; `details` keeps what did not change."""
    kept = {} if details is None else details
    rows = []
    checks = forecast.checks if forecast is not None else ()
    entries = () if build is None else book(build).entries
    for kind in KINDS:
        concerned = [c for c in checks if kind.key in c.slots and c.level in WORST_FIRST]
        concerned.sort(key=lambda c: WORST_FIRST.index(c.level))
        level = concerned[0].level if concerned else None
        hint = "\n".join(c.text for c in concerned)
        parts = _parts_in(build, kind)
        own = [entry for entry in entries if entry.line.part == kind.key]
        if not parts:
            name = f"no {kind.label} yet" if kind.needed else "none"
            detail = f"Enter shows the {kind.plural}"
            rows.append(SlotRow(kind, name, detail, "", level, kind.needed, hint or detail))
            continue
        assert build is not None
        name = ", ".join(part.name for part in parts)
        if kind.many:
            grams = sum(part.number("mass_g") or 0.0 for part in parts)
            detail = f"{measures.with_unit(grams, G)} together"
        else:
            known = kept.get(kind.key)
            if known is None or known[0] is not parts[0] or known[1] != measures:
                known = kept[kind.key] = parts[0], measures, detail_of(parts[0], measures)
            detail = known[2]
        price = _price([entry for entry in own if entry.line.fitted], build, measures)
        if price.endswith(NOT_COUNTED):
            hint = "\n".join(filter(None, (hint, "Its price does not count toward the cap.")))
        drawer = ", ".join(entry.line.called for entry in own if not entry.line.fitted)
        if drawer:
            hint = "\n".join(filter(None, (hint, f"Bought before and not in the car: {drawer}.")))
        rows.append(SlotRow(kind, name, detail, price, level, False, hint))
    return rows


def _parts_in(build: Build | None, kind: Kind) -> list[Part]:
    if build is None:
        return []
    if kind.many:
        return list(build.extras)
    part = build.part(kind.key)
    return [] if part is None else [part]
