"""A head with all that is found of it, as comparing, nut widths and missed holes want it."""

from __future__ import annotations

import msgspec

from geometry.checks.judge import Finding, Level, findings, worst
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.search.rings.allowance import Allowance, allowance


class Judged(msgspec.Struct, frozen=True):
    """A build, where everything lands, what the checks find, and how far its holes may miss."""

    build: Build
    layout: Layout
    found: tuple[Finding, ...]
    allowance: Allowance

    @property
    def level(self) -> Level:
        """The worst level of the findings."""
        return worst(self.found)


def judged(build: Build) -> Judged:
    """A build held against every limit and every miss."""
    layout = lay_out(build)
    return Judged(build, layout, findings(build, layout), allowance(build, layout))
