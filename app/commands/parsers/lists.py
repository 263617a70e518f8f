"""The commands that only print what there is: tuners, strings, the schema of a build file."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from app.commands.codes import DONE
from app.commands.parsers.shared import Commands


def add_list_commands(commands: Commands) -> None:
    """Add the commands to the parser's."""
    for name, words, listed in (
        ("hardware", "list the classes of tuners and their typical sizes", _hardware),
        ("strings", "list the sets of strings", _strings),
        ("schema", "print the JSON Schema of a build file", _schema),
    ):
        commands.add_parser(name, help=words).set_defaults(run=_printing(listed))


def _printing(listed: Callable[[], str]) -> Callable[[argparse.Namespace], int]:
    def run(_: argparse.Namespace) -> int:
        print(listed())
        return DONE

    return run


def _hardware() -> str:
    from app.commands.lists import hardware

    return hardware()


def _strings() -> str:
    from app.commands.lists import strings

    return strings()


def _schema() -> str:
    import json

    from geometry.build.schema import build_schema

    return json.dumps(build_schema(), indent=2)
