"""The folders where this system keeps what programs remember."""

from __future__ import annotations

from pathlib import Path


def usual_folders() -> tuple[Path, Path]:
    """The folders of settings and of state."""
    from platformdirs import user_config_path, user_state_path

    return user_config_path("pegwright", appauthor=False), user_state_path("pegwright", appauthor=False)
