"""`pegwright best`: the placement that forgives most."""

from __future__ import annotations

from pathlib import Path

import pytest

from geometry.document.build import AlongEdge, OnLine
from geometry.document.codec import read_build
from geometry.layout.layout import lay_out
from tests.app.command_line.calls import SIX, SOUND, Printed, refused, run, said, written
from tests.builds import REAR_TUNER, plain_head, rectangle, row, turns_too_low


def told(capsys: Printed, *given: str | Path, code: int = 0) -> list[str]:
    return said(capsys, "best", *given, code=code).splitlines()


def test_it_writes_the_placement_and_says_what_it_gains(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "better.pegwright"
    lines = told(capsys, SIX, "-o", out)
    assert lines[0].startswith(f"Wrote {out}. It can be drilled")
    # The screws that two tuners share leave (bore - shaft) / 2 and no more.
    post = lay_out(read_build(SIX.read_bytes())).posts[0]
    play = (post.hardware.bore.through - post.hardware.post_diameter) / 2
    assert lines[1] == f"  The smallest ring was 0.15 mm and is {play - 0.05:.1f} mm now."
    assert lines[2].startswith("  The strings turned 0.8° at the nut and turn ")
    assert lines[3].startswith("  All holes may miss at once, each within its ring; the smallest is 1.1 mm")
    assert "does not meet the screw that it shares any more" in lines[4]
    before, after = (read_build(path.read_bytes()) for path in (SIX, out))
    assert isinstance(after.rows[0].rule, OnLine)
    assert after.rows[0].rule != before.rows[0].rule


def test_without_a_file_to_write_it_only_says_what_it_found(
    capsys: Printed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    out = tmp_path / "better.pegwright"
    _, *gained = told(capsys, SIX, "-o", out)
    monkeypatch.chdir(tmp_path)
    out.unlink()
    first, *rest = told(capsys, SIX)
    assert first.startswith(f"{SIX}, placed anew: It can be drilled")
    assert rest == gained
    assert not list(tmp_path.iterdir())


def test_what_is_still_to_look_at_is_told(capsys: Printed) -> None:
    first, *rest = told(capsys, SOUND)
    assert first.endswith("look at 1 finding first.")
    assert sum(line.startswith("  watch  ") for line in rest) == 1


def test_options_are_kept(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "better.pegwright"
    source = SOUND
    options = ["--kind", "free", "--fixed", "1, 6", "--pitch", "40 mm:1.75", "--inset", "11 mm:13 mm"]
    options += ["--straight", "0.1 mm", "--seed", "2", "--units", "inch"]
    lines = told(capsys, source, "-o", out, *options)
    assert "in and is" in lines[1]
    before, after = (lay_out(read_build(path.read_bytes())) for path in (source, out))
    keys = {post.label: post.key for post in before.posts}
    for label in ("1", "6"):
        assert before.post(keys[label]).at.distance(after.post(keys[label]).at) < 1e-6


def test_what_cannot_be_better_is_said(capsys: Printed, tmp_path: Path) -> None:
    source, out = written(plain_head(row("treble", 1)), tmp_path), tmp_path / "out.pegwright"
    build = read_build(source.read_bytes())
    fixed = lay_out(build).posts[0].label
    lines = told(capsys, source, "-o", out, "--fixed", fixed, code=1)
    assert lines[1].startswith(
        "  The tuners stay where they are: nothing better was found. The smallest ring is "
    )
    assert read_build(out.read_bytes()) == build


def test_what_only_harms_is_not_written(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "no-worse.pegwright"
    lines = told(capsys, SIX, "-o", out, "--pitch", "20:22")
    assert lines[0].startswith(f"Wrote {out}. It can be drilled")
    assert lines[1].startswith("  The tuners stay where they are: nothing better was found.")
    assert lines[2].startswith(
        "  Other places would break a limit that these keep, or break one further: Body "
    )
    assert read_build(out.read_bytes()) == read_build(SIX.read_bytes())


def test_the_least_bad_is_written_where_nothing_fits(capsys: Printed, tmp_path: Path) -> None:
    """The head is 14 mm wide, the seat 18: it hangs over by 2 mm on both sides where it hung over by 6 on one."""
    rule = AlongEdge(start=60.0, pitch=40.0, inset=4.0)
    one = row("treble", 1, rule=rule, hardware="rear")
    build = plain_head(one, outline=rectangle(14.0, 200.0), hardware=(REAR_TUNER,))
    out = tmp_path / "least-bad.pegwright"
    lines = told(capsys, written(build, tmp_path), "-o", out, code=1)
    assert lines[0].startswith(f"Wrote {out}. Do not drill")
    assert lines[3].startswith("  No placement was found that keeps every limit; this is the least bad. ")


def test_what_no_placement_cures_is_left_and_the_cure_is_said(capsys: Printed, tmp_path: Path) -> None:
    source, out = written(turns_too_low(), tmp_path), tmp_path / "out.pegwright"
    lines = told(capsys, source, "-o", out, code=1)
    assert read_build(out.read_bytes()) == turns_too_low()
    assert lines[2].startswith(
        "  No placement was found that keeps every limit. String 1: its lowest turn lies 0.78 mm "
    )
    assert lines[3] == "  What cures the lowest turn of string 1: a head 0.8 mm thinner, or one turn less."


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (("--fixed", "1,9"), '--fixed: there is no post "9"; expected some of 6, 5, 4, 3, 2, 1.'),
        (("--pitch", "20"), '--pitch: "20" is no range; expected the least and the most, such as 10:16.'),
        (("--pitch", "30:20"), '--pitch: "30:20" begins after it ends'),
        (("--inset", "a:b"), '--inset: "a" is not a length'),
        (("--straight", "-1"), '--straight: "-1" is not a length: it is negative;'),
        (("--straight", "nan"), '--straight: "nan" is not a length'),
        (("--seed", "-4"), "--seed: expected 0 or more."),
    ],
)
def test_what_makes_no_sense_is_refused(
    capsys: Printed, tmp_path: Path, given: tuple[str, ...], words: str
) -> None:
    assert words in refused(capsys, "best", SIX, "-o", tmp_path / "out.pegwright", *given)
    assert list(tmp_path.iterdir()) == []


def test_a_file_that_is_there_is_kept(capsys: Printed, tmp_path: Path) -> None:
    out = tmp_path / "mine.pegwright"
    out.write_bytes(b"years of work")
    assert "is there already; give --force" in refused(capsys, "best", SIX, "-o", out)
    assert out.read_bytes() == b"years of work"
    assert "ends in .pegwright" in refused(capsys, "best", SIX, "-o", tmp_path / "out.pdf")
    assert run("best", SIX, "-o", out, "--force") == 0
    assert read_build(out.read_bytes()).name == read_build(SIX.read_bytes()).name
