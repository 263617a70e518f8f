"""The face of the head at true size: a paper template to drill by, and a plain drawing for machines."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from export.drawing import Drawing, Mark, Role, Room, Sheet, Text, fitted
from export.flow import NARROW
from export.sheet_kind import Machine, SheetKind
from export.sheets.cautions import FOR_TEMPLATES
from export.sheets.face_labels import LARGE, face_labels, shown_radius
from export.sheets.head import (
    LABEL,
    LEAST_RING,
    ROOM,
    centre_end,
    centre_line,
    crosshair,
    diameter_words,
    head_lines,
    inch_words,
    keep_clear,
    nut_ends,
    old_holes,
    tip,
)
from export.sheets.legend import head_measures, keep_clear_words, retainer_words, ring_cell, ring_words
from export.sheets.report import pieces_to_buy, verdict
from export.sheets.table import divided, fits, paragraphs, stacked, with_table
from export.text import ASCENT, LEADING
from geometry.bench.bore_fit import bore_fits
from geometry.bench.small_holes import pilot, small_hole_fit, tree_screw_names
from geometry.checks.judge import findings
from geometry.document.build import Blank, Build, Head
from geometry.layout.layout import Layout
from geometry.layout.names import natural
from geometry.layout.parts import PlacedPost
from geometry.search.rings.allowance import JointRing, Ring, exact_rings
from geometry.shape.box import Box
from geometry.shape.contour import through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Circle
from geometry.shape.tolerance import SAME
from geometry.trade.bore_fit import Fit
from geometry.trade.hardware import Hardware
from geometry.trade.measured import say_typical
from geometry.trade.quantities import CLOSE, bare_fine, bare_length, length_unit, show_fine
from geometry.trade.shop import Shop
from geometry.trade.units import Units
from geometry.trade.wood import Wood

STRIP = 12.0
"""Depth in mm of the strip that stands up against the nut."""

TICK_FROM, TICK_TO = 1.0, 6.0
"""Where the ticks that go on from the nut line begin and end, in mm beside the head."""

_FOLD, _ARROW = 3.0, 3.0  # length in mm of the fold marks at the nut line, and of the arrows to it
_TICK = 1.8
_EXIT = 4.0  # half the length in mm of the tick where the centre line leaves a head that leans
_MEASURES = "x from the centre line (right +), y from the nut line. ⌀ in: the inch drill that does as well."
_INSTRUCTIONS = (
    "1. Cut along the outline, and around the strip at the nut.",
    "2. Nut on: crease the strip at the nut line, stand it up against the nut. Nut off: lay the nut line on yours.",
    "3. Lay the centre line on the centre line, at the nut and at the tip. Tape the paper.",
    "4. Punch every dot through the paper, and take the paper off before you drill.",
    "Head not sawn yet: cut the strip off, lay nut line and centre line on yours, glue the paper; drill, then saw.",
)


def face_sheets(build: Build, layout: Layout, shop: Shop, room: Room = ROOM) -> tuple[Sheet, ...]:
    """The template for the face, to be cut out, held against the nut, and punched through.

    Its table of holes stands beside the head or below it, whichever keeps to `room` (width and height in mm); where
    neither does, on a sheet of its own. Sizes at the holes are large where all goes on one page.
    """
    rings = exact_rings(build, layout).rings
    drawing = _lines(build, layout, shop, rings)
    measures = head_measures(build, layout, shop.units)
    full, short = (_texts(build, layout, shop, room, rings, said) for said in (measures, ""))
    region = Drawing(tuple(head_lines(build, layout))).bounds
    bores = tuple(Circle(post.at, post.bore / 2) for post in layout.posts)

    def sheets(*heights: float) -> tuple[Sheet, ...]:
        """With sizes at the holes of the first of these heights that finds its places; measures where there is room."""
        whole = drawing + face_labels(build, layout, shop, drawing, region, heights)
        said, unsaid = (
            with_table("face", "Drilling template, face", whole, *texts, room, bores)
            for texts in (full, short)
        )
        return said if len(said) == len(unsaid) and fits(said[-1].drawing, room) else unsaid

    large = sheets(LARGE, LABEL)
    return large if len(large) == 1 and fits(large[0].drawing, room) else sheets(LABEL)


def _lines(build: Build, layout: Layout, shop: Shop, rings: tuple[JointRing, ...]) -> Drawing:
    """All that the template shows but words."""
    marks = (
        *head_lines(build, layout),
        *_strip(build, layout),
        *nut_marks(build, layout),
        *path_marks(layout),
        *keep_clear(build),
        *old_holes(build),
        *retainer_marks(build),
        *tree_pilots(build, layout, shop.own_woods),
        *bore_marks(layout),
        *ring_marks(rings),
        *blank_marks(build.head.blank),
    )
    return Drawing(marks)


def _texts(
    build: Build, layout: Layout, shop: Shop, room: Room, rings: tuple[JointRing, ...], measures: str
) -> tuple[tuple[Drawing, ...], Drawing]:
    """Table and sentences: as blocks of a column, and as a band below the head."""
    titles = _table(build, layout, shop, rings)
    words = (
        *_lead(build, layout, shop),
        *((measures,) if measures else ()),
        _MEASURES,
        *_INSTRUCTIONS,
        *ring_words(rings),
        *keep_clear_words(build, shop.units),
        *retainer_words(build, layout, shop),
    )
    blocks = (divided(*titles), paragraphs(words, 60.0))
    beside = 2 if room[0] >= NARROW else 1
    return blocks, stacked((divided(*titles, columns=beside), paragraphs(words, room[0] - 4.0)))


def _lead(build: Build, layout: Layout, shop: Shop) -> Iterator[str]:
    """What a maker needs before anything else: whether it can be drilled, what to buy, with what to drill."""
    yield verdict(layout, findings(build, layout))
    for hardware in build.hardware:
        pieces = pieces_to_buy(hardware, layout)
        if pieces:
            yield f"Tuners: {hardware.name}, {pieces}. Bore {_size(build.head, hardware, shop, shop.units)}."
    if typical := say_typical(post.hardware for post in layout.posts):
        yield typical


def plain_face_sheet(build: Build, layout: Layout, shop: Shop) -> Sheet:
    """The face for cutters and routers: outline, circles of bores and tree pilots; centre line and nut line as aids."""
    marks: list[Mark] = []
    if layout.edge is not None:
        marks.append(Mark(Role.OUTLINE, layout.edge.contour, "outline"))
    left, right = nut_ends(build, layout)
    # Ticks beside the head: the nut line itself may close the outline, and a cutter must not go over it twice.
    for end, outward in ((left, Vector(-1.0, 0.0)), (right, Vector(1.0, 0.0))):
        tick = through((end + outward * TICK_FROM, end + outward * TICK_TO))
        marks.append(Mark(Role.NUT_LINE, tick, "nut line"))
    marks.append(centre_line(-STRIP, layout.top + STRIP))
    for post in layout.posts:
        marks += _bore(post)
    pilots = tuple(tree_pilots(build, layout, shop.own_woods))
    named = zip(tree_screw_names(build, layout), layout.tree_screws, strict=True)
    notes = (
        "Seen from the face. Origin: middle of the nut line; y runs to the tip along the centre line.",
        *(
            f"Post {post.label}: {_size(build.head, post.hardware, shop, 'mm')}."
            for post in sorted(layout.posts, key=lambda post: natural(post.label))
        ),
        *(
            f"{name}: screw pilot {diameter_words(small_hole_fit(hole, pilot(build, hole, shop.own_woods)), shop)}, "
            f"{show_fine(hole.depth, 'mm')} deep."
            for name, hole in named
        ),
    )
    return fitted("face", "Face of the head", Drawing((*marks, *pilots)), notes=notes)


FACE = SheetKind(
    name="face",
    title="Face: template for the bores",
    draw=face_sheets,
    cautions=FOR_TEMPLATES,
    machine=Machine(plain_face_sheet, "Face: outline and bores"),
)


# Marks


def _bore(post: PlacedPost) -> Iterator[Mark]:
    bore, name = post.hardware.bore, f"post {post.label}"
    yield Mark(Role.BORE, Circle(post.at, bore.through / 2), name)
    if bore.counterbore is not None and abs(bore.counterbore.diameter - bore.through) > SAME:
        yield Mark(Role.COUNTERBORE, Circle(post.at, bore.counterbore.diameter / 2), name)


def bore_marks(layout: Layout) -> Iterator[Mark]:
    """For each post its washer, its bore and the crosshair."""
    for post in layout.posts:
        name = f"post {post.label}"
        if post.hardware.collar_diameter > 0:
            yield Mark(Role.WASHER, Circle(post.at, post.hardware.collar_diameter / 2), name)
        yield from _bore(post)
        yield from crosshair(post.at, post.bore / 2, name)


def ring_marks(rings: Iterable[JointRing | Ring]) -> Iterator[Mark]:
    """The dotted rings round the marks of the posts; one too small to be told from its dot is not drawn."""
    for each in rings:
        if each.radius >= LEAST_RING:
            yield Mark(Role.MARGIN_RING, Circle(each.at, each.radius), f"post {each.label}")


def path_marks(layout: Layout) -> Iterator[Mark]:
    """The strings from their slots over retainers to their posts."""
    for path in layout.paths:
        if any(point != path.slot for point in path.points):
            label = f"string {layout.labels[path.string.key]}"
            yield Mark(Role.STRING_PATH, through(path.points), label)


def nut_marks(build: Build, layout: Layout) -> Iterator[Mark]:
    """A tick for every slot, on the neck side of the nut line, and one for each end of the nut."""
    deep = build.nut.thickness
    for x in (-build.nut.width / 2, build.nut.width / 2):
        yield Mark(Role.NUT, through((Point(x, 0.0), Point(x, -min(_TICK, deep)))), "end of the nut")
    for key, x in layout.slots.items():
        tick = through((Point(x, 0.0), Point(x, -min(_TICK, deep))))
        yield Mark(Role.NUT_SLOT, tick, f"string {layout.labels[key]}")


def tree_pilots(build: Build, layout: Layout, own: tuple[Wood, ...] = ()) -> Iterator[Mark]:
    """The pilot holes in the face for the screws of trees; `own` are the woods of the maker's shop."""
    for name, hole in zip(tree_screw_names(build, layout), layout.tree_screws, strict=True):
        yield Mark(Role.SCREW, Circle(hole.at, pilot(build, hole, own) / 2), name)


def retainer_marks(build: Build) -> Iterator[Mark]:
    """String trees, as wide as they are, and guide posts, with crosshairs."""
    for retainer in build.retainers:
        radius = shown_radius(retainer)
        if retainer.kind == "tree" and retainer.half_width > radius:
            bar = Box(retainer.at, Vector(1.0, 0.0), retainer.half_width, radius).contour()
            yield Mark(Role.RETAINER, bar, retainer.kind)
        else:
            yield Mark(Role.RETAINER, Circle(retainer.at, radius), retainer.kind)
        yield from crosshair(retainer.at, radius, retainer.kind, beyond=1.5)


def blank_marks(blank: Blank | None) -> Iterator[Mark]:
    """The rectangle of the board, if it is known."""
    if blank is not None:
        low, high = Point(-blank.left, 0.0), Point(blank.right, blank.length)
        corners = (low, Point(high.x, low.y), high, Point(low.x, high.y))
        yield Mark(Role.BLANK, through(corners, closed=True), "blank")


# Tabs


def _strip(build: Build, layout: Layout) -> Iterator[Mark]:
    """The strip below the nut line: its cut line, fold marks, what the line is for, and the centre line to the tip."""
    left, right = nut_ends(build, layout)
    slope = Vector(2.0, -STRIP)
    yield Mark(Role.CUT_LINE, through((left, left + slope, right - Vector(2.0, STRIP), right)), "nut strip")
    for end, inwards in ((left, 1.0), (right, -1.0)):
        # Inside of what is cut out, so that they are still there when it is folded.
        fold = (end, end + Vector(_FOLD * inwards, 0.0))
        yield Mark(Role.FOLD_LINE, through(fold), "nut line")
        yield from _arrow(Point(end.x + 2.5 * _FOLD * inwards, 0.0))
    for number, words in enumerate(("this line to the", "nut, head side")):
        at = Point(0.0, -_ARROW - 0.4 - (ASCENT + number * LEADING) * LABEL)
        yield Mark(Role.LABEL, Text(at, LABEL, words, anchor="middle"))
    yield Mark(Role.CENTRE_LINE, through((Point(0.0, -STRIP), Point(0.0, _ARROW / 2 - STRIP))), "centre tick")
    found, leaves = tip(layout), centre_end(layout)
    if found is None:
        yield centre_line(-_ARROW / 2, layout.top)
        return
    over = found[0] if abs(found[0].x) <= SAME or leaves is None else leaves
    yield centre_line(-_ARROW / 2, over.y - _EXIT)
    # The tick crosses the edge, so that it is seen on the paper and beside it.
    tick = (over - Vector(0.0, _EXIT), over + Vector(0.0, _EXIT))
    yield Mark(Role.CENTRE_LINE, through(tick), "centre tick")


def _arrow(to: Point) -> Iterator[Mark]:
    """An arrow from below that points to a place of the nut line."""
    yield Mark(Role.LABEL, through((to + Vector(0.0, -_ARROW), to)), "arrow")
    barbs = (to + Vector(-0.8, -1.6), to, to + Vector(0.8, -1.6))
    yield Mark(Role.LABEL, through(barbs), "arrow")


# Words


def _size(head: Head, hardware: Hardware, shop: Shop, units: Units) -> str:
    """The bore with its drills; how deep its counterbore is in `units`."""
    fits, wide = bore_fits(hardware, head, shop), hardware.bore.counterbore
    words = diameter_words(fits.through, shop)
    if wide is None or fits.counterbore is None:
        return words
    return (
        f"{words}, counterbore {diameter_words(fits.counterbore, shop)}, {show_fine(wide.depth, units)} deep"
    )


def _table(
    build: Build, layout: Layout, shop: Shop, rings: tuple[JointRing, ...]
) -> tuple[str, tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Title, heads and rows of the table of holes."""
    unit = length_unit(shop.units)
    heads = ("post", f"x {unit}", f"y {unit}", "⌀ mm", "⌀ in", f"ring {unit}")
    rows: list[tuple[str, ...]] = []
    pairs = zip(layout.posts, rings, strict=True)
    for post, allowed in sorted(pairs, key=lambda pair: natural(pair[0].label)):
        place = tuple(bare_length(each, shop.units, CLOSE) for each in (post.at.x, post.at.y))
        cell = ring_cell(allowed, shop.units)
        fits = bore_fits(post.hardware, build.head, shop)
        rows.append((post.label, *place, *_both(fits.through, shop), cell))
        if fits.counterbore is not None:
            rows.append(("  top", "", "", *_both(fits.counterbore, shop), ""))
    for name, hole in zip(tree_screw_names(build, layout), layout.tree_screws, strict=True):
        place = tuple(bare_length(each, shop.units, CLOSE) for each in (hole.at.x, hole.at.y))
        fit = small_hole_fit(hole, pilot(build, hole, shop.own_woods))
        rows.append((name, *place, *_both(fit, shop), ""))
    return "Bores and pilots" if layout.tree_screws else "Bores", heads, tuple(rows)


def _both(fit: Fit, shop: Shop) -> tuple[str, str]:
    return bare_fine(fit.diameter, "mm"), inch_words(fit, shop).removesuffix(" in")
