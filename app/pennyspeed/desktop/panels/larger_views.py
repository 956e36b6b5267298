"""Larger views: those that take the shelf's place too, imported ahead of being chosen first."""

from pennyspeed.desktop.panels.beside import BesidePanel
from pennyspeed.desktop.panels.gears_view import GearsView
from pennyspeed.desktop.panels.money import MoneyPanel
from pennyspeed.desktop.panels.sheet_panel import SheetPanel

__all__ = ["BesidePanel", "GearsView", "MoneyPanel", "SheetPanel"]
