"""Materials that things are made of, with their published densities.

To add one, add it to :data:`MATERIALS` with the source of its density.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

_FILAMENT = "SpoolmanDB, materials.json, as makers of filament state it"
_TOOLBOX = "The Engineering ToolBox, densities of materials for rotating bodies"
_CALLISTER = "Callister, Materials Science and Engineering, appendix B, table B.1"
_MEMORY = "from memory"


@dataclass(frozen=True, slots=True)
class Material:
    """One material."""

    key: str
    """As a recipe's file names it."""
    name: str
    density: Decimal
    """Of the solid, in g/cm³."""
    source: str
    """Of the density."""


MATERIALS: tuple[Material, ...] = (
    Material("pla", "PLA", Decimal("1.24"), _FILAMENT),
    Material("petg", "PETG", Decimal("1.27"), _FILAMENT),
    Material("abs", "ABS", Decimal("1.04"), _FILAMENT),
    Material("asa", "ASA", Decimal("1.05"), _FILAMENT),
    Material("tpu", "TPU", Decimal("1.21"), _FILAMENT),
    Material("pc-abs", "PC/ABS blend", Decimal("1.19"), _FILAMENT),
    Material("pom", "POM (acetal)", Decimal("1.40"), _FILAMENT),
    Material("pp", "Polypropylene", Decimal("0.90"), _FILAMENT),
    # the filament list says 1.52 for nylon, which is that of the glass-filled one
    Material("nylon", "Nylon, unfilled", Decimal("1.14"), f"{_CALLISTER} (nylon 6,6), {_MEMORY}"),
    Material("pc", "Polycarbonate", Decimal("1.20"), f"{_CALLISTER}, {_MEMORY}"),
    Material("epoxy", "Epoxy, hardened", Decimal("1.15"), _MEMORY),
    Material("carbon-epoxy", "Carbon fibre in epoxy", Decimal("1.55"), _TOOLBOX),
    Material("glass-epoxy", "Glass fibre in epoxy", Decimal("1.90"), _TOOLBOX),
    Material("aluminium", "Aluminium alloy", Decimal("2.70"), _TOOLBOX),
    Material("steel", "Steel", Decimal("7.85"), _CALLISTER),
    Material("stainless", "Stainless steel", Decimal("8.00"), f"{_CALLISTER} (304)"),
    Material("brass", "Brass", Decimal("8.53"), f"{_CALLISTER} (cartridge brass), {_MEMORY}"),
    Material("birch-plywood", "Birch plywood", Decimal("0.70"), _TOOLBOX),
    Material("balsa", "Balsa", Decimal("0.16"), _MEMORY),
    Material("xps-foam", "Extruded polystyrene foam", Decimal("0.035"), _MEMORY),
    Material("epp-foam", "Expanded polypropylene foam", Decimal("0.030"), _MEMORY),
)

BY_KEY = {material.key: material for material in MATERIALS}
