"""Starts pegwright, from a checkout as from an installed wheel."""

from __future__ import annotations

import gc
import sys
from pathlib import Path


def main() -> int:
    """Runs the command line and returns its exit code.

    The code imports `app`, `export` and `geometry` by these names; installed they lie inside `pegwright`, so
    that folder is put in front of the places where Python looks.
    """
    home = str(Path(__file__).resolve().parent.parent)
    if home not in sys.path:
        sys.path.insert(0, home)
    # Nothing that is loaded becomes garbage: to look for some among it takes a tenth of a short command.
    gc.disable()
    from app.command_line.program import main as command_line

    gc.freeze()
    gc.enable()
    return command_line()


if __name__ == "__main__":
    sys.exit(main())
