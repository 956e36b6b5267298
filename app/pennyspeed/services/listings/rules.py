"""Rules: which figure of a part a quantity is, by its unit and the words around it.

To add a figure, give its kind a :class:`Rule`. Between `low` and `high` lies what a part of the
trade has (common practice, no source); what lies outside is left alone, and of a number that reads
two ways ("3.800") the reading inside is meant.
"""

from __future__ import annotations

from dataclasses import dataclass

LENGTHS = ("mm", "cm", "in")
MASSES = ("g", "kg", "oz", "lb")
TEETH_SIZES = ("pitch", "module")

_NO_LENGTH = frozenset(
    ("wire", "plug size", "screw", "width", "hex", "axle", "package", "shipping", "shaft length")
)
_NO_MASS = frozenset(("package", "shipping", "without", "each", "axle"))

# What turns a quantity of these units into one of something else.
STRANGE: dict[str, frozenset[str]] = {
    **dict.fromkeys(
        LENGTHS,
        _NO_LENGTH,
    ),
    **dict.fromkeys(MASSES, _NO_MASS),
    **dict.fromkeys(TEETH_SIZES, frozenset(("screw",))),
    "a": frozenset(("bec", "fan", "charger", "charge")),
    "v": frozenset(("bec", "fan", "charger", "charge", "nimh", "cell")),
    "c": frozenset(("charge", "charger", "hot")),
    "s": frozenset(("nimh", "charger")),
    "cells": frozenset(("nimh", "charger")),
    "rpm": frozenset(("no load", "at", "fan", "ran")),
    "kmh": frozenset(("ran",)),
    "mph": frozenset(("ran",)),
    "mohm": frozenset(("charger",)),
    "mah": frozenset(("charge", "charger")),
}


@dataclass(frozen=True, slots=True)
class Rule:
    """What makes a quantity a figure.

    Attributes
    ----------
    key : str
        Of the field.
    units : tuple of str
        Keys of units.
    low, high : float
        In the field's unit.
    needs : frozenset of str
        Meanings of which one must stand beside it; none need where this is empty.
    forbids : frozenset of str
        Meanings of which none may.
    is_last_resort : bool
        Holds only where no other rule found the figure.
    """

    key: str
    units: tuple[str, ...]
    low: float
    high: float
    needs: frozenset[str] = frozenset()
    forbids: frozenset[str] = frozenset()
    is_last_resort: bool = False


def _rule(
    key: str, units: str, low: float, high: float, needs: str = "", forbids: str = "",
    last: bool = False,
) -> Rule:  # fmt: skip
    needed, forbidden = (frozenset(filter(None, text.split(","))) for text in (needs, forbids))
    return Rule(key, tuple(units.split()), low, high, needed, forbidden, last)


_MM, _G = "mm cm in", "g kg oz lb"
_RATINGS = "continuous,burst,max,no load"

RULES: dict[str, tuple[Rule, ...]] = {
    "motor": (
        _rule("kv_rpm_per_v", "kv", 300, 30_000),
        _rule("max_rpm", "rpm", 5_000, 300_000, "max,rated"),
        _rule("no_load_current_a", "a", 0.05, 30, "no load"),
        _rule("continuous_current_a", "a", 2, 500, "continuous", "burst"),
        _rule("peak_current_a", "a", 2, 1_000, "burst,max", "continuous"),
        _rule("poles", "poles", 2, 24),
        _rule("resistance_mohm", "mohm ohm", 0.3, 500, "", "cell"),
        _rule("inductance_uh", "uh", 0.05, 2_000),
        _rule("shaft_mm", _MM, 1, 12, "shaft", "length"),
        _rule("length_mm", _MM, 15, 150, "length", "shaft,diameter"),
        _rule("can_mm", _MM, 10, 80, "diameter", "shaft,length,bore"),
        _rule("mass_g", _G, 10, 3_000),
    ),
    "controller": (
        _rule("continuous_current_a", "a", 3, 800, "continuous", "burst"),
        _rule("burst_current_a", "a", 5, 3_000, "burst", "continuous"),
        _rule("continuous_current_a", "a", 3, 800, "", "continuous,burst,max,at", last=True),
        _rule("max_electrical_rpm", "erpm", 30_000, 3_000_000),
        _rule("resistance_mohm", "mohm ohm", 0.02, 20),
        _rule("mass_g", _G, 5, 1_000),
    ),
    "pack": (
        _rule("capacity_mah", "mah ah", 100, 40_000),
        _rule("c_burst", "c", 5, 500, "burst", "continuous"),
        _rule("c_continuous", "c", 3, 300, "", "burst,max"),
        _rule("cell_resistance_mohm", "mohm ohm", 0.1, 60, "cell"),
        _rule("mass_g", _G, 10, 5_000),
    ),
    "pinion": (
        _rule("teeth", "teeth", 6, 70),
        _rule("module_mm", "pitch module", 0.15, 2.5),
        _rule("bore_mm", _MM, 1, 12, "bore,shaft", "length"),
        _rule("mass_g", _G, 0.5, 200),
    ),
    "spur": (
        _rule("teeth", "teeth", 20, 200),
        _rule("module_mm", "pitch module", 0.15, 2.5),
        _rule("mass_g", _G, 0.5, 500),
    ),
    "tyres": (
        _rule("diameter_mm", _MM, 30, 250, "diameter", "bore,shaft"),
        _rule("rated_kmh", "kmh mph", 20, 600, "max,rated"),
        _rule("mass_g", _G, 20, 3_000),
    ),
    "body": (
        _rule("drag_coefficient", "drag", 0.05, 2),
        _rule("frontal_area_cm2", "cm2 mm2", 20, 5_000),
        _rule("mass_g", _G, 10, 3_000),
    ),
    "chassis": (
        _rule("motor_can_mm", _MM, 10, 80, "motor", "length,shaft"),
        _rule("wheelbase_mm", _MM, 80, 800, "wheelbase"),
        _rule("internal_ratio", "ratio", 0.3, 15, "internal"),
        _rule("gear_module_mm", "pitch module", 0.15, 2.5),
        _rule("mass_g", _G, 100, 20_000),
    ),
    "extras": (_rule("mass_g", _G, 0.3, 2_000),),
}

CELLS: dict[str, tuple[str, int]] = {"controller": ("max_cells", 14), "pack": ("cells_series", 14)}
"""Kind to the field that counts cells in series, and the most of them."""

RATED_PAIRS = {
    ("motor", "a"): ("continuous_current_a", "peak_current_a"),
    ("controller", "a"): ("continuous_current_a", "burst_current_a"),
    ("pack", "c"): ("c_continuous", "c_burst"),
}
"""Kind and unit to the ratings that "100A/600A" states."""

CELL_VOLTS = 3.7
"""Nominal, of a lithium-polymer cell."""

# Outside diameters of motors of the trade [mm] (common practice, no source).
CAN_SIZES = frozenset((16, 20, 22, 24, 28, 29, 30, 36, 37, 40, 41, 42, 43, 45, 49, 50, 54, 56, 58))
