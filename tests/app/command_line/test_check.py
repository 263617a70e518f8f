"""`pegwright check` and the lists, called as the command line calls them."""

from __future__ import annotations

import json
import math
import time
from pathlib import Path
from typing import Any, NoReturn, get_args

import msgspec
import pytest

from app import VERSION
from export.fingerprint import fingerprint
from geometry.checks.judge import findings
from geometry.document.codec import read_build, write_shop
from geometry.document.edits import set_limit
from geometry.document.schema import build_schema
from geometry.layout.layout import lay_out
from geometry.trade.bore_fit import with_drawn_bore
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.limits import ChangedLimit, Unit
from geometry.trade.measured import measures, with_measured
from geometry.trade.shop import Shop, default_shop
from geometry.trade.string_sets import STRING_SETS
from tests.app.command_line.calls import (
    SAMPLES,
    SIX,
    SOUND,
    STOPPED,
    UKULELE,
    Printed,
    refused,
    run,
    said,
    written,
)
from tests.bad_files import BAD_FILES, BadFile
from tests.builds import change, nodes

COMMANDS = (
    *("check", "export", "new", "refit", "fits", "widths", "best", "missed", "compare", "nut", "bore"),
    *("strength", "balance", "hardware", "strings", "sheets", "schema"),
)
KEYS = ["check", "level", "measured", "watch", "stop", "margin", "unit", "about", "where", "words"]

# Exit codes and sentences


@pytest.mark.parametrize(
    ("path", "code", "headline"),
    [
        (SOUND, 0, "It can be drilled: everything clears."),
        (UKULELE, 0, "It can be drilled; look at 4 findings first."),
        (STOPPED, 1, "Do not drill: fix 2 problems first."),
        (SAMPLES / "fails-string-rubs-post.pegwright", 1, "Do not drill: fix 1 problem first."),
    ],
)
def test_the_exit_code_and_the_headline(capsys: Printed, path: Path, code: int, headline: str) -> None:
    assert run("check", path) == code
    said = capsys.readouterr()
    assert said.out.splitlines()[0] == f"{path}: {headline}"
    assert said.err == ""


def test_what_is_fine_is_said_when_asked_for(capsys: Printed) -> None:
    run("check", UKULELE)
    short = capsys.readouterr().out.splitlines()
    run("check", "--all", UKULELE)
    long = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in short[1:]] == ["watch"] * 4 + ["All", "Fingerprint"]
    assert long[: len(short) - 2] == short[:-2]
    assert {line.split()[0] for line in long[len(short) - 2 : -2]} == {"fine"}


def test_typical_measures_of_tuners_are_counted(capsys: Printed, tmp_path: Path) -> None:
    build = read_build(SOUND.read_bytes())
    assert said(capsys, "check", SOUND).splitlines()[-2] == "  All tuner measures are typical: measure yours."
    typed = (
        with_measured(build.hardware[0], measures(build.hardware[0]).keys() - {"seat.along", "body_mass"}),
    )
    lines = said(capsys, "check", written(change(build, hardware=typed), tmp_path)).splitlines()
    assert lines[-2] == "  2 measures of the tuners are typical: measure yours."


def test_the_fingerprint_is_that_of_what_export_writes(capsys: Printed, tmp_path: Path) -> None:
    mark = fingerprint(read_build(SOUND.read_bytes()), default_shop(), VERSION)
    assert said(capsys, "check", SOUND).splitlines()[-1] == f"  Fingerprint {mark}."
    assert json.loads(said(capsys, "check", "--json", SOUND))[str(SOUND)]["fingerprint"] == mark
    assert run("export", SOUND, tmp_path / "holes.csv") == 0
    assert (tmp_path / "holes.csv").read_text(encoding="utf-8").splitlines()[1].endswith(f",{mark}")


def test_the_fingerprint_of_a_build_without_a_name_is_that_of_its_paper(
    capsys: Printed, tmp_path: Path
) -> None:
    path = written(change(read_build(SOUND.read_bytes()), name=""), tmp_path, "mine")
    assert run("export", path, tmp_path / "holes.csv") == 0
    mark = (tmp_path / "holes.csv").read_text(encoding="utf-8").splitlines()[1].rsplit(",", 1)[1]
    capsys.readouterr()
    assert said(capsys, "check", path).splitlines()[-1] == f"  Fingerprint {mark}."


def test_what_cures_a_finding_is_said_beneath_it(capsys: Printed) -> None:
    """Walls of 2.5 mm that should be 4.8 move by 2.3, both of a side that are too thin."""
    lines = said(capsys, "check", "--cures", STOPPED, code=1).splitlines()
    assert lines[1].startswith("  STOP   Bore 4: 2.5 mm of wood left")
    assert lines[2].strip().startswith("Move posts 3 and 4 by 2.3 mm inward: no stop left, 2 to look at")
    placement = "           Look for a placement that clears: pegwright best."
    assert placement in lines
    short = said(capsys, "check", STOPPED, code=1).splitlines()
    assert short == [line for line in lines if not line.startswith("     ")]


def test_cures_are_in_the_json_when_asked_for(capsys: Printed) -> None:
    told = json.loads(said(capsys, "check", "--cures", "--json", STOPPED, code=1))[str(STOPPED)]["findings"]
    assert all(each["cures"] for each in told if each["level"] != "fine")
    assert all(each["cures"] == [] for each in told if each["level"] == "fine")


def loose(folder: Path) -> Path:
    """The six in line with bores of 9 mm for ribs of 8.8."""
    build = read_build(SIX.read_bytes())
    return written(
        change(build, hardware=tuple(with_drawn_bore(each, 9.0) for each in build.hardware)), folder
    )


@pytest.mark.parametrize(
    ("drills", "words"),
    [
        ({}, "Use 8.7 mm."),
        ({"drill_sets": ("fraction",)}, "Use 11/32 in."),
        ({"drill_sets": ()}, "Use 8.7 mm."),
    ],
)
def test_a_bore_outside_its_fit_is_told_with_the_drill_to_use(
    drills: dict[str, Any], words: str, capsys: Printed, tmp_path: Path
) -> None:
    file, shop = loose(tmp_path), tmp_path / "shop.json"
    shop.write_bytes(write_shop(Shop(**drills)))
    (line,) = said(capsys, "check", file, "--shop", shop).splitlines()[1:-2]
    # A drill of 9 against one of 8.75 at most.
    assert line == (
        "  watch  Bore 1 to 6: 0.25 mm outside the fit for the wood and what sits in it. "
        f"Wide: even in hard wood the bushing may work loose. {words}"
    )
    (found,) = (
        each
        for each in json.loads(said(capsys, "check", file, "--json", "--shop", shop))[str(file)]["findings"]
        if each["check"] == "bore fit"
    )
    assert found["words"].endswith(words)
    assert (found["measured"], found["level"], found["stop"]) == (pytest.approx(-0.25), "watch", None)


def test_what_is_found_does_not_depend_on_the_shop(capsys: Printed, tmp_path: Path) -> None:
    file, shop = loose(tmp_path), tmp_path / "shop.json"
    shop.write_bytes(write_shop(Shop(drill_sets=(), extra_drills=(9.0,), finish_build_up=0.3)))

    def judged(*options: str | Path) -> list[tuple[str, str, float]]:
        found = json.loads(said(capsys, "check", file, "--json", *options))[str(file)]["findings"]
        return [(each["check"], each["level"], each["measured"]) for each in found]

    assert judged() == judged("--shop", shop)


def test_a_shop_that_cannot_be_read_is_told_in_one_line(capsys: Printed, tmp_path: Path) -> None:
    shop = tmp_path / "shop.json"
    shop.write_bytes(b"{}")
    assert "pegwright_shop: this is not a shop file" in refused(capsys, "check", SOUND, "--shop", shop)


def test_lengths_are_said_in_inches_when_asked_for(capsys: Printed) -> None:
    run("check", "--units", "inch", STOPPED)
    said = capsys.readouterr().out
    assert " in " in said
    assert "mm" not in said


def test_without_being_asked_lengths_are_said_in_the_units_of_the_shop(
    capsys: Printed, no_shop_of_our_own: Path
) -> None:
    folder = no_shop_of_our_own / "pegwright"
    folder.mkdir(parents=True)
    (folder / "shop.json").write_text('{"pegwright_shop": 1, "units": "inch"}')
    run("check", STOPPED)
    said = capsys.readouterr().out
    assert " in " in said
    assert "mm" not in said
    run("check", "--units", "mm", STOPPED)
    assert "mm" in capsys.readouterr().out
    # 10 mm is 0.394 in; 26 g and 7 g are 1.2 oz.
    run("hardware")
    said = capsys.readouterr().out
    assert "Typical sizes in inches" in said
    assert "0.394" in said
    run("strings")
    assert "0.010 0.013 0.017" in capsys.readouterr().out
    # Wood Handbook, Table 5-3b: sugar maple 1450 lbf; 0.63 (706 kg/m3) is 44 lb/ft3.
    run("woods")
    told = next(line for line in capsys.readouterr().out.splitlines() if line.startswith("sugar maple"))
    assert "1400 lbf" in told
    assert "44 lb/ft³" in told


def test_several_files_give_the_worst_code(capsys: Printed) -> None:
    assert run("check", SOUND, STOPPED, UKULELE) == 1
    headlines = [line for line in capsys.readouterr().out.splitlines() if not line.startswith(" ")]
    assert [line.split(":")[0] for line in headlines] == [str(SOUND), str(STOPPED), str(UKULELE)]


def test_a_file_that_cannot_be_read_does_not_hide_the_others(capsys: Printed, tmp_path: Path) -> None:
    none = tmp_path / "none.pegwright"
    assert run("check", STOPPED, none, SOUND) == 2
    said = capsys.readouterr()
    assert f"{STOPPED}: Do not drill" in said.out
    assert f"{SOUND}: It can be drilled" in said.out
    assert said.err == f"pegwright: {none}: cannot be read: no such file or directory\n"


def test_the_builds_own_limits_count(capsys: Printed, tmp_path: Path) -> None:
    build = read_build(STOPPED.read_bytes())
    path = written(set_limit(build, ChangedLimit(rule="wall", level="stop", least=2.0)), tmp_path)
    assert run("check", path) == 0
    assert "Do not drill" not in capsys.readouterr().out


def test_no_name_makes_a_line_of_its_own(capsys: Printed, tmp_path: Path) -> None:
    name = "rod\u009b31m\n/x/other.pegwright: It can be drilled: everything clears."
    plain = json.loads(SOUND.read_text(encoding="utf-8"))
    plain["keep_clear"][0]["name"] = name
    path = tmp_path / "named.pegwright"
    path.write_text(json.dumps(plain), encoding="utf-8")
    assert run("check", "--all", path) == 0
    headline, *lines, _, _ = capsys.readouterr().out.splitlines()
    assert headline == f"{path}: It can be drilled: everything clears."
    assert len(lines) > 100
    assert all(line.startswith("  fine ") and line.isprintable() for line in lines)


def test_a_tangled_outline_is_told_once(capsys: Printed, tmp_path: Path) -> None:
    # 30 corners to and fro across the head, and straight back down through all of it.
    places = [
        (40.0, 0.0),
        *((-40.0 if n % 2 else 40.0, 10.0 + n) for n in range(30)),
        (0.0, 90.0),
        (-1.0, 0.0),
    ]
    build = read_build(SOUND.read_bytes())
    path = written(msgspec.structs.replace(build, outline=nodes(*places)), tmp_path)
    begin = time.process_time()
    assert run("check", path) == 1
    assert time.process_time() - begin < 5
    lines = capsys.readouterr().out.splitlines()
    crossing = [line for line in lines if "crosses or touches itself" in line and "STOP" in line]
    assert crossing == ["  STOP   The outline crosses or touches itself, in 12 places or more."]


# JSON


def no_constant(name: str) -> NoReturn:
    message = f"{name} is no JSON"
    raise AssertionError(message)


def read_json(text: str) -> Any:
    return json.loads(text, parse_constant=no_constant)


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.pegwright")), ids=lambda path: path.stem)
def test_json_holds_every_finding_with_the_same_keys(capsys: Printed, path: Path) -> None:
    code = run("check", "--json", path)
    results = read_json(capsys.readouterr().out)
    assert list(results) == [str(path)]
    rows, found = results[str(path)]["findings"], findings(read_build(path.read_bytes()))
    assert len(rows) == len(found)
    for row, finding in zip(rows, found, strict=True):
        assert list(row) == KEYS
        assert row["check"] == finding.check
        assert row["level"] in {"stop", "watch", "fine"}
        assert row["unit"] in set(get_args(Unit))
        assert row["about"] == [part.name for part in finding.about]
        for key in ("measured", "watch", "stop", "margin"):
            assert row[key] is None or (isinstance(row[key], float | int) and math.isfinite(row[key]))
        assert row["where"] is None or [len(place) for place in row["where"]] == [2, 2]
        assert row["words"].endswith((".", "!"))
    assert code == (1 if any(row["level"] == "stop" for row in rows) else 0)


@pytest.mark.parametrize("path", sorted(SAMPLES.glob("*.pegwright")), ids=lambda path: path.stem)
def test_json_holds_the_ring_of_every_hole(capsys: Printed, path: Path) -> None:
    run("check", "--json", path)
    result = read_json(capsys.readouterr().out)[str(path)]
    layout = lay_out(read_build(path.read_bytes()))
    assert [ring["hole"] for ring in result["rings"]] == [post.label for post in layout.posts]
    for ring in result["rings"]:
        assert 0 <= ring["ring"] <= ring["alone"] + 1e-9
        # Told to a tenth of a millimetre, below 0.3 mm to a hundredth.
        assert ring["ring"] == round(ring["ring"], 1 if ring["ring"] >= 0.3 else 2)
        assert ring["broken"] == (ring["alone"] == 0)
        assert ring["words"].startswith(f"Hole {ring['hole']}")
    assert result["rings_in_words"].endswith(".")


def test_rings_are_told_when_asked_for(capsys: Printed) -> None:
    assert run("check", "--rings", SOUND) == 0
    said = capsys.readouterr().out
    assert "All holes may miss at once, each within its ring; the smallest is" in said
    assert said.count("Together with all others: ") == said.count("Hole ")
    run("check", SOUND)
    assert "Hole" not in capsys.readouterr().out


def test_json_of_several_files_leaves_out_the_unreadable(capsys: Printed, tmp_path: Path) -> None:
    assert run("check", "--json", tmp_path, SOUND, STOPPED) == 2
    said = capsys.readouterr()
    assert list(read_json(said.out)) == [str(SOUND), str(STOPPED)]
    assert said.err == f"pegwright: {tmp_path}: cannot be read: is a directory\n"


# Bad files


@pytest.mark.parametrize("bad", BAD_FILES, ids=[bad.name for bad in BAD_FILES])
def test_a_bad_file_gives_one_line(capsys: Printed, tmp_path: Path, bad: BadFile) -> None:
    path = tmp_path / "bad.pegwright"
    path.write_bytes(bad.data)
    said = refused(capsys, "check", path)
    assert said.startswith(f"{path}: ")
    assert " ".join(bad.words.split()) in said
    assert refused(capsys, "export", path, tmp_path / "out.pdf") == said
    assert not (tmp_path / "out.pdf").exists()


# Usage and lists


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (("drill",), "invalid choice: 'drill'"),
        (("check",), "the following arguments are required: FILE"),
        (("check", "--colour", "x"), "unrecognized arguments: --colour; see pegwright check --help"),
        (("export", "x", "y.pdf", "-o"), "unrecognized arguments: -o; see pegwright export --help"),
        (("check", "--units", "cubits", "x"), "invalid choice: 'cubits'"),
        (("check", "line\nbreak"), "line\\nbreak: cannot be read: no such file or directory"),
        (("export", "x"), "the following arguments are required: OUT"),
        (("new", "narrow"), "required: -o/--output; see pegwright new --help"),
    ],
)
def test_what_is_not_understood_is_refused_in_one_line(
    capsys: Printed, given: tuple[str, ...], words: str
) -> None:
    assert words in refused(capsys, *given)


@pytest.mark.parametrize("command", [(), *((name,) for name in COMMANDS)])
def test_help_is_given(capsys: Printed, command: tuple[str, ...]) -> None:
    assert said(capsys, *command, "--help").startswith(" ".join(("usage: pegwright", *command)))


def test_the_version_is_told(capsys: Printed) -> None:
    assert said(capsys, "--version") == f"pegwright {VERSION}\n"


def test_the_lists_name_everything_on_the_shelf(capsys: Printed) -> None:
    shelf = said(capsys, "hardware")
    assert "measure yours" in shelf
    assert [line.split()[0] for line in shelf.splitlines()[2:-2]] == [each.key for each in LIBRARY]
    assert "the hardest pull and thickest string it takes; workshop practice, no source" in shelf
    shelf = said(capsys, "strings")
    assert [line.split()[0] for line in shelf.splitlines()[2:]] == [each.key for each in STRING_SETS]


def test_the_schema_is_that_of_a_build(capsys: Printed) -> None:
    assert read_json(said(capsys, "schema")) == json.loads(json.dumps(build_schema()))


def test_an_interruption_is_no_traceback(capsys: Printed, monkeypatch: pytest.MonkeyPatch) -> None:
    def interrupted(_: Path) -> NoReturn:
        raise KeyboardInterrupt

    monkeypatch.setattr("app.command_line.check.load_build", interrupted)
    assert run("check", SOUND) == 130
    assert capsys.readouterr().err == "pegwright: interrupted\n"


def test_a_fault_of_the_program_has_a_code_of_its_own_and_leaves_a_report(
    capsys: Printed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(path: Path) -> None:
        raise ZeroDivisionError("one by \x1b[31mnothing")

    monkeypatch.setattr("app.command_line.check.load_build", broken)
    monkeypatch.setattr("app.document.files.usual_folders", lambda: (tmp_path, tmp_path / "state"))
    assert run("check", "--json", SOUND) == 3
    log = tmp_path / "state" / "log.txt"
    said = capsys.readouterr()
    assert said.out == ""
    assert said.err == (
        "pegwright: something went wrong inside Pegwright "
        f"(ZeroDivisionError: one by \\x1b[31mnothing); the report lies in {log}\n"
    )
    assert "in broken" in log.read_text()
    log.unlink()
    log.mkdir()
    assert run("check", SOUND) == 3
    assert f"no report could be kept in {log}" in capsys.readouterr().err
