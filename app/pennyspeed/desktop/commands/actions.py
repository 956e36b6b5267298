"""Actions: everything that can be done, each one row with its words, its keys and what it does.

To add one: a row in :data:`MENUS`, where its menu is to have it, and its key in :data:`SHOWING`
where it changes nothing. It then stands in the menu, on the sheet of keys and in the find line;
where a place's hints are to say it, name it there with
:func:`pennyspeed.desktop.widgets.keys.command`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt
from PySide6.QtGui import QKeySequence

from pennyspeed.desktop.charts import Canvas
from pennyspeed.desktop.view_list import VIEWS
from pennyspeed.desktop.widgets import theme
from pennyspeed.domain.measures import LENGTH_UNITS, MASS_UNITS, SPEED_UNITS
from pennyspeed.domain.units import Unit

if TYPE_CHECKING:
    from pennyspeed.desktop.commands.targets import Targets

Standard = QKeySequence.StandardKey


@dataclass(frozen=True, slots=True)
class Command:
    """One thing that can be done.

    Attributes
    ----------
    shortcuts : tuple
        Keys, the first of which the hints say.
    act : callable
        Does it, with what the window has.
    """

    key: str
    text: str
    shortcuts: tuple[str | Standard, ...]
    act: Callable[[Targets], object]


@dataclass(frozen=True, slots=True)
class Choice:
    """A setting of which one value holds; its options are the words and the value of each."""

    key: str
    options: tuple[tuple[str, object], ...]


@dataclass(frozen=True, slots=True)
class Toggle:
    """A setting that holds or does not."""

    key: str
    text: str
    shortcuts: tuple[str | Standard, ...]
    setting: str


@dataclass(frozen=True, slots=True)
class Submenu:
    """A menu in a menu; without entries one that is filled as files are opened."""

    title: str
    entries: tuple[Entry, ...] = ()
    recent: str = ""


SEPARATOR = None
Entry = Command | Choice | Toggle | Submenu | None


def _units(key: str, units: Sequence[Unit]) -> Choice:
    return Choice(key, tuple((unit.symbol, unit.symbol) for unit in units))


def _view(place: int, key: str, title: str, help: str) -> Command:
    words = f"{title}: {help[0].lower()}{help[1:]}"
    digit = (str(place),) if place < 10 else ()
    return Command(f"view_{key}", words, digit, lambda to: to.navigator.turn_to_view(key))


def _write(what: str) -> Command:
    words = f"Write the {what} to a table…"
    return Command(f"write_{what}", words, (), lambda to: to.money.ask_and_write(what))


def _turn_sheet(to: Targets) -> None:
    if to.session.bench.build is not None:
        to.navigator.turn("sheet")


def _turn_margin(to: Targets) -> None:
    is_road = to.navigator.is_home and to.home.stack.key == "road"
    if not is_road:
        to.navigator.choose_view("road")
        to.home.show_margin()
    else:
        to.home.turn_margin()


def _save_plot(to: Targets) -> None:
    from pennyspeed.desktop.charts.saving import ask_and_save

    plots = [one for one in to.navigator.current.findChildren(Canvas) if one.isVisible()]
    if plots and plots[0].has_curve:
        ask_and_save(plots[0])


MENUS: dict[str, tuple[Entry, ...]] = {
    "File": (
        Command("open", "Open another data file…", ("Ctrl+Shift+O",),
                lambda to: to.files.ask_and_open()),
        Command("begin", "Begin a new data file…", ("Ctrl+Alt+N",),
                lambda to: to.files.ask_and_begin()),
        Submenu("Recent data files", recent="recent_files"),
        SEPARATOR,
        Command("bring", "Bring in a build or parts…", (Standard.Open,),
                lambda to: to.files.ask_and_bring()),
        Submenu("Recent builds and parts", recent="recent_imports"),
        Command("take", "Write this build to a file…", ("Ctrl+E", Standard.SaveAs),
                lambda to: to.files.ask_and_take()),
        SEPARATOR,
        Command("sheet", "Sheet to print or save", (Standard.Print, "Ctrl+P"),
                _turn_sheet),
        SEPARATOR,
        Command("quit", "Close the window", (Standard.Quit, "Ctrl+Q"),
                lambda to: to.window.close()),
    ),
    "Build": (
        Command("builds", "Show another build", ("Ctrl+B",),
                lambda to: to.top.builds_wanted.emit()),
        Command("new", "New build", (Standard.New,), lambda to: to.top.new_build()),
        Command("copy", "Copy this build", ("Ctrl+D",), lambda to: to.top.copy_build()),
        Command("rename", "Rename this build", ("F2",), lambda to: to.top.name.edit()),
        Command("hold", "Hold the car beside, with what is tried", ("Ctrl+Shift+H",),
                lambda to: to.session.comparison.hold_tried()),
        Command("delete", "Delete this build", ("Ctrl+Shift+Del",),
                lambda to: to.session.builds.delete()),
    ),
    "Edit": (
        Command("undo", "Undo", (Standard.Undo,), lambda to: to.session.undo_stack.undo()),
        Command("redo", "Redo", (Standard.Redo, "Ctrl+Shift+Z", "Ctrl+Y"),
                lambda to: to.session.undo_stack.redo()),
    ),
    "Part": (
        Command("narrow", "Narrow the shelf", ("/", Standard.Find),
                lambda to: to.home.go_to_field()),
        Command("take_out", "Take out of the slot", (),
                lambda to: to.session.builds.take_out(to.session.bench.slot)),
        Command("paste", "Paste a listing", (Standard.Paste,), lambda to: to.parts.paste()),
        Command("new_part", "New part", ("Ctrl+Shift+N",), lambda to: to.parts.new_part()),
        Command("edit_part", "Edit part", ("Ctrl+Shift+E",), lambda to: to.parts.edit_part()),
        Command("work_out", "Work out missing figures of all parts", (),
                lambda to: to.session.missing_figures.work_out()),
        Command("work_out_again", "Work out figures of all parts again", (),
                lambda to: to.session.missing_figures.work_out(anew=True)),
        Command("edit_figure", "Edit a figure in its row", ("F3",),
                lambda to: to.parts.edit_figure()),
        SEPARATOR,
        Command("columns", "Choose the columns…", ("Ctrl+Shift+C",),
                lambda to: to.columns.menu_wanted.emit()),
        Command("sort", "Sort by the next column", ("Ctrl+Right",),
                lambda to: to.home.shelf.sort_onward()),
        Command("turn", "Sort the other way round", ("Ctrl+R",),
                lambda to: to.home.shelf.turn_round()),
        Command("fitting", "Hide what does not fit", ("Ctrl+G",),
                lambda to: to.home.shelf.turn_fitting()),
        Command("pairing", "With every part beside it", ("Ctrl+T",),
                lambda to: to.home.shelf.turn_pairing()),
    ),
    "Money": (
        Command("days", "Days: what is open, soonest first", ("Ctrl+Alt+D",),
                lambda to: to.money.show_days()),
        Command("offers", "Offers for the part, and shops", ("Ctrl+Alt+O",),
                lambda to: to.money.show_shops()),
        Command("basket", "Cheapest together", ("Ctrl+Alt+B",), lambda to: to.money.show_basket()),
        Command("left", "What could I still buy", ("Ctrl+Alt+L",),
                lambda to: to.money.show_left()),
        Command("recipe", "How the part is made…", ("Ctrl+Alt+M",),
                lambda to: to.parts.edit_recipe()),
        SEPARATOR,
        Command("look", "Look at a table and bring it in…", ("Ctrl+Alt+I",),
                lambda to: to.money.ask_and_look()),
        Command("rates", "Bring in exchange rates…", (),
                lambda to: to.money.ask_and_bring_rates()),
        Command("currency", "Currency of this build…", (),
                lambda to: to.session.builds.currency_wanted.emit(None)),
        *(_write(what) for what in ("parts", "offers", "lines")),
        Command("write_days", "Write the days to a calendar file…", (),
                lambda to: to.money.write_days()),
    ),
    "View": (
        *(_view(place, view.key, view.title, view.help) for place, view in enumerate(VIEWS, 1)),
        Command("what_if", "What if: a tenth more, other roads", ("F4",),
                lambda to: to.home.ask_what_if()),
        Command("margin", "Margin on this road: what a late lift does", ("F6",), _turn_margin),
        Command("save_plot", "Save the plot…", ("Ctrl+Alt+S",),
                _save_plot),
        SEPARATOR,
        Choice("theme", (("As the system has it", theme.SYSTEM), ("Light", theme.BRIGHT),
                         ("Dark", theme.DARKNESS))),
        SEPARATOR,
        Submenu("Text size", (
            Choice("text_percent", tuple((f"{one} %", one) for one in theme.TEXT_PERCENTS)),
        )),
        Command("larger", "Larger text", (Standard.ZoomIn, "Ctrl+="),
                lambda to: to.preferences.size_text(1)),
        Command("smaller", "Smaller text", (Standard.ZoomOut,),
                lambda to: to.preferences.size_text(-1)),
        SEPARATOR,
        Command("taller", "Taller plot", ("Ctrl+Alt+Down",), lambda to: to.home.share(1)),
        Command("lower", "Taller shelf", ("Ctrl+Alt+Up",), lambda to: to.home.share(-1)),
        Toggle("archived", "Show archived parts", ("Ctrl+H",), "show_archived"),
    ),
    "Units": (
        _units("speed_unit", SPEED_UNITS),
        SEPARATOR,
        _units("length_unit", LENGTH_UNITS),
        SEPARATOR,
        _units("mass_unit", MASS_UNITS),
        SEPARATOR,
    ),
    "Help": (
        Command("find", "Find anything", ("Ctrl+K",), lambda to: to.help.find_anything()),
        Command("keys", "All keys", (Standard.HelpContents, "F1"), lambda to: to.help.turn_keys()),
        Command("cautions", "Cautions", ("Shift+F1",), lambda to: to.help.show_cautions()),
    ),
}  # fmt: skip
"""By the title of the menu that has them."""

SHOWING = {
    *("builds", "narrow", "new_part", "edit_part", "edit_figure", "recipe", "find", "keys"),
    *("days", "offers", "basket", "left", "sheet", "what_if", "margin", "cautions", "columns"),
    "currency",
    *(f"view_{view.key}" for view in VIEWS),
}
"""Commands that only show something; every other one is a deed, which Find lists last."""


COMMANDS: dict[str, Command | Toggle] = {
    entry.key: entry
    for entries in MENUS.values()
    for entry in entries
    if isinstance(entry, Command | Toggle)
}


def sequences(shortcuts: tuple[str | Standard, ...]) -> list[QKeySequence]:
    """Return key sequences, each once; a standard key as the system at hand has it, if it has it.

    >>> [one.toString() for one in sequences(("Ctrl+K", "Ctrl+K"))]
    ['Ctrl+K']
    """
    found: list[QKeySequence] = []
    for one in shortcuts:
        bound = [QKeySequence(one)] if isinstance(one, str) else QKeySequence.keyBindings(one)
        found += [sequence for sequence in bound if sequence not in found]
    return found


def is_plain(sequence: QKeySequence) -> bool:
    """Tell whether every keyboard can press it; few have a key that is called Undo or Open.

    >>> is_plain(QKeySequence("Ctrl+Z")), is_plain(QKeySequence("Undo"))
    (True, False)
    """
    key = sequence[0].key()  # type: ignore[index]
    return bool(key <= Qt.Key.Key_F35 and key != Qt.Key.Key_Backspace)
