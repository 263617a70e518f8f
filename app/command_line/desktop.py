"""`pegwright desktop`: into the menu of the user's desktop, and out again."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from app.command_line.codes import DONE
from app.desktop.home import WINDOW, add, remove, window_command
from app.desktop.pieces import pieces
from app.document.messages import Refusal, tell


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
