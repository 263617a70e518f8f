"""Files that a command is asked to write, refused before any work is done for them."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from app.document.files import SUFFIX, refuse_target
from app.document.messages import Refusal


def refuse_build(path: Path, *, force: bool) -> None:
    """Refuse a name that is none of a build file, and what `refuse_target` does."""
    if path.suffix.lower() != SUFFIX:
        raise Refusal(f"{path}: a build file ends in {SUFFIX}; expected such a name.")
    refuse_target(path, force=force)


def refuse_output(path: Path, suffixes: Sequence[str], *, force: bool) -> None:
    """Refuse a file that has none of the suffixes, capitals or not, and what `refuse_target` does."""
    if path.suffix.lower() not in suffixes:
        raise Refusal(f"{path}: no writer for this suffix; expected one of {', '.join(suffixes)}.")
    refuse_target(path, force=force)
