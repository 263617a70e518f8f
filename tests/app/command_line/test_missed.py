"""`pegwright missed`, called as the command line calls it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from app.command_line.parsers.shared import with_signs
from geometry.document.codec import read_build
from geometry.layout.layout import lay_out
from geometry.search.rings.rings import drilled_posts
from geometry.shape.point import Vector
from tests.app.command_line.calls import SIX, SOUND, Printed, refused, run, written
from tests.builds import nodes, plain_head, turns_too_low


def place(label: str) -> tuple[float, float]:
    post = next(post for post in lay_out(read_build(SOUND.read_bytes())).posts if post.label == label)
    return post.at.x, post.at.y


def test_a_small_miss_is_told_and_nothing_is_written(capsys: Printed) -> None:
    assert run("missed", SOUND, "3", "--by", "0.6,-0.4") == 0
    said = capsys.readouterr().out
    assert said.startswith(f"{SOUND}: It can be drilled: everything clears.")
    assert (
        "Hole 3 is 0.72 mm from its mark: 0.6 mm right, 0.4 mm towards the nut, as the face shows it." in said
    )
    assert "the head still works" in said


def test_an_offset_may_begin_with_a_minus_sign(capsys: Printed) -> None:
    assert with_signs(["missed", "a", "3", "--by", "-1,2", "-o", "x"]) == [
        "missed",
        "a",
        "3",
        "--by=-1,2",
        "-o",
        "x",
    ]
    assert run("missed", SOUND, "3", "--by", "-0.6,0.4") == 0
    assert "0.6 mm left, 0.4 mm towards the tip" in capsys.readouterr().out


def test_the_build_is_written_with_the_hole_where_it_is(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "out.pegwright"
    assert (
        run("missed", SOUND, "3", "--by", "0.6,-0.4", "--drilled", "1, 2", "--rest", "keep", "-o", out) == 0
    )
    assert capsys.readouterr().out.startswith(f"Wrote {out}. It can be drilled")
    before, after = read_build(SOUND.read_bytes()), read_build(out.read_bytes())
    old = {post.label: post for post in lay_out(before).posts}
    new = {post.label: post for post in lay_out(after).posts}
    for label, post in new.items():
        step = Vector(0.6, -0.4) if label == "3" else Vector(0.0, 0.0)
        assert post.at.distance(old[label].at + step) < 1e-6
    assert set(drilled_posts(after)) == {old[label].key for label in ("1", "2", "3")}


def test_a_written_head_goes_on_from_what_is_drilled(capsys: Printed, tmp_path: Path) -> None:
    first, second = tmp_path / "1.pegwright", tmp_path / "2.pegwright"
    assert run("missed", SOUND, "3", "--by", "0.3,0", "--rest", "keep", "-o", first) == 0
    assert run("missed", first, "2", "--by", "0,0.2", "--rest", "keep", "-o", second) == 0
    capsys.readouterr()
    assert len(drilled_posts(read_build(second.read_bytes()))) == 2


def test_readings_find_the_place_and_mark_their_bores_as_drilled(capsys: Printed, tmp_path: Path) -> None:
    """Bores of 10 mm: hole 3 is read at 0.5 mm towards the tip and 0.2 mm right of its mark."""
    (x, y), (x4, y4), (x2, y2) = place("3"), place("4"), place("2")
    at = (x + 0.2, y + 0.5)
    across = ((at[0] - x4) ** 2 + (at[1] - y4) ** 2) ** 0.5 + 10.0
    between = ((at[0] - x2) ** 2 + (at[1] - y2) ** 2) ** 0.5 - 10.0
    out = tmp_path / "out.pegwright"
    readings = [f"nut={at[1] - 5.0}", f"across:4={across}", f"between:2={between}"]
    given = [word for reading in readings for word in ("--reading", reading)]
    assert run("missed", SOUND, "3", *given, "--rest", "keep", "-o", out, "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told["by"] == pytest.approx([0.2, 0.5], abs=1e-6)
    assert [each["residual"] for each in told["readings"]] == pytest.approx([0.0] * 3, abs=1e-6)
    labels = {post.key: post.label for post in lay_out(read_build(out.read_bytes())).posts}
    assert {labels[key] for key in drilled_posts(read_build(out.read_bytes()))} == {"2", "3", "4"}


def test_plain_numbers_are_in_the_units_that_are_asked_for(capsys: Printed) -> None:
    assert run("missed", SOUND, "3", "--by", "0.02,-0.01", "--units", "inch", "--json") == 0
    assert json.loads(capsys.readouterr().out)["by"] == pytest.approx([0.508, -0.254], abs=1e-6)
    said = refused(capsys, "missed", SOUND, "3", "--by", "0.5,0", "--units", "inch")
    assert said == "that puts hole 3 1/2 in from its mark; expected 0.394 in at most."


def test_a_head_that_does_not_work_exits_with_one_and_says_what_saves_it(capsys: Printed) -> None:
    assert run("missed", SIX, "3", "--by", "-0.3,1", "--drilled", "2", "--rest", "keep") == 1
    said = capsys.readouterr().out
    assert "STOP: Body 3 and body 2" in said
    assert "Plug and drill again: a plug of " in said


def test_json_holds_the_rest_that_moves(capsys: Printed) -> None:
    assert run("missed", SIX, "3", "--by", "-0.1,0.6", "--json") == 0
    told = json.loads(capsys.readouterr().out)
    assert told["hole"] == "3"
    assert told["works"] is False
    assert told["rest"]["smallest_ring"] > told["rest"]["smallest_ring_before"]
    assert {each["hole"] for each in told["rest"]["moves"]} <= {"1", "2", "4", "5", "6"}
    assert told["plug"]["diameter"] > 8.7
    assert told["rest"]["forbidden"] is None
    assert run("missed", SIX, "3", "--by", "0,0.05", "--rest", "keep", "--json") == 0
    assert json.loads(capsys.readouterr().out)["rest"] is None


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (["9", "--by", "1,1"], 'HOLE: there is no post "9"; expected some of 1, 2, 3, 6, 5, 4.'),
        (["3"], "say where the hole is: give --by X,Y, or --reading two times or more, but not both."),
        (
            ["3", "--by", "1,1", "--reading", "nut=100"],
            "say where the hole is: give --by X,Y, or --reading two times or more, but not both.",
        ),
        (["3", "--by", "1"], '--by: "1" is no offset; expected two lengths such as 0.6,-0.4.'),
        (["3", "--by", "x,1"], '--by: "x" is not a length: it does not read as one number and its unit; '),
        (["3", "--by", "9,9"], "that puts hole 3 12.73 mm from its mark; expected 10 mm at most."),
        (
            ["3", "--by", "1,1", "--diameter", "0"],
            "--diameter: 0 mm is not usable here; expected 0.1 mm to 60 mm.",
        ),
        (["3", "--by", "1,1", "--drilled", "1,8"], '--drilled: there is no post "8"; expected some of '),
        (
            ["3", "--reading", "nut=100"],
            "--reading: one reading does not fix the place; take a second, better a third.",
        ),
        (
            ["3", "--reading", "nut=100", "--reading", "nut=100"],
            "--reading: the readings do not tell where the hole lies across the head; take one more to the side, ",
        ),
        (
            ["3", "--reading", "nut"],
            '--reading: "nut" has no length; expected such as nut=48.2 or between:2=29.6.',
        ),
        (
            ["3", "--reading", "tip=3", "--reading", "nut=1"],
            '--reading: "tip" is not known; expected nut, side, left, right, centre, between:HOLE or across:HOLE.',
        ),
        (
            ["3", "--reading", "between=3", "--reading", "nut=1"],
            '--reading: "between" is not known; expected nut, side, left, right, centre, between:HOLE or across:HOLE.',
        ),
        (
            ["3", "--reading", "between:3=3", "--reading", "nut=1"],
            '--reading: "between:3=3" goes from hole 3 to itself; expected another hole.',
        ),
        (
            ["3", "--by", "1,1", "-o", "a.pdf"],
            "a.pdf: a build file ends in .pegwright; expected such a name.",
        ),
    ],
)
def test_what_makes_no_sense_is_refused_in_one_line(capsys: Printed, given: list[str], words: str) -> None:
    assert refused(capsys, "missed", SOUND, *given).startswith(words)


def test_a_file_that_is_there_is_not_written_over(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "out.pegwright"
    out.write_bytes(b"kept")
    assert "is there already" in refused(capsys, "missed", SOUND, "3", "--by", "1,1", "-o", out)
    assert out.read_bytes() == b"kept"


def test_heads_without_a_sound_outline_or_tuners_are_refused(capsys: Printed, tmp_path: Path) -> None:
    path = written(plain_head(outline=nodes()), tmp_path)
    assert "the outline is open or crosses itself" in refused(capsys, "missed", path, "1", "--by", "1,1")
    written(plain_head(), tmp_path)
    assert refused(capsys, "missed", path, "1", "--by", "1,1") == (
        'HOLE: there is no post "1"; no post has its place on this head.'
    )


def test_what_no_other_place_cures_is_left_where_it_is_and_the_cure_is_said(
    capsys: Printed, tmp_path: Path
) -> None:
    """The hole of string 2 is missed; the lowest turn of string 1 is too low wherever on this head its hole is."""
    source, out = written(turns_too_low(), tmp_path), tmp_path / "out.pegwright"
    given = ("missed", source, "2", "--by", "0.3,0.2", "--rest", "all", "-o", out)
    assert run(*given) == 1
    said = capsys.readouterr().out
    assert "The other holes stay at their marks." in said
    assert "What cures the lowest turn of string 1: a head 0.8 mm thinner, or one turn less." in said
    places = [
        {post.label: post.at for post in lay_out(read_build(path.read_bytes())).posts}
        for path in (source, out)
    ]
    assert places[0]["1"].distance(places[1]["1"]) < 1e-6
    assert run(*given, "--json", "--force") == 1
    answer = json.loads(capsys.readouterr().out)
    assert answer["cures"] == [
        "What cures the lowest turn of string 1: a head 0.8 mm thinner, or one turn less."
    ]
    assert answer["rest"]["refused"] is None
    assert answer["rest"]["moves"] == []
