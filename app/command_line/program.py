"""The command line: `pegwright [FILE]` opens the window; every command does without.

Exit code 0: done, and nothing at `stop`; 1: something is at `stop`, and nothing else; 2: a file cannot be read or
written, or the command was not understood; 3: the program itself is at fault. 2 and 3 come with one line on stderr.
"""

from __future__ import annotations

import argparse
import io
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any, NoReturn

from app import VERSION
from app.command_line.common import FAILED, INTERRUPTED, WENT_WRONG
from app.command_line.parsers import judging, placing, writing
from app.command_line.parsers.shared import Commands, with_signs
from app.document.files import SUFFIX
from app.document.messages import Refusal, complain
from geometry.trade.units import Units


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the arguments (by default those of the process) ask for and return the exit code."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    _never_fail_on_letters()
    try:
        if _wants_window(given):
            return _open_window(given)
        chosen = _parser(given[0]).parse_args(with_signs(given))
        if getattr(chosen, "units", "mm") is None:
            chosen.units = _units_of_the_shop(chosen)
        code = _run(chosen)
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
    except Exception as error:
        return _went_wrong(error)
    return code


def _went_wrong(error: Exception) -> int:
    """Write down what nobody foresaw and say where."""
    from app.document.crash import CrashLog
    from app.document.files import usual_folders

    log = CrashLog(usual_folders()[1] / "log.txt", VERSION)
    kept = log.write(error)
    line = f"{type(error).__name__}: {error}".rstrip(": ")
    where = f"the report lies in {log.path}" if kept else f"no report could be kept in {log.path}"
    complain(f"something went wrong inside Pegwright ({line}); {where}")
    return WENT_WRONG


def _units_of_the_shop(chosen: argparse.Namespace) -> Units:
    """The units of a command that was told none; Refusal where the shop's file is bad."""
    from app.command_line.common import own_shop

    return own_shop(getattr(chosen, "shop", None)).units


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
    return not given or (len(given) == 1 and given[0].lower().endswith(SUFFIX))


def _open_window(given: Sequence[str]) -> int:
    try:
        from app.window.opening import open_window
    except ImportError as error:
        raise Refusal(
            f"the window needs libraries that are missing here: {_what_is_missing(error)}"
        ) from None
    return open_window(Path(given[0]) if given else None, _leave)


def _what_is_missing(error: ImportError) -> str:
    from app.window.libraries import how_to_get, missing_libraries, plugin, qt_folder

    missing = missing_libraries([*sorted(qt_folder().glob("Qt*.so")), plugin("xcb"), plugin("wayland")])
    return how_to_get(missing) if missing else str(error)


def _leave(words: str) -> None:
    """Say why and end at once: whoever calls this would abort otherwise."""
    complain(words)
    if sys.stderr is not None:
        sys.stderr.flush()
    os._exit(FAILED)


class _Parser(argparse.ArgumentParser):
    """A parser that says what is wrong in one line, without the usage."""

    def error(self, message: str) -> NoReturn:
        complain(f"{message}; see {self.prog} --help")
        raise SystemExit(FAILED)


class _Command(_Parser):
    """The parser of one command, which refuses itself what it does not know."""

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        """All of the arguments, so that nothing is left over; else as argparse does."""
        known, rest = super().parse_known_args(args, namespace)
        if rest:
            self.error(f"unrecognized arguments: {' '.join(rest)}")
        return known, rest


def _parser(command: str = "") -> argparse.ArgumentParser:
    """What understands every command, or the one that is given alone: to make all takes as long as a check."""
    made = _Parser(
        prog="pegwright",
        description="Places tuners on a headstock, proves that everything clears, and draws it at full scale.",
        epilog="Exit code 0: done, and check found nothing at stop. 1: something is at stop (a file for a machine "
        "is then not written). 2: bad file, bad usage, or not written. 3: the program itself is at fault.",
    )
    made.add_argument("--version", action="version", version=f"%(prog)s {VERSION}")
    commands: Commands = made.add_subparsers(
        title="commands", dest="command", required=True, metavar="COMMAND", parser_class=_Command
    )
    one = [add for add, names in COMMANDS if command in names]
    for add in one or [add for add, _ in COMMANDS]:
        add(commands)
    if not one:
        writing.add_desktop(commands, made)
    return made


COMMANDS: tuple[tuple[Callable[[Commands], None], tuple[str, ...]], ...] = (
    (judging.add_check, ("check",)),
    (writing.add_export, ("export",)),
    (writing.add_new, ("new",)),
    (writing.add_intake, ("intake",)),
    (placing.add_refit, ("refit",)),
    (judging.add_fits, ("fits",)),
    (placing.add_widths, ("widths",)),
    (judging.add_strength, ("strength",)),
    (judging.add_balance, ("balance",)),
    (placing.add_best, ("best",)),
    (placing.add_missed, ("missed",)),
    (placing.add_drilled, ("drilled",)),
    (judging.add_compare, ("compare",)),
    (judging.add_nut, ("nut",)),
    (judging.add_bore, ("bore",)),
    (writing.add_intake_sheet, ("intake-sheet",)),
    (writing.add_lists, ("hardware", "strings", "woods", "sheets", "schema")),
)
"""What adds commands to a parser, and the names of those, in the order of the help; `desktop` comes last."""


def _run(chosen: argparse.Namespace) -> int:  # noqa: C901 - a table of the commands
    """Do what a command asks for. Its module is loaded here, so that no other command waits for it."""
    match chosen.command:
        case "check":
            from app.command_line.check import run
        case "export":
            from app.command_line.export import run
        case "new":
            from app.command_line.new import run
        case "intake":
            from app.command_line.intake import run
        case "refit":
            from app.command_line.refit import run
        case "fits":
            from app.command_line.fits import run
        case "widths":
            from app.command_line.widths import run
        case "strength":
            from app.command_line.strength import run
        case "balance":
            from app.command_line.balance import run
        case "best":
            from app.command_line.best import run
        case "missed":
            from app.command_line.missed import run
        case "drilled":
            from app.command_line.drilled import run
        case "compare":
            from app.command_line.compare import run
        case "nut":
            from app.command_line.nut import run
        case "bore":
            from app.command_line.bore import run
        case "intake-sheet":
            from app.command_line.intake_sheet import run
        case "desktop":
            from app.command_line.desktop import run
        case "hardware" | "strings" | "woods" | "sheets" | "schema":
            from app.command_line.lists import run
        case unknown:
            raise AssertionError(f"the command {unknown} has no module")
    return run(chosen)
