"""Every act of the maker: one function from a build to a build.

Each changes what it names and nothing else. A key that is not in the build is a programming error.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from msgspec import UNSET, UnsetType
from msgspec.structs import replace

from geometry.document.build import (
    AlongEdge,
    Build,
    Head,
    Moved,
    Nut,
    OldHole,
    OnLine,
    OnPlate,
    Piece,
    Polygon,
    Post,
    Region,
    Retainer,
    RoundRegion,
    Row,
    StraightPull,
    String,
)
from geometry.document.outline import Bend, Curve, Node, Nodes, Starter, Straight
from geometry.document.starters import as_nodes, starter_contour
from geometry.trade.hardware import Hardware
from geometry.trade.limits import ChangedLimit
from geometry.trade.measured import unmarked

Keyed = TypeVar("Keyed", Row, String, Hardware, Region, OldHole, Retainer, Post, Node)
Part = TypeVar("Part")
Rule = AlongEdge | OnLine | OnPlate | StraightPull


def changed(items: tuple[Keyed, ...], key: str, change: Callable[[Keyed], Keyed]) -> tuple[Keyed, ...]:
    """The parts with one of them, by its key, changed."""
    assert any(item.key == key for item in items), f"there is no {key!r}"
    return tuple(change(item) if item.key == key else item for item in items)


def without(items: tuple[Keyed, ...], key: str) -> tuple[Keyed, ...]:
    """The parts without one of them."""
    assert any(item.key == key for item in items), f"there is no {key!r}"
    return tuple(item for item in items if item.key != key)


def _put(items: tuple[Part, ...], part: Part, is_it: Callable[[Part], bool]) -> tuple[Part, ...]:
    """The part in the place of the one that it stands for, last when there is none yet."""
    found = any(is_it(each) for each in items)
    return tuple(part if is_it(each) else each for each in items) if found else (*items, part)


def fresh_key(letter: str, used: set[str]) -> str:
    """A key that no part has, numbered on from the highest so that a deleted one does not come back."""
    numbers = [
        int(key[len(letter) :]) for key in used if key.startswith(letter) and key[len(letter) :].isdecimal()
    ]
    return f"{letter}{max(numbers, default=0) + 1}"


# The whole build


def rename(build: Build, name: str) -> Build:
    """Call the build `name`."""
    return replace(build, name=name)


def set_notes(build: Build, notes: str) -> Build:
    """Write the notes."""
    return replace(build, notes=notes)


def set_nut(build: Build, nut: Nut) -> Build:
    """Change the nut; rules place the tuners anew, nodes stay."""
    return replace(build, nut=nut)


def set_head(build: Build, head: Head) -> Build:
    """Change the wood of the head."""
    return replace(build, head=head)


def set_limit(build: Build, change: ChangedLimit) -> Build:
    """Hold one limit at another value."""
    kept = _put(build.limits, change, lambda each: (each.rule, each.level) == (change.rule, change.level))
    return replace(build, limits=kept)


def reset_limit(build: Build, rule: str, level: str) -> Build:
    """Give a limit back to its default."""
    kept = tuple(each for each in build.limits if (each.rule, each.level) != (rule, level))
    return replace(build, limits=kept)


# Outline


def set_outline(build: Build, outline: Starter | Nodes) -> Build:
    """Take another outline."""
    return replace(build, outline=outline)


def free_outline(build: Build) -> Build:
    """Turn a starter into nodes that can be moved one by one; nodes stay as they are."""
    if isinstance(build.outline, Nodes):
        return build
    contour = starter_contour(build.outline, build.nut.width, build.bass_sign)
    return replace(build, outline=Nodes(nodes=as_nodes(contour)))


def set_run(build: Build, key: str, onward: Straight | Bend | Curve) -> Build:
    """Change the run that goes on from a node."""
    return _on_nodes(build, key, lambda node: replace(node, onward=onward))


def _on_nodes(build: Build, key: str, change: Callable[[Node], Node]) -> Build:
    build = free_outline(build)
    assert isinstance(build.outline, Nodes), "the outline is nodes now"
    return replace(build, outline=Nodes(nodes=changed(build.outline.nodes, key, change)))


# Strings and hardware


def set_string(build: Build, string: String) -> Build:
    """Change the string with the same key."""
    return replace(build, strings=changed(build.strings, string.key, lambda _: string))


def set_strings(build: Build, strings: tuple[String, ...]) -> Build:
    """Take another set of strings; posts that carried one that is gone take theirs by rule again."""
    keys = {string.key for string in strings}
    rows = tuple(
        replace(row, posts=tuple(_with_string_of(post, keys) for post in row.posts)) for row in build.rows
    )
    retainers = tuple(
        replace(each, strings=tuple(key for key in each.strings if key in keys)) for each in build.retainers
    )
    return replace(build, strings=strings, rows=rows, retainers=retainers)


def _with_string_of(post: Post, keys: set[str]) -> Post:
    return replace(post, string=UNSET) if isinstance(post.string, str) and post.string not in keys else post


def set_hardware(build: Build, row: str, hardware: Hardware) -> Build:
    """Give a row other tuners; the ones it had leave the build when no other row uses them.

    Tuners under a key that another row uses for different ones come in under a key of their own.
    """
    used = {each.hardware for each in build.rows if each.key != row}
    known = {each.key: each for each in build.hardware}
    if hardware.key in used:
        there = known[hardware.key]
        same = unmarked(there) == unmarked(hardware)
        hardware = there if same else replace(hardware, key=fresh_key("h", set(known)))
    before = next(each.hardware for each in build.rows if each.key == row)
    if before not in used | {hardware.key}:
        del known[before]
    known[hardware.key] = hardware
    rows = changed(build.rows, row, lambda each: replace(each, hardware=hardware.key))
    return replace(build, rows=rows, hardware=tuple(known.values()))


def change_hardware(build: Build, hardware: Hardware) -> Build:
    """Change the tuners with the same key, wherever they are used."""
    return replace(build, hardware=changed(build.hardware, hardware.key, lambda _: hardware))


# Rows and posts


def set_rule(build: Build, row: str, rule: Rule) -> Build:
    """Place a row by another rule; what was moved by hand keeps its offset."""
    return replace(build, rows=changed(build.rows, row, lambda each: replace(each, rule=rule)))


def add_row(build: Build, row: Row) -> Build:
    """Add a row."""
    return replace(build, rows=(*build.rows, row))


def remove_row(build: Build, row: str) -> Build:
    """Take a row away; its hardware stays for the next one."""
    return replace(build, rows=without(build.rows, row))


def move_post(build: Build, post: str, along: float, inward: float) -> Build:
    """Put a post by hand so far along and inward of where its rule has it."""

    def moved(row: Row) -> Row:
        by_hand = Moved(post=post, along=along, inward=inward)
        return replace(row, moved=_put(row.moved, by_hand, lambda each: each.post == post))

    return _on_row_of(build, post, moved)


def give_back(build: Build, post: str) -> Build:
    """Give a post that was moved by hand back to its rule."""
    return _on_row_of(
        build, post, lambda row: replace(row, moved=tuple(each for each in row.moved if each.post != post))
    )


def set_string_of(build: Build, post: str, string: str | UnsetType | None) -> Build:
    """Lead a string to a post (None: no string, UNSET: by rule); the post that had it takes its own by rule."""

    def changed(each: Post) -> Post:
        if each.key == post:
            return replace(each, string=string)
        return replace(each, string=UNSET) if string and each.string == string else each

    rows = tuple(replace(row, posts=tuple(changed(each) for each in row.posts)) for row in build.rows)
    return replace(build, rows=rows)


def swap_strings(build: Build, one: str, two: str, now: dict[str, str]) -> Build:
    """Change the strings of two posts over; `now` is the string key by post key as laid out."""
    first, second = now.get(one), now.get(two)
    build = on_post(build, one, lambda post: replace(post, string=second))
    return on_post(build, two, lambda post: replace(post, string=first))


def flip_wound_side(build: Build, post: str) -> Build:
    """Wind a string on the other side of its post."""
    return on_post(build, post, lambda each: replace(each, flip_wound_side=not each.flip_wound_side))


def set_drilled(build: Build, post: str, *, drilled: bool) -> Build:
    """Say whether the hole of a post is in the wood already."""
    return on_post(build, post, lambda each: replace(each, drilled=drilled))


def turn_tuner(build: Build, post: str, degrees: float) -> Build:
    """Turn a tuner about its post, counter-clockwise from how its row has it."""
    return on_post(build, post, lambda each: replace(each, turned_deg=degrees))


def set_turns(build: Build, post: str, turns: float | UnsetType) -> Build:
    """Wind so many turns on a post; UNSET: as is usual for the string."""
    return on_post(build, post, lambda each: replace(each, turns=turns))


def set_piece(build: Build, post: str, piece: Piece | UnsetType) -> Build:
    """Fit a left or right piece; UNSET: the one for its side."""
    return on_post(build, post, lambda each: replace(each, piece=piece))


def _on_row_of(build: Build, post: str, change: Callable[[Row], Row]) -> Build:
    row = next(row for row in build.rows if any(each.key == post for each in row.posts))
    return replace(build, rows=changed(build.rows, row.key, change))


def on_post(build: Build, post: str, change: Callable[[Post], Post]) -> Build:
    """Change one post, wherever it is."""
    return _on_row_of(build, post, lambda row: replace(row, posts=changed(row.posts, post, change)))


# What is already there


def add_region(build: Build, region: Region) -> Build:
    """Mark a region to keep clear."""
    return replace(build, keep_clear=(*build.keep_clear, region))


def remove_region(build: Build, key: str) -> Build:
    """Forget a region."""
    return replace(build, keep_clear=without(build.keep_clear, key))


def add_old_hole(build: Build, hole: OldHole) -> Build:
    """Note a hole that is already there."""
    return replace(build, old_holes=(*build.old_holes, hole))


def add_retainer(build: Build, retainer: Retainer) -> Build:
    """Add a tree or a guide post."""
    return replace(build, retainers=(*build.retainers, retainer))


# The other hand


def mirrored(build: Build) -> Build:
    """The same head for the other hand: everything mirrored in the centre line."""
    outline = build.outline
    if isinstance(outline, Nodes):
        outline = Nodes(nodes=_mirrored_nodes(outline.nodes))
    head, board = build.head, build.head.blank
    if board is not None:
        board = replace(board, left=board.right, right=board.left)
    return replace(
        build,
        hand="left" if build.hand == "right" else "right",
        outline=outline,
        head=replace(head, grain_deg=0.0 - head.grain_deg, blank=board),
        rows=tuple(
            replace(row, posts=tuple(post_in_mirror(post, post) for post in row.posts)) for row in build.rows
        ),
        retainers=tuple(replace(each, at=each.at.mirrored) for each in build.retainers),
        keep_clear=tuple(replace(region, shape=mirrored_shape(region.shape)) for region in build.keep_clear),
        old_holes=tuple(replace(hole, at=hole.at.mirrored) for hole in build.old_holes),
    )


def _mirrored_nodes(nodes: tuple[Node, ...]) -> tuple[Node, ...]:
    """Nodes from the right nut end again: the order turns round, and each run goes over to its other end."""
    onward = [_mirrored_run(node.onward) for node in reversed(nodes[:-1])]
    if nodes:
        onward.append(nodes[-1].onward)
    return tuple(
        replace(node, at=node.at.mirrored, onward=run)
        for node, run in zip(reversed(nodes), onward, strict=True)
    )


def _mirrored_run(run: Straight | Bend | Curve) -> Straight | Bend | Curve:
    """A run seen in the mirror and run backwards: bulges keep their sign, handles change places."""
    if isinstance(run, Curve):
        return Curve(leave=run.arrive.mirrored, arrive=run.leave.mirrored)
    return run


_OTHER_PIECE: dict[Piece, Piece] = {"left": "right", "right": "left"}


def post_in_mirror(post: Post, model: Post) -> Post:
    """A post turned and wound as another one in the mirror; its string, turns and hole stay its own."""
    piece = UNSET if isinstance(model.piece, UnsetType) else _OTHER_PIECE[model.piece]
    return replace(
        post, turned_deg=0.0 - model.turned_deg, flip_wound_side=model.flip_wound_side, piece=piece
    )


def mirrored_shape(shape: RoundRegion | Polygon) -> RoundRegion | Polygon:
    """The shape of a region on the other side of the centre line."""
    if isinstance(shape, Polygon):
        return Polygon(points=tuple(point.mirrored for point in shape.points))
    return RoundRegion(centre=shape.centre.mirrored, radius=shape.radius)
