"""Recipes: what a part that is made costs and weighs, from what goes into it.

A recipe's file form is JSON with every amount as decimal text::

    {"ingredients": [{"kind", "name", figure: amount}], "hours", "hourly"}
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field, replace
from datetime import date
from decimal import Decimal, localcontext
from typing import TYPE_CHECKING, Any

from pennyspeed.domain.document_values import list_of, object_of, unknown
from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.apportion import rounded_together
from pennyspeed.domain.money.money import Money, decimal_text, digits
from pennyspeed.domain.parts.ingredients import KINDS, Figure, Ingredient, Volume
from pennyspeed.domain.parts.materials import BY_KEY as MATERIAL
from pennyspeed.domain.parts.provenance import Provenance

if TYPE_CHECKING:
    from pennyspeed.domain.parts.parts import Part

MADE_HERE = "made here"
"""Supplier of what nobody supplies."""

TIME = (
    Figure("hours", "hours", "h", Decimal(100_000), Decimal(0)),
    Figure("hourly", "price of an hour", "price"),
)
_MASS = "mass_g"
_GRAM_DECIMALS = 3
_PRECISION = 160
"""Digits in which products are exact: an ingredient multiplies at most four amounts of 26."""
_LONGEST_NAME = 200


@dataclass(frozen=True)
class Recipe:
    """What a made part takes.

    >>> from pennyspeed.domain.parts.ingredients import Flat, Printed
    >>> shell = Recipe((
    ...     Printed("shell", mass_g=Decimal(120), price_per_kg=Decimal(25),
    ...             waste_percent=Decimal(10), failed_percent=Decimal(50)),
    ...     Flat("paint", price_each=Decimal("6.40"), mass_each_g=Decimal(9)),
    ... ), hours=Decimal(3))
    >>> str(shell.cost("EUR")), shell.mass_g
    ('11.35', Decimal('129'))
    >>> str(replace(shell, hourly=Decimal(12)).cost("EUR"))
    '47.35'
    """

    ingredients: tuple[Ingredient, ...] = ()
    hours: Decimal = Decimal(0)
    hourly: Decimal | None = None
    """What an hour is worth; hours cost nothing where it is None."""
    unknown_keys: Mapping[str, Any] = field(default_factory=dict)
    """What a file held beside our keys; written back as it was."""

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Ingredients whose cost is not known, by name."""
        return tuple(each.called for each in self.ingredients if each.exact_cost() is None)

    @property
    def unweighed(self) -> tuple[str, ...]:
        """Ingredients whose mass is not known, by name."""
        return tuple(each.called for each in self.ingredients if each.mass is None)

    def cost(self, currency: str) -> Money | None:
        """Return the sum, rounded half up once; None where it is not known."""
        with localcontext(prec=_PRECISION):
            total = _total(each.exact_cost() for each in self.ingredients)
            if total is None:
                return None
            return Money.of(total + self.hours * (self.hourly or 0), currency)

    def shares(self, currency: str) -> tuple[int, ...] | None:
        """Return the cost of every ingredient, and of the hours last, in minor units.

        They add up to :meth:`cost` exactly, by largest remainder; None where that is not known.
        """
        with localcontext(prec=_PRECISION):
            known = [cost for each in self.ingredients if (cost := each.exact_cost()) is not None]
            if not known or len(known) < len(self.ingredients):
                return None
            known.append(self.hours * (self.hourly or 0))
            return tuple(rounded_together([cost.scaleb(digits(currency)) for cost in known]))

    @property
    def mass_g(self) -> Decimal | None:
        """What it adds to the car; None where it is not known."""
        with localcontext(prec=_PRECISION):
            return _total(each.mass for each in self.ingredients)


def _total(amounts: Iterable[Decimal | None]) -> Decimal | None:
    """Add amounts up; None where there are none or one is not known."""
    found = list(amounts)
    known = [amount for amount in found if amount is not None]
    return sum(known, Decimal(0)) if known and len(known) == len(found) else None


def with_recipe(part: Part, recipe: Recipe, currency: str, on: date) -> Part:
    """Return `part` made by `recipe`, with the price and the mass that follow from it.

    A mass that somebody measured stays: scales know better than a sum. So does any other mass where
    the recipe's is not known. A cost that is not known leaves the part without a price.
    """
    # parts hold recipes, so that this module cannot need theirs to load
    from pennyspeed.domain.parts.parts import Price

    cost, mass = recipe.cost(currency), recipe.mass_g
    price = None if cost is None else Price(cost, on, MADE_HERE)
    made = replace(part, recipe=recipe, price=price)
    if mass is None or (
        part.known(_MASS) is not None and part.provenance_of(_MASS) is Provenance.MEASURED
    ):
        return made
    return made.with_figure(_MASS, float(round(mass, _GRAM_DECIMALS)), Provenance.ESTIMATED)


def recipe_document(recipe: Recipe) -> dict[str, Any]:
    """Return the recipe as JSON values; :func:`recipe_from_document` takes them back unchanged."""
    document: dict[str, Any] = {
        "ingredients": [_ingredient_document(each) for each in recipe.ingredients]
    }
    return document | _written(recipe, TIME) | dict(recipe.unknown_keys)


def recipe_from_document(data: object, place: str) -> Recipe:
    """Return the recipe that a JSON object describes, which stands at the key path `place`.

    Raises
    ------
    BadInput
        With the path of the key at fault, such as ``recipe.ingredients[1].mass_g``.
    """
    data = object_of(data, place, "an object, the recipe of a made part")
    held = list_of(data.get("ingredients"), f"{place}.ingredients")
    return Recipe(
        tuple(_ingredient(each, f"{place}.ingredients[{i}]") for i, each in enumerate(held)),
        **_read(data, TIME, place),
        unknown_keys=unknown(data, ("ingredients", *(figure.key for figure in TIME))),
    )


def checked_amount(figure: Figure, text: object, place: str) -> Decimal | None:
    """Return the amount that decimal text holds for a figure, or raise BadInput; None is its
    default."""
    if text is None:
        return figure.default
    amount = decimal_text(text, place)
    if not 0 <= amount <= figure.high:
        raise BadInput(place, text, f"an amount from 0 to {figure.high:f}")
    return amount


def _read(data: Mapping[str, Any], figures: Iterable[Figure], place: str) -> dict[str, Any]:
    return {
        figure.key: checked_amount(figure, data.get(figure.key), f"{place}.{figure.key}")
        for figure in figures
    }


def _written(held: object, figures: Iterable[Figure]) -> dict[str, str]:
    amounts = ((figure, getattr(held, figure.key)) for figure in figures)
    return {figure.key: f"{amount:f}" for figure, amount in amounts if amount != figure.default}


def _text(
    data: Mapping[str, Any], key: str, place: str, fine: Callable[[str], bool], expected: str
) -> str:
    value = data.get(key)
    if value is None:
        return ""
    if not isinstance(value, str) or not fine(value):
        raise BadInput(f"{place}.{key}", value, expected)
    return value


def _ingredient(data: object, place: str) -> Ingredient:
    data = object_of(data, place, "an object with one ingredient")
    key = data.get("kind")
    kind = KINDS.get(key) if isinstance(key, str) else None
    if kind is None:
        raise BadInput(f"{place}.kind", key, "one of " + ", ".join(KINDS))
    ours = {"kind", "name", *(figure.key for figure in kind.FIGURES)}
    given: dict[str, Any] = _read(data, kind.FIGURES, place)
    given["name"] = _text(
        data,
        "name",
        place,
        lambda name: len(name) <= _LONGEST_NAME,
        f"text of up to {_LONGEST_NAME} characters",
    )
    if kind is Volume:
        ours.add("material")
        given["material"] = _text(
            data,
            "material",
            place,
            lambda name: not name or name in MATERIAL,
            "one of " + ", ".join(MATERIAL),
        )
    return kind(**given, unknown_keys=unknown(data, ours))


def _ingredient_document(ingredient: Ingredient) -> dict[str, Any]:
    document: dict[str, Any] = {"kind": ingredient.KIND, "name": ingredient.name}
    if isinstance(ingredient, Volume) and ingredient.material:
        document["material"] = ingredient.material
    return document | _written(ingredient, ingredient.FIGURES) | dict(ingredient.unknown_keys)
