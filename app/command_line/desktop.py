"""`pegwright desktop`: into the folders of the user's desktop, and out of them again."""

from __future__ import annotations

import argparse
import shutil
import subprocess
import sys
from collections.abc import Iterable, Iterator
from contextlib import suppress
from pathlib import Path

from app.command_line.common import DONE
from app.desktop.pieces import Piece, pieces
from app.document.files import make_folder, write_whole
from app.document.messages import Refusal, tell

INDEXES = (
    ("update-mime-database", "mime"),
    ("update-desktop-database", "applications"),
    ("gtk-update-icon-cache", "icons/hicolor"),
)
"""Programs that a desktop looks things up by, each with the folder it is called with; what is missing is not needed."""

WINDOW = "pegwright-window"
"""The program that opens the window."""

PATIENCE = 60
"""Seconds for one of them."""


def run(chosen: argparse.Namespace) -> int:
    """Do what was asked for and print one line for each file."""
    from platformdirs import user_data_path

    if sys.platform in ("win32", "darwin"):
        raise Refusal("desktop is for Linux and the like; here the menu comes with the installer.")
    # Taking away needs no program that could be started: it may be gone already.
    command = window_command() if chosen.add else Path(WINDOW)
    act, word = (add, "written") if chosen.add else (remove, "deleted")
    done = list(act(pieces(command, chosen.whole), user_data_path()))
    tell(*(f"{word}: {path}" for path in done) if done else ("Nothing was there.",))
    return DONE


def window_command() -> Path:
    """The program beside this Python that opens the window; Refusal when there is none, as in a bare checkout."""
    for folder in (Path(sys.executable).parent, Path(sys.argv[0]).resolve().parent):
        if (folder / WINDOW).is_file():
            return (folder / WINDOW).absolute()
    raise Refusal(f"{WINDOW} is not installed beside this Python; install with: pip install .")


def add(pieces: Iterable[Piece], data: Path) -> Iterator[Path]:
    """Write every piece below the folder `data` and bring the indexes up to date; yields what was written.

    Refusal when a file cannot be written.
    """
    for piece in pieces:
        path = data / piece.path
        make_folder(path)
        write_whole(path, piece.content)
        yield path
    _index(data)


def remove(pieces: Iterable[Piece], data: Path) -> Iterator[Path]:
    """Delete every piece that is there; yields what was deleted. Refusal when a file cannot be deleted."""
    for piece in pieces:
        path = data / piece.path
        try:
            path.unlink()
        except FileNotFoundError:
            continue
        except OSError as error:
            raise Refusal(f"{path}: cannot be deleted: {(error.strerror or str(error)).lower()}") from None
        yield path
    _index(data)


def _index(data: Path) -> None:
    for program, folder in INDEXES:
        found, where = shutil.which(program), data / folder
        if found is not None and where.is_dir():
            options = ("--force", "--quiet", "--ignore-theme-index") if program.startswith("gtk-") else ()
            # What it does not get done now, it does when the desktop calls it the next time.
            with suppress(OSError, subprocess.TimeoutExpired):
                subprocess.run(  # noqa: S603 - one of three fixed names, found on the path
                    [found, *options, str(where)],
                    check=False,
                    timeout=PATIENCE,
                    stdout=subprocess.DEVNULL,
                    stderr=subprocess.DEVNULL,
                )
