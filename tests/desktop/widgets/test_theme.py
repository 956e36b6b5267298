"""Theme: contrast, palettes, type, signs."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QRect, QRectF, Qt
from PySide6.QtGui import (
    QAction,
    QColor,
    QFontInfo,
    QGuiApplication,
    QImage,
    QPainter,
    QPalette,
)
from PySide6.QtWidgets import QApplication, QMenu

from pennyspeed.desktop.app import dress
from pennyspeed.desktop.session.settings import Settings
from pennyspeed.desktop.widgets import menu_style as menu_marks
from pennyspeed.desktop.widgets import theme as themes
from pennyspeed.desktop.widgets.theme import DARK, LIGHT, THEMES, Theme, palette
from pennyspeed.domain.checks import Level
from pennyspeed.domain.kinds import KINDS

GROUNDS = ("ground", "side", "tint")
TEXTS = ("ink", "ink2", "ink3", "accent", "stop", "watch")
LINES = ("line", "band_edge", "accent", "stop", "watch")


def luminance(colour: QColor) -> float:
    """Relative luminance (W3C, WCAG 2.2, 'relative luminance')."""

    def linear(value: float) -> float:
        return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(v) for v in (colour.redF(), colour.greenF(), colour.blueF()))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: QColor, other: QColor) -> float:
    """Contrast ratio (W3C, WCAG 2.2, 'contrast ratio')."""
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_what_the_standard_says() -> None:
    # WCAG 2.2: ratios range from 1 to 21; #767676 on white is the well-known grey at 4.54 (MEMORY).
    assert contrast(QColor("white"), QColor("black")) == pytest.approx(21.0)
    assert contrast(QColor("#767676"), QColor("white")) == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
@pytest.mark.parametrize("ground", GROUNDS)
def test_contrast_is_enough(theme: Theme, ground: str) -> None:
    # W3C, WCAG 2.2: 4.5:1 for text (1.4.3), 3:1 for graphical objects (1.4.11).
    behind = getattr(theme, ground)
    for role in TEXTS:
        assert contrast(getattr(theme, role), behind) >= 4.5, role
    for role in LINES:
        assert contrast(getattr(theme, role), behind) >= 3.0, role


def test_every_role_is_set_in_both_themes() -> None:
    assert LIGHT.roles().keys() == DARK.roles().keys()
    for role, colour in LIGHT.roles().items():
        assert colour.isValid(), role
        assert DARK.roles()[role].isValid(), role
        assert colour != DARK.roles()[role], role
    assert DARK.ground.lightness() < DARK.ink.lightness()
    assert LIGHT.ground.lightness() > LIGHT.ink.lightness()


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
def test_stock_widgets_can_be_read(theme: Theme, qapp: QGuiApplication) -> None:
    made = palette(theme)
    role = QPalette.ColorRole
    pairs = (
        (role.WindowText, role.Window),
        (role.Text, role.Base),
        (role.Text, role.AlternateBase),
        (role.PlaceholderText, role.Base),
        (role.ButtonText, role.Button),
        (role.ToolTipText, role.ToolTipBase),
        (role.HighlightedText, role.Highlight),
        (role.Link, role.Base),
        (role.LinkVisited, role.Base),
        (role.BrightText, role.Window),
    )
    for group in (QPalette.ColorGroup.Active, QPalette.ColorGroup.Inactive):
        for text, behind in pairs:
            assert contrast(made.color(group, text), made.color(group, behind)) >= 4.5, text
    grey = made.color(QPalette.ColorGroup.Disabled, role.Text)
    assert grey != made.color(QPalette.ColorGroup.Active, role.Text)
    unset = [r for r in role if r not in (role.NoRole, role.NColorRoles)]
    assert all(made.isBrushSet(QPalette.ColorGroup.Active, r) for r in unset)


def test_a_choice_dresses_the_application_once(keeper: themes.ThemeKeeper, qapp) -> None:
    told = []
    keeper.changed.connect(lambda: told.append(keeper.theme))
    keeper.choose(themes.DARKNESS)
    assert told == [DARK]
    assert qapp.palette().color(QPalette.ColorRole.Window) == DARK.ground
    keeper.choose(themes.DARKNESS)
    assert told == [DARK]
    assert themes.current() is DARK


def test_it_follows_the_system_only_where_asked(keeper: themes.ThemeKeeper, qapp) -> None:
    hints = QGuiApplication.styleHints()
    keeper.choose(themes.SYSTEM)
    hints.colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert keeper.theme is DARK
    keeper.choose(themes.BRIGHT)
    assert keeper.theme is LIGHT
    hints.colorSchemeChanged.emit(Qt.ColorScheme.Dark)
    assert keeper.theme is LIGHT
    keeper.choose(themes.SYSTEM)
    assert keeper.theme is DARK
    hints.colorSchemeChanged.emit(Qt.ColorScheme.Light)
    assert keeper.theme is LIGHT


def test_a_wrong_choice_is_refused(keeper: themes.ThemeKeeper) -> None:
    with pytest.raises(ValueError, match="sepia"):
        keeper.choose("sepia")
    with pytest.raises(ValueError, match="110"):
        keeper.choose_text(110)
    assert keeper.choice == themes.BRIGHT
    assert keeper.text_percent == 100


def test_nothing_is_smaller_than_nine_points(keeper: themes.ThemeKeeper) -> None:
    # 9 pt are 12 px at 96 dpi.
    for role in themes.SIZES:
        assert themes.font(role).pixelSize() >= 12, role


def test_text_grows_in_whole_pixels(keeper: themes.ThemeKeeper) -> None:
    told = []
    keeper.changed.connect(lambda: told.append(keeper.text_percent))
    before = themes.words("118 km/h", "body").width
    keeper.choose_text(200)
    assert told == [200]
    assert themes.font("body").pixelSize() == 28
    assert themes.px(1) == 2
    assert themes.words("118 km/h", "body").width == pytest.approx(2 * before, rel=0.02)
    keeper.choose_text(125)
    assert themes.px(1) == 1
    assert themes.font("body").pixelSize() == 18


def test_the_shipped_type_has_figures_of_one_width(keeper: themes.ThemeKeeper) -> None:
    assert QFontInfo(themes.font("body")).family() == "Barlow"
    for role in ("speed", "money", "figure", "label"):
        measures = themes.metrics(role)
        widths = {round(measures.horizontalAdvance(digit), 3) for digit in "0123456789"}
        assert len(widths) == 1, role
    weights = {
        round(themes.metrics(role).horizontalAdvance("hamburg"), 2)
        for role in ("body", "name", "figure", "figure_chosen")
    }
    assert len(weights) == 4


def test_words_stand_on_whole_pixels(keeper: themes.ThemeKeeper) -> None:
    text = themes.words("likely range", "label")
    box = text.box(10.4, 50.6, themes.RIGHT)
    assert box.top() == int(box.top())
    assert box.left() == int(box.left())
    assert box.right() == pytest.approx(10.4, abs=1.0)
    assert themes.words("likely range", "label") is text


def shape(level: Level) -> bytes:
    """Where a sign inks, its colour left out."""
    image = QImage(24, 24, QImage.Format.Format_ARGB32_Premultiplied)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    themes.paint_sign(painter, QRectF(0, 0, 24, 24), level, LIGHT)
    painter.end()
    return bytes(image.convertToFormat(QImage.Format.Format_Alpha8).constBits())


def test_signs_are_told_apart_by_shape(keeper: themes.ThemeKeeper) -> None:
    shapes = {level: shape(level) for level in Level}
    assert len(set(shapes.values())) == len(Level)
    for level, drawn in shapes.items():
        assert sum(1 for value in drawn if value > 128) > 20, level
    assert len(set(themes.SIGN_WORDS.values())) == len(Level)


@pytest.mark.parametrize("theme", THEMES, ids=lambda t: t.name)
def test_what_stops_and_what_is_to_be_watched_have_colours_of_their_own(
    theme: Theme, keeper: themes.ThemeKeeper
) -> None:
    for level, colour in ((Level.STOP, theme.stop), (Level.WARN, theme.watch)):
        image = QImage(24, 24, QImage.Format.Format_ARGB32_Premultiplied)
        image.fill(Qt.GlobalColor.transparent)
        painter = QPainter(image)
        themes.paint_sign(painter, QRectF(0, 0, 24, 24), level, theme)
        painter.end()
        inked = [one for one in colours(image) if one.alpha() == 255]
        assert inked, level
        assert all(abs(one.red() - colour.red()) < 3 for one in inked), level
        assert all(abs(one.green() - colour.green()) < 3 for one in inked), level


def test_every_kind_has_an_icon_in_the_colour_asked_for(keeper: themes.ThemeKeeper) -> None:
    colour = QColor("#0067A5")
    for kind in KINDS:
        image = themes.icon(kind.key, colour, 24, 2.0).toImage()
        assert image.width() == 48, kind.key
        inked = [
            image.pixelColor(x, y)
            for x in range(48)
            for y in range(48)
            if image.pixelColor(x, y).alpha() == 255
        ]
        assert inked, kind.key
        assert all(abs(c.red() - colour.red()) < 3 for c in inked), kind.key
    assert themes.icon("motor", colour, 24, 2.0) is themes.icon("motor", colour, 24, 2.0)


# Marks of menus ------------------------------------------------------------------------------


@pytest.fixture(params=[themes.BRIGHT, themes.DARKNESS])
def menu(request: pytest.FixtureRequest, qapp: QApplication) -> Iterator[QMenu]:
    """A menu with a box off and a box on."""
    dress(qapp, Settings(theme=request.param))
    made = QMenu()
    for text, is_on in (("off", False), ("on", True)):
        action = QAction(text, made)
        action.setCheckable(True)
        action.setChecked(is_on)
        made.addAction(action)
    menu_marks.dress(made)
    made.resize(made.sizeHint())
    yield made
    made.deleteLater()
    themes.keeper().choose(themes.SYSTEM)


def mark_of(menu: QMenu, action: QAction) -> QImage:
    """Return the picture of an entry's mark: what stands before its words."""
    image = menu.grab().toImage()
    place: QRect = menu.actionGeometry(action)
    return image.copy(place.x(), place.y(), themes.px(22), place.height())


def colours(image: QImage) -> list[QColor]:
    return [image.pixelColor(x, y) for x in range(image.width()) for y in range(image.height())]


def test_every_mark_stands_out_from_its_ground(menu: QMenu) -> None:
    # Three to one is what WCAG 2.2, success criterion 1.4.11, asks of the parts of a control.
    for action in menu.actions():
        seen = colours(mark_of(menu, action))
        ground = max({one.name() for one in seen}, key=[one.name() for one in seen].count)
        best = max(contrast(QColor(ground), one) for one in seen)
        assert best >= 3.0, (action.text(), best)


def test_on_and_off_differ_by_more_than_colour(menu: QMenu) -> None:
    off, on = (mark_of(menu, action) for action in menu.actions())

    def marked(image: QImage) -> int:
        seen = [one.name() for one in colours(image)]
        return len(seen) - seen.count(max(set(seen), key=seen.count))

    assert marked(on) > marked(off) > 0
