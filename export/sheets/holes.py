"""The list of all holes of a head, for a drilling machine, a digital read-out or a spreadsheet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Literal

import msgspec
from msgspec.structs import astuple

from export.csv import MARKED, write_table
from geometry.bench.small_holes import pilot, small_hole_names, tree_screw_names
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.names import natural
from geometry.layout.parts import PlacedPost, SmallHole
from geometry.trade.wood import Wood

POST_BORE = "post bore"
COUNTERBORE = "counterbore"
SCREW_PILOT = "screw pilot"
PIN_HOLE = "pin hole"

_ORDER = (POST_BORE, COUNTERBORE, SCREW_PILOT, PIN_HOLE)


HEADER = ("name", "x_face_mm", "y_face_mm", "diameter_mm", "depth_mm", "drilled_from", "purpose", MARKED)
"""The first line of the file: every place as the face shows it, holes of the back too."""


class Hole(msgspec.Struct, frozen=True):
    """One hole: place, diameter and depth in mm (None: through), and the side it is drilled from."""

    name: str
    x: float
    y: float
    diameter: float
    depth: float | None
    side: Literal["face", "back"]
    purpose: str


def write_holes(holes: Iterable[Hole], fingerprint: str) -> bytes:
    """The holes as a table, lengths in mm."""
    rows = (("through" if cell is None else cell for cell in astuple(hole)) for hole in holes)
    return write_table(HEADER, ((*row, fingerprint) for row in rows))


def hole_rows(build: Build, layout: Layout, own: tuple[Wood, ...] = ()) -> tuple[Hole, ...]:
    """Every hole to drill, by purpose and then by name; places in head mm as the face shows them.

    Bores, counterbores and screws of trees are drilled from the face, screws and pins of tuners from the back: their
    x, too, is that of the face. A bore is called after its string; screws and pins have the names of the templates, and
    the purpose says whose they are. Screws get the pilot that the wood of the head wants; `own` are the woods of the
    maker's shop.
    """
    rows = [row for post in layout.posts for row in _bores(post)]
    names = small_hole_names(layout)
    rows += [
        _small(layout, hole, name, pilot(build, hole, own))
        for hole, name in zip(layout.holes, names, strict=True)
    ]
    kinds = {each.key: each.kind for each in build.retainers}
    rows += [
        Hole(
            name,
            hole.at.x,
            hole.at.y,
            pilot(build, hole, own),
            hole.depth,
            "face",
            f"{SCREW_PILOT} of a {kinds[hole.tree]}",
        )
        for hole, name in zip(layout.tree_screws, tree_screw_names(build, layout), strict=True)
    ]
    return tuple(sorted(rows, key=_by_purpose_and_name))


def _bores(post: PlacedPost) -> Iterator[Hole]:
    bore = post.hardware.bore
    purpose = f"{POST_BORE}, reamed to a taper" if post.hardware.tapered else POST_BORE
    yield Hole(post.label, post.at.x, post.at.y, bore.through, None, "face", purpose)
    if bore.counterbore is not None:
        wide = bore.counterbore
        yield Hole(post.label, post.at.x, post.at.y, wide.diameter, wide.depth, "face", COUNTERBORE)


def _small(layout: Layout, hole: SmallHole, name: str, drill: float) -> Hole:
    purpose = f"{PIN_HOLE if hole.kind == 'pin' else SCREW_PILOT} of {layout.names_of(hole.owners)}"
    return Hole(name, hole.at.x, hole.at.y, drill, hole.depth, "back", purpose)


def _by_purpose_and_name(hole: Hole) -> tuple[int, list[tuple[bool, int, str]]]:
    purpose = next(place for place, start in enumerate(_ORDER) if hole.purpose.startswith(start))
    return purpose, natural(hole.name)
