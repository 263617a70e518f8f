"""The options of `pegwright best`; what it does is loaded when it is asked for."""

from __future__ import annotations

import argparse

from app.command_line.parsers.shared import Commands, add_build, add_output, add_units


def add_best_command(commands: Commands) -> None:
    """Add the command to the parser's."""
    best = commands.add_parser(
        "best",
        help="the placement that forgives most",
        description="Find the places for the tuners that let all holes miss their marks by the most, for the same "
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
        "--fixed",
        metavar="POSTS",
        help="numbers of the posts that stay where they are, with commas between them",
    )
    add("--pitch", metavar="FROM:TO", help="the least and most between neighbouring posts, such as 24:30")
    add("--inset", metavar="FROM:TO", help="the least and most from a post to the edge, such as 10:16")
    add(
        "--straight",
        default="0",
        metavar="LENGTH",
        help="how much of the smallest ring to give up for each degree that the strings pull straighter on average "
        "(default 0: straight pull only decides between equals)",
    )
    add(
        "--seed",
        type=int,
        default=0,
        metavar="N",
        help="start the search elsewhere; the same N gives the same result",
    )
    add_units(best)
    best.set_defaults(run=_run)


def _run(chosen: argparse.Namespace) -> int:
    from app.command_line.best import run

    return run(chosen)
