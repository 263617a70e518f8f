"""Files are written whole or not at all, and read with a reason when they cannot be."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
from pathlib import Path
from threading import Timer

import pytest

from app.document.files import ENDING, beside, keep_copy, load_build, read_bytes, refuse_target, write_whole
from app.document.messages import Refusal
from geometry.document.codec import read_build

HOME = Path(__file__).resolve().parents[3]
SAMPLE = HOME / "sample_builds" / "six-in-line.pegwright"
OLD, NEW = b"old", b"new and longer"


@pytest.fixture
def target(tmp_path: Path) -> Path:
    path = tmp_path / "head.svg"
    path.write_bytes(OLD)
    return path


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


# Writing


def test_a_new_file_holds_the_bytes_and_gets_the_usual_mode(tmp_path: Path) -> None:
    mask = os.umask(0o027)
    try:
        write_whole(tmp_path / "new.svg", NEW)
    finally:
        os.umask(mask)
    assert (tmp_path / "new.svg").read_bytes() == NEW
    assert stat.S_IMODE((tmp_path / "new.svg").stat().st_mode) == 0o640
    assert names(tmp_path) == ["new.svg"]


def test_the_mask_is_left_as_it_was(tmp_path: Path) -> None:
    mask = os.umask(0o022)
    try:
        write_whole(tmp_path / "new.svg", NEW)
        assert os.umask(0o022) == 0o022
    finally:
        os.umask(mask)


@pytest.mark.parametrize("mode", [0o600, 0o644, 0o664, 0o751])
def test_a_file_that_is_replaced_keeps_its_mode(target: Path, mode: int) -> None:
    target.chmod(mode)
    write_whole(target, NEW)
    assert target.read_bytes() == NEW
    assert stat.S_IMODE(target.stat().st_mode) == mode
    assert names(target.parent) == ["head.svg"]


def test_a_link_is_followed_and_stays_a_link(target: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    link = tmp_path / "elsewhere" / "link.svg"
    link.symlink_to(target)
    write_whole(link, NEW)
    assert link.is_symlink()
    assert target.read_bytes() == NEW
    assert names(link.parent) == ["link.svg"]


def test_a_link_to_nothing_yet_gets_its_file(tmp_path: Path) -> None:
    link = tmp_path / "link.svg"
    link.symlink_to(tmp_path / "later.svg")
    write_whole(link, NEW)
    assert link.is_symlink()
    assert (tmp_path / "later.svg").read_bytes() == NEW


def test_a_name_as_long_as_the_system_allows(tmp_path: Path) -> None:
    path = tmp_path / ("n" * 251 + ".svg")
    write_whole(path, NEW)
    assert path.read_bytes() == NEW


FAILURES = [
    ("fsync", errno.ENOSPC),
    ("fsync", errno.EIO),
    ("replace", errno.EACCES),
    ("replace", errno.EROFS),
    ("chmod", errno.EPERM),
]


@pytest.mark.parametrize(("call", "number"), FAILURES)
def test_a_failure_leaves_the_old_file_and_nothing_else(
    target: Path, monkeypatch: pytest.MonkeyPatch, call: str, number: int
) -> None:
    def fail(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, call, fail)
    with pytest.raises(Refusal) as refused:
        write_whole(target, NEW)
    monkeypatch.undo()
    assert str(refused.value) == f"{target}: cannot be written: {os.strerror(number).lower()}"
    assert target.read_bytes() == OLD
    assert names(target.parent) == ["head.svg"]


def test_the_bytes_are_on_the_disk_before_the_name_is_theirs(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    acts = []
    sync, rename = os.fsync, os.replace

    def synced(handle: int) -> None:
        status = os.fstat(handle)
        acts.append("sync the folder" if stat.S_ISDIR(status.st_mode) else f"sync {status.st_size} bytes")
        sync(handle)

    def renamed(*paths: str) -> None:
        acts.append("rename")
        rename(*paths)

    monkeypatch.setattr(os, "fsync", synced)
    monkeypatch.setattr(os, "replace", renamed)
    write_whole(target, NEW)
    assert acts == [f"sync {len(NEW)} bytes", "rename", "sync the folder"]


def test_bytes_that_do_not_read_back_take_nobodys_place(
    target: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(os, "fsync", lambda handle: os.truncate(handle, 3))
    with pytest.raises(Refusal, match="does not read back"):
        write_whole(target, NEW)
    assert target.read_bytes() == OLD
    assert names(target.parent) == ["head.svg"]


def test_a_pipe_or_device_is_refused_and_stays_what_it_is(tmp_path: Path) -> None:
    pipe, device = tmp_path / "pipe.svg", tmp_path / "device.svg"
    os.mkfifo(pipe)
    device.symlink_to("/dev/null")
    for path in (pipe, device):
        with pytest.raises(Refusal, match="a device or a pipe"):
            write_whole(path, NEW)
        with pytest.raises(Refusal, match="a device or a pipe"):
            refuse_target(path, force=True)
    assert stat.S_ISFIFO(pipe.lstat().st_mode)
    assert device.readlink() == Path("/dev/null")
    assert stat.S_ISCHR(Path("/dev/null").stat().st_mode)
    assert names(tmp_path) == ["device.svg", "pipe.svg"]


# What killed saves leave

DIE_WHILE_SAVING = """
import os, signal, sys
from pathlib import Path
from app.document.files import write_whole
os.fsync = lambda handle: os.kill(os.getpid(), signal.SIGKILL)
write_whole(Path(sys.argv[1]), b"new and longer")
"""


def test_what_a_killed_save_leaves_goes_with_the_next_save(target: Path) -> None:
    subprocess.run([sys.executable, "-c", DIE_WHILE_SAVING, target], cwd=HOME, check=False)
    assert target.read_bytes() == OLD
    [left, _] = names(target.parent)
    assert left.startswith(".head.svg.")
    write_whole(target.with_name("other.svg"), NEW)
    assert names(target.parent) == ["head.svg", "other.svg"]


def test_what_a_living_save_is_writing_stays(target: Path) -> None:
    with beside(target) as (stream, temporary):
        stream.write(NEW)
        write_whole(target.with_name("other.svg"), NEW)
        assert temporary.exists()
    assert names(target.parent) == ["head.svg", "other.svg"]


def test_hidden_files_of_others_stay(target: Path) -> None:
    others = {".head.svg.aaaa.tmp", ".hidden", f"plain{ENDING}"}
    for name in others:
        target.with_name(name).write_bytes(OLD)
    os.mkfifo(target.with_name(f".pipe{ENDING}"))
    write_whole(target, NEW)
    assert others < set(names(target.parent))


# The copy of what is written over


@pytest.fixture
def build_file(tmp_path: Path) -> Path:
    path = tmp_path / "head.pegwright"
    path.write_bytes(SAMPLE.read_bytes())
    return path


def test_the_copy_has_what_was_there_with_its_mode_and_time(build_file: Path) -> None:
    build_file.chmod(0o600)
    os.utime(build_file, (1_000_000, 1_000_000))
    keep_copy(build_file)
    copy = build_file.with_name("head.pegwright~")
    assert copy.read_bytes() == SAMPLE.read_bytes()
    assert stat.S_IMODE(copy.stat().st_mode) == 0o600
    assert copy.stat().st_mtime == 1_000_000
    assert names(build_file.parent) == ["head.pegwright", "head.pegwright~"]


def test_on_a_full_disk_an_older_copy_stays_and_it_is_told(
    build_file: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    copy = build_file.with_name("head.pegwright~")
    copy.write_bytes(OLD)

    def full(handle: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(Refusal, match="no space left on device"):
        keep_copy(build_file)
    assert copy.read_bytes() == OLD
    assert names(build_file.parent) == ["head.pegwright", "head.pegwright~"]


@pytest.mark.parametrize("held", [b"", b'{"pegwright": 1, "na'])
def test_what_cannot_be_read_takes_no_place_of_a_good_copy(build_file: Path, held: bytes) -> None:
    keep_copy(build_file)
    build_file.write_bytes(held)
    keep_copy(build_file)
    assert load_build(build_file.with_name("head.pegwright~")) == load_build(SAMPLE)
    unread = build_file.with_name("head.pegwright.unread~")
    assert (unread.read_bytes() if unread.exists() else b"") == held


def test_of_nothing_no_copy_is_kept(tmp_path: Path) -> None:
    keep_copy(tmp_path / "none.pegwright")
    assert names(tmp_path) == []


@pytest.mark.parametrize("name", ["nowhere/head.svg", "file.txt/head.svg", "n" * 300])
def test_what_cannot_be_written_is_refused_with_the_reason(tmp_path: Path, name: str) -> None:
    (tmp_path / "file.txt").write_bytes(OLD)
    with pytest.raises(Refusal, match="cannot be written: "):
        write_whole(tmp_path / name, NEW)
    assert names(tmp_path) == ["file.txt"]


def test_a_folder_is_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "head.svg").mkdir()
    with pytest.raises(Refusal, match="is a directory"):
        write_whole(tmp_path / "head.svg", NEW)
    assert names(tmp_path) == ["head.svg"]


# Refusing before anything is done


def test_targets_that_are_refused(target: Path, tmp_path: Path) -> None:
    for path, force, words in (
        (target, False, "there already; give --force"),
        (tmp_path, True, "is a folder"),
        (tmp_path / "nowhere" / "a.svg", True, "its folder is not there"),
        (target / "a.svg", True, "its folder is not there"),
        (tmp_path / ("n" * 300), False, "cannot be written: file name too long"),
    ):
        with pytest.raises(Refusal, match=words):
            refuse_target(path, force=force)


def test_targets_that_are_allowed(target: Path, tmp_path: Path) -> None:
    refuse_target(target, force=True)
    refuse_target(tmp_path / "new.svg", force=False)


# Reading


def test_a_build_is_loaded() -> None:
    assert load_build(SAMPLE) == read_build(SAMPLE.read_bytes())


def test_no_more_is_read_than_asked_for() -> None:
    assert len(read_bytes(Path("/dev/zero"), 1000)) == 1001


def test_a_pipe_is_not_waited_for_unless_another_command_fills_it(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.pegwright")
    with pytest.raises(Refusal, match="cannot be read: it is a pipe"):
        read_bytes(tmp_path / "pipe.pegwright", 1000)
    reading, writing = os.pipe()
    try:

        def fill() -> None:
            os.write(writing, NEW)
            os.close(writing)

        Timer(0.2, fill).start()
        assert read_bytes(Path(f"/dev/fd/{reading}"), 1000) == NEW
    finally:
        os.close(reading)


def test_what_cannot_be_read_is_refused_with_the_reason(tmp_path: Path) -> None:
    (tmp_path / "bad.pegwright").write_bytes(b"{")
    for path, words in (
        (tmp_path / "none.pegwright", "cannot be read: no such file or directory"),
        (tmp_path, "cannot be read: is a directory"),
        (tmp_path / "a\0b", "is not a file name"),
        (tmp_path / "bad.pegwright", "bad.pegwright: line 1"),
    ):
        with pytest.raises(Refusal, match=words):
            load_build(path)
