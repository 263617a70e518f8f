"""The row above the preview: which page, how large."""

from __future__ import annotations

from PySide6.QtCore import QSize, Signal
from PySide6.QtWidgets import QHBoxLayout, QToolButton, QVBoxLayout, QWidget

from app.output.preview import STEP, PagePreview
from app.widgets.boxes import filled
from app.widgets.kit import PlainLabel
from app.widgets.shades import shade_in
from app.widgets.theme import icon


class PreviewBar(QWidget):
    """Buttons to turn pages and to zoom, with the number of the page and the zoom between them.

    Signals:
        turned: -1 or 1, for the page before or after.
    """

    turned = Signal(int)

    def __init__(self, preview: PagePreview, *, tight: bool = False, parent: QWidget | None = None) -> None:
        """`tight`: in two rows, for a screen that has no room for one."""
        super().__init__(parent)
        self._preview = preview
        self.before = _arrow("‹", self.tr("Page before"), self.tr("The page before (Page up)"))
        self.after = _arrow("›", self.tr("Next page"), self.tr("The next page (Page down)"))
        self.number = PlainLabel()
        self.zoom = PlainLabel()
        further = self._zoom_button("further", self.tr("Smaller"), self.tr("Smaller (−)"))
        closer = self._zoom_button("closer", self.tr("Larger"), self.tr("Larger (+)"))
        whole = self._zoom_button("fit", self.tr("Whole page"), self.tr("The whole page (0)"))
        true = self._zoom_button("actual", self.tr("True size"), self.tr("As large as on paper (1)"))
        self.buttons = (self.before, self.after, further, closer, whole, true)
        turns, zooms = (self.before, self.number, self.after, None), (further, self.zoom, closer, whole, true)
        rows = (turns, zooms) if tight else ((*turns, *zooms),)
        lines = (filled(QHBoxLayout(), *parts, spacing=4) for parts in rows)
        filled(QVBoxLayout(self), *lines, margins=(8, 6, 8, 6), spacing=2)
        self.before.clicked.connect(lambda: self.turned.emit(-1))
        self.after.clicked.connect(lambda: self.turned.emit(1))
        further.clicked.connect(lambda: preview.zoom_by(1 / STEP))
        closer.clicked.connect(lambda: preview.zoom_by(STEP))
        whole.clicked.connect(preview.fit)
        true.clicked.connect(preview.true_size)
        preview.zoom_changed.connect(self._show_zoom)
        self._show_zoom()
        self.show_number(0, 0)

    def show_number(self, number: int, count: int) -> None:
        """Say which of how many pages is shown; 0 of 0 while there is none."""
        words = self.tr("Page {number} of {count}").format(number=number, count=count)
        self.number.setText(words if count else self.tr("No page"))
        self.before.setEnabled(number > 1)
        self.after.setEnabled(number < count)

    def _show_zoom(self) -> None:
        share = round(self._preview.zoom / self._preview.true_zoom * 100)
        self.zoom.setText(self.tr("{share} %").format(share=share))

    def _zoom_button(self, picture: str, name: str, tip: str) -> QToolButton:
        button = _button(name, tip)
        button.setIcon(icon(picture, shade_in(self.palette())))
        button.setIconSize(QSize(20, 20))
        return button


def _arrow(sign: str, name: str, tip: str) -> QToolButton:
    button = _button(name, tip)
    font = button.font()
    font.setPointSizeF(font.pointSizeF() * 1.5)
    button.setFont(font)
    button.setText(sign)
    return button


def _button(name: str, tip: str) -> QToolButton:
    button = QToolButton()
    button.setAutoRaise(True)
    button.setMinimumSize(28, 28)
    button.setAccessibleName(name)
    button.setToolTip(tip)
    return button
