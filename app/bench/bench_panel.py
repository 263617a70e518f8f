"""The panel of the bench: one page at a time, with its buttons always in sight."""

from __future__ import annotations

from PySide6.QtCore import QCoreApplication, QEvent, QTimer
from PySide6.QtGui import QResizeEvent, QShowEvent
from PySide6.QtWidgets import QButtonGroup, QGridLayout, QToolButton, QWidget

from app.bench.page import Page
from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.panel import Panel
from app.widgets.kit import MARGIN, rail_button
from geometry.document.build import Build
from geometry.trade.shop import Shop
from geometry.trade.units import Units

REST = 100
"""After so many milliseconds without a change the values in sight are worked out."""

_ACROSS = 3


_Told = tuple[Build, bool, Shop, Units]
"""What the values of a page were worked out from, and whether that was in the middle of a drag."""


PAGES: tuple[str, ...] = ("strings", "nut", "drilling", "strength", "balance", "cradle")
"""Names of the pages, in their order."""


def page_words(name: str) -> tuple[str, str]:
    """What a page is called on its button, and what it is for."""

    def tr(text: str) -> str:
        return QCoreApplication.translate("Bench", text)

    words = {
        "strings": (tr("Strings"), tr("Pitch, pull and stress of each string, and where to cut it")),
        "nut": (tr("Nut"), tr("Slots, heights over the frets, and the cut along the bottom")),
        "drilling": (
            tr("Drilling"),
            tr("Bits in their order, bores for this wood, and what felt right on scrap"),
        ),
        "strength": (tr("Strength"), tr("Whether the head holds its strings, and where it is weakest")),
        "balance": (tr("Balance"), tr("What the head weighs, and what other tuners or buttons save")),
        "cradle": (tr("Cradle"), tr("Blocks, wedges and risers that hold the head under the drill")),
    }
    return words[name]


class BenchPanel(Panel):
    """Pages about fitting tuners and a nut.

    Only the page in sight is worked out, and only when the hand has rested: fields follow at once, values after REST.
    """

    letters = 66

    def __init__(self, session: Session, units: Units, store: SettingsStore) -> None:
        """Show the session's build with the shop that the store keeps."""
        super().__init__(session, units)
        self.set_title(self.tr("Bench"))
        self._store = store
        self._pages: dict[str, Page] = {}
        self._told: dict[str, _Told] = {}
        self.name = PAGES[0]
        """The page in sight."""
        self._timer = QTimer(self)
        self._timer.setSingleShot(True)
        self._timer.setInterval(REST)
        self._timer.timeout.connect(self._work)
        self.column.addStretch(1)
        self._chooser = self._make_chooser()
        store.changed.connect(self._shop_changed)
        self.show_page(self.name)

    def _make_chooser(self) -> QWidget:
        chooser = QWidget(self)
        grid = QGridLayout(chooser)
        grid.setContentsMargins(MARGIN, MARGIN // 2, MARGIN, 2)
        grid.setSpacing(2)
        self._group = QButtonGroup(self)
        self.buttons: dict[str, QToolButton] = {}
        for place, name in enumerate(PAGES):
            button = rail_button(*page_words(name))
            button.clicked.connect(lambda _=False, name=name: self.show_page(name))
            self._group.addButton(button)
            self.buttons[name] = button
            grid.addWidget(button, place // _ACROSS, place % _ACROSS)
        return chooser

    # Pages

    def page(self, name: str) -> Page:
        """A page, made now if it was not needed before."""
        if name not in self._pages:
            page = page_type(name)(self.session, self._store, self.units)
            page.wanted.connect(lambda: self._want(name))
            page.hide()
            self.column.insertWidget(self.column.count() - 1, page)
            self._pages[name] = page
        return self._pages[name]

    def show_page(self, name: str) -> None:
        """Put a page in front."""
        self.buttons[name].setChecked(True)
        self.name = name
        chosen = self.page(name)
        for page in self._pages.values():
            if page is not chosen:
                page.hide()
        chosen.show()
        self.verticalScrollBar().setValue(0)
        self._work()

    # Following

    def set_units(self, units: Units) -> None:
        """Show lengths in other units."""
        for page in self._pages.values():
            page.units = units
        super().set_units(units)

    def show_scene(self, scene: Scene, before: Scene | None) -> None:  # noqa: ARG002 - as all panels
        """Fields at once, values when the hand rests; in the middle of a drag both wait."""
        if not scene.gesture:
            self.page(self.name).show_fields(scene)
        if self._told.get(self.name) != self._now():
            self._timer.start()

    def _shop_changed(self) -> None:
        if self.isVisible():
            self.show_scene(self.session.scene, None)

    def _want(self, name: str) -> None:
        self._told.pop(name, None)
        if name == self.name:
            self._timer.start()

    def _now(self) -> _Told:
        scene, shop = self.session.scene, self._store.settings.shop
        return scene.build, scene.gesture, shop, self.units

    def _work(self) -> None:
        """Work out the values in sight, unless they are known."""
        self._timer.stop()
        now = self._now()
        if self.isVisible() and self._told.get(self.name) != now:
            self._told[self.name] = now
            page, scene = self.page(self.name), self.session.scene
            page.show_fields(scene)
            page.show_values(scene)

    # What Qt calls

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """What comes into sight is true at once."""
        super().showEvent(event)
        self._work()

    def resizeEvent(self, event: QResizeEvent) -> None:  # noqa: N802 - Qt's name
        """The buttons keep their place over the page."""
        super().resizeEvent(event)
        self._place_chooser()

    def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
        """Other type needs other room."""
        super().changeEvent(event)
        if event.type() in (QEvent.Type.FontChange, QEvent.Type.StyleChange) and hasattr(self, "_chooser"):
            self._place_chooser()

    def _place_chooser(self) -> None:
        height = self._chooser.sizeHint().height()
        margins = self.viewportMargins()
        if margins.top() != height:
            margins.setTop(height)
            self.setViewportMargins(margins)
        self._chooser.setGeometry(0, 0, self.viewport().width(), height)


def page_type(name: str) -> type[Page]:
    """The kind of page that has a name; each is loaded when it is first shown."""
    match name:
        case "strings":
            from app.bench.strings_page import StringsPage

            return StringsPage
        case "nut":
            from app.bench.nut_page import NutPage

            return NutPage
        case "drilling":
            from app.bench.drilling_page import DrillingPage

            return DrillingPage
        case "strength":
            from app.bench.strength_page import StrengthPage

            return StrengthPage
        case "balance":
            from app.bench.balance_page import BalancePage

            return BalancePage
    assert name == "cradle", "all pages are named"
    from app.bench.cradle_page import CradlePage

    return CradlePage
