"""The toolbar: one row with the build, acts, tools and views, and at its end the way to paper."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QSize, Qt, QTimer
from PySide6.QtGui import QAction, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QSizePolicy, QToolBar, QToolButton, QWidget

from app.widgets.boxes import filled

GROUPS: tuple[tuple[str, ...], ...] = (
    ("new", "open", "save"),
    ("undo", "redo"),
    ("select tool", "node tool", "round tool", "region tool", "old hole tool", "symmetric"),
    ("face", "back", "both"),
    ("fit", "actual size", "grid", "snap"),
)
"""Keys of the actions on the toolbar, in groups; what goes to paper stands apart at its end."""

_ICON, _SMALL_ICON = 24, 18
"""Pixels of an icon, and of one in a narrow window."""

_GAPS, _ROUND_WORDS = 12, 30
"""Pixels between the parts of the bar, and round the words and the icon of a button."""


class Toolbar(QToolBar):
    """What does not fit goes into a menu behind an arrow; the way to paper stays in sight."""

    def __init__(self, made: dict[str, QAction], parent: QWidget) -> None:
        """`made` are all actions by their keys."""
        super().__init__(QCoreApplication.translate("Actions", "Toolbar"), parent)
        self.setObjectName("toolbar")
        self.setMovable(False)
        # Not in the middle of a layout: another one within it would leave buttons half hidden.
        self._settling = QTimer(self, singleShot=True, interval=0)
        self._settling.timeout.connect(self._settle)
        self._tools = self._inner(made)
        self._ends = {key: _button(made[key]) for key in ("search", "output")}
        self._whole = QWidget()
        row = QHBoxLayout(self._whole)
        filled(row, (self._tools, 1), *self._ends.values(), margins=(0, 0, 0, 0), spacing=2)
        self.addWidget(self._whole)
        self.set_narrow(narrow=False)

    def _inner(self, made: dict[str, QAction]) -> QToolBar:
        tools = QToolBar()
        tools.setProperty("inner", True)
        tools.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Preferred)
        for place, group in enumerate(GROUPS):
            if place:
                tools.addSeparator()
            for key in group:
                tools.addAction(made[key])
                _dress(tools.widgetForAction(made[key]), made[key])
        return tools

    def set_narrow(self, *, narrow: bool) -> None:
        """Smaller icons in a narrow window."""
        self._side = _SMALL_ICON if narrow else _ICON
        self._settling.start()

    def _settle(self) -> None:
        """Give the icons their size, and words to the way to paper where they push nothing behind the arrow."""
        self._tools.setIconSize(QSize(self._side, self._side))
        for button in self._ends.values():
            button.setIconSize(QSize(self._side, self._side))
        output, words = self._ends["output"], Qt.ToolButtonStyle.ToolButtonTextBesideIcon
        beside = self._tools.sizeHint().width() + self._ends["search"].sizeHint().width() + _GAPS
        whole = self._side + output.fontMetrics().horizontalAdvance(output.text()) + _ROUND_WORDS
        room = self.width() - beside - whole
        output.setToolButtonStyle(words if room >= 0 else Qt.ToolButtonStyle.ToolButtonIconOnly)
        self._mend_arrow()
        for part in (self._tools, self._whole, self):
            part.updateGeometry()

    def _mend_arrow(self) -> None:
        """Put away an arrow that Qt hid in the middle of showing it: it takes it for hidden, and it is seen."""
        arrow, layout = self._tools.findChild(QToolButton, "qt_toolbar_ext_button"), self._tools.layout()
        if isinstance(arrow, QToolButton) and layout is not None and arrow.isHidden() and arrow.isVisible():
            layout.setEnabled(False)
            arrow.show()
            layout.setEnabled(True)
            layout.invalidate()
            layout.setGeometry(self._tools.rect())

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Another width may have room for words."""
        super().resizeEvent(event)
        self._settling.start()


def _button(action: QAction) -> QToolButton:
    """A button like those of the bar, in a place of its own."""
    button = QToolButton()
    button.setDefaultAction(action)
    button.setAutoRaise(True)
    return _dress(button, action)


def _dress(button: QWidget | None, action: QAction) -> QToolButton:
    assert isinstance(button, QToolButton), "actions on a bar are buttons"
    button.setAccessibleName(action.text().replace("&", "").removesuffix("…"))
    # The menus hold the same actions; Tab would take twenty steps to cross the bar.
    button.setFocusPolicy(Qt.FocusPolicy.NoFocus)
    return button
