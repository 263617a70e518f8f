"""What the program says of a build that is given as plain JSON, as its own commands print it."""

from __future__ import annotations

import json
from typing import Any

from app.command_line.check import as_json
from app.command_line.rings import ring_as_json
from geometry.checks.judge import findings
from geometry.document.codec import read_build
from geometry.layout.layout import lay_out
from geometry.search.rings.allowance import allowance

Json = dict[str, Any]


def judged(build: Json) -> list[Json]:
    """All findings, as `check --json --all` prints them."""
    read = read_build(json.dumps(build).encode())
    return [as_json(finding, "mm") for finding in findings(read)]


def rings(build: Json) -> list[Json]:
    """The rings of all holes, as `check --json --rings` prints them."""
    read = read_build(json.dumps(build).encode())
    return [ring_as_json(ring, read, "mm") for ring in allowance(read, lay_out(read)).rings]
