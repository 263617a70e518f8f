"""Dimensions on the drawing say the number of their field."""

from __future__ import annotations

import pytest

from geometry.document.build import AlongEdge, Starter
from geometry.document.edits import free_outline
from geometry.layout.head_dimensions import MEASURES, head_dimension
from geometry.layout.layout import lay_out
from tests.builds import plain_head, six_in_line, three_and_three


@pytest.mark.parametrize("name", [name for names in MEASURES.values() for name in names])
def test_a_dimension_measures_what_its_field_holds(name: str) -> None:
    build = three_and_three()
    outline, row = build.outline, build.rows[0]
    assert isinstance(outline, Starter)
    assert isinstance(row.rule, AlongEdge)
    found = head_dimension(build, lay_out(build), name, row.key)
    record, _, field = name.partition(".")
    if record == "Free":
        assert found is None
        return
    assert found is not None
    holds = {"Starter": outline, "Nut": build.nut, "OnLine": row.rule}
    value = getattr(holds[record], field)
    assert found.length == pytest.approx(value, abs=0.002)


def test_a_free_outline_has_its_length_and_greatest_width() -> None:
    build = free_outline(three_and_three())
    outline = three_and_three().outline
    assert isinstance(outline, Starter)
    layout = lay_out(build)
    length, width = (head_dimension(build, layout, f"Free.{each}") for each in ("length", "width"))
    assert length is not None
    assert length.length == pytest.approx(outline.length, abs=1e-6)
    assert width is not None
    assert width.length >= outline.width_low
    assert head_dimension(build, layout, "Starter.length") is None


def test_there_is_nothing_to_show_without_a_row_or_by_another_name() -> None:
    build = plain_head()
    layout = lay_out(build)
    assert head_dimension(build, layout, "OnLine.start") is None
    assert head_dimension(build, layout, "Head.thickness_nut") is None
    leaning = six_in_line()
    assert head_dimension(leaning, lay_out(leaning), "Starter.width_low") is None
