"""What goes into a thing that is made: printed, by area, by volume, or at a flat price.

Every kind declares its figures once; the form, the file and the arithmetic read that declaration.
Amounts are exact decimals. What is wasted costs money and is not in the car.

To add a kind:

1. write its class, with its ``KIND``, ``LABEL``, ``FIGURES``, ``mass`` and ``exact_cost``;
2. list it in :data:`KINDS`;
3. test it by hand-worked numbers in ``tests/domain/parts/test_recipes.py``.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, ClassVar

from pennyspeed.domain.parts.materials import BY_KEY as MATERIAL

_HUNDRED, _THOUSAND, _CM2_PER_M2 = Decimal(100), Decimal(1000), Decimal(10_000)
_MILLION = Decimal(1_000_000)


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of an ingredient."""

    key: str
    """Of the file, and of the ingredient's attribute."""
    label: str
    unit: str
    """As it is written behind the figure; "price" for an amount of money."""
    high: Decimal = _MILLION
    """The most that is taken for no slip; the least is 0."""
    default: Decimal | None = None
    """What stands where nothing is given; None is not known."""


_WASTE = Figure("waste_percent", "waste", "%", _THOUSAND, Decimal(0))
_PER_KG = Figure("price_per_kg", "price per kg", "price")


def _more(percent: Decimal) -> Decimal:
    return 1 + percent / _HUNDRED


@dataclass(frozen=True)
class Ingredient:
    """Base of every kind."""

    KIND: ClassVar[str]
    LABEL: ClassVar[str]
    FIGURES: ClassVar[tuple[Figure, ...]]

    name: str = ""
    unknown_keys: Mapping[str, Any] = field(default_factory=dict, kw_only=True)
    """What a file held beside our keys; written back as it was."""

    @property
    def called(self) -> str:
        """What a sentence calls it: its name, else its kind."""
        return self.name or self.LABEL

    @property
    def mass(self) -> Decimal | None:
        """What it adds to the car [g]; None where it is not known."""
        raise NotImplementedError

    def exact_cost(self) -> Decimal | None:
        """Return what it costs, not rounded; None where a figure is missing."""
        raise NotImplementedError


@dataclass(frozen=True)
class Printed(Ingredient):
    """Printed plastic, weighed or as the slicer says, with what is cut off and what fails.

    >>> shell = Printed("shell", mass_g=Decimal(120), price_per_kg=Decimal(25),
    ...                 waste_percent=Decimal(10), failed_percent=Decimal(50))
    >>> shell.bought_g, shell.exact_cost(), shell.mass
    (Decimal('198.00'), Decimal('4.95'), Decimal('120'))
    """

    KIND: ClassVar[str] = "printed"
    LABEL: ClassVar[str] = "Printed"
    FIGURES: ClassVar[tuple[Figure, ...]] = (
        Figure("mass_g", "mass of the finished print", "g"),
        _PER_KG,
        _WASTE,
        Figure("failed_percent", "failed prints", "%", _THOUSAND, Decimal(0)),
    )

    mass_g: Decimal | None = None
    price_per_kg: Decimal | None = None
    waste_percent: Decimal = Decimal(0)
    failed_percent: Decimal = Decimal(0)

    @property
    def bought_g(self) -> Decimal | None:
        """What is used up: mass × (1 + waste) × (1 + failed prints)."""
        if self.mass_g is None:
            return None
        return self.mass_g * _more(self.waste_percent) * _more(self.failed_percent)

    @property
    def mass(self) -> Decimal | None:
        return self.mass_g

    def exact_cost(self) -> Decimal | None:
        return _by_kg(self.bought_g, self.price_per_kg)


@dataclass(frozen=True)
class Area(Ingredient):
    """Cloth, sheet, film or a coat of resin, by its area.

    >>> cloth = Area("twill", area_cm2=Decimal(1800), price_per_m2=Decimal("21.50"),
    ...              mass_g_per_m2=Decimal(160), waste_percent=Decimal(25))
    >>> cloth.mass, cloth.exact_cost()
    (Decimal('28.8'), Decimal('4.8375'))
    """

    KIND: ClassVar[str] = "area"
    LABEL: ClassVar[str] = "By area"
    FIGURES: ClassVar[tuple[Figure, ...]] = (
        Figure("area_cm2", "area", "cm²"),
        Figure("price_per_m2", "price per m²", "price"),
        Figure("mass_g_per_m2", "mass per m²", "g/m²"),
        _WASTE,
    )

    area_cm2: Decimal | None = None
    price_per_m2: Decimal | None = None
    mass_g_per_m2: Decimal | None = None
    waste_percent: Decimal = Decimal(0)

    @property
    def mass(self) -> Decimal | None:
        if self.area_cm2 is None or self.mass_g_per_m2 is None:
            return None
        return self.area_cm2 * self.mass_g_per_m2 / _CM2_PER_M2

    def exact_cost(self) -> Decimal | None:
        if self.area_cm2 is None or self.price_per_m2 is None:
            return None
        return self.area_cm2 * _more(self.waste_percent) * self.price_per_m2 / _CM2_PER_M2


@dataclass(frozen=True)
class Volume(Ingredient):
    """A solid by its volume and the density of its material, or a density that is given.

    >>> block = Volume("nose", material="pla", volume_cm3=Decimal(100), price_per_kg=Decimal(20))
    >>> block.mass, block.exact_cost()
    (Decimal('124.00'), Decimal('2.48'))
    """

    KIND: ClassVar[str] = "volume"
    LABEL: ClassVar[str] = "By volume"
    FIGURES: ClassVar[tuple[Figure, ...]] = (
        Figure("volume_cm3", "volume", "cm³"),
        Figure("density_g_per_cm3", "density", "g/cm³", Decimal(30)),
        _PER_KG,
        _WASTE,
    )

    material: str = ""
    volume_cm3: Decimal | None = None
    density_g_per_cm3: Decimal | None = None
    price_per_kg: Decimal | None = None
    waste_percent: Decimal = Decimal(0)

    @property
    def density(self) -> Decimal | None:
        """The density that is given, else the material's [g/cm³]."""
        if self.density_g_per_cm3 is not None:
            return self.density_g_per_cm3
        known = MATERIAL.get(self.material)
        return None if known is None else known.density

    @property
    def mass(self) -> Decimal | None:
        if self.volume_cm3 is None or self.density is None:
            return None
        return self.volume_cm3 * self.density

    def exact_cost(self) -> Decimal | None:
        bought = None if self.mass is None else self.mass * _more(self.waste_percent)
        return _by_kg(bought, self.price_per_kg)


@dataclass(frozen=True)
class Flat(Ingredient):
    """Screws, paint, glue: so many at a price each, with what one adds to the car.

    >>> screws = Flat("M3 screw", quantity=Decimal(12), price_each=Decimal("0.08"),
    ...               mass_each_g=Decimal("0.9"))
    >>> screws.mass, screws.exact_cost()
    (Decimal('10.8'), Decimal('0.96'))
    """

    KIND: ClassVar[str] = "flat"
    LABEL: ClassVar[str] = "At a flat price"
    FIGURES: ClassVar[tuple[Figure, ...]] = (
        Figure("quantity", "quantity", "", default=Decimal(1)),
        Figure("price_each", "price each", "price"),
        Figure("mass_each_g", "mass each", "g"),
    )

    quantity: Decimal = Decimal(1)
    price_each: Decimal | None = None
    mass_each_g: Decimal | None = None

    @property
    def mass(self) -> Decimal | None:
        return None if self.mass_each_g is None else self.quantity * self.mass_each_g

    def exact_cost(self) -> Decimal | None:
        return None if self.price_each is None else self.quantity * self.price_each


def _by_kg(grams: Decimal | None, price_per_kg: Decimal | None) -> Decimal | None:
    if grams is None or price_per_kg is None:
        return None
    return grams * price_per_kg / _THOUSAND


KINDS: Mapping[str, type[Ingredient]] = {kind.KIND: kind for kind in (Printed, Area, Volume, Flat)}
"""Every kind of ingredient by the key that a file gives it."""
