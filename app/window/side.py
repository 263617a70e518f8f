"""The panels at the side: a narrow column of buttons and the panel that is chosen, made when it is first wanted."""

from __future__ import annotations

from collections.abc import Mapping

from PySide6.QtCore import QCoreApplication, QSize, Qt, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import (
    QButtonGroup,
    QFrame,
    QHBoxLayout,
    QScrollArea,
    QSizePolicy,
    QStackedWidget,
    QToolButton,
    QVBoxLayout,
    QWidget,
)

from app.document.live_rings import LiveRings
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.panel import Panel
from app.widgets.boxes import filled
from app.widgets.kit import rail_button
from app.widgets.shades import Shade
from app.widgets.theme import icon
from geometry.trade.units import Units

PANELS = ("head", "strings", "tuners", "keep clear", "selected", "refit", "best", "missed", "bench")
"""Names of the panels, from the top."""

_ICON, _SMALL_ICON = 24, 20  # pixels
_ANY_WIDTH = 16777215  # what Qt takes for no limit, QWIDGETSIZE_MAX


def panel_words(name: str) -> str:
    """What a panel is called on its button."""
    translate = QCoreApplication.translate
    words = {
        "head": translate("Side", "Head"),
        "strings": translate("Side", "Strings"),
        "tuners": translate("Side", "Tuners"),
        "keep clear": translate("Side", "Keep clear"),
        "selected": translate("Side", "Selected"),
        "refit": translate("Side", "Refit"),
        "best": translate("Side", "Best"),
        "missed": translate("Side", "Missed"),
        "bench": translate("Side", "Bench"),
    }
    return words[name]


class Side(QWidget):
    """One panel at a time, with the buttons to choose it.

    Signals:
        chosen: the name of the panel, after another one was chosen.
        drawing_wanted: what comes next is done on the drawing.
    """

    chosen = Signal(str)
    drawing_wanted = Signal()

    def __init__(
        self, session: Session, units: Units, shade: Shade, rings: LiveRings, store: SettingsStore
    ) -> None:
        super().__init__()
        self._session, self._units, self._rings, self._store = session, units, rings, store
        self._panels: dict[str, Panel] = {}
        self._buttons: dict[str, QToolButton] = {}
        self._tips = dict.fromkeys(PANELS, "")
        self._stack = QStackedWidget()
        self._group = QButtonGroup(self)
        self._narrow = False
        for name in PANELS:
            self._add_button(name)
        # The buttons scroll in a window that is too low for all of them.
        body = QWidget()
        filled(QVBoxLayout(body), *self._buttons.values(), None, margins=(4, 6, 4, 6), spacing=2)
        self._room = _Rail(body)
        filled(QHBoxLayout(self), self._room, (self._stack, 1), margins=(0, 0, 0, 0), spacing=0)
        self.set_shade(shade)

    @property
    def name(self) -> str:
        """The panel that is shown; empty before the first one."""
        shown = self._stack.currentWidget()
        return next((name for name, panel in self._panels.items() if panel is shown), "")

    @property
    def is_open(self) -> bool:
        """Whether the panel is there, and not only the buttons."""
        return not self._stack.isHidden()

    def panel(self, name: str) -> Panel:
        """A panel, made now if it was not needed before."""
        if name not in self._panels:
            made = self._made(name)
            made.drawing_wanted.connect(self.drawing_wanted)
            self._panels[name] = made
            self._stack.addWidget(made)
        return self._panels[name]

    def kept_nowhere(self) -> str:
        """A sentence about what is typed in a panel and would be lost with the build; empty for nothing."""
        return next((words for panel in self._panels.values() if (words := panel.kept_nowhere)), "")

    def _made(self, name: str) -> Panel:
        """Each panel is loaded when it is first shown: the drawing does not wait for the others."""
        session, units = self._session, self._units
        match name:
            case "head":
                from app.panels.head_panel import HeadPanel

                return HeadPanel(session, units, self._store)
            case "strings":
                from app.panels.strings_panel import StringsPanel

                return StringsPanel(session, units)
            case "tuners":
                from app.panels.tuners_panel import TunersPanel

                return TunersPanel(session, units)
            case "keep clear":
                from app.panels.keep_clear_panel import KeepClearPanel

                return KeepClearPanel(session, units)
            case "selected":
                from app.panels.selected_panel import SelectedPanel

                return SelectedPanel(session, units, self._rings)
            case "refit":
                from app.panels.refit_panel import RefitPanel

                return RefitPanel(session, units)
            case "best":
                from app.panels.best_panel import BestPanel

                return BestPanel(session, units)
            case "missed":
                from app.panels.missed_panel import MissedPanel

                return MissedPanel(session, units)
        assert name == "bench", "all panels are named"
        from app.bench.bench_panel import BenchPanel

        return BenchPanel(session, units, self._store)

    def show_panel(self, name: str) -> None:
        """Choose a panel."""
        self._room.ensureWidgetVisible(self._buttons[name], 0, 0)
        panel = self.panel(name)
        self._unfold()
        self._buttons[name].setChecked(True)
        if self._stack.currentWidget() is not panel or not self.name:
            self._stack.setCurrentWidget(panel)
        self.chosen.emit(name)

    def press(self, name: str) -> None:
        """Show the panel; in a narrow window a second press puts it away again."""
        if self._narrow and name == self.name and self._stack.isVisibleTo(self):
            self.fold()
        else:
            self.show_panel(name)

    def set_tips(self, tips: Mapping[str, str]) -> None:
        """Say by each button, by the name of its panel, what is there and which keys open it."""
        self._tips.update(tips)
        for name, button in self._buttons.items():
            button.setAccessibleDescription(tips[name])
        self._show_tips()

    def _show_tips(self) -> None:
        for name, button in self._buttons.items():
            tip, words = self._tips[name], panel_words(name)
            # An icon alone does not say what the panel is called.
            button.setToolTip(f"{words}: {tip}" if self._narrow and not tip.startswith(words) else tip)

    def set_narrow(self, narrow: bool) -> None:  # noqa: FBT001 - reads as Qt's setters
        """Show only the icons of the buttons, so that the drawing keeps its room, or their words again."""
        self._narrow = narrow
        styles = Qt.ToolButtonStyle
        side = _SMALL_ICON if narrow else _ICON
        for button in self._buttons.values():
            button.setToolButtonStyle(styles.ToolButtonIconOnly if narrow else styles.ToolButtonTextUnderIcon)
            button.setIconSize(QSize(side, side))
        self._show_tips()
        if not narrow:
            self._unfold()
        self._room.updateGeometry()

    def fold(self) -> None:
        """Put the panel away and keep the buttons."""
        self._stack.hide()
        self._group.setExclusive(False)
        for button in self._buttons.values():
            button.setChecked(False)
        self._group.setExclusive(True)
        self.setMaximumWidth(self._room.sizeHint().width())

    def _unfold(self) -> None:
        self.setMaximumWidth(_ANY_WIDTH)
        self._stack.show()
        if self.name:
            self._buttons[self.name].setChecked(True)

    def set_units(self, units: Units) -> None:
        """Show lengths in other units."""
        self._units = units
        for panel in self._panels.values():
            panel.set_units(units)

    def set_shade(self, shade: Shade) -> None:
        """Draw the icons in the colours of a shade."""
        for name, button in self._buttons.items():
            button.setIcon(icon(name, shade))

    @property
    def comfortable_width(self) -> int:
        """The width at which the panel in front reads best, 0 where it makes do with any."""
        panel = self._stack.currentWidget()
        if not isinstance(panel, Panel) or not panel.letters:
            return 0
        return self._beside_rail(panel, panel.letters * self.fontMetrics().averageCharWidth())

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """The buttons, and the panel without anything cut off at its side."""
        hint = super().minimumSizeHint()
        panel = self._stack.currentWidget()
        if not self._stack.isVisibleTo(self):
            return QSize(self._room.minimumSizeHint().width(), hint.height())
        if not isinstance(panel, Panel):
            return hint
        body = panel.widget()
        least = 0 if body is None else body.minimumSizeHint().width()
        return QSize(self._beside_rail(panel, least), hint.height())

    def _beside_rail(self, panel: Panel, width: int) -> int:
        """The width with a panel so wide, its bar and the buttons."""
        bar = panel.verticalScrollBar().sizeHint().width()
        return self._room.minimumSizeHint().width() + width + bar

    def _add_button(self, name: str) -> None:
        button = rail_button(panel_words(name), "")
        button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextUnderIcon)
        button.setIconSize(QSize(_ICON, _ICON))
        button.clicked.connect(lambda: self.press(name))
        self._group.addButton(button)
        self._buttons[name] = button


class _Rail(QScrollArea):
    """As wide as what it holds, as low as need be."""

    def __init__(self, body: QWidget) -> None:
        super().__init__()
        self._body = body
        self.setWidget(body)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setWidgetResizable(True)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setSizePolicy(QSizePolicy.Policy.Fixed, QSizePolicy.Policy.Expanding)

    def sizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """The column of buttons, with its bar where it has to scroll."""
        body = self._body.minimumSizeHint()
        bar = self.verticalScrollBar().sizeHint().width() if body.height() > self.height() else 0
        return QSize(body.width() + bar, body.height())

    def minimumSizeHint(self) -> QSize:  # noqa: N802 - Qt's name
        """The same width, and the height of a button or two."""
        hint = self.sizeHint()
        return QSize(hint.width(), min(hint.height(), 2 * _ICON))

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """Another height may need a bar, or need it no more."""
        super().resizeEvent(event)
        if event.size().height() != event.oldSize().height():
            self.updateGeometry()
