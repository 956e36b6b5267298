"""Theme: the colours that hold now, type by role, signs and icons.

Everything that paints asks here, at paint time, so that a change shows at once.
"""

from __future__ import annotations

import weakref
from functools import cache, lru_cache
from typing import TYPE_CHECKING

from PySide6.QtCore import (
    QByteArray,
    QCoreApplication,
    QEvent,
    QObject,
    QPointF,
    QRectF,
    QSize,
    Qt,
    Signal,
)
from PySide6.QtGui import (
    QColor,
    QFont,
    QFontDatabase,
    QFontMetricsF,
    QGuiApplication,
    QPaintEngine,
    QPainter,
    QPixmap,
    QStaticText,
)

from pennyspeed.desktop.widgets.colours import BRIGHT as BRIGHT
from pennyspeed.desktop.widgets.colours import DARK as DARK
from pennyspeed.desktop.widgets.colours import DARKNESS as DARKNESS
from pennyspeed.desktop.widgets.colours import LIGHT as LIGHT
from pennyspeed.desktop.widgets.colours import THEMES as THEMES
from pennyspeed.desktop.widgets.colours import Theme as Theme
from pennyspeed.desktop.widgets.colours import palette as palette
from pennyspeed.domain.checks import SIGN_WORDS as SIGN_WORDS
from pennyspeed.domain.checks import Level
from pennyspeed.resources import path as resource_path

if TYPE_CHECKING:
    from PySide6.QtSvg import QSvgRenderer

FAMILY = "Barlow"
SYSTEM = "system"
CHOICES = (SYSTEM, BRIGHT, DARKNESS)
TEXT_PERCENTS = (100, 125, 150, 175, 200)


class ThemeKeeper(QObject):
    """Holds the person's choice of theme and text size, and follows the system where asked.

    Attributes
    ----------
    choice : str
        One of :data:`CHOICES`.
    text_percent : int
        One of :data:`TEXT_PERCENTS`; every measure of the window grows with it.
    """

    changed = Signal()

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.choice = SYSTEM
        self.text_percent = 100
        self.theme = LIGHT
        hints = QGuiApplication.styleHints()
        self._system = hints.colorScheme()
        _lengths.clear()
        hints.colorSchemeChanged.connect(self._scheme_changed)
        self._apply(announce=False)

    def choose(self, choice: str) -> None:
        """Take 'system', 'light' or 'dark'; ValueError on anything else."""
        if choice not in CHOICES:
            raise ValueError(f"theme {choice!r}: expected one of {', '.join(CHOICES)}")
        self.choice = choice
        self._apply()

    def choose_text(self, percent: int) -> None:
        """Take a text size in percent; ValueError where it is none of :data:`TEXT_PERCENTS`."""
        if percent not in TEXT_PERCENTS:
            expected = ", ".join(str(one) for one in TEXT_PERCENTS)
            raise ValueError(f"text size {percent}: expected one of {expected}")
        if percent != self.text_percent:
            self.text_percent = percent
            _lengths.clear()
            self._apply()
            self.changed.emit()

    def _scheme_changed(self, scheme: Qt.ColorScheme) -> None:
        self._system = scheme
        self._apply()

    def _apply(self, announce: bool = True) -> None:
        """Dress the application; tell only where the theme is another one."""
        dark = self.choice == DARKNESS or (
            self.choice == SYSTEM and self._system is Qt.ColorScheme.Dark
        )
        theme = DARK if dark else LIGHT
        other = theme is not self.theme
        self.theme = theme
        app = QGuiApplication.instance()
        if isinstance(app, QGuiApplication):
            app.setPalette(palette(theme))
            app.setFont(_font("body", self.text_percent))
            # Now, not with the next events: whoever chooses finds every size as it has to be.
            for kind in (QEvent.Type.ApplicationPaletteChange, QEvent.Type.ApplicationFontChange):
                QCoreApplication.sendPostedEvents(None, kind.value)
        if other and announce:
            self.changed.emit()


_lengths: dict[float, int] = {}
"""What :func:`px` has answered at the text size that holds: asked hundreds of times a repaint."""

_keeper: weakref.ref[ThemeKeeper] | None = None


def keeper() -> ThemeKeeper:
    """Return the application's one keeper, made at the first call."""
    global _keeper
    found = _keeper() if _keeper is not None else None
    if found is None:
        load_fonts()
        found = ThemeKeeper(QGuiApplication.instance())
        _keeper = weakref.ref(found)
    return found


def current() -> Theme:
    """Return the theme that holds now."""
    return keeper().theme


def px(length: float) -> int:
    """Return a length of the 100 % layout in whole pixels at the text size that holds."""
    found = _lengths.get(length)
    if found is None:
        found = _lengths[length] = scaled(length, keeper().text_percent)
    return found


def scaled(length: float, percent: int) -> int:
    """Return a length grown to `percent`, at least one pixel unless it is 0."""
    return max(1, round(length * percent / 100)) if length > 0 else round(length * percent / 100)


# Type ---------------------------------------------------------------------------------------

SIZES: dict[str, tuple[int, int]] = {
    "speed": (96, 600),
    "money": (40, 600),
    "beside": (32, 600),
    "unit": (20, 600),
    "build": (18, 600),
    "heading": (16, 600),
    "view": (16, 400),
    "name": (14, 500),
    "name_chosen": (14, 600),
    "body": (14, 400),
    "figure": (14, 600),
    "figure_chosen": (14, 700),
    "gear": (15, 500),
    "gear_strong": (15, 700),
    "label": (13, 400),
    "label_strong": (13, 600),
    "small": (12, 400),
    "small_strong": (12, 500),
}
"""Pixels at 96 dpi and weight by role; 12 px, which is 9 pt, is the floor."""

_SPACING = {"speed": -3.0}


@cache
def load_fonts() -> str:
    """Load the shipped family and return its name; the system's own where that fails."""
    loaded = False
    for file in sorted(resource_path("fonts").glob("*.ttf")):
        loaded = QFontDatabase.addApplicationFont(str(file)) >= 0 or loaded
    return FAMILY if loaded else QFont().family()


def font(role: str) -> QFont:
    """Return the font of a role of :data:`SIZES` at the text size that holds; never change it."""
    return _font(role, keeper().text_percent)


@cache
def _font(role: str, percent: int) -> QFont:
    size, weight = SIZES[role]
    made = QFont(load_fonts())
    made.setPixelSize(scaled(size, percent))
    made.setWeight(QFont.Weight(weight))
    made.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    made.setFeature(QFont.Tag("tnum"), 1)
    if role in _SPACING:
        spacing = _SPACING[role] * percent / 100
        made.setLetterSpacing(QFont.SpacingType.AbsoluteSpacing, spacing)
    return made


def metrics(role: str) -> QFontMetricsF:
    """Return the measures of a role's font."""
    return _metrics(role, keeper().text_percent)


@cache
def _metrics(role: str, percent: int) -> QFontMetricsF:
    return QFontMetricsF(_font(role, percent))


LEFT, CENTRE, RIGHT = 0.0, 0.5, 1.0


class Words:
    """A short text laid out once and drawn often, on a rounded baseline.

    Attributes
    ----------
    width, ascent, height : float
        `ascent` from the top of its line to the baseline.
    """

    __slots__ = ("_font", "_static", "ascent", "height", "text", "width")

    def __init__(self, text: str, role: str = "label") -> None:
        measures = metrics(role)
        self.text = text
        self._font = font(role)
        self.width = measures.horizontalAdvance(text)
        self.ascent = float(round(measures.ascent()))
        self.height = float(round(measures.ascent() + measures.descent()))
        self._static = QStaticText(text)
        self._static.setTextFormat(Qt.TextFormat.PlainText)
        self._static.setPerformanceHint(QStaticText.PerformanceHint.AggressiveCaching)
        self._static.prepare(font=self._font)

    def left(self, x: float, align: float = LEFT) -> float:
        """Return where it starts when aligned on `x`."""
        return round(x - align * self.width)

    def box(self, x: float, baseline: float, align: float = LEFT) -> QRectF:
        """Return what it covers."""
        top = round(baseline) - self.ascent
        return QRectF(self.left(x, align), top, self.width, self.height)

    def draw(
        self, painter: QPainter, x: float, baseline: float, colour: QColor, align: float = LEFT
    ) -> None:
        """Draw it with its baseline at `baseline`, starting at, centred on or ending at `x`."""
        painter.setFont(self._font)
        painter.setPen(colour)
        where = QPointF(self.left(x, align), round(baseline) - self.ascent)
        painter.drawStaticText(where, self._static)


@lru_cache(maxsize=1024)
def _words(text: str, role: str, percent: int) -> Words:
    return Words(text, role)


def words(text: str, role: str = "label") -> Words:
    """Return :class:`Words`, kept for the next time."""
    return _words(text, role, keeper().text_percent)


# Signs and icons ----------------------------------------------------------------------------

SIGN_ICONS = {
    Level.STOP: "stop",
    Level.WARN: "watch",
    Level.UNKNOWN: "unknown",
    Level.OK: "fine",
}


def sign_colour(level: Level, theme: Theme) -> QColor:
    return {Level.STOP: theme.stop, Level.WARN: theme.watch}.get(level, theme.ink2)


def paint_sign(painter: QPainter, rect: QRectF, level: Level | str, theme: Theme) -> None:
    """Draw a level's sign, told apart by its shape: octagon, triangle, dashed circle or tick."""
    which = Level(level)
    device, engine = painter.device(), painter.paintEngine()
    if engine is not None and engine.type() == QPaintEngine.Type.SVG:
        _renderer(SIGN_ICONS[which], sign_colour(which, theme).name()).render(painter, rect)
        return
    ratio = device.devicePixelRatio() if device is not None else 1.0
    side = round(min(rect.width(), rect.height()))
    drawing = _icon(SIGN_ICONS[which], sign_colour(which, theme).name(), side, ratio)
    centre = rect.center()
    painter.drawPixmap(QPointF(round(centre.x() - side / 2), round(centre.y() - side / 2)), drawing)


def icon(name: str, colour: QColor, size: int, ratio: float | None = None) -> QPixmap:
    """Return the icon of that name in one colour, `size` logical pixels square.

    `ratio` is the device pixel ratio; the application's largest where none is given.
    """
    app = QGuiApplication.instance()
    if ratio is None:
        ratio = app.devicePixelRatio() if isinstance(app, QGuiApplication) else 1.0
    return _icon(name, colour.name(), size, ratio)


@lru_cache(maxsize=256)
def _icon(name: str, colour: str, size: int, ratio: float) -> QPixmap:
    drawing = QPixmap(QSize(round(size * ratio), round(size * ratio)))
    drawing.fill(Qt.GlobalColor.transparent)
    painter = QPainter(drawing)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    _renderer(name, colour).render(painter)
    painter.end()
    drawing.setDevicePixelRatio(ratio)
    return drawing


def _renderer(name: str, colour: str) -> QSvgRenderer:
    """Return what draws the icon of that name in one colour."""
    from PySide6.QtSvg import QSvgRenderer

    text = resource_path(f"icons/{name}.svg").read_text(encoding="utf-8")
    return QSvgRenderer(QByteArray(text.replace("currentColor", colour).encode()))
