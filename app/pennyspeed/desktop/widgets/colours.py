"""Colours: what each role looks like in light and in dark, and the palette for stock widgets.

Contrast of each text role is at least 4.5:1 on the grounds it stands on, of lines and marks 3:1
(W3C, WCAG 2.2, 1.4.3 and 1.4.11); accent, stop and watch are the blue, vermilion and orange of
Okabe and Ito's palette, darkened or lightened until they pass as text.
"""

from __future__ import annotations

from dataclasses import dataclass, fields

from PySide6.QtGui import QColor, QPalette

BRIGHT, DARKNESS = "light", "dark"


@dataclass(frozen=True, slots=True)
class Theme:
    """Colours by role.

    Attributes
    ----------
    ground, side, tint : QColor
        Behind the centre; behind the outer columns and the top line; behind what is chosen.
    ink, ink2, ink3 : QColor
        Figures and names; labels and help; headers, ticks and what is greyed.
    line, rule : QColor
        Axes and leaders; the grid and parting lines, which carry no meaning.
    accent : QColor
        The car as it is now, and what is chosen.
    band, band2, band_edge : QColor
        The likely range, the same on a tinted row, and its edge.
    """

    name: str
    ground: QColor
    side: QColor
    tint: QColor
    ink: QColor
    ink2: QColor
    ink3: QColor
    line: QColor
    rule: QColor
    accent: QColor
    band: QColor
    band2: QColor
    band_edge: QColor
    stop: QColor
    watch: QColor

    @classmethod
    def of(cls, name: str, **roles: str) -> Theme:
        """Return a theme from hexadecimal colours."""
        return cls(name, **{role: QColor(text) for role, text in roles.items()})

    def roles(self) -> dict[str, QColor]:
        return {f.name: getattr(self, f.name) for f in fields(self) if f.name != "name"}


LIGHT = Theme.of(
    BRIGHT,
    ground="#F6F7F5",
    side="#EDEFEC",
    tint="#D9E8F2",
    ink="#14181B",
    ink2="#465057",
    ink3="#5B646A",
    line="#727B81",
    rule="#CDD2CF",
    accent="#0067A5",
    band="#D3E3EC",
    band2="#B4D1E3",
    band_edge="#587C93",
    stop="#A93B00",
    watch="#7A5400",
)
DARK = Theme.of(
    DARKNESS,
    ground="#15191C",
    side="#1C2125",
    tint="#1B3A4E",
    ink="#EEF1F1",
    ink2="#B4BDC2",
    ink3="#98A3A9",
    line="#76828A",
    rule="#384146",
    accent="#63BDF0",
    band="#21394A",
    band2="#2F5873",
    band_edge="#6A94AF",
    stop="#FF9457",
    watch="#EDB93A",
)
THEMES = (LIGHT, DARK)


def palette(theme: Theme) -> QPalette:
    """Return the palette that dresses every stock widget of the Fusion style."""
    role, group = QPalette.ColorRole, QPalette.ColorGroup
    colours = {
        role.Window: theme.ground,
        role.WindowText: theme.ink,
        role.Base: theme.ground,
        role.AlternateBase: theme.side,
        role.ToolTipBase: theme.side,
        role.ToolTipText: theme.ink,
        role.PlaceholderText: theme.ink3,
        role.Text: theme.ink,
        role.Button: theme.side,
        role.ButtonText: theme.ink,
        role.BrightText: theme.stop,
        role.Light: theme.ground,
        role.Midlight: theme.side,
        role.Mid: theme.line,
        role.Dark: theme.line,
        role.Shadow: theme.ink3,
        role.Highlight: theme.accent,
        role.HighlightedText: theme.ground,
        role.Accent: theme.accent,
        role.Link: theme.accent,
        role.LinkVisited: theme.ink2,
    }
    made = QPalette()
    for which, colour in colours.items():
        made.setColor(which, colour)
    for which in (role.WindowText, role.Text, role.ButtonText, role.PlaceholderText):
        made.setColor(group.Disabled, which, theme.ink3)
    made.setColor(group.Disabled, role.Highlight, theme.rule)
    made.setColor(group.Disabled, role.HighlightedText, theme.ink3)
    return made
