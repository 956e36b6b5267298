"""Places: where keys do something of their own, in the order of the sheet of keys."""

from __future__ import annotations

from pennyspeed.desktop.beside import BESIDE
from pennyspeed.desktop.buildsheet import SHEET
from pennyspeed.desktop.car import SLOTS
from pennyspeed.desktop.charts.canvas import PLOT
from pennyspeed.desktop.gears import GEARS
from pennyspeed.desktop.imports import PREVIEW
from pennyspeed.desktop.margin import MARGIN
from pennyspeed.desktop.money import MONEY, MONEY_CELL, MONEY_FORM, QUESTION
from pennyspeed.desktop.parts import ESTIMATE, FORM, LISTING, MISSING, RECIPE
from pennyspeed.desktop.shelf import FIELD, FIGURE, SHELF
from pennyspeed.desktop.shopping import BASKET, CURRENCY, DAYS, LEFT_TO_BUY, SHOPS
from pennyspeed.desktop.topline import TOP
from pennyspeed.desktop.verdict import CHECKS, NARROWING
from pennyspeed.desktop.views import VIEW_NAMES
from pennyspeed.desktop.whatif import WHAT_IF

PLACES = (
    TOP, SLOTS, FIELD, SHELF, FIGURE, PLOT, VIEW_NAMES, WHAT_IF, MARGIN, GEARS, BESIDE, MONEY,
    MONEY_CELL, MONEY_FORM, QUESTION, CURRENCY, CHECKS, SHEET, DAYS, SHOPS, BASKET, LEFT_TO_BUY,
    RECIPE, PREVIEW, FORM, ESTIMATE, LISTING, MISSING, NARROWING,
)  # fmt: skip
