"""A wood that the table lacks, as the maker knows it; kept in the shop."""

from __future__ import annotations

from msgspec.structs import replace
from PySide6.QtWidgets import QVBoxLayout, QWidget

from app.document.settings import SettingsStore
from app.panels.ranges import range_of
from app.panels.sentences import sentence, tell
from app.widgets.kit import GAP, Form, button
from app.widgets.number_field import Measure, NumberField
from geometry.trade.own_wood import OwnWood
from geometry.trade.shop import Shop
from geometry.trade.units import Units
from geometry.trade.wood import find_wood, same_wood

LONGEST = 60
"""Characters of the name of a wood in the shop."""


class WoodPart(QWidget):
    """Numbers of the wood that the head is of, where the table does not have it; hidden else."""

    def __init__(self, store: SettingsStore, units: Units) -> None:
        super().__init__()
        self._store = store
        self._name = ""
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(GAP)
        self.about = sentence()
        self.form = form = Form()
        lines: tuple[tuple[str, str, Measure, str], ...] = (
            (
                "specific_gravity",
                self.tr("Specific gravity"),
                "plain",
                self.tr(
                    "Dry mass over the volume at 12 % moisture, such as 0.55; hardness is guessed from it"
                ),
            ),
            (
                "janka",
                self.tr("Hardness"),
                "force",
                self.tr("Janka hardness, where a table tells it; left empty, it is guessed"),
            ),
            (
                "modulus_of_rupture",
                self.tr("Strength"),
                "stress",
                self.tr("Modulus of rupture, where a table tells it; without it no strength is told"),
            ),
        )
        self.fields: dict[str, NumberField] = {}
        for field, name, measure, tip in lines:
            made = NumberField(
                name, units=units, measure=measure, within=range_of(OwnWood, field), optional=True, tip=tip
            )
            made.edited.connect(lambda value, field=field: self._keep(field, value))
            made.cleared.connect(lambda field=field: self._keep(field, None))
            form.add(name, made)
            self.fields[field] = made
        self.forget = button(self.tr("Forget this wood"), self.tr("Take it out of the shop again"))
        self.forget.clicked.connect(self._forget)
        form.add_wide(self.forget)
        for part in (self.about, form):
            column.addWidget(part)

    # Showing

    def show_wood(self, name: str, shop: Shop) -> None:
        """Show the wood of that name; an empty name hides everything."""
        self._name = name
        own = self._own(shop)
        missing = find_wood(name, shop.own_woods) is None
        self.setVisible(0 < len(name) <= LONGEST and (missing or own is not None))
        words = self.tr('"{name}" is not in the table: tell what you know of it.') if own is None else ""
        tell(self.about, words.format(name=name))
        for field, made in self.fields.items():
            made.set_value(None if own is None else getattr(own, field))
            # Everything else about a wood is guessed from how heavy it is.
            made.setEnabled(own is not None or field == "specific_gravity")
        self.forget.setVisible(own is not None)

    def _own(self, shop: Shop) -> OwnWood | None:
        return next((wood for wood in shop.woods if same_wood(wood.name, self._name)), None)

    # Acts on the shop

    def _keep(self, field: str, value: float | None) -> None:
        shop = self._store.settings.shop
        own = self._own(shop)
        if field == "specific_gravity" and value is None:
            self._forget()
            return
        if own is None:
            assert value is not None, "only its gravity is asked for first"
            made = OwnWood(name=self._name, specific_gravity=value)
            self._store.keep_shop(replace(shop, woods=(*shop.woods, made)))
            return
        changed = replace(own, **{field: value})
        woods = tuple(changed if wood is own else wood for wood in shop.woods)
        self._store.keep_shop(replace(shop, woods=woods))

    def _forget(self) -> None:
        shop = self._store.settings.shop
        own = self._own(shop)
        self._store.keep_shop(replace(shop, woods=tuple(wood for wood in shop.woods if wood is not own)))
