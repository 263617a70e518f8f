"""The table of holes, read back with the standard library and as bytes."""

from __future__ import annotations

import csv
import io

import pytest

from export.csv import write_table
from export.sheets.holes import HEADER, Hole, write_holes

HOLES = (
    Hole("1", 18.25, 40.5, 10.0, None, "face", "post"),
    Hole('7, "bass"', -18.25, -0.00001, 2.0, 12.3456, "back", "screw ⌀"),
)


def test_the_file_is_the_text_it_should_be() -> None:
    assert write_holes(HOLES, "1A2B3C4D").decode("utf-8") == (
        "name,x_face_mm,y_face_mm,diameter_mm,depth_mm,drilled_from,purpose,fingerprint\r\n"
        "1,18.250,40.500,10.000,through,face,post,1A2B3C4D\r\n"
        '"7, ""bass""",-18.250,0.000,2.000,12.346,back,screw ⌀,1A2B3C4D\r\n'
    )


def test_read_back_every_row_has_every_column() -> None:
    rows = list(csv.reader(io.StringIO(write_holes(HOLES, "1A2B3C4D").decode("utf-8"), newline="")))
    assert tuple(rows[0]) == HEADER
    assert [row[0] for row in rows[1:]] == [hole.name for hole in HOLES]
    assert all(len(row) == len(HEADER) for row in rows)


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@SUM(A1)", "\tx", "\rx", "\nx"])
def test_no_name_becomes_a_formula(name: str) -> None:
    written = write_holes([Hole(name, 0.0, 0.0, 1.0, None, "face", name)], "1A2B3C4D").decode("utf-8")
    rows = list(csv.reader(io.StringIO(written, newline="")))
    assert rows[1][0] == rows[1][-2] == f"'{name}"


def test_no_holes_leave_the_head_of_the_table() -> None:
    assert write_holes((), "1A2B3C4D") == (
        b"name,x_face_mm,y_face_mm,diameter_mm,depth_mm,drilled_from,purpose,fingerprint\r\n"
    )


def test_a_table_of_words_and_numbers() -> None:
    written = write_table(("name", "mm"), (("wall: bore 1, treble edge", 0.5), ("=1+1", None), ("", -0.0001)))
    assert written.decode("utf-8") == (
        'name,mm\r\n"wall: bore 1, treble edge",0.500\r\n\'=1+1,\r\n,0.000\r\n'
    )
