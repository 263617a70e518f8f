"""What the command line and the window both make of a build."""

from __future__ import annotations

from pathlib import Path

import pytest

from app.command_line.program import main
from app.document.messages import Refusal
from app.document.scene import Scene, scene_of
from app.writing.export import (
    LeftOut,
    made,
    one_sheet,
    pages_of,
    write_machine_file,
    write_pages,
)
from export.catalogue import KINDS, SHEETS
from export.drawing import Sheet
from export.paper import Paper
from export.sheets.comb import COMB
from geometry.document.codec import write_build
from geometry.trade.shop import Shop
from tests.app.output.printed import job_of
from tests.builds import change, four_friction, nodes, plain_head, row, tuner


def bare() -> Scene:
    """A head whose tuners have no body, so that there is nothing to line up."""
    hardware = tuner(key="bare", body=None, seat=None)
    return scene_of(plain_head(row("treble", 2, hardware="bare"), hardware=(hardware,)))


def test_all_sheets_come_in_the_order_of_the_pages(sound: Scene, shop: Shop) -> None:
    done = made(job_of(sound, shop, names=tuple(kind.name for kind in SHEETS)))

    def kind_of(sheet: Sheet) -> str:
        # A sheet of several parts names each after itself: cradle-blocks, cradle-base.
        names = [kind.name for kind in SHEETS if f"{sheet.name}-".startswith(f"{kind.name}-")]
        return max(names, key=len)

    assert list(dict.fromkeys(map(kind_of, done.sheets))) == [kind.name for kind in SHEETS]
    for kind in SHEETS:
        mine = [sheet for sheet in done.sheets if kind_of(sheet) == kind.name]
        assert {sheet.cautions for sheet in mine} == {kind.cautions}
    assert done.left_out == ()


def test_progress_counts_the_sheets(sound: Scene, shop: Shop) -> None:
    told: list[tuple[int, int]] = []
    made(job_of(sound, shop, names=("face", "guide")), lambda done, steps: told.append((done, steps)))
    assert told == [(0, 2), (1, 2), (2, 2)]


def test_no_wanted_sheet_is_no_sheet(sound: Scene, shop: Shop) -> None:
    job = job_of(sound, shop, names=())
    assert made(job).sheets == ()
    assert pages_of((), job.stamp) == ()


def test_a_guide_that_cannot_be_made_keeps_no_other_sheet_away(sound: Scene, shop: Shop) -> None:
    done = made(job_of(sound, shop, names=("face", "guide"), guide_bushing=45.0))
    assert [sheet.name for sheet in done.sheets] == ["face"]
    (missing,) = done.left_out
    assert (missing.name, missing.fault) == ("guide", True)
    assert "45 mm" in missing.why


def test_a_head_without_bodies_needs_no_comb(shop: Shop) -> None:
    done = made(job_of(bare(), shop, names=("comb", "face")))
    assert done.left_out == (LeftOut("comb", COMB.absent, fault=False),)
    assert done.sheets[0].name == "face"


@pytest.mark.parametrize("name", ["nut", "strings"])
def test_a_head_without_strings_needs_no_sheet_for_them(shop: Shop, name: str) -> None:
    job = job_of(bare(), shop, names=("face", name))
    assert made(job).left_out == (LeftOut(name, KINDS[name].absent, fault=False),)
    with pytest.raises(Refusal, match=f"{name}: the build has no strings yet"):
        one_sheet(change(job, names=(name,)))


def test_paper_that_is_too_small_is_refused_in_a_sentence(sound: Scene, shop: Shop) -> None:
    job = job_of(sound, shop, names=("face",))
    card = change(job.stamp, paper=Paper("card", 80.0, 120.0))
    with pytest.raises(Refusal, match="ruler of 100 mm"):
        pages_of(made(job).sheets, card)


def test_a_machine_gets_one_sheet(sound: Scene, shop: Shop) -> None:
    job = job_of(sound, shop)
    assert one_sheet(change(job, names=None)).name == one_sheet(change(job, names=("face",))).name
    assert one_sheet(change(job, names=("back",))).name == "back"
    with pytest.raises(Refusal, match="one sheet"):
        one_sheet(change(job, names=("face", "back")))
    with pytest.raises(Refusal, match="guide: Guide holes of 45 mm"):
        one_sheet(job_of(sound, shop, names=("guide",), guide_bushing=45.0))
    with pytest.raises(Refusal, match="comb: no row has bodies"):
        one_sheet(change(job_of(bare(), shop), names=("comb",)))


def test_machines_get_all_pieces_of_a_cradle_in_one_drawing(sound: Scene, shop: Shop) -> None:
    job = job_of(sound, shop, names=("cradle",), kerf=0.2)
    assert len(made(job).sheets) > 1
    sheet = one_sheet(job)
    assert sheet.name == "cradle"
    assert any("0.2 mm" in note for note in sheet.notes)
    with pytest.raises(Refusal, match="cradle: A kerf is a width"):
        one_sheet(change(job, shop=change(job.shop, kerf=20.0)))


def test_a_head_without_sides_gets_no_cradle_and_is_told_why(shop: Shop) -> None:
    job = job_of(
        scene_of(plain_head(outline=nodes((60.0, 0.0), (0.0, 40.0), (-60.0, 0.0)))), shop, names=("cradle",)
    )
    (missing,) = made(job).left_out
    assert (missing.name, missing.fault) == ("cradle", True)
    assert "no right block" in missing.why


def test_a_report_of_several_pages_is_no_drawing_for_a_machine(shop: Shop) -> None:
    job = job_of(scene_of(four_friction(notes="A note.\n" * 120)), change(shop, paper="A5"))
    with pytest.raises(Refusal, match="Write a PDF"):
        one_sheet(change(job, names=("report",)))


@pytest.mark.parametrize("name", ["calipers", "strings"])
def test_words_are_no_drawing_for_a_machine(sound: Scene, shop: Shop, name: str) -> None:
    job = job_of(sound, shop, names=(name,))
    with pytest.raises(Refusal, match=f"^{name}: a DXF shows no words"):
        write_machine_file(job, ".dxf")
    assert b"<svg " in write_machine_file(job, ".svg")


def test_files_begin_as_their_kinds_do(sound: Scene, shop: Shop) -> None:
    job = job_of(sound, shop, names=("face",))
    assert write_pages(pages_of(made(job).sheets, job.stamp), job).startswith(b"%PDF-1.7")
    assert b"$INSUNITS" in write_machine_file(job, ".dxf")
    assert b"<svg " in write_machine_file(job, ".svg")
    assert len(write_machine_file(job, ".csv").splitlines()) >= 1 + 6
    with pytest.raises(AssertionError):
        write_machine_file(job, ".pdf")


def test_a_stop_is_stamped_on_every_page(sound: Scene, stopped: Scene, shop: Shop) -> None:
    assert job_of(sound, shop).stamp.banner is None
    job = job_of(stopped, shop)
    assert job.stopped
    assert (job.stamp.banner or "").startswith("STOP")


def test_the_command_line_says_what_is_left_out(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "bare.pegwright"
    file.write_bytes(write_build(bare().build))
    pdf = str(tmp_path / "bare.pdf")
    main(["export", str(file), pdf, "--guide-bushing", "45", "--force", "--packet", "everything"])
    assert "the guide is left out: Guide holes of 45 mm" in capsys.readouterr().err
    assert main(["export", str(file), pdf, "--sheets", "face,guide", "--guide-bushing", "45", "--force"]) == 2
    assert "guide: Guide holes of 45 mm" in capsys.readouterr().err
    assert main(["export", str(file), pdf, "--sheets", "comb", "--force"]) == 2
    assert f"no page to write: {COMB.absent}" in capsys.readouterr().err
