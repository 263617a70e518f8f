"""The colours of the window by what they are for: light, dark, and each with high contrast."""

from __future__ import annotations

from typing import Literal

import msgspec
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QGuiApplication, QPalette

from app.document.settings import Theme

Shade = Literal["light", "dark", "light contrast", "dark contrast"]


class Colours(msgspec.Struct, frozen=True):
    """Colours by what they are for, as #rrggbb.

    `ground` lies behind panels and bars, `paper` behind lists and fields, `raised` is a button. `muted` is for
    words that only help, `line` parts two areas, `edge` is the border of what can be used, `faded` are words of what
    cannot be used now. `accent` marks the one thing that is chosen, `on_accent` are words on it, `tint` a weak wash of
    it; `hint` lies behind notices, `fault` tells what is wrong with what was typed.
    """

    ground: str
    paper: str
    striped: str
    raised: str
    text: str
    muted: str
    line: str
    edge: str
    accent: str
    on_accent: str
    tint: str
    hint: str
    fault: str
    faded: str


_SHADES: tuple[Shade, ...] = ("light", "dark", "light contrast", "dark contrast")
_TABLE = (
    ("ground", "#f3f4f5", "#22272a", "#ffffff", "#000000"),
    ("paper", "#ffffff", "#181c1e", "#fffffe", "#010101"),
    ("striped", "#f8f9f9", "#1d2124", "#f4f4f4", "#161616"),
    ("raised", "#e6e9ea", "#33393d", "#f4f4f4", "#1c1c1c"),
    ("text", "#1d2429", "#eceff0", "#000000", "#ffffff"),
    ("muted", "#59636a", "#abb4b9", "#303030", "#dedede"),
    ("line", "#d3d7d9", "#3c4347", "#6a6a6a", "#8c8c8c"),
    ("edge", "#7f898f", "#869096", "#000000", "#ffffff"),
    ("accent", "#005b96", "#6bc0f2", "#00408a", "#8fd3ff"),
    ("on_accent", "#ffffff", "#0d1c26", "#ffffff", "#000000"),
    ("tint", "#d9e6ef", "#27404f", "#e2edf9", "#0c2c44"),
    ("hint", "#fbf3dc", "#3a3523", "#fff3b8", "#332b00"),
    ("fault", "#b3261e", "#ff9a7a", "#860000", "#ffb8a6"),
    ("faded", "#7f898f", "#869096", "#484848", "#c0c0c0"),
)
"""By its purpose, each colour in the order of the shades.

With high contrast words stand out by 7 to 1 from whatever they lie on (WCAG 2.2, 1.4.6).
"""

_COLOURS: dict[Shade, Colours] = {
    shade: Colours(**{name: colours[place] for name, *colours in _TABLE})
    for place, shade in enumerate(_SHADES)
}


def colours_of(shade: Shade) -> Colours:
    """The colours of a shade."""
    return _COLOURS[shade]


def is_dark(shade: Shade) -> bool:
    """Whether light words lie on a dark ground."""
    return shade in ("dark", "dark contrast")


def has_contrast(shade: Shade) -> bool:
    """Whether the shade is one of high contrast."""
    return shade in ("light contrast", "dark contrast")


def shade_in(palette: QPalette) -> Shade:
    """The shade that a palette was made from; light or dark of one that is not ours."""
    ground, paper = (palette.color(each) for each in (QPalette.ColorRole.Window, QPalette.ColorRole.Base))
    for shade, colours in _COLOURS.items():
        if (ground, paper) == (QColor(colours.ground), QColor(colours.paper)):
            return shade
    return "dark" if paper.lightness() < 128 else "light"


def shade_of(theme: Theme) -> Shade:
    """The shade of a theme, asking the desktop where the theme follows it; one that does not say counts as light."""
    if theme in ("light", "dark"):
        return "dark" if theme == "dark" else "light"
    dark = QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
    if theme == "contrast" or contrast_wanted():
        return "dark contrast" if dark else "light contrast"
    return "dark" if dark else "light"


def contrast_wanted() -> bool:
    """Whether the desktop asks for high contrast; Qt knows from 6.10 on."""
    hints = QGuiApplication.styleHints()
    if not hasattr(hints, "accessibility"):
        return False
    return hints.accessibility().contrastPreference() == Qt.ContrastPreference.HighContrast
