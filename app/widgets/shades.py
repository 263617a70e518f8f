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


LIGHT = Colours(
    ground="#f3f4f5",
    paper="#ffffff",
    striped="#f8f9f9",
    raised="#e6e9ea",
    text="#1d2429",
    muted="#59636a",
    line="#d3d7d9",
    edge="#7f898f",
    accent="#005b96",
    on_accent="#ffffff",
    tint="#d9e6ef",
    hint="#fbf3dc",
    fault="#b3261e",
    faded="#7f898f",
)
DARK = Colours(
    ground="#22272a",
    paper="#181c1e",
    striped="#1d2124",
    raised="#33393d",
    text="#eceff0",
    muted="#abb4b9",
    line="#3c4347",
    edge="#869096",
    accent="#6bc0f2",
    on_accent="#0d1c26",
    tint="#27404f",
    hint="#3a3523",
    fault="#ff9a7a",
    faded="#869096",
)
LIGHT_CONTRAST = Colours(
    ground="#ffffff",
    paper="#fffffe",
    striped="#f4f4f4",
    raised="#f4f4f4",
    text="#000000",
    muted="#303030",
    line="#6a6a6a",
    edge="#000000",
    accent="#00408a",
    on_accent="#ffffff",
    tint="#e2edf9",
    hint="#fff3b8",
    fault="#860000",
    faded="#484848",
)
DARK_CONTRAST = Colours(
    ground="#000000",
    paper="#010101",
    striped="#161616",
    raised="#1c1c1c",
    text="#ffffff",
    muted="#dedede",
    line="#8c8c8c",
    edge="#ffffff",
    accent="#8fd3ff",
    on_accent="#000000",
    tint="#0c2c44",
    hint="#332b00",
    fault="#ffb8a6",
    faded="#c0c0c0",
)
"""With high contrast: words stand out by 7 to 1 from whatever they lie on (WCAG 2.2, 1.4.6)."""

_COLOURS: dict[Shade, Colours] = {
    "light": LIGHT,
    "dark": DARK,
    "light contrast": LIGHT_CONTRAST,
    "dark contrast": DARK_CONTRAST,
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
