"""The commands that only print what there is: tuners, strings, woods, sheets, the schema of a build file."""

from __future__ import annotations

import argparse
from collections.abc import Callable

from app.command_line.codes import DONE
from app.command_line.parsers.shared import Commands, add_units
from app.document.messages import tell


def add_list_commands(commands: Commands) -> None:
    """Add the commands to the parser's."""
    hardware = commands.add_parser("hardware", help="list the classes of tuners and their typical sizes")
    strings = commands.add_parser("strings", help="list the sets of strings")
    woods = commands.add_parser("woods", help="list the woods and how hard they are")
    for parser, listed in ((hardware, _hardware), (strings, _strings), (woods, _woods)):
        add_units(parser, "the sizes")
        parser.set_defaults(run=_printing(listed))
    for name, words, printed in (
        ("sheets", "list the sheets that export writes, in the order of the pages, and the packets", _sheets),
        ("schema", "print the JSON Schema of a build file", _schema),
    ):
        commands.add_parser(name, help=words).set_defaults(run=_printing(printed))


def _printing(listed: Callable[[argparse.Namespace], str]) -> Callable[[argparse.Namespace], int]:
    def run(chosen: argparse.Namespace) -> int:
        tell(*listed(chosen).splitlines())
        return DONE

    return run


def _hardware(chosen: argparse.Namespace) -> str:
    from app.command_line.lists import hardware

    return hardware(chosen.units)


def _strings(chosen: argparse.Namespace) -> str:
    from app.command_line.lists import strings

    return strings(chosen.units)


def _woods(chosen: argparse.Namespace) -> str:
    from app.command_line.lists import woods

    return woods(chosen.units)


def _sheets(_: argparse.Namespace) -> str:
    from app.command_line.lists import table
    from export.catalogue import ORDER
    from export.packets import PACKETS

    sheets = table([(kind.name, kind.title) for kind in ORDER])
    packets = table([(packet.name, f"{packet.title}: {packet.about}") for packet in PACKETS])
    return "\n".join(("Sheets, for --sheets:", *sheets, "Packets, for --packet:", *packets))


def _schema(_: argparse.Namespace) -> str:
    import json

    from geometry.document.schema import build_schema

    return json.dumps(build_schema(), indent=2)
