"""Two fields for a length that is kept between two others; an empty one bounds nothing."""

from __future__ import annotations

from functools import partial

from PySide6.QtCore import QCoreApplication

from app.widgets.number_field import NumberField, Range
from geometry.search.placing.wish import Span
from geometry.trade.units import Units


class SpanFields:
    """The least and the most of a length; the one that is typed last must fit the other."""

    def __init__(self, name: str, what: str, within: Range, units: Units) -> None:
        """`what` says which length it is."""
        translate = QCoreApplication.translate
        self.name, self._within = name, within
        self.least = NumberField(
            translate("Spans", "{0}, at least").format(name),
            units=units,
            within=within,
            optional=True,
            tip=translate("Spans", "The least length {0}; empty for any").format(what),
        )
        self.most = NumberField(
            translate("Spans", "{0}, at most").format(name),
            units=units,
            within=within,
            optional=True,
            tip=translate("Spans", "The greatest length {0}; empty for any").format(what),
        )
        for field in (self.least, self.most):
            field.setPlaceholderText(translate("Spans", "any"))
            field.edited.connect(partial(self._edited, field))

    @property
    def span(self) -> Span | None:
        """The bounds in mm, None while both are empty."""
        least, most = self.least.value, self.most.value
        if least is None and most is None:
            return None
        return Span(
            self._within.least if least is None else least, self._within.most if most is None else most
        )

    def _edited(self, field: NumberField, _: float) -> None:
        least, most = self.least.value, self.most.value
        if least is not None and most is not None and least > most:
            field.refuse(
                QCoreApplication.translate("Spans", "The least length must not be more than the greatest.")
            )
