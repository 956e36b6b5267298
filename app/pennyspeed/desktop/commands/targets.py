"""Targets: what the commands, menus and the find line act on."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtWidgets import QWidget

from pennyspeed.desktop.car.slots import SlotsPanel
from pennyspeed.desktop.commands.help import HelpPages
from pennyspeed.desktop.home_page import HomePage
from pennyspeed.desktop.imports.files import Files
from pennyspeed.desktop.navigator import Navigator
from pennyspeed.desktop.session import Session
from pennyspeed.desktop.session.preferences import Preferences
from pennyspeed.desktop.shelf.column_choices import ColumnChoices
from pennyspeed.desktop.shelf.part_editing import PartEditing
from pennyspeed.desktop.shopping.money_pages import MoneyPages
from pennyspeed.desktop.topline.top_line import TopLine
from pennyspeed.desktop.verdict.verdict import VerdictPanel


@dataclass(frozen=True, slots=True)
class Targets:
    """The objects of one window that commands act on, each known by its own methods."""

    window: QWidget
    session: Session
    preferences: Preferences
    navigator: Navigator
    home: HomePage
    top: TopLine
    slots: SlotsPanel
    verdict: VerdictPanel
    columns: ColumnChoices
    files: Files
    parts: PartEditing
    money: MoneyPages
    help: HelpPages
