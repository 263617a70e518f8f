"""The options of `pegwright strength` and `balance`; what they do is loaded when it is asked for."""

from __future__ import annotations

import argparse

from app.command_line.parsers.shared import Commands, add_build, add_json, add_shop, add_units


def add_bench_commands(commands: Commands) -> None:
    """Add the commands to the parser's."""
    _add_strength(commands)
    _add_balance(commands)


def _add_strength(commands: Commands) -> None:
    strength = commands.add_parser(
        "strength",
        help="whether the wood of the head holds its strings",
        description="Say how much of what a timber code would allow the strings use, where the head is weakest, and "
        "what knock at the tip it bears. An aid to compare designs, never a promise.",
    )
    _add_common(strength)
    strength.set_defaults(run=_run_strength)


def _run_strength(chosen: argparse.Namespace) -> int:
    from app.command_line.strength import run

    return run(chosen)


def _add_balance(commands: Commands) -> None:
    balance = commands.add_parser(
        "balance",
        help="what the head weighs, and what other tuners would save",
        description="Weigh a head with its tuners, and with those tuners of the library that would fit instead.",
    )
    _add_common(balance)
    balance.add_argument(
        "--about",
        metavar="X,Y",
        help="the place it is balanced about, such as a strap button or knee: X to the right and Y towards the tip "
        'from the middle of the nut, such as 0,-650 or "0, -25 1/2 in" (default: the bridge)',
    )
    balance.set_defaults(run=_run_balance)


def _run_balance(chosen: argparse.Namespace) -> int:
    from app.command_line.balance import run

    return run(chosen)


def _add_common(parser: argparse.ArgumentParser) -> None:
    add_build(parser)
    add_shop(parser, ", for its woods")
    add_json(parser, "all figures as JSON")
    add_units(parser)
