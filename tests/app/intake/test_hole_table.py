"""Caliper readings as a table: what is read out of it, and what is said of a line that is not understood."""

from __future__ import annotations

import pytest

from app.intake.hole_table import read_hole_table
from geometry.intake.drawn import DrawingError
from geometry.layout.layout import lay_out
from geometry.search.answers.all_read import ReadHole
from geometry.search.answers.readings import Reading
from tests.builds import three_and_three

LAYOUT = lay_out(three_and_three())
KEYS = {post.label: post.key for post in LAYOUT.posts}
A, B = list(KEYS)[:2]


def read(text: str) -> tuple[ReadHole, ...]:
    return read_hole_table(text.encode(), LAYOUT)


def test_both_tables_of_the_card_stand_in_one_file() -> None:
    found = read(
        f"# read on the bench\nBore; To the nut edge; To the side; ⌀\n{A}; 48,2; 7,1; 10,0\n{B};; 7,0;\n\n"
        f"Bores; Wood between (large jaws); Far edges (small jaws)\n{A} – {B}; 29,6; 49,6\n"
    )
    assert found == (
        ReadHole(
            KEYS[A],
            (
                Reading("nut", 48.2),
                Reading("side", 7.1),
                Reading("between", 29.6, KEYS[B]),
                Reading("across", 49.6, KEYS[B]),
            ),
            10.0,
        ),
        ReadHole(KEYS[B], (Reading("side", 7.0),)),
    )


def test_a_head_tells_the_unit_and_cells_may_hold_their_own() -> None:
    (one,) = read(f"hole,nut (in),centre\n{A},2,15 mm\n")
    assert [each.kind for each in one.readings] == ["nut", "centre"]
    assert [each.length for each in one.readings] == pytest.approx([50.8, 15.0])


@pytest.mark.parametrize(
    ("text", "words"),
    [
        (f"{A},48.2\n", "Line 1 of the table: expected the names of the columns first"),
        (f"hole,nut,girth\n{A},1,2\n", 'Line 1 of the table: the column "girth" is not known'),
        ("hole,nut\n99,48\n", 'Line 2 of the table: there is no hole "99"; expected some of'),
        (f"hole,nut\n{A},soon\n", "Line 2 of the table: "),
        (f"hole,nut\n{A},-4\n", "Line 2 of the table: "),
        (
            f"hole,nut\n{A},4000\n",
            "Line 2 of the table: 4000 is no reading of calipers; expected more than 0, up to 500",
        ),
        (f"hole,nut\n{A},4,5,6\n", "Line 2 of the table has 4 cells"),
        (f"hole,between\n{A},4\n", "between is read of a pair of holes, such as 1 to 2"),
        (f"hole,nut\n{A} to {B},4\n", "nut is read of one hole"),
        (f"hole,between\n{A} to {A},4\n", "is no pair of holes"),
        ("hole,nut\n", "The table has no readings"),
    ],
)
def test_what_is_not_understood_is_told_with_its_line(text: str, words: str) -> None:
    with pytest.raises(DrawingError) as told:
        read(text)
    assert words in str(told.value)
