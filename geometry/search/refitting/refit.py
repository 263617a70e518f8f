"""One head for another nut, or for other tuners: the same decisions applied to a changed part."""

from __future__ import annotations

from msgspec.structs import replace

from geometry.checks.judge import findings
from geometry.document.build import Build, OnPlate, Row
from geometry.document.edits import Rule, set_hardware, set_rule
from geometry.document.outline_nodes import kept_place
from geometry.document.row_edits import rule_as
from geometry.layout.held import held
from geometry.search.placing.gate import harm
from geometry.search.refitting.widen import WIDEN, Widen, widened
from geometry.shape.point import Point
from geometry.trade.hardware import Hardware


def refit(build: Build, width: float, widen: Widen | None = None) -> Build:
    """The build for a nut of `width` mm.

    The outline follows by its nodes' own weights, or as `widen` says. Rows go by their rules on the new edge, posts
    moved by hand keep their offset from there, and strings keep their margins. Trees and guide posts stand where the
    strings run, so that their x grows with the nut. What is in the wood already stays: drilled and old holes, regions,
    the blank.

    The width is the maker's wish, so the head is made whatever that breaks; `harm` says what it does.
    """
    if width == build.nut.width:
        return build
    factor = width / build.nut.width
    wider = replace(
        build,
        outline=widened(build, width, widen),
        nut=replace(build.nut, width=width),
        retainers=tuple(
            replace(each, at=kept_place(Point(each.at.x * factor, each.at.y))) for each in build.retainers
        ),
    )
    return held(build, wider)


def harmless_ways(build: Build, width: float) -> tuple[Widen | None, ...]:
    """The ways to follow a nut of `width` mm that make nothing worse; None stands for the nodes' own weights."""
    before = findings(build)
    ways: tuple[Widen | None, ...] = (None, *WIDEN)
    return tuple(way for way in ways if not harm(before, findings(refit(build, width, way))))


def with_hardware(build: Build, row: str, hardware: Hardware) -> Build:
    """The build with other tuners in a row, its rule changed only where the new ones need it.

    Tuners on a plate that carries as many posts are placed as a plate; others leave a plate's rule for a straight
    line at the pitch that the plate had. All else of the rule stays, and so do drilled holes.
    """
    before = next(each for each in build.rows if each.key == row)
    old = next(each for each in build.hardware if each.key == before.hardware)
    return held(build, set_rule(set_hardware(build, row, hardware), row, _suiting(before, old, hardware)))


def _suiting(row: Row, old: Hardware, new: Hardware) -> Rule:
    if new.plate is not None and new.plate.posts == len(row.posts):
        return rule_as(row.rule, "on a plate", new)
    if isinstance(row.rule, OnPlate):
        return rule_as(row.rule, "on a line", old)
    return row.rule
