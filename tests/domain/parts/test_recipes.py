"""Recipes: money and mass of what is made, by hand-worked numbers and published densities."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from pennyspeed.domain.errors import BadInput
from pennyspeed.domain.money.money import Money
from pennyspeed.domain.parts.ingredients import KINDS, Area, Flat, Ingredient, Printed, Volume
from pennyspeed.domain.parts.materials import BY_KEY, MATERIALS
from pennyspeed.domain.parts.parts import Part
from pennyspeed.domain.parts.provenance import Provenance
from pennyspeed.domain.parts.recipes import (
    MADE_HERE,
    TIME,
    Recipe,
    recipe_document,
    recipe_from_document,
    with_recipe,
)

D = Decimal
TODAY = date(2027, 3, 1)


@pytest.mark.parametrize(
    ("key", "density"),
    [
        # SpoolmanDB, materials.json (an open list of filaments), read
        ("pla", "1.24"),
        ("abs", "1.04"),
        ("petg", "1.27"),
        ("asa", "1.05"),
        ("tpu", "1.21"),
        ("pc-abs", "1.19"),
        ("pom", "1.4"),
        ("pp", "0.9"),
        # The Engineering ToolBox, rotating bodies, read
        ("glass-epoxy", "1.90"),
        ("carbon-epoxy", "1.55"),
        ("aluminium", "2.70"),
        ("birch-plywood", "0.70"),
        # Callister, Materials Science and Engineering, table B.1, read
        ("steel", "7.85"),
        ("stainless", "8.00"),
    ],
)
def test_densities_are_the_published_ones(key: str, density: str) -> None:
    assert BY_KEY[key].density == D(density)


def test_unfilled_nylon_is_not_taken_for_the_glass_filled_one() -> None:
    # 1.0 to 1.15 g/cm³ unfilled; lists of filaments that say 1.52 mean the filled one
    assert D("1.0") <= BY_KEY["nylon"].density <= D("1.15")


def test_every_density_names_its_source_or_says_from_memory() -> None:
    assert all(material.source for material in MATERIALS)
    assert len(BY_KEY) == len(MATERIALS)


@pytest.mark.parametrize(
    ("material", "volume", "mass"),
    [
        ("pla", 10 * 5 * 2, "124.0"),  # a block of 100 x 50 x 20 mm
        ("petg", 10 * 5 * 2, "127.0"),
        ("glass-epoxy", D("30") * 12 * D("0.1"), "68.4"),  # a plate of 300 x 120 x 1 mm
    ],
)
def test_volume_times_density_is_mass(material: str, volume: Any, mass: str) -> None:
    assert Volume("x", material=material, volume_cm3=D(volume)).mass == D(mass)


def test_a_spool_weighs_what_its_length_says() -> None:
    # 1 kg of 1.75 mm PLA is 335.28 m: pi/4 x 0.175² cm² x 33528 cm x 1.24 g/cm³
    volume = D("3.141592653589793") / 4 * D("0.175") ** 2 * 33528
    mass = Volume("spool", material="pla", volume_cm3=volume).mass
    assert mass is not None
    assert abs(mass - 1000) < D("0.02")


def test_a_density_of_ones_own_goes_before_the_material_s() -> None:
    block = Volume("x", material="pla", volume_cm3=D(10), density_g_per_cm3=D("0.5"))
    assert block.mass == D(5)
    assert Volume("x", volume_cm3=D(10)).mass is None


def test_waste_costs_and_is_not_in_the_car() -> None:
    # 200 g, a tenth cut off, one print in four thrown away: 200 x 1.1 x 1.25 = 275 g at 24 a kg
    shell = Printed("shell", D(200), D(24), D(10), D(25))
    assert shell.bought_g == D(275)
    assert shell.exact_cost() == D("6.6")
    assert shell.mass == D(200)
    # half a square metre of 200 g cloth, a fifth of it offcuts, at 18 a m²
    cloth = Area(
        "cloth", area_cm2=D(5000), price_per_m2=D(18), mass_g_per_m2=D(200), waste_percent=D(20)
    )
    assert cloth.mass == D(100)
    assert cloth.exact_cost() == D("10.8")


def test_parts_of_a_cent_are_rounded_once() -> None:
    # three times 0.335: 1.005, which is 1.01; not three times 0.34
    pin = Flat("pin", price_each=D("0.335"))
    assert Recipe((pin, pin, pin)).cost("EUR") == Money(101, "EUR")
    assert Recipe((pin, pin, pin)).cost("KWD") == Money(1005, "KWD")
    assert Recipe((pin, pin, pin)).cost("JPY") == Money(1, "JPY")


def test_hours_cost_only_where_an_hour_has_a_price() -> None:
    recipe = Recipe((Flat("glue", price_each=D(4)),), hours=D("2.5"))
    assert recipe.cost("EUR") == Money(400, "EUR")
    assert replace(recipe, hourly=D(10)).cost("EUR") == Money(2900, "EUR")


def test_what_is_not_known_is_not_taken_for_nothing() -> None:
    recipe = Recipe((Flat("paint", mass_each_g=D(8)), Printed("shell", price_per_kg=D(20))))
    assert (recipe.cost("EUR"), recipe.mass_g) == (None, None)
    assert recipe.unpriced == ("paint", "shell")
    assert recipe.unweighed == ("shell",)
    assert (Recipe().cost("EUR"), Recipe().mass_g) == (None, None)


def _shell() -> Recipe:
    return Recipe((Printed("shell", mass_g=D("130.5"), price_per_kg=D(20)),))


def test_a_recipe_gives_the_part_its_price_and_mass() -> None:
    part = with_recipe(Part("body", "Long tail"), _shell(), "EUR", TODAY)
    assert part.recipe == _shell()
    assert part.price is not None
    assert (part.price.amount, part.price.on) == (Money(261, "EUR"), TODAY)
    assert part.price.supplier == MADE_HERE
    assert part.figure("mass_g") == 130.5
    assert part.provenance_of("mass_g") is Provenance.ESTIMATED


def test_a_measured_mass_stays_and_a_guessed_one_does_not() -> None:
    weighed = Part("body", "Long tail", {"mass_g": 141.0}, {"mass_g": Provenance.MEASURED})
    assert with_recipe(weighed, _shell(), "EUR", TODAY).figure("mass_g") == 141.0
    guessed = Part("body", "Long tail", {"mass_g": 141.0}, {"mass_g": Provenance.GUESSED})
    assert with_recipe(guessed, _shell(), "EUR", TODAY).figure("mass_g") == 130.5


def test_a_cost_that_is_not_known_leaves_no_price() -> None:
    part = with_recipe(Part("body", "Long tail"), _shell(), "EUR", TODAY)
    unpriced = with_recipe(part, Recipe((Flat("paint", mass_each_g=D(8)),)), "EUR", TODAY)
    assert unpriced.price is None
    assert unpriced.figure("mass_g") == 8


amounts = st.decimals(0, 1000, places=3)
texts = st.text(st.characters(blacklist_categories=("Cs",)), max_size=20)


def _ingredients(kind: type[Ingredient]) -> st.SearchStrategy[Ingredient]:
    figures = {
        figure.key: st.decimals(0, min(figure.high, D(1000)), places=3)
        if figure.default is not None
        else st.none() | st.decimals(0, min(figure.high, D(1000)), places=3)
        for figure in kind.FIGURES
    }
    if kind is Volume:
        figures["material"] = st.sampled_from(["", *BY_KEY])  # type: ignore[assignment]
    return st.builds(kind, name=texts, **figures)


recipes = st.builds(
    Recipe,
    st.lists(st.one_of(*map(_ingredients, KINDS.values())), max_size=6).map(tuple),
    amounts,
    st.none() | amounts,
)


@given(recipes)
def test_a_recipe_comes_back_from_its_file(recipe: Recipe) -> None:
    document = json.loads(json.dumps(recipe_document(recipe)))
    assert recipe_from_document(document, "recipe") == recipe


@given(recipes)
def test_the_cost_is_that_of_exact_fractions(recipe: Recipe) -> None:
    cost = recipe.cost("EUR")
    parts = [each.exact_cost() for each in recipe.ingredients]
    if not parts or None in parts:
        assert cost is None
        return
    exact = sum((_fraction(each) for each in recipe.ingredients), Fraction(0))
    exact += Fraction(recipe.hours) * Fraction(recipe.hourly or 0)
    assert cost == Money(int(exact * 100 + Fraction(1, 2)), "EUR")


@given(recipes, st.sampled_from(["EUR", "JPY", "KWD"]))
def test_what_each_ingredient_costs_adds_up_to_the_whole(recipe: Recipe, currency: str) -> None:
    cost, shares = recipe.cost(currency), recipe.shares(currency)
    if cost is None:
        assert shares is None
        return
    assert shares is not None
    assert len(shares) == len(recipe.ingredients) + 1
    assert sum(shares) == cost.minor


def _fraction(each: Ingredient) -> Fraction:
    """Work an ingredient's cost out a second time, from the words of the definition."""
    held = {figure.key: Fraction(getattr(each, figure.key) or 0) for figure in each.FIGURES}
    waste = 1 + held.get("waste_percent", Fraction(0)) / 100
    if isinstance(each, Printed):
        failed = 1 + held["failed_percent"] / 100
        return held["mass_g"] * waste * failed * held["price_per_kg"] / 1000
    if isinstance(each, Area):
        return held["area_cm2"] / 10_000 * held["price_per_m2"] * waste
    if isinstance(each, Volume):
        density = each.density_g_per_cm3
        if density is None:
            density = BY_KEY[each.material].density
        return held["volume_cm3"] * Fraction(density) * held["price_per_kg"] / 1000 * waste
    return held["quantity"] * held["price_each"]


def test_keys_of_strangers_are_kept_where_they_stood() -> None:
    document = {
        "ingredients": [{"kind": "flat", "name": "pin", "price_each": "2", "shelf": 4}],
        "hours": "1.5",
        "mood": "sunny",
    }
    assert recipe_document(recipe_from_document(document, "recipe")) == document


@pytest.mark.parametrize(
    ("data", "place"),
    [
        ([], "recipe"),
        ({"ingredients": {}}, "recipe.ingredients"),
        ({"ingredients": [3]}, "recipe.ingredients[0]"),
        ({"ingredients": [{"kind": "stone"}]}, "recipe.ingredients[0].kind"),
        ({"ingredients": [{"kind": ["flat"]}]}, "recipe.ingredients[0].kind"),
        ({"ingredients": [{"kind": "flat", "name": 3}]}, "recipe.ingredients[0].name"),
        ({"ingredients": [{"kind": "flat", "quantity": 2.5}]}, "recipe.ingredients[0].quantity"),
        ({"ingredients": [{"kind": "flat", "quantity": "-1"}]}, "recipe.ingredients[0].quantity"),
        (
            {"ingredients": [{"kind": "printed", "waste_percent": "1001"}]},
            "recipe.ingredients[0].waste_percent",
        ),
        (
            {"ingredients": [{"kind": "volume", "material": "cheese"}]},
            "recipe.ingredients[0].material",
        ),
        ({"hours": "NaN"}, "recipe.hours"),
        ({"hourly": "1e3"}, "recipe.hourly"),
    ],
)
def test_what_is_wrong_is_named_with_its_path(data: object, place: str) -> None:
    with pytest.raises(BadInput) as caught:
        recipe_from_document(data, place="recipe")
    assert caught.value.place == place
    assert "expected" in str(caught.value)


def test_every_kind_declares_the_figures_that_it_has() -> None:
    for kind in KINDS.values():
        blank = kind("x")
        assert [getattr(blank, figure.key) for figure in kind.FIGURES] == [
            figure.default for figure in kind.FIGURES
        ]
    assert [getattr(Recipe(), figure.key) for figure in TIME] == [f.default for f in TIME]
