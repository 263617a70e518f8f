"""The options of `pegwright desktop`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse

from app.command_line.parsers.shared import Commands


def add_desktop_command(commands: Commands, whole: argparse.ArgumentParser) -> None:
    """Add the command to the parser's; `whole` is the parser of all commands, which the manual is made from."""
    desktop = commands.add_parser(
        "desktop",
        help="put the window into your menu, or take it out again",
        description="Put an entry for the menu, the kind of file .pegwright, the icon, the manual page and what bash "
        "and zsh complete into your own folders (freedesktop.org: Linux and the like), or take them away.",
    )
    way = desktop.add_mutually_exclusive_group(required=True)
    way.add_argument("--add", action="store_true", help="put them there; again after Pegwright has moved")
    way.add_argument("--remove", action="store_true", help="take away what --add has put there")
    desktop.set_defaults(run=_run, whole=whole)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.desktop import run

    return run(chosen)
