"""System libraries that the window needs and that are not there, and the packages that bring them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from importlib.util import find_spec
from pathlib import Path

_OTHERWISE_NAMED = {
    "libglib-2.0.so.0": "libglib2.0-0",
    "libgthread-2.0.so.0": "libglib2.0-0",
    "libz.so.1": "zlib1g",
}
"""Packages of Debian that are not called as its policy has it."""


def qt_folder() -> Path:
    """Where the bindings of Qt lie, without loading them."""
    spec = find_spec("PySide6")
    return Path(spec.origin).parent if spec is not None and spec.origin else Path()


def plugin(platform: str) -> Path:
    """The file with which Qt draws on a platform such as xcb or wayland."""
    return qt_folder() / "Qt" / "plugins" / "platforms" / f"libq{platform.split('-')[0]}.so"


def missing_libraries(files: Iterable[Path]) -> tuple[str, ...]:
    """The libraries that these files need and the system lacks, as far as it can tell."""
    return tuple(dict.fromkeys(name for file in files for name in _missing(file)))


def how_to_get(missing: Iterable[str]) -> str:
    """What is missing, and which packages bring it, as the end of a sentence."""
    names = tuple(missing)
    packages = dict.fromkeys(package_of(name) for name in names)
    return f"{', '.join(names)} not found; on Debian and Ubuntu: sudo apt install {' '.join(packages)}"


def package_of(library: str) -> str:
    """The package of Debian that holds a library.

    Debian Policy, 8.1: the name and the number of its interface, with a hyphen between where the name ends in a digit.
    """
    found = re.fullmatch(r"(.+)\.so\.(\d+)", library)
    if library in _OTHERWISE_NAMED or found is None:
        return _OTHERWISE_NAMED.get(library, library)
    name, number = found[1].lower().replace("_", "-"), found[2]
    return f"{name}-{number}" if name[-1].isdigit() else f"{name}{number}"


def _missing(file: Path) -> list[str]:
    import subprocess  # only now: no window waits for it that opens

    command = ["ldd", str(file)]
    try:
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=10)  # noqa: S603 - our file
    except (OSError, subprocess.SubprocessError):
        return []
    return re.findall(r"^\s*(\S+) => not found", done.stdout, re.MULTILINE)
