"""Views: everything that the row above the shelf names, in the order of the digit keys."""

from __future__ import annotations

from pennyspeed.desktop.beside import VIEW as BESIDE
from pennyspeed.desktop.charts import CHARTS, View
from pennyspeed.desktop.gears import VIEW as GEARS
from pennyspeed.desktop.money import VIEW as MONEY
from pennyspeed.desktop.navigator import PageDeclaration

LARGER_VIEWS = (GEARS, BESIDE, MONEY)
"""Those that take the shelf's place too."""

VIEWS: tuple[View | PageDeclaration, ...] = (*CHARTS, *LARGER_VIEWS)
