"""What the commands share: exit codes, the maker's shop, and files refused before any work is done for them."""

from __future__ import annotations

import os
from collections.abc import Sequence
from pathlib import Path

from app.document.files import SUFFIX, load_shop, make_folder, refuse_target, usual_folders
from app.document.messages import Refusal
from geometry.trade.shop import Shop, default_shop

DONE = 0
STOPPED = 1
"""Something is at stop."""

FAILED = 2
"""A file cannot be read or written, or the command was not understood."""

WENT_WRONG = 3
"""The program itself is at fault; it says where its report lies."""

INTERRUPTED = 130
"""As shells have it for Ctrl+C: 128 and the number of the signal."""


def own_shop(chosen: Path | None) -> Shop:
    """The shop in a chosen file, else the one in the user's settings, else a plain one; Refusal for a bad file."""
    path = chosen or _path_in_settings()
    # It says no where Path.exists may raise.
    there = chosen is not None or os.path.exists(path)  # noqa: PTH110
    return load_shop(path) if there else default_shop()


def own_shop_path(chosen: Path | None) -> Path:
    """The file that keeps the shop: a chosen one, else that in the user's settings, whose folder is then made."""
    path = chosen or _path_in_settings()
    if chosen is None:
        make_folder(path)
    return path


def _path_in_settings() -> Path:
    return usual_folders()[0] / "shop.json"


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
