"""The options of `pegwright best`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse

from app.command_line.parsers.shared import Commands, add_build, add_output, add_units


def add_best_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    best = commands.add_parser(
        "best",
        help="the placement that forgives most",
        description="Find the places of the tuners where all holes may miss their marks by the most, for the same "
        "outline, nut, strings and tuners, and write the build with them.",
    )
    add_build(best)
    add_output(best, "the build file to write (default: only say what is found)", required=False)
    add = best.add_argument
    add(
        "--kind",
        choices=("mirrored", "even", "free"),
        help="mirrored: both sides stay each other's mirror image (default where they are); even: each row keeps an "
        "even pitch of its own (default elsewhere); free: every post is moved by hand",
    )
    add(
        "--fixed", metavar="POSTS", help="posts that stay where they are, by number; with commas between them"
    )
    add("--pitch", metavar="FROM:TO", help="keep neighbours so far apart, such as 24:30")
    add("--inset", metavar="FROM:TO", help="keep every post so far from the edge, such as 10:16")
    add(
        "--straight",
        type=float,
        default=0.0,
        metavar="MM",
        help="mm of the smallest ring to give for a degree less of splay, mean of all strings (default 0: straight "
        "pull decides between equals)",
    )
    add(
        "--seed", type=int, default=0, metavar="N", help="search from other places; the same N finds the same"
    )
    add_units(best)
    best.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.best import run

    return run(chosen)
