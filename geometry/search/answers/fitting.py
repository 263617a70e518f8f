"""Which tuners go into a head that is drilled already, what that asks of the bores, and what stays in sight."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Literal

import msgspec
from msgspec.structs import replace

from geometry.checks.bore import judged_fit
from geometry.checks.gaps import Part
from geometry.checks.judge import Finding, Level, findings
from geometry.document.build import Build, OldHole, OnPlate
from geometry.document.edits import fresh_key, set_hardware, set_rule
from geometry.document.row_edits import rule_as
from geometry.layout.layout import Layout, displaced, lay_out
from geometry.layout.parts import PlacedPost
from geometry.search.placing.gate import stops_of
from geometry.shape.point import Point
from geometry.shape.tolerance import SAME
from geometry.trade.bore_fit import REAMED, drawn_bore, with_drawn_bore
from geometry.trade.bore_fit import Fit as WoodFit
from geometry.trade.hardware import Bore, Counterbore, Hardware
from geometry.trade.hardware_library import LIBRARY

Verdict = Literal["drops in", "ream", "bush down", "plug"]
# What a drilled bore asks for, the least work first.
_VERDICTS: tuple[Verdict, ...] = ("drops in", "ream", "bush down", "plug")

DROPS_IN = 0.1
"""Bores as near as this, in mm of diameter, take the tuner as they are; workshop practice, no source."""

BUSH_FILLS = 3.65
"""A conversion bush makes a bore so much narrower at most, in mm: from 10 to 6.35; workshop practice, no source."""


class Drilled(msgspec.Struct, frozen=True):
    """A bore that the head has: for which post, where, and how wide; `old`: it is there as an old hole."""

    post: str
    label: str
    at: Point
    bore: Bore
    old: bool


class Fit(msgspec.Struct, frozen=True):
    """How one model suits the drilled bores of the rows that share their tuners today.

    `ream` is how much must come off the diameter of the bores, `loose` how much wider than the model's own they are
    at the face, mm; each the most of all bores, 0 without, and up to `near` of either the bores count as the model's
    own. The model has the bore that suits the wood. `misfit` is the finding of a plate that does not meet them.
    `stops` are the findings at stop with the model in place, `scars` the old holes and those of the former screws and
    pins that stay in sight. `build` and `layout` are the head with the model.
    """

    model: Hardware
    rows: tuple[str, ...]
    verdict: Verdict
    ream: float
    loose: float
    near: float
    misfit: Finding | None
    stops: tuple[Finding, ...]
    scars: tuple[Part, ...]
    build: Build
    layout: Layout

    @property
    def needs_reamer(self) -> bool:
        """Whether the bores are narrower than the model's own."""
        return self.ream > self.near + SAME


def fits(build: Build, library: Sequence[Hardware] = LIBRARY) -> tuple[Fit, ...]:
    """Every model for every group of rows that share their tuners, best first within the group.

    Nothing for rows that have no place on the head.
    """
    layout = lay_out(build)
    found: list[Fit] = []
    for rows in _groups(build, layout):
        bores = drilled_bores(build, layout, rows)
        group = [_fit(build, layout, rows, bores, model) for model in library]
        found += sorted(group, key=_best_first)
    return tuple(found)


def _best_first(fit: Fit) -> tuple[bool, bool, int, int, float, str]:
    work = max(fit.ream, fit.loose)
    stopped = bool(fit.stops)
    return fit.verdict == "plug", stopped, _VERDICTS.index(fit.verdict), len(fit.scars), work, fit.model.key


def _groups(build: Build, layout: Layout) -> Iterator[tuple[str, ...]]:
    placed = {post.row for post in layout.posts}
    for hardware in dict.fromkeys(row.hardware for row in build.rows):
        rows = tuple(row.key for row in build.rows if row.hardware == hardware and row.key in placed)
        if rows:
            yield rows


# What is drilled


def drilled_bores(build: Build, layout: Layout, rows: Iterable[str]) -> tuple[Drilled, ...]:
    """The bores of these rows: open old holes where they lie at a post, else the bore that the build has there."""
    wanted = set(rows)
    return tuple(_drilled(build, post) for post in layout.posts if post.row in wanted)


def _drilled(build: Build, post: PlacedPost) -> Drilled:
    holes = [hole for hole in build.old_holes if not hole.plugged and _is_of(post, hole)]
    through = max(
        (hole for hole in holes if hole.depth is None), key=lambda hole: hole.diameter, default=None
    )
    if through is None:
        return Drilled(post.key, post.label, post.at, post.hardware.bore, old=False)
    wider = [hole for hole in holes if hole.side == "face" and hole.diameter > through.diameter + SAME]
    step = max(wider, key=lambda hole: hole.diameter, default=None)
    counterbore = None
    if step is not None and step.depth is not None:
        counterbore = Counterbore(diameter=step.diameter, depth=step.depth)
    bore = Bore(through=through.diameter, counterbore=counterbore)
    return Drilled(post.key, post.label, through.at, bore, old=True)


def _is_of(post: PlacedPost, hole: OldHole) -> bool:
    """Whether an old hole holds the middle of the post; those of screws are too small to count."""
    return (
        hole.diameter > post.hardware.post_diameter - SAME
        and post.at.distance(hole.at) <= hole.diameter / 2 + SAME
    )


# What a model asks for


def _fit(
    build: Build, layout: Layout, rows: tuple[str, ...], bores: tuple[Drilled, ...], model: Hardware
) -> Fit:
    thickness = {post.key: post.thickness for post in layout.posts}
    fit = judged_fit(model, build.head)
    model = model if fit.holds(drawn_bore(model)) else with_drawn_bore(model, round(fit.diameter, 2))
    needed = [_needed(each, model, fit) for each in bores]
    compared = [
        beside(each.bore, bore, thickness[each.post]) for each, bore in zip(bores, needed, strict=True)
    ]
    ream = max(max(each[0] for each in compared), 0.0)
    loose = max(max(each[1] for each in compared), 0.0)
    near = 0.0 if fit.pressed else DROPS_IN
    # What must be plugged is drilled anew, as the model needs it.
    plugged = _verdict(ream, loose, near, misfit=None) == "plug"
    bore = model.bore if plugged else _left([*(each.bore for each in bores), *needed])
    trial, there = _in_place(build, layout, rows, bores, replace(model, bore=bore))
    found = findings(trial, there)
    misfit = _misfit(there, rows, found)
    return Fit(
        model=model,
        rows=rows,
        verdict=_verdict(ream, loose, near, misfit),
        ream=ream,
        loose=loose,
        near=near,
        misfit=misfit,
        stops=tuple(stops_of(found)),
        scars=tuple(each.about[0] for each in found if each.check == "scar" and each.level is not Level.FINE),
        build=trial,
        layout=there,
    )


def _needed(drilled: Drilled, model: Hardware, fit: WoodFit) -> Bore:
    """What a drilled bore must become for a model: as it is where a pressed bushing holds in it, else the model's.

    An old hole is measured, a bore of the build is told by its drill.
    """
    bore, wide = model.bore, model.bore.counterbore
    if not fit.pressed:
        return bore
    least, most = fit.hole if drilled.old else (fit.least, fit.most)

    def kept(there: float, own: float) -> float:
        return there if least - SAME <= there <= most + SAME else own

    if wide is None:
        return Bore(through=kept(drilled.bore.through, bore.through))
    through = (
        drilled.bore.through if abs(drilled.bore.through - bore.through) <= DROPS_IN + SAME else bore.through
    )
    return Bore(
        through=through, counterbore=replace(wide, diameter=kept(drilled.bore.largest, wide.diameter))
    )


def _verdict(ream: float, loose: float, near: float, misfit: Finding | None) -> Verdict:
    if misfit or loose > BUSH_FILLS + SAME or ream > REAMED + SAME:
        return "plug"
    if loose > near + SAME:
        return "bush down"
    return "ream" if ream > near + SAME else "drops in"


def beside(drilled: Bore, needed: Bore, thickness: float) -> tuple[float, float]:
    """How much a bore must be reamed anywhere in the thickness, and how much too wide it is at the face.

    Both in mm of diameter, negative the other way. Only the face counts as too wide: there the bushing or collar
    holds, below it a shaft may have play.
    """
    steps = {each.counterbore.depth for each in (drilled, needed) if each.counterbore}
    levels = [0.0, *sorted(step for step in steps if step < thickness - SAME), thickness]
    middles = [(one + two) / 2 for one, two in pairwise(levels)]
    ream = max(_wide_at(needed, depth) - _wide_at(drilled, depth) for depth in middles)
    return ream, _wide_at(drilled, middles[0]) - _wide_at(needed, middles[0])


def _wide_at(bore: Bore, depth: float) -> float:
    """The diameter at a depth below the face."""
    counterbore = bore.counterbore
    return bore.largest if counterbore is not None and depth < counterbore.depth else bore.through


def _misfit(layout: Layout, rows: tuple[str, ...], found: Sequence[Finding]) -> Finding | None:
    """What says that the model's plate does not go on with these bores; None when it does."""
    carried = {post.key for post in layout.posts if post.row in rows}
    for each in found:
        fits = each.check == "plate fit" and each.about[0].key in carried
        if (fits and each.level is Level.STOP) or each.note in layout.misfits:
            return each
    return None


# The head with the model


def _in_place(
    build: Build, layout: Layout, rows: tuple[str, ...], bores: tuple[Drilled, ...], model: Hardware
) -> tuple[Build, Layout]:
    """The head with the model in its drilled bores, and where everything then lies."""
    key = next(row.hardware for row in build.rows if row.key in rows)
    before = next(each for each in build.hardware if each.key == key)
    stands = not any(each.old for each in bores)
    trial = _with_scars(build, layout, rows) if stands and not _same_holes(before, model) else build
    fitted = replace(model, key=fresh_key("h", {each.key for each in build.hardware}))
    for row in build.rows:
        if row.key not in rows:
            continue
        trial = set_hardware(trial, row.key, fitted)
        if model.plate is not None or isinstance(row.rule, OnPlate):
            trial = set_rule(trial, row.key, rule_as(row.rule, "on a line", before))
    placed = lay_out(trial)
    ruled = {post.key: post.at for post in placed.posts}
    steps = {each.post: each.at - ruled[each.post] for each in bores if each.post in ruled}
    moved = {post: step for post, step in steps.items() if step.length > SAME}
    return trial, displaced(trial, placed, moved) if moved else placed


def _same_holes(one: Hardware, two: Hardware) -> bool:
    """Whether two models stand on the same screws and pins."""
    plates = [each.plate.screws if each.plate else None for each in (one, two)]
    return one.screws == two.screws and one.pins == two.pins and plates[0] == plates[1]


def _left(every: list[Bore]) -> Bore:
    """The bore that is in the wood in the end: as wide as drilled and as the model needs, whichever is more."""
    through = max(bore.through for bore in every)
    steps = [bore.counterbore for bore in every if bore.counterbore and bore.counterbore.diameter > through]
    if not steps:
        return Bore(through=through)
    wide, deep = max(step.diameter for step in steps), max(step.depth for step in steps)
    return Bore(through=through, counterbore=Counterbore(diameter=wide, depth=deep))


def _with_scars(build: Build, layout: Layout, rows: tuple[str, ...]) -> Build:
    """The head with the holes of the screws and pins of the tuners that come off, filled."""
    owners = {post.key for post in layout.posts if post.row in rows}
    used = {hole.key for hole in build.old_holes}
    holes = list(build.old_holes)
    for hole in layout.holes:
        if owners.issuperset(hole.owners):
            key = fresh_key(hole.kind, used)
            used.add(key)
            old = OldHole(key=key, at=hole.at, diameter=hole.diameter, depth=hole.depth, plugged=True)
            holes.append(old)
    return replace(build, old_holes=tuple(holes))
