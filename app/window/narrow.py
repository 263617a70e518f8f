"""What the window shows where it has no room for everything: the drawing first, then one panel beside it.

The findings shrink to their verdict, the panels to their icons. Each opens again at a press and makes room for itself;
a window that is made wide again has everything back where it was.
"""

from __future__ import annotations

from PySide6.QtCore import QByteArray, QObject, Qt
from PySide6.QtWidgets import QDockWidget, QMainWindow, QWidget
from shiboken6 import isValid

from app.panels.level_sign import VerdictLine
from app.window.side import Side
from app.window.toolbar import Toolbar

LEAST_DRAWING = 260
"""Pixels that the drawing keeps of the width."""

_FORM = 46
"""Average letters that buttons and panel take in a narrow window, where the drawing can spare them."""

_NARROW, _TIGHT = 180, 120
"""Average letters of the width below which there is room for the panel or the findings only, and for none of them."""


class Narrow(QObject):
    """Follows the width of a window; `version` is that of the layout of its docks."""

    def __init__(
        self,
        window: QMainWindow,
        drawing: QWidget,
        side: QDockWidget,
        findings: QDockWidget,
        line: VerdictLine,
        version: int,
    ) -> None:
        super().__init__(window)
        self._window, self._side_dock, self._findings, self._line = window, side, findings, line
        self._drawing, self._version = drawing, version
        self._wide: QByteArray | None = None
        self._tight = False
        self._usual_width: int | None = None  # of the panel, while another one has more
        self._toolbar: Toolbar | None = None
        self._no_title = QWidget(window)
        self._no_title.hide()
        panels = side.widget()
        assert isinstance(panels, Side), "the panels lie in their dock"
        self._side = panels
        self._side.chosen.connect(self._panel_opened)
        line.wanted.connect(self.show_findings)
        line.hide()
        findings.visibilityChanged.connect(self._show_line)

    def carry(self, toolbar: Toolbar) -> None:
        """Take the toolbar along, once it is made."""
        self._toolbar = toolbar
        self._dress_toolbar()

    def _dress_toolbar(self) -> None:
        if self._toolbar is not None:
            self._toolbar.set_narrow(narrow=self.is_narrow)

    @property
    def docks(self) -> QByteArray:
        """Where the docks lie as the maker left them in a window with room for all."""
        return self._window.saveState(self._version) if self._wide is None else self._wide

    @property
    def is_narrow(self) -> bool:
        """Whether something is put away for lack of room."""
        return self._wide is not None

    def follow(self, left: QByteArray | None = None) -> None:
        """Put away what there is no room for, or bring it back; `left`: how the docks were left, if not as now."""
        letters = self._window.width() / self._window.fontMetrics().averageCharWidth()
        if letters < _NARROW and self._wide is None:
            self._wide = left or self._window.saveState(self._version)
            self._put_away(narrow=True)
            self._findings.hide()
        elif letters >= _NARROW and self._wide is not None:
            before, self._wide, self._usual_width = self._wide, None, None
            self._put_away(narrow=False)
            self._window.restoreState(before, self._version)
        tight = letters < _TIGHT
        if tight and not self._tight:
            self._side.fold()
        self._tight = tight
        self._dress_toolbar()
        self._show_line()

    def forget(self) -> None:
        """The docks were put elsewhere: begin anew with the next look at the width."""
        if self._wide is not None:
            self._wide, self._tight = None, False
            self._put_away(narrow=False)
            self._line.hide()

    def show_findings(self) -> None:
        """Bring the list of findings, in place of the panel where there is no room for both."""
        if self._wide is not None:
            self._side.fold()
        self._findings.show()

    def _panel_opened(self) -> None:
        if self._wide is not None:
            self._findings.hide()
            # After the findings are put away: what they leave is room for the panel.
            self.make_room()

    def make_room(self) -> None:
        """In a narrow window give a panel of tables the width that it reads best at; the others get back what they had.

        A quarter of the window is left to the drawing, and as much as it needs to be seen. In any other window the
        panel keeps its width, so that the drawing stays where it is when another one is chosen.
        """
        if not self.is_narrow:
            return
        layout = self._window.layout()
        assert layout is not None, "a main window lays its docks out"
        layout.activate()
        best, now = self._side.comfortable_width, self._side_dock.width()
        spare = max(0, self._drawing.width() - max(LEAST_DRAWING, self._window.width() // 4))
        # Beside icons alone a form would be as narrow as it can be, with its labels over three lines.
        least = self._window.fontMetrics().averageCharWidth() * _FORM
        if now < best and spare:
            wanted = best
            if self._usual_width is None:
                self._usual_width = now
        elif not best and self._usual_width is not None:
            wanted, self._usual_width = max(self._usual_width, least), None
        elif not best and now < least:
            wanted = least
        else:
            return
        wanted = min(wanted, now + spare)
        self._window.resizeDocks([self._side_dock], [wanted], Qt.Orientation.Horizontal)

    def _put_away(self, *, narrow: bool) -> None:
        """Icons in place of words, and no title above them, or as they were."""
        self._side.set_narrow(narrow)
        self._side_dock.setTitleBarWidget(self._no_title if narrow else None)  # type: ignore[arg-type] # None takes it away
        self._no_title.setVisible(narrow)

    def _show_line(self) -> None:
        if not isValid(self._window):
            return  # a window that goes takes its docks away
        drawing = self._side_dock.isVisibleTo(self._window) or self._findings.isVisibleTo(self._window)
        self._line.setVisible(self._wide is not None and drawing and self._findings.isHidden())
