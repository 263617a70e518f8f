"""Small samples of the campaigns, which take too long to be tried whole each time."""

from __future__ import annotations

import errno
import os
import subprocess
import sys
from contextlib import suppress
from pathlib import Path

import pytest

from app.document import document
from tests.campaigns import (
    broken_drawings,
    broken_files,
    broken_pictures,
    faults,
    full_disk,
    kills,
    window_crashes,
)


def test_whatever_fails_while_saving_nothing_is_lost(qapp: object) -> None:
    found = faults.campaign([errno.ENOSPC], step=3)
    assert set(found) == {"saved", "refused and told"}
    assert found["refused and told"] > 2


def test_a_disk_is_filled_but_for_the_room_and_given_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """On a disk that holds 40 blocks and 9 files, as the calls say that it does."""
    write, touch = os.write, Path.touch

    def blocks(descriptor: int, data: bytes) -> int:
        if os.fstat(descriptor).st_size >= 40 * full_disk.STEP:
            raise OSError(errno.ENOSPC, "full")
        return write(descriptor, data)

    def few(file: Path) -> None:
        if len(list(file.parent.iterdir())) >= 9:
            raise OSError(errno.ENOSPC, "full")
        touch(file)

    monkeypatch.setattr(os, "write", blocks)
    monkeypatch.setattr(Path, "touch", few)
    with full_disk.filled(tmp_path, 3 * full_disk.STEP, 2):
        assert (tmp_path / "ballast" / "bytes").stat().st_size == 37 * full_disk.STEP
        assert len(list((tmp_path / "ballast").iterdir())) == 7
    assert not list(tmp_path.iterdir())


def test_a_large_disk_is_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(full_disk, "LARGEST", 0)
    with pytest.raises(SystemExit, match="a disk of at most 0 is expected"):
        full_disk.campaign(tmp_path)


def test_the_campaign_sees_a_copy_that_is_lost(qapp: object, monkeypatch: pytest.MonkeyPatch) -> None:
    """A copy that is written straight onto the old one, as it must not be."""

    def careless(path: Path) -> None:
        copy = path.with_name(f"{path.name}~")
        copy.write_bytes(b"")
        with suppress(OSError):
            os.stat(path)  # noqa: PTH116 - a call that can fail, as the writing may
            copy.write_bytes(path.read_bytes())

    monkeypatch.setattr(document, "keep_copy", careless)
    assert any(outcome.startswith("LOST") for outcome in faults.campaign([errno.ENOSPC]))


def test_spoilt_files_are_refused_or_go_through_everything(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    found = broken_files.campaign(120, 60, seed=7)
    assert set(found) <= {f"{kind} {became}" for kind in ("build", "shop") for became in ("loads", "refused")}


def test_kills_while_saving_tear_nothing() -> None:
    found = kills.campaign(2)
    assert set(found) <= {"whole", "killed before the first copy"}


def test_killed_windows_give_their_work_back() -> None:
    # In a process of its own: the campaign forks, which nobody may who has a window already.
    command = [sys.executable, window_crashes.__file__, "2", "5"]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    outcomes = {line.split(maxsplit=1)[1] for line in done.stdout.splitlines()}
    assert outcomes <= {"recovered", "had nothing unsaved"}
    assert "recovered" in outcomes


def test_spoilt_drawings_are_refused_or_become_builds(tmp_path: Path) -> None:
    found = broken_drawings.campaign(60, tmp_path, seed=11)
    assert {outcome.split(" ", 1)[1] for outcome in found} <= {"refused", "a head", "a build"}
    assert {outcome.split(" ", 1)[0] for outcome in found} == {".svg", ".dxf", ".csv"}


def test_the_campaign_sees_a_reader_that_raises(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def careless(path: Path, told: object) -> None:
        raise KeyError(path.suffix)

    monkeypatch.setattr("app.intake.readers.READERS", {".svg": careless})
    file = tmp_path / "head.svg"
    file.write_bytes(b"<svg/>")
    assert broken_drawings.outcome_of(file).startswith("RAISED")


def test_spoilt_pictures_are_refused_or_become_builds(tmp_path: Path) -> None:
    found = broken_pictures.campaign(20, tmp_path, seed=3)
    assert {outcome.split(" ", 1)[1] for outcome in found} <= {"refused", "a head", "a build"}
    assert sum(found.values()) == 20
