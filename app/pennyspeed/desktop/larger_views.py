"""Larger views: those that take the shelf's place too, imported ahead of being chosen first."""

from pennyspeed.desktop.beside.beside import BesidePanel
from pennyspeed.desktop.buildsheet.sheet_panel import SheetPanel
from pennyspeed.desktop.gears.gears_view import GearsView
from pennyspeed.desktop.money.money_panel import MoneyPanel

__all__ = ["BesidePanel", "GearsView", "MoneyPanel", "SheetPanel"]
