"""The list of all holes of a head, for a drilling machine, a digital read-out or a spreadsheet."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator

from export.csv import Hole
from geometry.build.build import Build
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost, SmallHole
from geometry.trade.wood import find_wood, pilot_share

POST_BORE = "post bore"
COUNTERBORE = "counterbore"
SCREW_PILOT = "screw pilot"
PIN_HOLE = "pin hole"

_ORDER = (POST_BORE, COUNTERBORE, SCREW_PILOT, PIN_HOLE)


def hole_rows(build: Build, layout: Layout) -> tuple[Hole, ...]:
    """Every hole to drill, by purpose and then by name; places in head mm as the face shows them.

    Bores and counterbores are drilled from the face, screws and pins from the back: their x, too, is that of
    the face. Screws get the pilot that the wood of the head wants.
    """
    share = pilot_share(find_wood(build.head.wood))
    rows = [row for post in layout.posts for row in _bores(post)]
    rows += [_small(hole, name, share) for hole, name in named_holes(layout)]
    return tuple(sorted(rows, key=_by_purpose_and_name))


def named_holes(layout: Layout) -> tuple[tuple[SmallHole, str], ...]:
    """The screws and pins, each with the name of the tuner it holds.

    A hole that two tuners share is "3 and 4", one of a plate "1a to 4b"; where a tuner has several of a
    kind they are numbered, "3 (1)", "3 (2)".
    """
    names = [_owners(hole, layout.labels) for hole in layout.holes]
    kinds = [(hole.kind, name) for hole, name in zip(layout.holes, names, strict=True)]
    total, so_far = Counter(kinds), Counter[tuple[str, str]]()
    found = []
    for hole, kind in zip(layout.holes, kinds, strict=True):
        so_far[kind] += 1
        number = f" ({so_far[kind]})" if total[kind] > 1 else ""
        found.append((hole, kind[1] + number))
    return tuple(found)


def _owners(hole: SmallHole, labels: dict[str, str]) -> str:
    names = [labels[key] for key in hole.owners]
    return f"{names[0]} to {names[-1]}" if len(names) > 2 else " and ".join(names)


def _bores(post: PlacedPost) -> Iterator[Hole]:
    bore = post.hardware.bore
    purpose = f"{POST_BORE}, reamed to a taper" if post.hardware.tapered else POST_BORE
    yield Hole(post.label, post.at.x, post.at.y, bore.through, None, "face", purpose)
    if bore.counterbore is not None:
        wide = bore.counterbore
        yield Hole(post.label, post.at.x, post.at.y, wide.diameter, wide.depth, "face", COUNTERBORE)


def _small(hole: SmallHole, name: str, share: float) -> Hole:
    if hole.kind == "pin":
        return Hole(name, hole.at.x, hole.at.y, hole.diameter, hole.depth, "back", PIN_HOLE)
    return Hole(name, hole.at.x, hole.at.y, hole.root * share, hole.depth, "back", SCREW_PILOT)


def _by_purpose_and_name(hole: Hole) -> tuple[int, list[tuple[int, str]]]:
    purpose = next(place for place, start in enumerate(_ORDER) if hole.purpose.startswith(start))
    return purpose, natural(hole.name)


def natural(name: str) -> list[tuple[int, str]]:
    """A key that sorts names with numbers as people count: 2 before 10, and 10 before 10a."""
    parts = re.findall(r"[0-9]+|[^0-9]+", name)
    return [(int(part), "") if part.isdecimal() and part.isascii() else (-1, part) for part in parts]
