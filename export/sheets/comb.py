"""A paper comb for each row: turns all bodies of the row as they are drawn before any pilot is drilled."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from functools import reduce

import msgspec

from export.drawing import Drawing, Mark, Role, Room, Sheet, Text, fitted
from export.labels import Request, anywhere, in_step
from export.sheet_kind import Machine, SheetKind
from export.sheets.back import piece_name
from export.sheets.cautions import FOR_PILOTS
from export.sheets.head import LABEL, crosshair, row_posts
from export.sheets.table import GAP, SIZE, heading, paragraphs, stacked
from export.text import ASCENT, DESCENT, LEADING, wrapped
from geometry.bench.small_holes import pilot, small_hole_names
from geometry.bench.straight_rows import in_line
from geometry.document.build import Build
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.shape.box import Box
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Bounds, Circle
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import Hardware, SideButton
from geometry.trade.shop import Shop
from geometry.trade.wood import Wood

_ENDS = 8.0
_BEYOND = 3.0
_ARMS = 1.5
_MARGIN = 1.2
_NAME = 3.0
_SHORTEST = 62.0
_WALL = 2.0  # least paper in mm between a bore and the reference edge
_STEEP = 0.2  # a flank that climbs less, for a length of 1, does not cross the strip in reach
_STRAIGHT = (
    "Tape to the back, posts through the bores. Straightedge along the reference edge, "
    "bodies between their lines: then pilots."
)
_BENT = (
    "Tape to the back, posts through the bores. This row is not straight: no straightedge, "
    "each body between its own two lines: then pilots."
)
_EDGED = (
    "Lay a straightedge along the reference edge and turn every body until it lies between its two lines."
)
_TURNED = "Turn every body until it lies between its own two lines."
_NO_EDGE = "A strip without a reference edge is for a row that is not straight: lay no straightedge there."


class _Turn(msgspec.Struct, frozen=True):
    """From head mm as the face shows them to strip mm: seen from the back, the row level, the tip at the right."""

    start: Point
    along: Vector

    def at(self, point: Point) -> Point:
        """Where a place of the head lies on the strip."""
        way = point.mirrored - self.start
        return Point(way.dot(self.along), self.along.cross(way))

    def box(self, box: Box) -> Contour:
        """A part of a tuner on the strip."""
        return through([self.at(corner) for corner in box.corners()], closed=True)


class _Strip(msgspec.Struct, frozen=True):
    """One row on its strip: the parts to line up, and on which side (sign of y) the buttons stand."""

    turn: _Turn
    posts: tuple[PlacedPost, ...]
    parts: tuple[Box, ...]
    buttons: int

    @property
    def straight(self) -> bool:
        """Whether a straightedge lies along all bodies of the row."""
        return in_line(self.posts)


def comb_sheets(build: Build, layout: Layout, shop: Shop, _room: Room) -> tuple[Sheet, ...]:
    """A strip for every row that has bodies, plates or seats to line up; nothing when no row has any.

    A strip is the row's piece of the back, turned level: bores at their true mutual places, straight or
    curved, the flanks of the bodies as lines across it, and along their inner sides a reference edge where they stand
    in line.
    """
    strips = [strip for posts in row_posts(layout) if (strip := _strip(layout, posts)) is not None]
    if not strips:
        return ()
    drawings = [_drawn(build, layout, strip, shop.own_woods) for strip in strips]
    words = paragraphs(_ways(strips), max(100.0, *(drawing.bounds.width for drawing in drawings)))
    drawing = stacked((*drawings, words), 2 * GAP)
    return (fitted("comb", "Body combs, seen from the back", drawing, margin=1.0),)


COMB = SheetKind(
    name="comb",
    title="Combs: how each body is turned",
    draw=comb_sheets,
    cautions=FOR_PILOTS,
    absent="no row has bodies to line up, so there is no comb.",
    machine=Machine(),
)


def _strip(layout: Layout, posts: tuple[PlacedPost, ...]) -> _Strip | None:
    plates = tuple(plate.box for plate in layout.plates if plate.row == posts[0].row)
    bodies = (post.body if post.body is not None else post.seat for post in posts)
    parts = (*plates, *(body for body in bodies if body is not None))
    if not parts or not any(_can_turn(post.hardware) for post in posts):
        return None
    first, last = posts[0], posts[-1]
    way = last.at.mirrored - first.at.mirrored
    along = way.unit() if way.length > SAME else first.frame.along.mirrored
    buttons = 1 if along.cross(first.frame.outward.mirrored) > 0 else -1
    return _Strip(_Turn(first.at.mirrored, along), posts, parts, buttons)


def _can_turn(hardware: Hardware) -> bool:
    """Whether it matters how a tuner is turned in its bore: a peg that is round all over lies as it likes."""
    across = isinstance(hardware.button, SideButton)
    return across or hardware.plate is not None or bool(hardware.screws or hardware.pins)


def _ways(strips: Sequence[_Strip]) -> tuple[str, ...]:
    """How the strips are used; a straightedge only where it lies along the bodies."""
    straight = {strip.straight for strip in strips}
    turn = _TURNED if straight == {False} else _EDGED
    return (
        "1. Cut the strip out along its long edges. Cut or punch the bores out at full size.",
        "2. Lay it on the back with the printed side up, posts through the holes, and tape it.",
        f"3. {turn}" + (f" {_NO_EDGE}" if straight == {True, False} else ""),
        "4. Now tighten the bushings, prick the screw places through the tuners' own holes, and drill the pilots.",
    )


class _Lines(msgspec.Struct, frozen=True):
    """Where the long lines of a strip lie: heights of the reference edge, of the flanks' ends and of the far edge."""

    left: float
    right: float
    reference: float
    flanks: float
    far: float

    @property
    def bounds(self) -> Bounds:
        """The strip as it is cut out."""
        low, high = sorted((self.reference, self.far))
        return Bounds(self.left, low, self.right, high)

    @property
    def window(self) -> Bounds:
        """The strip without its band of words."""
        low, high = sorted((self.reference, self.flanks))
        return Bounds(self.left, low, self.right, high)


def _lines(strip: _Strip) -> _Lines:
    """The reference edge runs along the innermost part, but never through a bore; words stand at the buttons' side."""
    bores = _joined(Circle(strip.turn.at(post.at), post.bore / 2).bounds for post in strip.posts)
    parts = _joined(strip.turn.box(part).bounds for part in strip.parts)
    whole = parts.joined(bores)
    left = whole.left - _ENDS
    right = max(whole.right + _ENDS, left + _SHORTEST)
    band = 2 * _MARGIN + SIZE * LEADING * len(_said(strip, right - left))
    if strip.buttons > 0:
        reference = min(parts.bottom, bores.bottom - _WALL)
        return _Lines(left, right, reference, whole.top + _BEYOND, whole.top + _BEYOND + band)
    reference = max(parts.top, bores.top + _WALL)
    return _Lines(left, right, reference, whole.bottom - _BEYOND, whole.bottom - _BEYOND - band)


def _joined(boxes: Iterable[Bounds]) -> Bounds:
    return reduce(Bounds.joined, boxes)


def _said(strip: _Strip, length: float) -> tuple[str, ...]:
    return wrapped(_STRAIGHT if strip.straight else _BENT, length - 2 * _MARGIN, SIZE)


def _drawn(build: Build, layout: Layout, strip: _Strip, own: tuple[Wood, ...]) -> Drawing:
    lines = _lines(strip)
    holes = _holes(build, layout, strip, lines, own)
    drawing = Drawing((*_edges(strip, lines), *_parts(strip, lines), *holes, *_words(strip, lines)))
    names = [
        Request(strip.turn.at(post.at), (name,), _NAME, post.hardware.bore.through / 2, bold=True)
        for post, name in zip(strip.posts, _names(strip), strict=True)
    ]
    labels = in_step(names, strip.buttons, drawing, lines.window)
    drawing += labels if labels is not None else anywhere(names, drawing, lines.bounds)
    return stacked((heading(_title(build, strip)), drawing), 2.0)


def _title(build: Build, strip: _Strip) -> str:
    first, last = strip.posts[0], strip.posts[-1]
    side = next(row.side for row in build.rows if row.key == first.row)
    posts = f"posts {first.label} to {last.label}" if len(strip.posts) > 1 else f"post {first.label}"
    pieces = {post.piece for post in strip.posts if post.hardware.handed}
    return f"{side.capitalize()} row, {posts}" + (f", {pieces.pop()} pieces" if len(pieces) == 1 else "")


def _names(strip: _Strip) -> tuple[str, ...]:
    """Names of the posts, with the piece where the row has left and right ones."""
    mixed = len({post.piece for post in strip.posts}) > 1
    return tuple(piece_name(post) if mixed else post.label for post in strip.posts)


# Marks


def _edges(strip: _Strip, lines: _Lines) -> Iterator[Mark]:
    ends = (lines.reference, lines.far)
    rim = [
        Point(x, y)
        for x, y in zip((lines.left, lines.left, lines.right, lines.right), (*ends, *ends[::-1]), strict=True)
    ]
    yield Mark(Role.CUT_LINE, through(rim, closed=not strip.straight), "strip")
    if strip.straight:
        yield Mark(Role.FENCE, through((rim[0], rim[-1])), "reference edge")


def _parts(strip: _Strip, lines: _Lines) -> Iterator[Mark]:
    """Each body or plate, and its two flanks as lines across the strip."""
    for part in strip.parts:
        yield Mark(Role.BODY, strip.turn.box(part), "body")
        for end in (-1.0, 1.0):
            middle = part.centre + part.along * (end * part.half_along)
            foot, beyond = strip.turn.at(middle), strip.turn.at(middle + part.across)
            flank = _across(foot, beyond - foot, lines)
            if flank is not None:
                yield Mark(Role.COMB, flank, "flank")


def _across(foot: Point, way: Vector, lines: _Lines) -> Contour | None:
    """The line through `foot` from the reference edge to the band of words; None for one that runs along them."""
    if abs(way.y) < _STEEP:
        return None
    ends = [foot + way * ((y - foot.y) / way.y) for y in (lines.reference, lines.flanks)]
    return through(ends)


def _holes(
    build: Build, layout: Layout, strip: _Strip, lines: _Lines, own: tuple[Wood, ...]
) -> Iterator[Mark]:
    """The bores, and the places of screws and pins that lie on the strip."""
    for post in strip.posts:
        at, radius, name = strip.turn.at(post.at), post.hardware.bore.through / 2, f"post {post.label}"
        yield Mark(Role.BORE, Circle(at, radius), name)
        yield from crosshair(at, radius, name, beyond=_ARMS)
    keys = {post.key for post in strip.posts}
    for hole, name in zip(layout.holes, small_hole_names(layout), strict=True):
        at, radius = strip.turn.at(hole.at), pilot(build, hole, own) / 2
        if keys.issuperset(hole.owners) and lines.window.grown(-radius).contains(at):
            yield Mark(Role.SCREW if hole.kind == "screw" else Role.PIN, Circle(at, radius), name)
            yield from crosshair(at, radius, name, beyond=0.0)


def _words(strip: _Strip, lines: _Lines) -> Iterator[Mark]:
    said = _said(strip, lines.right - lines.left)
    top = max(lines.flanks, lines.far) - _MARGIN
    for number, line in enumerate(said):
        at = Point(lines.left + _MARGIN, top - SIZE * (ASCENT + LEADING * number))
        yield Mark(Role.NOTES, Text(at, SIZE, line))
    below = lines.reference < lines.far
    y = lines.reference - 0.8 - LABEL * ASCENT if below else lines.reference + 0.8 + LABEL * DESCENT
    if strip.straight:
        yield Mark(Role.LABEL, Text(Point(lines.left, y), LABEL, "reference edge"))
    yield Mark(Role.LABEL, Text(Point(lines.right, y), LABEL, "to the tip →", anchor="end"))
