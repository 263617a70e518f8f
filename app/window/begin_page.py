"""What the pages before a new head have in common: a picture beside what is asked, and the way on or back."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path

from PySide6.QtWidgets import (
    QDialog,
    QDialogButtonBox,
    QFileDialog,
    QHBoxLayout,
    QPushButton,
    QVBoxLayout,
    QWidget,
)

from app.widgets.kit import Fault
from app.widgets.sizes import room
from app.widgets.typed_line import TypedLine, all_reads


def ask_file(parent: QWidget, folder: Path, suffixes: Iterable[str], title: str, kinds: str) -> Path | None:
    """Which file to begin from; `kinds` is the line of the list of kinds, with a place for the suffixes."""
    endings = " ".join(f"*{suffix} *{suffix.upper()}" for suffix in suffixes)
    name, _ = QFileDialog.getOpenFileName(parent, title, str(folder), kinds.format(kinds=endings))
    return Path(name) if name else None


class BeginPage(QDialog):
    """A page that ends with a new head on the bench, or with none."""

    create_button: QPushButton
    fault: Fault

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.may_go_on: Callable[[], bool] = lambda: True
        """Whether the head may come to the bench; asked when all is typed, so that a no leads back to the page."""

    def _set_side_by_side(self, picture: QWidget, side: QVBoxLayout, picture_width: int) -> None:
        """The picture at the left; what is asked beside it, and at its foot the buttons."""
        self.fault = Fault(self.tr("What does not read"))
        self.fault.hide()
        side.addWidget(self.fault)
        side.addStretch(1)
        side.addWidget(self._buttons())
        row = QHBoxLayout(self)
        row.setContentsMargins(24, 24, 24, 20)
        row.setSpacing(28)
        row.addWidget(picture)
        row.addLayout(side, 1)
        for field in self.findChildren(TypedLine):
            field.refused.connect(partial(self._refused, field))
        # Wide enough for the longest names in the lists, where the screen is.
        wide = picture_width + self.fontMetrics().averageCharWidth() * 92
        self.setMinimumWidth(min(wide, room(self).width()))

    def accept(self) -> None:
        """Go on, once all that is typed reads and whoever asked for the page wants it to."""
        if all_reads(self, self._tell) and self.may_go_on():
            super().accept()

    def _refused(self, field: TypedLine, why: str) -> None:
        self._tell(why and f"{field.accessibleName()}: {why}")

    def _tell(self, words: str) -> None:
        """Say what does not read; without it the page has no room to give away."""
        self.fault.tell(words)
        self.fault.setVisible(bool(words))

    def _buttons(self) -> QDialogButtonBox:
        box = QDialogButtonBox()
        self.create_button = box.addButton(self.tr("Create"), QDialogButtonBox.ButtonRole.AcceptRole)
        self.create_button.setToolTip(self.tr("Put this head on the bench"))
        box.addButton(self.tr("Back"), QDialogButtonBox.ButtonRole.RejectRole)
        box.accepted.connect(self.accept)
        box.rejected.connect(self.reject)
        return box
