"""`pegwright desktop`: into the menu of the user's desktop, and out again."""

from __future__ import annotations

import argparse
import sys

from app.command_line.codes import DONE
from app.desktop.home import add, remove, window_command
from app.desktop.pieces import pieces
from app.document.messages import Refusal, tell


def run(chosen: argparse.Namespace) -> int:
    """Do what was asked for and print one line for each file."""
    from platformdirs import user_data_path

    if sys.platform in ("win32", "darwin"):
        raise Refusal("desktop is for Linux and the like; here the menu comes with the installer.")
    act, word = (add, "written") if chosen.add else (remove, "deleted")
    done = list(act(pieces(window_command(), chosen.whole), user_data_path()))
    tell(*(f"{word}: {path}" for path in done) if done else ("Nothing was there.",))
    return DONE
