"""Number fields for records of the build: made from a table, shown and edited by name, with the types' ranges."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache, partial
from typing import TypeVar

import msgspec
from msgspec import inspect
from msgspec.structs import replace

from app.document.session import Edit, Session
from app.panels.words import change_words
from app.widgets.kit import Form
from app.widgets.number_field import ANY, Measure, NumberField, Range
from app.widgets.typed_line import has_cursor
from geometry.document.build import Build
from geometry.shape.point import Point
from geometry.trade.measures import LARGEST
from geometry.trade.sentence import say_note
from geometry.trade.units import Units

Record = TypeVar("Record", bound=msgspec.Struct)


@lru_cache(maxsize=256)
def range_of(record: type[msgspec.Struct], field: str) -> Range:
    """The range of a number in a record, so that whatever is typed can be saved and read again."""
    return _range(_type_of(record, field))


def _type_of(record: type[msgspec.Struct], field: str) -> inspect.Type:
    return next(each.type for each in _fields_of(record) if each.name == field)


@lru_cache(maxsize=64)
def _fields_of(record: type[msgspec.Struct]) -> tuple[inspect.Field, ...]:
    described = inspect.type_info(record)
    assert isinstance(described, inspect.StructType), "a record"
    return described.fields


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
    kind = _type_of(record, field)
    assert isinstance(kind, inspect.VarTupleType), "a list of parts"
    assert kind.max_length is not None, "lists of a build file are bounded"
    return kind.max_length


class Line(msgspec.Struct, frozen=True):
    """One number of a record: its field, its label, what the tooltip says, and what it measures.

    It is taken `within` what the type of the field takes, unless something else is said.
    """

    field: str
    text: str
    tip: str = ""
    measure: Measure = "length"
    optional: bool = False
    within: Range | None = None


MEASURE = "measure"
"""The property of a field that says which measure it holds, such as "Nut.width"; some are dimensions on the drawing."""

Edited = Callable[[Line, float | None], None]


def acts_on(
    session: Session, get: Callable[[Build], Record | None], put: Callable[[Build, Record], Build]
) -> Edited:
    """What makes an act of every number that is typed: the record that `get` finds has it, and `put` puts it back.

    Nothing changes where there is no record.
    """

    def edited(line: Line, value: float | None) -> None:
        def edit(build: Build) -> Build:
            record = get(build)
            return build if record is None else put(build, replace(record, **{line.field: value}))

        session.act(change_words(line.text), edit)

    return edited


def act_or_refuse(session: Session, label: str, edit: Edit, field: NumberField) -> None:
    """Do an act with a number just typed; what cannot be done is said at its field."""
    try:
        session.act(label, edit)
    except ValueError as error:
        field.refuse(say_note(error, field.units))


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
                within=line.within or range_of(record, line.field),
                optional=line.optional,
                tip=line.tip,
            )
            field.edited.connect(partial(edited, line))
            field.cleared.connect(partial(edited, line, None))
            if typed is not None:
                while_typing(field, partial(typed, line))
            # By this the drawing knows which of its dimensions is in hand.
            field.setProperty(MEASURE, f"{record.__name__}.{line.field}")
            self.fields[line.field] = form.put(field)

    def show(self, record: msgspec.Struct | None) -> None:
        """Show the numbers of a record.

        Fields that the record lacks are hidden, and those without a number, unless they may be left empty.
        """
        for name, field in self.fields.items():
            value = getattr(record, name, None)
            number = float(value) if isinstance(value, int | float) else None
            has = hasattr(record, name)
            self._form.set_shown(field, number is not None or (field.optional and has))
            if has:
                field.set_value(number)


PLACES = Range(least=-LARGEST, most=LARGEST)


class PlaceFields(Numbers):
    """X and Y of one place."""

    def __init__(
        self, form: Form, units: Units, edited: Callable[[Point], None], record: type[msgspec.Struct] = Point
    ) -> None:
        """`edited` is told the new place, `record` names its measures on the drawing, as in "Post.x"."""
        lines = (
            Line("x", form.tr("X"), form.tr("From the centre line, to the right"), within=PLACES),
            Line("y", form.tr("Y"), form.tr("From the nut line, towards the tip"), within=PLACES),
        )

        def moved(_: Line, __: float | None) -> None:
            edited(Point(self.x.value or 0.0, self.y.value or 0.0))

        super().__init__(form, record, lines, units, moved)
        self.x, self.y = self.fields["x"], self.fields["y"]
