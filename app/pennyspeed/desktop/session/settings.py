"""Settings: what a person chose about the window, kept in one small JSON file.

They are comfort, never data: a file that cannot be read or written costs no more than the choice.
"""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass, field, fields, replace
from pathlib import Path

from PySide6.QtCore import QByteArray, QIODevice, QLocale, QSaveFile, QStandardPaths

from pennyspeed.desktop.widgets import theme
from pennyspeed.domain.measures import LENGTH_UNITS, MASS_UNITS, SPEED_UNITS, Measures, unit_named
from pennyspeed.domain.money.money import DEFAULT_CURRENCY


@dataclass(frozen=True, slots=True)
class Settings:
    """One person's choices.

    Attributes
    ----------
    theme : str
        One of :data:`pennyspeed.desktop.widgets.theme.CHOICES`.
    text_percent : int
        One of :data:`pennyspeed.desktop.widgets.theme.TEXT_PERCENTS`.
    speed_unit, length_unit, mass_unit : str
        Symbols of :mod:`pennyspeed.domain.measures`.
    plot_share : float
        Of the centre's height that the plot takes; the shelf has the rest.
    view : str
        Key of the view above the shelf; one that there is not stands for the first.
    show_archived : bool
        Whether the shelf shows archived parts.
    geometry : str
        The window's place and size, as Qt packs it, in base 64.
    recent_files, recent_imports : tuple of str
        Data files that were open, and build and parts files that were read or written, newest
        first.
    columns : dict
        By kind of part: the column that sorts the shelf, whether largest first, and the columns
        that are hidden.
    """

    theme: str = theme.SYSTEM
    text_percent: int = 100
    speed_unit: str = SPEED_UNITS[0].symbol
    length_unit: str = LENGTH_UNITS[0].symbol
    mass_unit: str = MASS_UNITS[0].symbol
    plot_share: float = 0.5
    view: str = "road"
    show_archived: bool = False
    geometry: str = ""
    recent_files: tuple[str, ...] = ()
    recent_imports: tuple[str, ...] = ()
    columns: dict[str, dict[str, object]] = field(default_factory=dict)

    def with_choice(self, **choices: object) -> Settings:
        """Return the settings with some choices changed; what is none of ours is left out."""
        good = {key: value for key, value in choices.items() if _fits(key, value)}
        for key in _LISTS & set(good):
            good[key] = tuple(good[key])[:MOST_RECENT]  # type: ignore[arg-type]
        return replace(self, **good)  # type: ignore[arg-type]

    def with_recent(self, key: str, path: Path) -> Settings:
        """Return the settings with a file at the head of one of the lists of recent ones."""
        name = str(path.absolute())
        others = [one for one in getattr(self, key) if one != name]
        return self.with_choice(**{key: (name, *others)})


_CHOICES: dict[str, tuple[object, ...]] = {
    "theme": theme.CHOICES,
    "text_percent": theme.TEXT_PERCENTS,
    "speed_unit": tuple(unit.symbol for unit in SPEED_UNITS),
    "length_unit": tuple(unit.symbol for unit in LENGTH_UNITS),
    "mass_unit": tuple(unit.symbol for unit in MASS_UNITS),
}
_KINDS = {one.name: type(one.default) for one in fields(Settings)}
_LISTS = {"recent_files", "recent_imports"}
MOST_RECENT = 8


def _fits(key: str, value: object) -> bool:
    if key in _CHOICES:
        return value in _CHOICES[key]
    if key == "plot_share":
        return isinstance(value, int | float) and 0.1 <= value <= 0.9
    if key in _LISTS:
        return isinstance(value, list | tuple) and all(isinstance(one, str) for one in value)
    if key == "columns":
        return isinstance(value, dict) and all(isinstance(one, dict) for one in value.values())
    return key in _KINDS and isinstance(value, _KINDS[key])


def default_path() -> Path:
    """Return where this person's settings are kept."""
    folder = QStandardPaths.writableLocation(QStandardPaths.StandardLocation.AppConfigLocation)
    return Path(folder) / "settings.json"


def load(path: Path) -> Settings:
    """Return the settings of a file; what is missing or damaged takes its default."""
    try:
        data = json.loads(path.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return Settings()
    return Settings().with_choice(**data) if isinstance(data, dict) else Settings()


def save(settings: Settings, path: Path) -> bool:
    """Write the settings, all or nothing; tell whether that went well."""
    path.parent.mkdir(parents=True, exist_ok=True)
    file = QSaveFile(str(path))
    if not file.open(QIODevice.OpenModeFlag.WriteOnly):
        return False
    file.write(QByteArray(json.dumps(asdict(settings), indent=1).encode()))
    return file.commit()


def of_region(where: QLocale) -> tuple[dict[str, str], str]:
    """Return the units and the currency that are usual where a person lives.

    >>> of_region(QLocale("en_GB"))
    ({'speed_unit': 'mph', 'length_unit': 'mm', 'mass_unit': 'g'}, 'GBP')
    """
    system = where.measurementSystem()
    metric, american = QLocale.MeasurementSystem.MetricSystem, QLocale.MeasurementSystem
    units = {
        "speed_unit": SPEED_UNITS[system != metric].symbol,
        "length_unit": LENGTH_UNITS[system == american.ImperialUSSystem].symbol,
        "mass_unit": MASS_UNITS[system == american.ImperialUSSystem].symbol,
    }
    code = where.currencySymbol(QLocale.CurrencySymbolFormat.CurrencyIsoCode)
    return units, code or DEFAULT_CURRENCY


_NARROW_SPACES = dict.fromkeys(map(ord, "\u202f\u2009\u00a0"), "\u00a0")


def measures(settings: Settings, locale: QLocale | None = None) -> Measures:
    """Return how figures are written: units as chosen, marks as the person's locale has them."""
    where = QLocale.system() if locale is None else locale
    return Measures(
        unit_named(settings.speed_unit),
        unit_named(settings.length_unit),
        unit_named(settings.mass_unit),
        where.decimalPoint(),
        where.groupSeparator().translate(_NARROW_SPACES),
        _day_order(where.dateFormat(QLocale.FormatType.ShortFormat)),
    )


def _day_order(form: str) -> str:
    """Return the order of day, month and year in a day that is all figures, else "".

    >>> _day_order("dd.MM.yy"), _day_order("d MMM yyyy")
    ('dmy', '')
    """
    letters = "".join(dict.fromkeys(letter for letter in form.lower() if letter in "dmy"))
    return letters if len(letters) == 3 and "MMM" not in form else ""
