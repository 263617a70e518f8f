"""A group of number fields for one record of the build: made from a table, shown and edited by field name."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial

import msgspec

from app.panels.ranges import range_of
from app.widgets.kit import Form
from app.widgets.number_field import Measure, NumberField
from app.widgets.typed_line import has_cursor
from geometry.trade.units import Units


class Line(msgspec.Struct, frozen=True):
    """One number of a record: its field, its label, what it measures, and what the tooltip says."""

    field: str
    text: str
    measure: Measure = "length"
    tip: str = ""
    optional: bool = False


MEASURE = "measure"
"""The property of a field that says which measure of the build it holds, such as "Nut.width"."""

Edited = Callable[[Line, float | None], None]


def while_typing(field: NumberField, act: Callable[[float | None], None]) -> None:
    """Call this with the number that would count, each time that the maker's keys change the text of a field."""
    field.textChanged.connect(lambda _: act(field.would_be) if has_cursor(field) else None)


class Numbers:
    """Fields in a form, one for each line of the table."""

    def __init__(
        self,
        form: Form,
        record: type[msgspec.Struct],
        lines: Sequence[Line],
        units: Units,
        edited: Edited,
        typed: Edited | None = None,
    ) -> None:
        """Add the fields to `form`; `edited` is told which line got which number, None when it was emptied.

        `typed` is told of it while it is being typed.
        """
        self.fields: dict[str, NumberField] = {}
        self._form = form
        for line in lines:
            field = NumberField(
                line.text,
                units=units,
                measure=line.measure,
                within=range_of(record, line.field),
                optional=line.optional,
                tip=line.tip,
            )
            field.edited.connect(lambda value, line=line: edited(line, value))
            field.cleared.connect(lambda line=line: edited(line, None))
            if typed is not None:
                while_typing(field, partial(typed, line))
            # By this the drawing knows which of its dimensions is in hand.
            field.setProperty(MEASURE, f"{record.__name__}.{line.field}")
            form.add(line.text, field)
            self.fields[line.field] = field

    def show(self, record: msgspec.Struct | None) -> None:
        """Show the numbers of a record; lines that it does not have are hidden."""
        for name, field in self.fields.items():
            has = hasattr(record, name)
            self._form.set_shown(field, has)
            if has:
                value = getattr(record, name)
                field.set_value(float(value) if isinstance(value, int | float) else None)
