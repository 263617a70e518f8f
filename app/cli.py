"""The command line: `pegwright [FILE]` opens the window; `check`, `export`, `new`, `hardware`, `schema` do without.

Exit code 0: done, and nothing at `stop`; 1: something is at `stop`; 2: a file cannot be read or written, or the
command was not understood, with one line on stderr.
"""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NoReturn, TypeAlias

from app.commands.parsers.bench import add_bench_commands
from app.commands.parsers.best import add_best_command
from app.commands.parsers.bore import add_bore_command
from app.commands.parsers.compare import add_compare_command
from app.commands.parsers.missed import add_missed_command, with_signs
from app.commands.parsers.nut import add_nut_command
from app.commands.parsers.refit import add_refit_commands
from app.messages import Refusal, complain

VERSION = "0.1.0"
"""The version of this program, as in pyproject.toml."""

Commands: TypeAlias = "argparse._SubParsersAction[Any]"  # noqa: SLF001 - the type has no public name

DONE, STOPPED, FAILED, INTERRUPTED = 0, 1, 2, 130


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the arguments (by default those of the process) ask for and return the exit code."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    _never_fail_on_letters()
    try:
        if _wants_window(given):
            return _open_window(given)
        chosen = _parser().parse_args(with_signs(given))
        code = int(chosen.run(chosen))
        if sys.stdout is not None:
            sys.stdout.flush()
    except Refusal as refusal:
        complain(str(refusal))
        return FAILED
    except MemoryError:
        complain("this needs more memory than there is")
        return FAILED
    except BrokenPipeError:
        # The reader of our output went away, as `| head` does; nothing more can be said to it.
        _drop_output()
        return FAILED
    except OSError as error:
        _drop_output()
        complain(f"the output cannot be written: {(error.strerror or str(error)).lower()}")
        return FAILED
    except KeyboardInterrupt:
        complain("interrupted")
        return INTERRUPTED
    return code


def _never_fail_on_letters() -> None:
    """Names of files and of builds may hold what the terminal cannot show; it is written as an escape."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _drop_output() -> None:
    """Let what is left of the output go nowhere, so that Python does not try once more when it ends."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _wants_window(given: Sequence[str]) -> bool:
    """Whether the command is plain `pegwright` or `pegwright FILE`."""
    return not given or (len(given) == 1 and given[0].endswith(".pegwright"))


def _open_window(given: Sequence[str]) -> int:
    try:
        from app.opening import open_window
    except ImportError as error:
        raise Refusal(f"the window needs libraries that are missing here: {error}") from None
    return open_window(Path(given[0]) if given else None)


class _Parser(argparse.ArgumentParser):
    """A parser that says what is wrong in one line, without the usage."""

    def error(self, message: str) -> NoReturn:
        complain(f"{message}; see pegwright --help")
        raise SystemExit(FAILED)


def _parser() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="pegwright",
        description="Places tuners on a headstock, proves that everything clears, and draws it at full scale.",
        epilog="Exit code 0: done, and check found nothing at stop. 1: something is at stop (a file for a machine "
        "is then not written). 2: bad file, bad usage, or not written.",
    )
    parser.add_argument("--version", action="version", version=f"%(prog)s {VERSION}")
    commands: Commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")
    _add_check(commands)
    _add_export(commands)
    _add_new(commands)
    add_refit_commands(commands)
    add_bench_commands(commands)
    add_best_command(commands)
    add_missed_command(commands)
    add_compare_command(commands)
    add_nut_command(commands)
    add_bore_command(commands)
    _add_lists(commands)
    return parser


def _add_check(commands: Commands) -> None:
    check = commands.add_parser(
        "check", help="say what clears and what does not", description="Hold builds against every limit."
    )
    check.add_argument("files", nargs="+", type=Path, metavar="FILE", help="a build file (.pegwright)")
    check.add_argument("--json", action="store_true", help="all findings and rings as JSON, by file")
    check.add_argument("--all", action="store_true", help="say what is fine as well")
    check.add_argument("--rings", action="store_true", help="say how far each hole may miss its mark as well")
    check.add_argument("--units", choices=("mm", "inch"), default="mm", help="of the sentences (default mm)")
    check.set_defaults(run=_run_check)


def _run_check(chosen: argparse.Namespace) -> int:
    from app.commands.check import run

    return run(chosen)


def _add_export(commands: Commands) -> None:
    export = commands.add_parser(
        "export",
        help="write templates, jig and lists",
        description="Write PDF (sheets at full scale), DXF and SVG (one sheet), CSV (hole list); the suffix decides.",
    )
    add = export.add_argument
    add("file", type=Path, metavar="FILE", help="a build file (.pegwright)")
    add("outputs", nargs="+", type=Path, metavar="OUT", help="files to write: .pdf .dxf .svg .csv")
    add(
        "--sheets",
        metavar="NAMES",
        help="face, back, comb, ladder, schedule, nut, strings, calipers, jig, cradle, strength, balance, report; "
        "with commas between them; a CSV holds the hole list, or the schedule",
    )
    add("--paper", metavar="NAME", help="A5 to A1, Letter, Legal, Tabloid (default: the shop's)")
    add(
        "--printer",
        metavar="NAME",
        help="whose correction to apply, a printer of the shop (default: its first)",
    )
    add("--guide-bushing", metavar="LENGTH", help="drill the jig for guide bushings of this outside diameter")
    add(
        "--kerf",
        metavar="LENGTH",
        help="width that the laser or saw takes away; moves cut contours, never holes",
    )
    add("--dxf-version", choices=("R2000", "R12"), default="R2000", help="of DXF files (default R2000)")
    add("--shop", type=Path, metavar="FILE", help="the shop's own file: drills, printers, paper, units")
    add("--date", metavar="DATE", help="print this date, YYYY-MM-DD or today (default: none)")
    add("--despite-stop", action="store_true", help="write DXF, SVG and CSV although something is at stop")
    add("--force", action="store_true", help="write over files that are there")
    export.set_defaults(run=_run_export)


def _run_export(chosen: argparse.Namespace) -> int:
    from app.commands.export import run

    return run(chosen)


def _add_new(commands: Commands) -> None:
    new = commands.add_parser(
        "new", help="start a build from a starter", description="Write a new build file."
    )
    add = new.add_argument
    add(
        "starter",
        metavar="STARTER",
        help="straight-taper, waisted, one-sided, narrow, rounded-paddle, broad-for-plates",
    )
    add("-o", "--output", type=Path, required=True, metavar="FILE", help="the build file to write")
    add("--nut-width", metavar="LENGTH", help='such as 44.5 or "1 3/4 in" (default: one that suits)')
    add("--strings", metavar="SET", help="a set of strings by name (see pegwright strings)")
    add("--hardware", metavar="KEY", help="a class of tuners (see pegwright hardware)")
    add(
        "--shop",
        type=Path,
        metavar="FILE",
        help="the shop's own file, for the limits that new builds begin with",
    )
    add("--name", metavar="NAME", help="what to call the build (default: the file's name)")
    add("--left-handed", action="store_true", help="bass strings on the right, seen from the face")
    add("--force", action="store_true", help="write over a file that is there")
    new.set_defaults(run=_run_new)


def _run_new(chosen: argparse.Namespace) -> int:
    from app.commands.new import run

    return run(chosen)


def _add_lists(commands: Commands) -> None:
    hardware = commands.add_parser("hardware", help="list the classes of tuners and their typical sizes")
    hardware.set_defaults(run=_run_hardware)
    strings = commands.add_parser("strings", help="list the sets of strings")
    strings.set_defaults(run=_run_strings)
    schema = commands.add_parser("schema", help="print the JSON Schema of a build file")
    schema.set_defaults(run=_run_schema)


def _run_hardware(_: argparse.Namespace) -> int:
    from app.commands.lists import hardware

    print(hardware())
    return DONE


def _run_strings(_: argparse.Namespace) -> int:
    from app.commands.lists import strings

    print(strings())
    return DONE


def _run_schema(_: argparse.Namespace) -> int:
    import json

    from geometry.build.schema import build_schema

    print(json.dumps(build_schema(), indent=2))
    return DONE
