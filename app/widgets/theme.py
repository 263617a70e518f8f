"""Colours, type and icons put on the whole program."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QColor, QFont, QGuiApplication, QIcon, QPainter, QPalette, QPixmap
from PySide6.QtSvg import QSvgRenderer
from PySide6.QtWidgets import QApplication, QStyleFactory

from app.document.collecting import nothing_collected
from app.widgets.shades import Colours, Shade, colours_of, has_contrast, is_dark

ICONS = Path(__file__).parents[1] / "resources" / "icons"


def dress(application: QApplication, shade: Shade, font_scale: float) -> None:
    """Give the whole program one look: the same drawn widgets on every system, our palette, scaled type."""
    sheet, font = style_sheet(shade), QFont(_system_font())
    font.setPointSizeF(font.pointSizeF() * font_scale)
    if application.styleSheet() == sheet and application.font() == font:
        return  # every widget would be dressed anew, which takes a tenth of a second
    with nothing_collected():
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


def palette(colours: Colours) -> QPalette:
    """The colours as Qt's widgets take them."""
    role = QPalette.ColorRole
    made = QPalette()
    for colour, roles in (
        (colours.ground, (role.Window,)),
        (colours.paper, (role.Base, role.ToolTipBase)),
        (colours.striped, (role.AlternateBase,)),
        (colours.raised, (role.Button, role.Light)),
        (colours.text, (role.WindowText, role.Text, role.ButtonText, role.BrightText, role.ToolTipText)),
        (colours.muted, (role.PlaceholderText,)),
        (colours.line, (role.Midlight,)),
        (colours.edge, (role.Mid, role.Dark, role.Shadow)),
        (colours.accent, (role.Highlight, role.Accent, role.Link, role.LinkVisited)),
        (colours.on_accent, (role.HighlightedText,)),
    ):
        for each in roles:
            made.setColor(each, QColor(colour))
    for each in (role.WindowText, role.Text, role.ButtonText, role.HighlightedText):
        made.setColor(QPalette.ColorGroup.Disabled, each, QColor(colours.faded))
    made.setColor(QPalette.ColorGroup.Disabled, role.Highlight, QColor(colours.line))
    return made


def style_sheet(shade: Shade) -> str:
    """Spacing and borders of bars, docks and tool buttons, which a palette cannot say."""
    colours = colours_of(shade)
    ending = "dark.svg" if is_dark(shade) else "light.svg"
    tick, close, undock, more = (
        (ICONS / f"{name}-{ending}").as_posix() for name in ("tick", "dock-close", "dock-float", "more")
    )
    # Qt draws the borders of fields darker than their ground, which in the dark cannot be seen.
    fields = _field_borders(colours) if shade != "light" else ""
    firm = _firm_borders(colours, (ICONS / f"down-{ending}").as_posix()) if has_contrast(shade) else ""
    return f"""{fields}{firm}
QMainWindow::separator {{ background: {colours.ground}; width: 5px; height: 5px; }}
QMainWindow::separator:hover {{ background: {colours.tint}; }}
QMenuBar {{ background: {colours.ground}; padding: 2px 6px; }}
QToolBar {{ background: {colours.ground}; border: 0; border-bottom: 1px solid {colours.line};
    padding: 2px; spacing: 2px; }}
QToolBar[inner="true"] {{ border: 0; padding: 0; }}
QToolBar #qt_toolbar_ext_button {{ padding: 0; image: url({more}); }}
QToolBar::separator {{ background: {colours.line}; width: 1px; margin: 5px 7px; }}
QToolBar QToolButton, QToolButton[rail="true"] {{ background: transparent; border: 1px solid transparent;
    border-radius: 5px; padding: 5px; }}
QToolButton[rail="true"] {{ padding: 5px 4px; }}
QToolBar QToolButton:hover, QToolButton[rail="true"]:hover {{ background: {colours.raised}; }}
QToolBar QToolButton:checked, QToolButton[rail="true"]:checked {{ background: {colours.tint};
    border-color: {colours.accent}; }}
QToolBar QToolButton:focus {{ border: 2px solid {colours.accent}; padding: 4px; }}
QToolButton[rail="true"]:focus {{ border: 2px solid {colours.accent}; padding: 4px 3px; }}
QStatusBar QToolButton {{ background: transparent; border: 2px solid transparent; border-radius: 4px;
    padding: 0 3px; }}
QStatusBar QToolButton:hover {{ background: {colours.raised}; }}
QStatusBar QToolButton:focus {{ border-color: {colours.accent}; }}
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
QRadioButton::indicator:checked:focus {{ border: 5px solid {colours.accent}; }}
QRadioButton:focus {{ color: {colours.accent}; }}
QCheckBox::indicator:disabled, QRadioButton::indicator:disabled {{ border-color: {colours.line}; }}
QTableView {{ gridline-color: {colours.line}; }}
QToolTip {{ background: {colours.paper}; color: {colours.text}; border: 1px solid {colours.edge}; padding: 4px; }}
"""


def _field_borders(colours: Colours) -> str:
    return f"""
QLineEdit, QPlainTextEdit {{ background: {colours.paper}; border: 1px solid {colours.edge}; border-radius: 2px;
    padding: 2px; }}
QLineEdit:focus, QPlainTextEdit:focus {{ border: 2px solid {colours.accent}; padding: 1px; }}
QLineEdit:disabled {{ border: 1px dashed {colours.faded}; color: {colours.faded}; }}
QComboBox QLineEdit, QComboBox QLineEdit:focus {{ border: 0; padding: 0; background: transparent; }}
"""


def _firm_borders(colours: Colours, arrow: str) -> str:
    """For high contrast: what can be used has a border, thick with the focus, broken where it cannot now."""
    return f"""
QPushButton, QComboBox, QToolButton {{ background: {colours.raised}; border: 1px solid {colours.edge};
    border-radius: 3px; padding: 3px 9px; }}
QPushButton, QComboBox {{ min-height: 1.2em; }}
QPushButton:default {{ border: 2px solid {colours.edge}; padding: 2px 8px; }}
QToolButton {{ padding: 3px 6px; }}
QToolButton[autoRaise="true"] {{ background: transparent; border: 1px solid transparent; padding: 1px; }}
QPushButton:focus, QComboBox:focus, QToolButton:focus {{ border: 2px solid {colours.accent}; padding: 2px 8px; }}
QToolButton:focus {{ padding: 2px 5px; }}
QToolButton[autoRaise="true"]:focus {{ padding: 0; }}
QPushButton:pressed, QPushButton:checked, QToolButton:pressed {{ background: {colours.tint}; }}
QPushButton:disabled, QComboBox:disabled, QToolButton:disabled {{ border: 1px dashed {colours.faded};
    color: {colours.faded}; }}
QPushButton:flat {{ border: 1px solid transparent; background: transparent; }}
QPushButton:flat:focus {{ border: 2px solid {colours.accent}; }}
QComboBox::drop-down {{ border: 0; width: 20px; }}
QComboBox::down-arrow {{ image: url({arrow}); width: 12px; height: 12px; }}
QComboBox QAbstractItemView {{ border: 1px solid {colours.edge}; }}
QMenu, QTableView, QTreeView {{ border: 1px solid {colours.edge}; }}
QTableView:focus, QTreeView:focus, QListView:focus {{ border: 2px solid {colours.accent}; }}
QProgressBar {{ background: {colours.paper}; border: 1px solid {colours.edge}; text-align: center; }}
QProgressBar::chunk {{ background: {colours.accent}; }}
QScrollBar {{ background: {colours.ground}; border: 1px solid {colours.line}; }}
QScrollBar:vertical {{ width: 14px; }}
QScrollBar:horizontal {{ height: 14px; }}
QScrollBar::handle {{ background: {colours.line}; border-radius: 2px; margin: 2px; }}
QScrollBar::handle:vertical {{ min-height: 24px; }}
QScrollBar::handle:horizontal {{ min-width: 24px; }}
QScrollBar::add-line, QScrollBar::sub-line {{ width: 0; height: 0; }}
"""


# Icons


def icon(name: str, shade: Shade) -> QIcon:
    """One of our icons, drawn in the text colour of the shade; sharp on screens of any scale up to 3."""
    colours, made = colours_of(shade), QIcon()
    ratio = max((screen.devicePixelRatio() for screen in QGuiApplication.screens()), default=1.0)
    for each in {1.0, ratio}:
        made.addPixmap(image(name, colours.text, 24, each), QIcon.Mode.Normal)
        made.addPixmap(image(name, colours.faded, 24, each), QIcon.Mode.Disabled)
    return made


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
