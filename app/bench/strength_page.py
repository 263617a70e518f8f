"""Whether the head holds its strings: the figure, the curve along the head, what is in it."""

from __future__ import annotations

from PySide6.QtCore import QTimer
from PySide6.QtGui import QResizeEvent

from app.bench.drawing_view import DrawingView
from app.bench.page import Fold, NeckPart, Page
from app.bench.value_table import ValueTable
from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.sentences import sentence, tell
from app.widgets.kit import heading
from export.sheets.strength import factor_table, input_table
from export.sheets.strength_curve import fit_to, strength_drawing
from geometry.bench.strength import Strength, strength
from geometry.bench.strength_words import ASSUMED, GOVERNS, say_strength
from geometry.trade.units import Units

_LINES = 34
"""Height of the drawing at most, in lines of type."""


class StrengthPage(Page):
    """One sentence first, then the drawing; the caution always stands beside them."""

    def __init__(self, session: Session, store: SettingsStore, units: Units) -> None:
        super().__init__(session, store, units)
        self._found: tuple[Scene, Strength] | None = None
        tr = self.tr
        self.verdict, self.words, self.caution = sentence(bold=True), sentence(), sentence()
        tell(self.caution, GOVERNS)
        tip = tr("Beside the head, height by height, how much of what a timber code allows the strings use")
        self.curve = DrawingView(tr("Strength along the head"), tip)
        self.factors_title = heading(tr("What is in the figure"))
        name = tr("From the strength of the wood to what is allowed, in turn")
        self.factors = ValueTable(name, words=(0,))
        self.neck = NeckPart(session, units)
        tip = tr("Everything that goes into the figure, with its source")
        self.inputs = Fold(tr("Where this is from"), tip)
        self.input_table = ValueTable(tr("What goes into the figure"), words=(2,))
        self.inputs.inner.insertWidget(0, self.input_table)
        self.add(self.verdict, self.words, self.caution, self.curve)
        self.add(self.factors_title, self.factors, self.neck, self.inputs)

    def show_fields(self, scene: Scene) -> None:
        """The neck's depth, which the figure rests on."""
        self.neck.show_scene(scene)

    def show_values(self, scene: Scene) -> None:
        """Work the sections out and show them."""
        found = strength(scene.build, scene.layout, own=self.shop.own_woods)
        self._found = scene, found
        first, *others = say_strength(found, scene.build, scene.layout, self.units)
        tell(self.verdict, first)
        # The caution has a place of its own.
        tell(self.words, [each for each in others if each != GOVERNS])
        weakest = found.weakest
        table = factor_table(found, weakest, self.units) if weakest is not None and found.told else None
        self.factors_title.setVisible(table is not None)
        self.factors.show_table(table)
        self.caution.setVisible(weakest is not None)
        self.inputs.setVisible(weakest is not None)
        self.input_table.show_table(input_table(scene.build, scene.layout, found, self.units))
        self.inputs.tell(ASSUMED if weakest is not None else ())
        self._draw()

    def _draw(self) -> None:
        scene, found = self._found or (None, None)
        if scene is None or found is None or found.weakest is None:
            self.curve.show_drawing(None)
            return
        fit = fit_to(scene.build, scene.layout, self.curve.room(_LINES), self.units)
        self.curve.show_drawing(strength_drawing(scene.build, scene.layout, found, self.units, fit))

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """The drawing is fitted to another width, once the page has it."""
        super().resizeEvent(event)
        if event.size().width() != event.oldSize().width():
            QTimer.singleShot(0, self, self._draw)
