"""What is typed about a recipe: a field for each figure of an ingredient, read back into it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import fields as fields_of
from dataclasses import replace
from decimal import Decimal
from typing import Any

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.measures import NOT_KNOWN, Measures
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.ingredients import KINDS, Figure, Ingredient, Printed, Volume
from pennyspeed.domain.parts.materials import BY_KEY, MATERIALS
from pennyspeed.domain.parts.recipes import TIME, Recipe, checked_amount
from pennyspeed.domain.units import G
from pennyspeed.services.editing.amounts import read_amount
from pennyspeed.services.editing.form_fields import FormField
from pennyspeed.services.money.money_words import plain

KIND, NAME, MATERIAL = "kind", "name", "material"
_MATERIALS = (
    ("another, as given", ""),
    *((f"{one.name}, {one.density:f} g/cm³", one.key) for one in MATERIALS),
)


# What is shown ------------------------------------------------------------------------------


def form_fields(recipe: Recipe, row: int, currency: str, measures: Measures) -> list[FormField]:
    """Return a field for each figure of the ingredient of that place, and for the hours.

    −1 stands for no ingredient; every price is in `currency`.
    """
    found: list[FormField] = []
    if row >= 0:
        one = recipe.ingredients[row]
        kinds = tuple((kind.LABEL, key) for key, kind in KINDS.items())
        found = [
            FormField(KIND, "how", "How cost and mass follow.", one.KIND, choices=kinds),
            FormField(NAME, "what it is", "A name, for you.", one.name),
        ]
        if isinstance(one, Volume):
            help = "Whose published density holds where none is given below."
            found.append(FormField(MATERIAL, "material", help, one.material, choices=_MATERIALS))
        found += _figures(one, one.FIGURES, currency, measures)
    return found + _figures(recipe, TIME, currency, measures)


def _figures(
    held: object, figures: Iterable[Figure], currency: str, measures: Measures
) -> list[FormField]:
    found = []
    for figure in figures:
        value: Decimal | None = getattr(held, figure.key)
        hint = NOT_KNOWN if figure.default is None else plain(figure.default, measures)
        label = _label(figure, currency)
        text = "" if value == figure.default else plain(value, measures)
        found.append(
            FormField(figure.key, label, label, text, "not counted" if figure is TIME[1] else hint)
        )
    return found


def _label(figure: Figure, currency: str) -> str:
    unit = currency if figure.unit == "price" else figure.unit
    return f"{figure.label}, {unit}" if unit else figure.label


def how_made(one: Ingredient) -> str:
    """Say how cost and mass of an ingredient follow: "by volume, PLA"."""
    how = one.LABEL[0].lower() + one.LABEL[1:]
    if isinstance(one, Volume) and one.material:
        named = BY_KEY.get(one.material)
        how = f"{how}, {named.name if named else ''}"
    return how


def costs_of(recipe: Recipe, currency: str) -> list[Money | None]:
    """Return what each ingredient costs, so that they add up to the whole; None is not known."""
    shares = recipe.shares(currency)
    if shares is not None:
        # behind the ingredients stands what the hours cost
        return [Money(share, currency) for share in shares[: len(recipe.ingredients)]]
    exact = (one.exact_cost() for one in recipe.ingredients)
    return [None if cost is None else Money.of(cost, currency) for cost in exact]


def summary(recipe: Recipe, currency: str, measures: Measures) -> str:
    """Say what a recipe costs and weighs."""
    cost, mass = recipe.cost(currency), recipe.mass_g
    costs = "cost not known" if cost is None else measures.money(cost)
    weighs = "mass not known" if mass is None else measures.with_unit(float(mass), G, 1)
    return f"{costs} · {weighs}"


def missing(recipe: Recipe) -> str:
    """Say which ingredients have no price or no mass yet, "" where all have both."""
    texts = []
    for names, what in ((recipe.unpriced, "price"), (recipe.unweighed, "mass")):
        if names:
            texts.append(f"no {what} yet: {', '.join(dict.fromkeys(names))}")
    return "; ".join(texts)


# What is changed ----------------------------------------------------------------------------


def with_another(recipe: Recipe) -> Recipe:
    """Return the recipe with an ingredient more, of the kind of the last one."""
    kind = type(recipe.ingredients[-1]) if recipe.ingredients else Printed
    return replace(recipe, ingredients=(*recipe.ingredients, kind()))


def without(recipe: Recipe, row: int) -> Recipe:
    """Return the recipe without the ingredient of that place."""
    kept = recipe.ingredients[:row] + recipe.ingredients[row + 1 :]
    return replace(recipe, ingredients=kept)


def with_ingredient(recipe: Recipe, row: int, one: Ingredient) -> Recipe:
    """Return the recipe with another ingredient in that place."""
    ingredients = (*recipe.ingredients[:row], one, *recipe.ingredients[row + 1 :])
    return replace(recipe, ingredients=ingredients)


def as_kind(one: Ingredient, key: str, kept: dict[str, object] | None = None) -> Ingredient:
    """Return an ingredient of another kind, with the figures that this has too.

    `kept` holds what the kinds before had, and takes this one's: who goes through the kinds and
    back finds everything again.
    """
    kind = KINDS[key]
    held: dict[str, Any] = {} if kept is None else kept
    held |= {each.name: getattr(one, each.name) for each in fields_of(one)}
    return kind(**{each.name: held[each.name] for each in fields_of(kind) if each.name in held})


def read_recipe(
    recipe: Recipe, row: int, texts: Mapping[str, str], currency: str, measures: Measures
) -> tuple[Recipe, dict[str, BadInput]]:
    """Return a recipe with what is typed in the fields, and what is no good there, by its key.

    A figure that is no good stays as it was.
    """
    faults: dict[str, BadInput] = {}

    def read(figures: Iterable[Figure]) -> dict[str, Any]:
        values: dict[str, Any] = {}
        for figure in figures:
            label, text = _label(figure, currency), texts[figure.key].strip()
            try:
                typed = f"{read_amount(text, label, measures):f}" if text else None
                values[figure.key] = checked_amount(figure, typed, label)
            except BadInput as error:
                faults[figure.key] = error
        return values

    if row >= 0:
        one = recipe.ingredients[row]
        values: dict[str, Any] = {NAME: texts[NAME].strip()}
        if isinstance(one, Volume):
            values[MATERIAL] = texts[MATERIAL]
        recipe = with_ingredient(recipe, row, replace(one, **values, **read(one.FIGURES)))
    return replace(recipe, **read(TIME)), faults
