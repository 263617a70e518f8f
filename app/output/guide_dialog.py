"""The printed drill guide, to be looked at from all sides before it is written."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QVBoxLayout, QWidget

from app.document.work import Work
from app.output.guide_view import GuideView
from app.widgets.boxes import filled
from app.widgets.kit import PlainLabel
from app.widgets.sizes import fit
from app.writing.export import Job, guide_pieces
from export.sheets.guide import PILOT
from export.solid.body import Piece
from export.solid.plan import DOWEL, DOWEL_DEEP
from geometry.trade.quantities import show_length
from geometry.trade.shop import Shop


class GuideDialog(QDialog):
    """The guide of a job; why there is none where there is none."""

    def __init__(self, job: Job, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shop = job.shop
        self.setWindowTitle(self.tr("Printed drill guide"))
        self.view = GuideView()
        self.words = PlainLabel(self.tr("Making the guide…"))
        self.words.setWordWrap(True)
        self.words.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Close)
        buttons.rejected.connect(self.reject)
        parts = (self.view, 1), self.words, buttons
        filled(QVBoxLayout(self), *parts, margins=(14, 14, 14, 12), spacing=12)
        fit(self, 700, 660)
        self.making = Work(self)
        self.making.done.connect(self._show)
        self.making.refused.connect(self.words.setText)
        self.making.start(lambda _: guide_pieces(job))

    def _show(self, pieces: tuple[Piece, ...]) -> None:
        self.view.show_pieces(pieces)
        self.words.setText(f"{self._sizes(pieces)} {self._holes()}")
        self.view.setFocus()

    def _sizes(self, pieces: tuple[Piece, ...]) -> str:
        sizes = " + ".join(_size(piece, self._shop) for piece in pieces)
        if len(pieces) == 1:
            return self.tr("{sizes}, as it lies on the bed: upper side down, fences up.").format(sizes=sizes)
        dowel, deep = (show_length(each, self._shop.units) for each in (DOWEL, 2 * DOWEL_DEEP))
        words = self.tr(
            "{sizes}: larger than the bed in one piece, so it comes in two, joined by dowels {dowel} thick and {deep} "
            "long."
        )
        return words.format(sizes=sizes, dowel=dowel, deep=deep)

    def _holes(self) -> str:
        bushing = self._shop.guide_bushing
        diameter = show_length(PILOT if bushing is None else bushing, self._shop.units)
        if bushing is None:
            words = self.tr("Holes for a pilot bit of {diameter}: plastic leads nothing wider for long.")
        else:
            words = self.tr("Holes for metal bushings of {diameter} outside.")
        return words.format(diameter=diameter)

    def done(self, result: int) -> None:
        """Close; nothing goes on behind the maker's back."""
        self.making.close()
        super().done(result)


def _size(piece: Piece, shop: Shop) -> str:
    sides = piece.corners.max(axis=0) - piece.corners.min(axis=0)
    return " × ".join(show_length(float(side), shop.units) for side in sides)
