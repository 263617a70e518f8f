"""What a build file names must be there, once: keys are unique and point at something.

Only slips of the pen are refused. Anything that can be drawn, a half-drawn head too, loads and is judged.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from msgspec import UNSET

from geometry.document.build import Build, Nut, OldHole, Region, Retainer, Row, String
from geometry.document.error import MISSING, meant, refuse_field
from geometry.document.outline import Node, Nodes
from geometry.trade.hardware import Hardware
from geometry.trade.limits import RULE_NAMES, ChangedLimit
from geometry.trade.measured import is_known, known_paths

MOST_FIXINGS = 40
"""No tuner or plate has more screws, or more pins."""

LARGEST_LIMIT = 2000.0
"""No limit is larger, in its unit: the same as the largest length in mm, and far beyond any angle or count."""


def check_references(build: Build) -> None:
    """Raise FileError for a key used twice, a name that points nowhere, or a part that is not supported."""
    _check_unique(build)
    _check_rows(build)
    _check_strings_once(build)
    _check_retainers(build)
    _check_nut(build.nut)
    for place, hardware in enumerate(build.hardware):
        _check_hardware(hardware, f"hardware[{place}]")
    check_limits(build.limits)


def _unique(keys: Iterable[tuple[str, str]], what: str) -> None:
    seen: dict[str, str] = {}
    for field, key in keys:
        if key.endswith("\n"):
            # "$" in the pattern of a key lets one line break at the end through.
            refuse_field(field, key, "expected a key without a line break")
        if key in seen:
            refuse_field(field, key, f"expected a key of its own; {seen[key]} has this {what} key already")
        seen[key] = field


def _check_unique(build: Build) -> None:
    _unique_in("strings", build.strings, "string")
    _unique_in("hardware", build.hardware, "hardware")
    _unique_in("rows", build.rows, "row")
    posts = (
        (f"rows[{n}].posts[{m}].key", post.key)
        for n, row in enumerate(build.rows)
        for m, post in enumerate(row.posts)
    )
    _unique(posts, "post")
    _unique_in("keep_clear", build.keep_clear, "region")
    _unique_in("old_holes", build.old_holes, "hole")
    _unique_in("retainers", build.retainers, "retainer")
    if isinstance(build.outline, Nodes):
        _unique_in("outline.nodes", build.outline.nodes, "node")


_Keyed = String | Hardware | Row | Region | OldHole | Retainer | Node


def _unique_in(field: str, parts: Sequence[_Keyed], what: str) -> None:
    _unique(((f"{field}[{n}].key", each.key) for n, each in enumerate(parts)), what)


def _check_rows(build: Build) -> None:
    hardware = {each.key for each in build.hardware}
    for number, row in enumerate(build.rows):
        if row.hardware not in hardware:
            expected = f"expected the key of one of the build's hardware: {_listed(hardware)}"
            refuse_field(f"rows[{number}].hardware", row.hardware, expected)
        _check_moved(row, number)


def _check_moved(row: Row, number: int) -> None:
    posts = {post.key for post in row.posts}
    _unique(
        ((f"rows[{number}].moved[{n}].post", each.post) for n, each in enumerate(row.moved)), "moved post"
    )
    for place, moved in enumerate(row.moved):
        if moved.post not in posts:
            expected = f"expected the key of a post of this row: {_listed(posts)}"
            refuse_field(f"rows[{number}].moved[{place}].post", moved.post, expected)


def _check_strings_once(build: Build) -> None:
    strings = {each.key for each in build.strings}
    taken: dict[str, str] = {}
    for number, row in enumerate(build.rows):
        for place, post in enumerate(row.posts):
            if not isinstance(post.string, str):
                continue
            field = f"rows[{number}].posts[{place}].string"
            if post.string not in strings:
                refuse_field(field, post.string, f"expected the key of a string: {_listed(strings)}")
            if post.string in taken:
                expected = f"expected one post for a string; {taken[post.string]} carries it already"
                refuse_field(field, post.string, expected)
            taken[post.string] = field


def _check_retainers(build: Build) -> None:
    strings = {string.key for string in build.strings}
    for number, retainer in enumerate(build.retainers):
        for place, key in enumerate(retainer.strings):
            field = f"retainers[{number}].strings[{place}]"
            if key not in strings:
                refuse_field(field, key, f"expected the key of a string: {_listed(strings)}")
            if key in retainer.strings[:place]:
                refuse_field(field, key, "expected a string once under one retainer")


def _check_nut(nut: Nut) -> None:
    if nut.slant_deg != 0:
        expected = "a slanted nut is not supported yet; expected 0, a nut square to the centre line"
        refuse_field("nut.slant_deg", nut.slant_deg, expected)
    if nut.zero_fret:
        refuse_field("nut.zero_fret", True, "a zero fret is not supported yet; expected false")


def _check_hardware(hardware: Hardware, field: str) -> None:
    if hardware.tapered:
        expected = "tapered wooden pegs are not supported yet; expected a tuner that sits in a straight bore"
        refuse_field(f"{field}.tapered", True, expected)
    plate = hardware.plate
    if plate is not None and not 1 <= plate.posts <= 12:
        refuse_field(f"{field}.plate.posts", plate.posts, "expected 1 to 12 posts on a plate")
    plate_screws = plate.screws if plate else ()
    fixings = {"screws": hardware.screws, "pins": hardware.pins, "plate.screws": plate_screws}
    for name, parts in fixings.items():
        if len(parts) > MOST_FIXINGS:
            refuse_field(f"{field}.{name}", list(parts), f"expected at most {MOST_FIXINGS} of them")
    _check_measured(() if hardware.measured is UNSET else hardware.measured, f"{field}.measured")


def _check_measured(paths: tuple[str, ...], field: str) -> None:
    for place, path in enumerate(paths):
        where = f"{field}[{place}]"
        if not is_known(path):
            known = 'expected the path of a measure of a tuner, such as "post_diameter" or "screws[0].along"'
            refuse_field(where, path, meant(path, known_paths(), known))
        if path in paths[:place]:
            refuse_field(where, path, "expected each measure once")


def check_limits(limits: tuple[ChangedLimit, ...]) -> None:
    """Raise FileError for a limit that is unknown, changed twice or out of all bounds."""
    seen: dict[tuple[str, str], int] = {}
    for place, change in enumerate(limits):
        field = f"limits[{place}]"
        if change.rule not in RULE_NAMES:
            expected = meant(change.rule, RULE_NAMES, f"expected a limit: {_listed(RULE_NAMES)}")
            refuse_field(f"{field}.rule", change.rule, expected)
        for name, value in (("least", change.least), ("of_bore", change.of_bore)):
            if abs(value) > LARGEST_LIMIT:
                expected = f"expected a number from -{LARGEST_LIMIT:g} to {LARGEST_LIMIT:g}"
                refuse_field(f"{field}.{name}", value, expected)
        first = seen.setdefault((change.rule, change.level), place)
        if first != place:
            expected = (
                f'limits[{first}] changes the {change.level} of "{change.rule}" already; expected it once'
            )
            refuse_field(field, MISSING, expected)


def _listed(keys: Collection[str]) -> str:
    return ", ".join(sorted(keys)) if keys else "there is none yet"
