"""The maker's shop, as the command line finds it."""

from __future__ import annotations

import os
from pathlib import Path

from app.document.files import load_shop, make_folder
from app.document.folders import usual_folders
from geometry.trade.shop import Shop, default_shop


def own_shop(chosen: Path | None) -> Shop:
    """The shop in a chosen file, else the one in the user's settings, else a plain one; Refusal for a bad file."""
    path = chosen or _in_settings()
    return load_shop(path) if path else default_shop()


def own_shop_path(chosen: Path | None) -> Path:
    """The file that keeps the shop: a chosen one, else that in the user's settings, whose folder is then made."""
    path = chosen or _path_in_settings()
    if chosen is None:
        make_folder(path)
    return path


def _in_settings() -> Path | None:
    path = _path_in_settings()
    return path if os.path.exists(path) else None  # noqa: PTH110 - it says no where Path.exists may raise


def _path_in_settings() -> Path:
    return usual_folders()[0] / "shop.json"
