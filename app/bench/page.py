"""What the pages of the bench have in common: fields that follow at once, values that come when the hand rests."""

from __future__ import annotations

from collections.abc import Iterable

from msgspec.structs import replace
from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QLabel, QSizePolicy, QWidget

from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.numbers import Line, Numbers, acts_on
from app.widgets.kit import GAP, Form, column, heading, rail_button, remark
from app.widgets.number_field import NumberField, Range
from geometry.document import edits
from geometry.document.build import Head
from geometry.trade.shop import Shop
from geometry.trade.units import Units


class Page(QWidget):
    """One page of the bench.

    Signals:
        wanted: the values are to be worked out again, for a reason that is not in the build.
    """

    wanted = Signal()

    def __init__(self, session: Session, store: SettingsStore, units: Units) -> None:
        """Show what the session works on, with the shop that the store keeps."""
        super().__init__()
        self.session, self.store = session, store
        self.units: Units = units
        self.column = column(self)

    @property
    def shop(self) -> Shop:
        """The shop, with the units that are shown."""
        return replace(self.store.settings.shop, units=self.units)

    def show_fields(self, scene: Scene) -> None:
        """Show what can be typed; cheap, for it happens at every change."""

    def show_values(self, scene: Scene) -> None:
        """Work out and show everything that follows."""

    def add(self, *parts: QWidget) -> None:
        """Parts below the others."""
        for part in parts:
            self.column.addWidget(part)

    def add_heading(self, text: str, *, first: bool = False) -> QLabel:
        """The title of a group of parts; gives it back."""
        label = heading(text, first=first)
        self.column.addWidget(label)
        return label

    def ask_length(self, form: Form, name: str, tip: str, within: Range) -> NumberField:
        """A field for a length that no file keeps; values follow it, and it may be left empty."""
        field = NumberField(name, units=self.units, within=within, optional=True, tip=tip)
        field.edited.connect(self.wanted)
        field.cleared.connect(self.wanted)
        return form.put(field)


class Fold(QWidget):
    """Words that few need every time, behind a button that opens them."""

    def __init__(self, title: str, tip: str) -> None:
        """Closed, with nothing in it."""
        super().__init__()
        self.button = rail_button(title, tip)
        self.button.setToolButtonStyle(Qt.ToolButtonStyle.ToolButtonTextBesideIcon)
        self.button.setSizePolicy(QSizePolicy.Policy.Maximum, QSizePolicy.Policy.Fixed)
        self.body, self.words = QWidget(), remark("")
        self.inner = column(self.body, self.words)
        column(self, self.button, self.body).setContentsMargins(0, GAP, 0, 0)
        self.button.toggled.connect(self._open)
        self._open(on=False)

    def _open(self, on: bool) -> None:  # noqa: FBT001 - a slot
        self.body.setVisible(on)
        self.button.setArrowType(Qt.ArrowType.DownArrow if on else Qt.ArrowType.RightArrow)

    def tell(self, words: Iterable[str]) -> None:
        """Put other words into it, a paragraph each; without any it is not there."""
        text = "\n\n".join(words)
        if self.words.text() != text:
            self.words.setText(text)
        self.setVisible(bool(text))


class NeckPart(Form):
    """How deep the neck is at the nut, which more than one page needs; it edits the build."""

    def __init__(self, session: Session, units: Units) -> None:
        super().__init__()
        tip = self.tr("At the nut, from the line of the face to its back, the fingerboard not counted")
        line = Line("neck_depth", self.tr("Depth of the neck"), tip)
        edited = acts_on(session, lambda build: build.head, edits.set_head)
        self.numbers = Numbers(self, Head, (line,), units, edited)

    def show_scene(self, scene: Scene) -> None:
        """Show the depth of the build in sight."""
        self.numbers.show(scene.build.head)
