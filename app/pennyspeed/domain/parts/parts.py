"""A part: figures of one kind, where they come from, and what it costs."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from typing import TYPE_CHECKING, Any, TypeVar

from pennyspeed.domain.document_values import object_of, unknown
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.kinds import BY_KEY, Kind
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.fields import Draw, Value
from pennyspeed.domain.parts.provenance import (
    Provenance,
    checked_provenance,
    checked_spread,
    usual_spread,
)

if TYPE_CHECKING:
    from pennyspeed.domain.parts.recipes import Recipe

_Said = TypeVar("_Said")
_SAID = {"provenance": "sources", "spread": "spreads"}


@dataclass(frozen=True)
class Price:
    """What a supplier asked on a day."""

    amount: Money
    on: date
    supplier: str = ""
    link: str = ""
    in_stock: int | None = None
    """How many were to be had; None where nobody said."""
    lead_days: int | None = None
    """From order to arrival, as said with the price."""


@dataclass(frozen=True)
class Part:
    """One part as a value."""

    kind_key: str
    """Key of its kind."""
    name: str
    """Not blank."""
    figures: Mapping[str, Value] = field(default_factory=dict)
    """Only what is given, in the keys' units; see
    :class:`~pennyspeed.domain.parts.fields.Field`."""
    provenance: Mapping[str, Provenance] = field(default_factory=dict)
    """Only what somebody said."""
    unknown_keys: Mapping[str, Any] = field(default_factory=dict)
    """What a file held beside our keys; written back as it was."""
    price: Price | None = None
    """The latest."""
    note: str = ""
    picture: str = ""
    archived: bool = False
    recipe: Recipe | None = None
    """What it is made of, where it is made and not bought."""
    spread: Mapping[str, float] = field(default_factory=dict)
    """Standard deviation of ln(figure) in place of its source's: above 0, at most 2. Idle where
    the figure is exact or not given."""
    id: int | None = field(default=None, compare=False)
    """In the catalogue; None where it is not there. Two parts with the same content are equal."""

    @property
    def kind(self) -> Kind:
        """The declaration it follows."""
        return BY_KEY[self.kind_key]

    def figure(self, key: str) -> Value | None:
        """Return the figure of that key, its default where none is given, None if not known."""
        value = self.figures.get(key)
        return self.kind.field(key).default if value is None else value

    def number(self, key: str) -> float | None:
        """Return :meth:`figure` where it is a number."""
        value = self.figure(key)
        return float(value) if isinstance(value, int | float) else None

    def known(self, key: str) -> Value | None:
        """Return the figure a check may rely on; None where only a filled-in default stands."""
        value = self.figures.get(key)
        declared = self.kind.field(key)
        return declared.default if value is None and declared.known_by_default else value

    def known_number(self, key: str) -> float | None:
        """Return :meth:`known` where it is a number."""
        value = self.known(key)
        return float(value) if isinstance(value, int | float) else None

    def provenance_of(self, key: str) -> Provenance:
        """Return where the figure comes from; one that had to be filled in is guessed."""
        if self.figures.get(key) is None:
            return Provenance.GUESSED
        return self.provenance.get(key, self.kind.field(key).sure)

    def spread_of(self, key: str) -> float:
        """Return the standard deviation of ln(figure); 0 where it is exact."""
        draw = self.kind.field(key).draw
        if draw is Draw.EXACT:
            return 0.0
        own = self.spread.get(key)
        if own is not None and self.figures.get(key) is not None:
            return own
        return usual_spread(self.provenance_of(key), draw is Draw.FIRM)

    def with_figure(
        self,
        key: str,
        value: Value | None,
        provenance: Provenance | None = None,
        spread: float | None = None,
    ) -> Part:
        """Return the part with one figure changed; None makes it 'not known'.

        What was said of the old figure's source and spread goes with it.
        """
        declared = self.kind.field(key)
        checked = declared.checked(value, declared.label)
        figures = {k: v for k, v in self.figures.items() if k != key}
        sources = {k: v for k, v in self.provenance.items() if k != key}
        spreads = {k: v for k, v in self.spread.items() if k != key}
        if checked is not None:
            figures[key] = checked
            if provenance is not None:
                sources[key] = provenance
            if spread is not None:
                spreads[key] = checked_spread(spread, f"spread of {declared.label}")
        return replace(self, figures=figures, provenance=sources, spread=spreads)

    def same_article(self, other: Part) -> bool:
        """Tell whether both are one article: kind, name, figures, how sure they are, recipe."""
        return (
            self.kind_key == other.kind_key
            and self.name == other.name
            and dict(self.figures) == dict(other.figures)
            and dict(self.provenance) == dict(other.provenance)
            and dict(self.spread) == dict(other.spread)
            and self.recipe == other.recipe
        )


def is_same(one: Part, other: Part) -> bool:
    """Tell whether both are one part of the catalogue."""
    if one.id is not None and other.id is not None:
        return one.id == other.id
    return one.same_article(other)


def checked_part(kind: Kind, data: object, place: str) -> Part:
    """Return the part that a JSON object at the key path `place` describes.

    Keys that no field has are kept.

    Raises
    ------
    BadInput
        With the path of the key that is at fault.
    """
    data = object_of(data, place, "an object with the figures of one part")
    name = checked_name(data.get("name"), f"{place}.name")
    figures: dict[str, Value] = {}
    for declared in kind.fields:
        value = declared.checked(data.get(declared.key), f"{place}.{declared.key}")
        if value is not None:
            figures[declared.key] = value
    keys = {declared.key for declared in kind.fields}
    strangers = unknown(data, keys | {"name", "provenance", "spread", "recipe"})
    provenance = _beside(data, "provenance", checked_provenance, keys, place, strangers)
    spreads = _beside(data, "spread", checked_spread, keys, place, strangers)
    recipe = None
    if data.get("recipe") is not None:
        # few parts have one, and the first frame waits for this module
        from pennyspeed.domain.parts.recipes import recipe_from_document

        recipe = recipe_from_document(data["recipe"], f"{place}.recipe")
    return Part(kind.key, name, figures, provenance, strangers, recipe=recipe, spread=spreads)


def _beside(
    data: Mapping[str, Any],
    name: str,
    check: Callable[[object, str], _Said],
    keys: set[str],
    place: str,
    strangers: dict[str, Any],
) -> dict[str, _Said]:
    """Return what the object `name` says beside figures; its other keys join `strangers`."""
    if data.get(name) is None:
        return {}
    path = f"{place}.{name}"
    said = object_of(data[name], path, f"an object of keys and {_SAID[name]}")
    strays = unknown(said, keys)
    if strays:
        strangers[name] = strays
    return {
        key: check(value, f"{path}.{key}")
        for key, value in said.items()
        if key in keys and value is not None
    }


def checked_name(value: object, place: str) -> str:
    """Return a name, or raise BadInput where it is blank, no text or too long."""
    if not isinstance(value, str) or not value.strip() or len(value) > 200:
        raise BadInput(place, value, "a name of 1 to 200 characters")
    return value.strip()
