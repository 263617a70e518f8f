"""Older build files made current: a chain of functions from one version's plain data to the next one's."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from geometry.document.error import MISSING, BuildError

VERSION = 1
VERSION_KEY = "pegwright"

Step = Callable[[dict[str, Any]], dict[str, Any]]

STEPS: dict[int, Step] = {}
"""The step from version n to n + 1, by n."""


def current(plain: dict[str, Any]) -> dict[str, Any]:
    """The plain data of a file as version `VERSION` has it, without the version key.

    Raises BuildError when the version is missing, not a whole number, unknown or newer than this program.
    """
    version = plain.get(VERSION_KEY, MISSING)
    if version is MISSING:
        expected = f'this is not a build file; its first line should say "{VERSION_KEY}": {VERSION}'
        raise BuildError(VERSION_KEY, MISSING, expected)
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise BuildError(VERSION_KEY, version, f"expected the version of the file, such as {VERSION}")
    if version > VERSION:
        expected = f"this program reads versions up to {VERSION}; a newer Pegwright wrote this file"
        raise BuildError(VERSION_KEY, version, expected)
    content = {name: value for name, value in plain.items() if name != VERSION_KEY}
    for step in range(version, VERSION):
        content = STEPS[step](content)
    return content
