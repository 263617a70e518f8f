"""The command line."""

from __future__ import annotations

import argparse
from collections.abc import Sequence

VERSION = "0.1.0"
"""The version of this program, as in pyproject.toml."""


def main(arguments: Sequence[str] | None = None) -> int:
    """Does what the arguments (by default those of the process) ask for and returns the exit code."""
    parser = argparse.ArgumentParser(prog="pegwright", description="Places tuners on a headstock.")
    parser.add_argument("--version", action="version", version=f"%(prog)s {VERSION}")
    parser.parse_args(arguments)
    parser.print_help()
    return 0
