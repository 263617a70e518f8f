"""Theme colours, type and icons of the window, light and dark; our own, with every contrast checked by a test."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import Literal

import msgspec
from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QGuiApplication, QIcon, QPainter, QPalette, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication, QStyleFactory

from app.document.settings import Theme

ICONS = Path(__file__).parents[1] / "resources" / "icons"

Shade = Literal["light", "dark"]


class Colours(msgspec.Struct, frozen=True):
    """Colours by what they are for, as #rrggbb.

    `ground` lies behind panels and bars, `paper` behind lists and fields, `raised` is a button. `muted` is for
    words that only help, `line` parts two areas, `edge` is the border of what can be used. `accent` marks the one
    thing that is chosen, `on_accent` are words on it, `tint` a weak wash of it; `hint` lies behind notices,
    `fault` tells what is wrong with what was typed.
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
)


def colours_of(shade: Shade) -> Colours:
    """The colours of a shade."""
    return DARK if shade == "dark" else LIGHT


def shade_in(palette: QPalette) -> Shade:
    """Whether a palette is light or dark."""
    return "dark" if palette.color(QPalette.ColorRole.Base).lightness() < 128 else "light"


def shade_of(theme: Theme) -> Shade:
    """Light or dark, asking the system when the theme follows it; a system that does not say counts as light."""
    if theme != "system":
        return theme
    dark = QGuiApplication.styleHints().colorScheme() == Qt.ColorScheme.Dark
    return "dark" if dark else "light"


def dress(application: QApplication, shade: Shade, font_scale: float) -> None:
    """Give the whole program one look: the same drawn widgets on every system, our palette, scaled type."""
    sheet, font = style_sheet(colours_of(shade)), _scaled(_system_font(), font_scale)
    if application.styleSheet() == sheet and application.font() == font:
        return  # every widget would be dressed anew, which takes a tenth of a second
    if not application.styleSheet():
        application.setStyle(QStyleFactory.create("Fusion"))
    application.setPalette(palette(colours_of(shade)))
    application.setFont(font)
    # Systems may give these a font of their own, which would not grow with the others.
    for kind in ("QDockWidget", "QMenu", "QMenuBar", "QToolTip", "QToolButton"):
        application.setFont(font, kind)  # type: ignore[arg-type] # it takes text, whatever its stubs say
    application.setStyleSheet(sheet)


@lru_cache(maxsize=1)
def _system_font() -> QFont:
    return QApplication.font()


def _scaled(font: QFont, scale: float) -> QFont:
    scaled = QFont(font)
    scaled.setPointSizeF(font.pointSizeF() * scale)
    return scaled


def palette(colours: Colours) -> QPalette:
    """The colours as Qt's widgets take them."""
    role = QPalette.ColorRole
    made = QPalette()
    for each, colour in (
        (role.Window, colours.ground),
        (role.WindowText, colours.text),
        (role.Base, colours.paper),
        (role.AlternateBase, colours.striped),
        (role.Text, colours.text),
        (role.Button, colours.raised),
        (role.ButtonText, colours.text),
        (role.BrightText, colours.text),
        (role.ToolTipBase, colours.paper),
        (role.ToolTipText, colours.text),
        (role.PlaceholderText, colours.muted),
        (role.Highlight, colours.accent),
        (role.HighlightedText, colours.on_accent),
        (role.Accent, colours.accent),
        (role.Link, colours.accent),
        (role.LinkVisited, colours.accent),
        (role.Light, colours.raised),
        (role.Midlight, colours.line),
        (role.Mid, colours.edge),
        (role.Dark, colours.edge),
        (role.Shadow, colours.edge),
    ):
        made.setColor(each, QColor(colour))
    for each in (role.WindowText, role.Text, role.ButtonText, role.HighlightedText):
        made.setColor(QPalette.ColorGroup.Disabled, each, QColor(colours.edge))
    made.setColor(QPalette.ColorGroup.Disabled, role.Highlight, QColor(colours.line))
    return made


def style_sheet(colours: Colours) -> str:
    """Spacing and borders of bars, docks and tool buttons, which a palette cannot say."""
    ending = "dark.svg" if colours is DARK else "light.svg"
    tick, close, undock, more = (
        (ICONS / f"{name}-{ending}").as_posix() for name in ("tick", "dock-close", "dock-float", "more")
    )
    return f"""
QMainWindow::separator {{ background: {colours.ground}; width: 5px; height: 5px; }}
QMainWindow::separator:hover {{ background: {colours.tint}; }}
QMenuBar {{ background: {colours.ground}; padding: 2px 6px; }}
QToolBar {{ background: {colours.ground}; border: 0; border-bottom: 1px solid {colours.line};
    padding: 3px 8px; spacing: 2px; }}
QToolBar[inner="true"] {{ border: 0; padding: 0; }}
QToolBar #qt_toolbar_ext_button {{ padding: 0; image: url({more}); }}
QToolBar::separator {{ background: {colours.line}; width: 1px; margin: 5px 7px; }}
QToolBar QToolButton, QToolButton[rail="true"] {{ background: transparent; border: 1px solid transparent;
    border-radius: 5px; padding: 5px; }}
QToolButton[rail="true"] {{ padding: 5px 4px; }}
QToolBar QToolButton:hover, QToolButton[rail="true"]:hover {{ background: {colours.raised}; }}
QToolBar QToolButton:checked, QToolButton[rail="true"]:checked {{ background: {colours.tint};
    border-color: {colours.accent}; }}
QToolBar QToolButton:focus, QToolButton[rail="true"]:focus {{ border-color: {colours.accent}; }}
QStatusBar {{ border-top: 1px solid {colours.line}; }}
QStatusBar::item {{ border: 0; }}
QDockWidget {{ titlebar-close-icon: url({close}); titlebar-normal-icon: url({undock}); }}
QDockWidget::title {{ background: {colours.ground}; padding: 7px 10px; }}
QCheckBox::indicator, QRadioButton::indicator {{ width: 14px; height: 14px; border: 1px solid {colours.edge};
    border-radius: 3px; background: {colours.paper}; }}
QRadioButton::indicator {{ border-radius: 8px; }}
QCheckBox::indicator:checked {{ background: {colours.accent}; border-color: {colours.accent}; image: url({tick}); }}
QRadioButton::indicator:checked {{ border: 5px solid {colours.accent}; width: 6px; height: 6px; }}
QCheckBox::indicator:focus, QRadioButton::indicator:focus {{ border: 2px solid {colours.accent}; }}
QCheckBox::indicator:disabled, QRadioButton::indicator:disabled {{ border-color: {colours.line}; }}
QToolTip {{ background: {colours.paper}; color: {colours.text}; border: 1px solid {colours.edge}; padding: 4px; }}
"""


# Icons


def icon(name: str, shade: Shade) -> QIcon:
    """One of our icons, drawn in the text colour of the shade; sharp on screens of any scale up to 3."""
    colours = colours_of(shade)
    return _icon(name, colours.text, colours.edge)


def image(name: str, colour: str, size: int, ratio: float) -> QPixmap:
    """An icon as a picture `size` pixels wide and high, on a screen with `ratio` dots a pixel."""
    source = (ICONS / f"{name.replace(' ', '-')}.svg").read_bytes().replace(b"currentColor", colour.encode())
    pixmap = QPixmap(round(size * ratio), round(size * ratio))
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    QSvgRenderer(QByteArray(source)).render(painter, QRectF(0, 0, pixmap.width(), pixmap.height()))
    painter.end()
    pixmap.setDevicePixelRatio(ratio)
    return pixmap


def _icon(name: str, colour: str, faded: str) -> QIcon:
    made = QIcon()
    ratio = max((screen.devicePixelRatio() for screen in QGuiApplication.screens()), default=1.0)
    for each in {1.0, ratio}:
        made.addPixmap(image(name, colour, 24, each), QIcon.Mode.Normal)
        made.addPixmap(image(name, faded, 24, each), QIcon.Mode.Disabled)
    return made
