"""Running text and tables fill pages without loss or overlap."""

from __future__ import annotations

from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from export.drawing import NO_SCALE, Role, Sheet, Text
from export.flow import Block, Column, Heading, Paragraph, Row, Space, Table, flow, laid_out, rows_fitting
from geometry.shape.segment import Bounds
from tests.amount import sampled

WORDS = st.lists(st.sampled_from(("wall", "bore", "6.20", "headstock", "Ø")), min_size=1, max_size=30).map(
    " ".join
)
COLUMNS = (Column("Level"), Column("What", 3.0), Column("Measured", 1.5, "end"))
BLOCKS: st.SearchStrategy[Block] = st.one_of(
    st.builds(Heading, WORDS, st.sampled_from((1, 2))),
    st.builds(Paragraph, WORDS, st.just(Role.NOTES), st.booleans()),
    st.builds(Space, st.floats(1, 20)),
    st.lists(st.builds(lambda a, b: Row(("fine", a, b)), WORDS, WORDS), max_size=12).map(
        lambda rows: Table(COLUMNS, tuple(rows))
    ),
)


def texts(sheet: Sheet) -> list[Text]:
    return [mark.shape for mark in sheet.drawing.marks if isinstance(mark.shape, Text)]


def words_of(block: Block) -> list[str]:
    match block:
        case Heading(words=words) | Paragraph(words=words):
            return words.split()
        case Table(rows=rows):
            return [word for row in rows for cell in row.cells for word in cell.split()]
        case _:
            return []


@settings(deadline=None, max_examples=sampled(20, of=60))
@given(st.lists(BLOCKS, max_size=8), st.floats(150, 250))
def test_nothing_is_lost_and_nothing_overlaps(blocks: list[Block], height: float) -> None:
    sheets = flow(blocks, "report", "Report", 120.0, height)
    heads = {"Level", "What", "Measured"}
    shown = [
        word for sheet in sheets for text in texts(sheet) for word in text.words.split() if word not in heads
    ]
    assert sorted(shown) == sorted(word for block in blocks for word in words_of(block))
    for sheet in sheets:
        assert sheet.bounds == Bounds(0.0, -height, 120.0, 0.0)
        for one, other in combinations([text.bounds for text in texts(sheet)], 2):
            inset = other.grown(-1e-6)
            assert not one.overlaps(inset)


def test_no_blocks_give_one_blank_sheet() -> None:
    (sheet,) = flow((), "report", "Report", 100.0, 200.0, notes=("Nothing.",))
    assert (sheet.name, sheet.notes, sheet.drawing.marks) == ("report", ("Nothing.",), ())


def test_heads_are_repeated_on_every_page() -> None:
    table = Table(COLUMNS, tuple(Row((str(number), "wall", "6.20"), Role.STOP) for number in range(60)))
    sheets = flow([Heading("Checks"), table], "report", "Report", 120.0, 150.0)
    assert len(sheets) > 1
    assert [sheet.name for sheet in sheets] == [f"report-{number}" for number in range(1, len(sheets) + 1)]
    for sheet in sheets:
        assert sum(text.words == "Level" for text in texts(sheet)) == 1
    first = next(
        mark for mark in sheets[0].drawing.marks if isinstance(mark.shape, Text) and mark.shape.words == "0"
    )
    assert first.role is Role.STOP


def test_a_heading_never_ends_a_page() -> None:
    for height in range(40, 60):
        blocks: list[Block] = [Paragraph("wall " * 60), Heading("Next"), Paragraph("bore")]
        for sheet in flow(blocks, "report", "Report", 120.0, float(height)):
            last = min(texts(sheet), key=lambda text: text.at.y)
            assert last.words != "Next"


def test_a_page_does_not_begin_with_blank_paper() -> None:
    sheets = flow([Paragraph("wall"), Space(500.0), Paragraph("bore")], "report", "Report", 120.0, 100.0)
    tops = [max(text.bounds.top for text in texts(sheet)) for sheet in sheets if texts(sheet)]
    assert tops == pytest.approx([0.0, 0.0], abs=1e-9)


def test_a_huge_cell_is_cut_with_an_ellipsis() -> None:
    table = Table((Column("What"),), (Row(("wall " * 2000,)),))
    (sheet,) = flow([table], "report", "Report", 100.0, 100.0)
    assert min(texts(sheet), key=lambda text: text.at.y).words.endswith("…")


def test_cells_at_the_right_end_at_one_line() -> None:
    table = Table(COLUMNS, (Row(("a", "b", "6.2")), Row(("a", "b", "16.25"))))
    (sheet,) = flow([table], "report", "Report", 100.0, 100.0)
    ends = {round(text.bounds.right, 9) for text in texts(sheet) if text.anchor == "end"}
    assert len(ends) == 1


def test_a_row_fills_every_column() -> None:
    with pytest.raises(AssertionError, match="every column"):
        Table(COLUMNS, (Row(("only one",)),))


def test_blocks_laid_out_are_as_high_as_it_takes() -> None:
    blocks = [Paragraph("A line.") for _ in range(200)]
    drawing = laid_out(blocks, 120.0)
    assert len(drawing.marks) == 200
    assert drawing.bounds.height > 600
    assert drawing.bounds.top <= 0


def test_a_table_is_halved_with_its_first_column_in_both() -> None:
    rows = (Row(("1", "a", "b", "c"), Role.FINE, bold=True), Row(("2", "d", "e", "f")))
    one, two = Table(tuple(Column(head) for head in "NABC"), rows).halves(2)
    assert [column.head for column in one.columns] == ["N", "A"]
    assert [column.head for column in two.columns] == ["N", "B", "C"]
    assert [row.cells for row in one.rows] == [("1", "a"), ("2", "d")]
    assert [row.cells for row in two.rows] == [("1", "b", "c"), ("2", "e", "f")]
    assert (two.rows[0].role, two.rows[0].bold) == (Role.FINE, True)


@given(st.integers(2, 30), st.floats(-10.0, 120.0))
def test_so_many_rows_fit_and_not_one_more(count: int, height: float) -> None:
    rows = tuple(Row((str(n), "wall", "6.20")) for n in range(count))
    table = Table(COLUMNS, rows)
    fitting = rows_fitting(table, 120.0, height)
    head, each = (laid_out((table.part(0, n),), 120.0).bounds.height for n in (1, 2))
    step = each - head
    assert fitting == max(0, min(count, int((height - head + 1e-9) // step) + 1))
    assert table.part(0, fitting).rows + table.part(fitting).rows == rows


def test_sheets_of_words_have_no_scale() -> None:
    (sheet,) = flow((Paragraph("wall"),), "report", "Report", 120.0, 200.0)
    assert sheet.scale == NO_SCALE
