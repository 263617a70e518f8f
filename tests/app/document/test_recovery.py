"""Unsaved work outlives its window, and only its window."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from msgspec.structs import replace

from app.document.recovery import SUFFIX, Recovery
from geometry.document.codec import write_build
from tests.builds import eight_on_plates, three_and_three

HOME = Path(__file__).resolve().parents[3]
DIE_WITH_WORK = """
import os, signal, sys
from pathlib import Path
from app.document.recovery import Recovery
from geometry.document.codec import read_build
recovery = Recovery(Path(sys.argv[1]))
recovery.keep(read_build(Path(sys.argv[2]).read_bytes()), Path(sys.argv[3]) if sys.argv[3] else None)
os.kill(os.getpid(), signal.SIGKILL)
"""


def die_with_work(folder: Path, build: bytes, path: str = "") -> None:
    """Another process keeps a build and is killed."""
    source = folder.parent / "source.pegwright"
    source.write_bytes(build)
    subprocess.run([sys.executable, "-c", DIE_WITH_WORK, folder, source, path], cwd=HOME, check=False)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "recovery"


def test_work_of_a_killed_process_is_found(folder: Path, tmp_path: Path) -> None:
    build = three_and_three()
    die_with_work(folder, write_build(build), str(tmp_path / "mine.pegwright"))
    [left] = Recovery(folder).left_behind()
    assert left.build == build
    assert left.path == tmp_path / "mine.pegwright"
    assert abs(left.when - datetime.now(tz=UTC)) < timedelta(minutes=1)


def test_a_file_named_from_a_folder_is_found_from_every_other_one(folder: Path) -> None:
    die_with_work(folder, write_build(three_and_three()), "mine.pegwright")
    [left] = Recovery(folder).left_behind()
    assert left.path == HOME / "mine.pegwright"


def test_work_without_a_file_has_none(folder: Path) -> None:
    die_with_work(folder, write_build(three_and_three()))
    [left] = Recovery(folder).left_behind()
    assert left.path is None


def test_the_latest_comes_first(folder: Path) -> None:
    die_with_work(folder, write_build(three_and_three()))
    [old] = folder.glob(f"*{SUFFIX}")
    os.utime(old, (1_000_000, 1_000_000))
    die_with_work(folder, write_build(eight_on_plates()))
    names = [left.build.name for left in Recovery(folder).left_behind()]
    assert names == [eight_on_plates().name, three_and_three().name]


def test_what_a_living_window_keeps_is_not_left_behind(folder: Path) -> None:
    mine, other = Recovery(folder), Recovery(folder)
    mine.keep(three_and_three(), None)
    assert other.left_behind() == ()
    assert mine.left_behind() == ()
    mine.close()
    assert list(folder.glob(f"*{SUFFIX}")) == []


def test_the_last_build_counts_until_it_is_forgotten(folder: Path) -> None:
    recovery = Recovery(folder)
    recovery.keep(three_and_three(), None)
    recovery.keep(replace(three_and_three(), name="later"), None)
    [file] = folder.glob(f"*{SUFFIX}")
    assert b"later" in file.read_bytes()
    recovery.forget()
    assert not file.exists()
    recovery.forget()
    recovery.close()


def test_discarded_work_is_gone(folder: Path) -> None:
    die_with_work(folder, write_build(three_and_three()))
    recovery = Recovery(folder)
    recovery.discard(recovery.left_behind()[0])
    assert recovery.left_behind() == ()
    assert list(folder.iterdir()) == []


@pytest.mark.parametrize(
    "content", [b"", b"{", b"\xff", b'{"path": null, "build": {"pegwright": 1}}', b'{"path": 3}']
)
def test_files_that_cannot_be_read_are_passed_over(folder: Path, content: bytes) -> None:
    folder.mkdir()
    (folder / f"1-1{SUFFIX}").write_bytes(content)
    assert Recovery(folder).left_behind() == ()


def test_without_a_folder_work_goes_on_and_the_reason_is_known(tmp_path: Path) -> None:
    (tmp_path / "recovery").write_text("a file where the folder should be")
    recovery = Recovery(tmp_path / "recovery")
    recovery.keep(three_and_three(), None)
    assert recovery.problem
    assert recovery.left_behind() == ()
    recovery.close()


def test_pipes_in_the_folder_are_passed_over_and_not_waited_for(folder: Path) -> None:
    die_with_work(folder, write_build(three_and_three()))
    os.mkfifo(folder / f"1-1{SUFFIX}")
    (folder / f"2-2{SUFFIX}").write_bytes(b"{}")
    os.mkfifo(folder / "2-2.lock")
    assert len(Recovery(folder).left_behind()) == 1


def test_a_place_is_adopted_and_its_work_stays_until_it_is_forgotten(folder: Path) -> None:
    die_with_work(folder, write_build(three_and_three()))
    mine, other = Recovery(folder), Recovery(folder)
    mine.keep(eight_on_plates(), None)
    [left] = mine.left_behind()
    assert mine.adopt(left)
    assert list(folder.glob(f"*{SUFFIX}")) == [left.kept_in]
    assert other.left_behind() == mine.left_behind() == ()
    assert not other.adopt(left)
    other.discard(left)
    assert left.kept_in.exists()
    mine.keep(eight_on_plates(), None)
    assert list(folder.glob(f"*{SUFFIX}")) == [left.kept_in]
    mine.close()
    assert list(folder.iterdir()) == []


def test_the_file_and_its_stamp_are_remembered(folder: Path, tmp_path: Path) -> None:
    recovery = Recovery(folder)
    recovery.keep(three_and_three(), tmp_path / "mine.pegwright", (1, 2, 3))
    assert recovery._lock is not None
    recovery._lock.unlock()
    [left] = Recovery(folder).left_behind()
    assert (left.path, left.stamp) == (tmp_path / "mine.pegwright", (1, 2, 3))
