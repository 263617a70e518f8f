"""A build file read and written: JSON with `"pegwright": 1` first, lengths in millimetres."""

from __future__ import annotations

from geometry.document.build import Build
from geometry.document.references import check_references
from geometry.document.strict import FileFormat, Step, read_strict, write_plainly

LARGEST_FILE = 5_000_000
"""Bytes; a build file of a full twelve-string head is under 20 000."""

STEPS: dict[int, Step] = {}
"""The step from version n to n + 1, by n."""

BUILD_FILE = FileFormat("build file", "pegwright", 1, LARGEST_FILE, STEPS)


def read_build(data: bytes) -> Build:
    """The build in the bytes of a file; FileError says what is wrong, where and what was expected."""
    build = read_strict(Build, data, BUILD_FILE)
    check_references(build)
    return build


def write_build(build: Build) -> bytes:
    """The bytes of a build file."""
    return write_plainly(build, BUILD_FILE)
