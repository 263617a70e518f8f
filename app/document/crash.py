"""What happens when the program itself goes wrong: the work is kept, a log is written, and the window goes on."""

from __future__ import annotations

import sys
import threading
import traceback
from collections.abc import Callable
from contextlib import suppress
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType

from geometry.trade.escapes import on_one_line

LARGEST_LOG = 500_000
"""A log with more bytes is put aside as `log.txt~` and begun anew."""


class CrashLog:
    """Writes down unexpected exceptions and tells the window, which keeps the build and says one sentence."""

    def __init__(self, path: Path, version: str) -> None:
        """Write to the file at `path`."""
        self.path = path
        self._version = version
        self._tell: Callable[[str], None] | None = None
        self._busy = False

    def install(self, tell: Callable[[str], None]) -> None:
        """Catch what nobody else catches from now on; `tell` gets the last line of it."""
        self._tell = tell
        sys.excepthook = self.caught
        threading.excepthook = self._caught_in_thread

    def remove(self) -> None:
        """Leave exceptions to Python again."""
        self._tell = None
        sys.excepthook = sys.__excepthook__
        threading.excepthook = threading.__excepthook__

    def caught(
        self, kind: type[BaseException], error: BaseException, trace: TracebackType | None = None
    ) -> None:
        """Write an exception down and tell of it; Ctrl+C in a terminal ends the program as usual."""
        if issubclass(kind, KeyboardInterrupt):
            sys.__excepthook__(kind, error, trace)
            return
        lines = traceback.format_exception(kind, error, trace)
        self._write("".join(lines))
        for line in "".join(lines).splitlines():
            sys.stderr.write(f"{on_one_line(line)}\n")
        # An error while telling of an error would go round for ever.
        if self._tell is not None and not self._busy:
            self._busy = True
            try:
                self._tell(lines[-1].strip())
            finally:
                self._busy = False

    def write(self, error: BaseException) -> bool:
        """Write an exception down; whether that was possible."""
        return self._write("".join(traceback.format_exception(error)))

    def read(self) -> str:
        """The end of the log; empty when nothing ever went wrong."""
        try:
            return self.path.read_text(encoding="utf-8", errors="replace")[-20_000:]
        except OSError:
            return ""

    def _caught_in_thread(self, args: threading.ExceptHookArgs) -> None:
        if args.exc_value is not None:
            self._write("".join(traceback.format_exception(args.exc_value)))

    def _write(self, words: str) -> bool:
        stamp = datetime.now(tz=UTC).astimezone().isoformat(timespec="seconds")
        with suppress(OSError):
            self.path.parent.mkdir(parents=True, exist_ok=True)
            if self.path.exists() and self.path.stat().st_size > LARGEST_LOG:
                self.path.replace(self.path.with_name(self.path.name + "~"))
            with self.path.open("a", encoding="utf-8", errors="backslashreplace") as log:
                log.write(f"{stamp} Pegwright {self._version} on {sys.platform}\n{words}\n")
            return True
        return False
