"""Number fields for records of the build: made from a table, shown and edited by name, with the types' ranges."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache, partial

import msgspec
from msgspec import inspect

from app.widgets.kit import Form
from app.widgets.number_field import ANY, Measure, NumberField, Range
from app.widgets.typed_line import has_cursor
from geometry.trade.units import Units


@lru_cache(maxsize=256)
def range_of(record: type[msgspec.Struct], field: str) -> Range:
    """The range of a number in a record, so that whatever is typed can be saved and read again."""
    described = inspect.type_info(record)
    assert isinstance(described, inspect.StructType), "a record"
    return _range(next(each.type for each in described.fields if each.name == field))


def _range(described: inspect.Type) -> Range:
    match described:
        case inspect.Metadata(type=inner):
            return _range(inner)
        case inspect.UnionType(types=kinds):
            return next(found for found in map(_range, kinds) if found != ANY)
        case inspect.FloatType(gt=over, ge=least, le=most):
            low = over if over is not None else least
            return Range(
                least=ANY.least if low is None else float(low),
                most=ANY.most if most is None else float(most),
                above=over is not None,
            )
    return ANY


@lru_cache(maxsize=64)
def most_of(record: type[msgspec.Struct], field: str) -> int:
    """How many parts a list of a record takes."""
    described = inspect.type_info(record)
    assert isinstance(described, inspect.StructType), "a record"
    kind = next(each.type for each in described.fields if each.name == field)
    assert isinstance(kind, inspect.VarTupleType), "a list of parts"
    assert kind.max_length is not None, "lists of a build file are bounded"
    return kind.max_length


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
