"""Files that are no usable builds, each with the field that is to blame and words its error must hold."""

from __future__ import annotations

import copy
import json
from typing import Any, NamedTuple

from geometry.document.codec import LARGEST_FILE

GOOD: dict[str, Any] = {
    "pegwright": 1,
    "name": "Three strings",
    "outline": {
        "kind": "starter",
        "shape": "narrow",
        "length": 112,
        "width_low": "1 5/8 in",
        "width_high": 36,
        "shoulder": 16.5,
    },
    "nut": {"width": "1 in"},
    "head": {"thickness_nut": 13, "blank": {"left": 30, "right": 30, "length": 130}},
    "strings": [
        {"key": "s1", "name": "G4", "diameter": "0.010 in"},
        {"key": "s2", "name": "D4", "diameter": 0.35},
    ],
    "hardware": [
        {
            "key": "small",
            "name": "small",
            "post_diameter": 6,
            "hole_height": 19,
            "bore": {"through": '3/8"'},
            "button": {"axis": "rear", "swept_diameter": 18, "length": 20},
            "plate": {"posts": 2, "pitch": 23, "beyond": 13, "across": 15},
        }
    ],
    "rows": [
        {
            "key": "t",
            "side": "treble",
            "hardware": "small",
            "rule": {"rule": "along the edge", "start": 40, "pitch": "1 1/2 in", "inset": 12},
            "posts": [{"key": "t1", "string": "s1"}, {"key": "t2"}],
            "moved": [{"post": "t1", "along": -0.5, "inward": 1}],
        }
    ],
    "retainers": [{"key": "g1", "at": [3, 20], "height": 5, "strings": ["s1"]}],
    "keep_clear": [
        {"key": "k1", "name": "rod", "shape": {"shape": "circle", "centre": [0, 10], "radius": 5}},
        {
            "key": "k2",
            "name": "inlay",
            "shape": {"shape": "polygon", "points": [[0, 70], ["1/2 in", 80], [-5, 80]]},
        },
    ],
    "old_holes": [{"key": "o1", "at": [10, 90], "diameter": 3, "depth": 8}],
    "limits": [{"rule": "wall", "level": "stop", "least": 2.5}],
}
"""A build in which every list holds something, and lengths are written in several ways."""

FREE = {
    "kind": "nodes",
    "nodes": [
        {"key": "n1", "at": [15, 0], "onward": {"run": "arc", "bulge": 0.1}},
        {"key": "n2", "at": [0, 90], "onward": {"run": "curve", "leave": [-5, 0], "arrive": [0, "1 in"]}},
        {"key": "n3", "at": [-15, 0]},
    ],
}
"""A free outline for the same build."""


class BadFile(NamedTuple):
    """The bytes of a file, the field that its error must name, and words that it must hold."""

    name: str
    data: bytes
    field: str
    words: str


def encoded(plain: Any) -> bytes:
    """The plain data as a file."""
    return json.dumps(plain).encode()


def good_with(path: str, value: Any) -> bytes:
    """The good build with another value at a path such as `rows.0.rule.pitch`, as a file."""
    plain = copy.deepcopy(GOOD)
    *way, last = [int(step) if step.isdecimal() else step for step in path.split(".")]
    if way[:2] == ["outline", "nodes"]:
        plain["outline"] = copy.deepcopy(FREE)
    inner: Any = plain
    for step in way:
        inner = inner[step]
    inner[last] = value
    return encoded(plain)


def good_without(path: str) -> bytes:
    """The good build without what is at a path, as a file."""
    plain = json.loads(good_with(path, None))
    *way, last = [int(step) if step.isdecimal() else step for step in path.split(".")]
    inner: Any = plain
    for step in way:
        inner = inner[step]
    del inner[last]
    return encoded(plain)


def changed(path: str, value: Any, words: str, field: str | None = None) -> BadFile:
    """A bad file with one other value; the error names the same place unless told otherwise."""
    shown = json.dumps(value)
    name = f"{path} = {shown if len(shown) <= 40 else f'{shown[:40]}... {len(shown)}'}"
    return BadFile(name, good_with(path, value), path_of(path) if field is None else field, words)


def missing(path: str, words: str) -> BadFile:
    """A bad file that lacks one field."""
    return BadFile(f"no {path}", good_without(path), path_of(path), words)


def path_of(path: str) -> str:
    """The path as an error writes it: `rows.0.rule` is `rows[0].rule`."""
    first, *others = path.split(".")
    return first + "".join(f"[{step}]" if step.isdecimal() else f".{step}" for step in others)


_TEXT = encoded(GOOD)
_DIAMETER = "expected a length from 0.1 to 10 mm, such as 0.254"
_LENGTH = "expected a length from 0.1 to 2000 mm, such as 44.5"
_READABLE = 'expected a length such as 44.5, "44.5 mm" or "1 3/4 in"'
_JSON = "expected a JSON build file"
_PLACE = "expected a place [x, y], both of them lengths from -2000 to 2000 mm"

_NOT_JSON = [
    BadFile("empty", b"", "", "the file is empty"),
    BadFile("only white space", b" \r\n\t ", "", "the file is empty"),
    BadFile("only a byte order mark", b"\xef\xbb\xbf", "", _JSON),
    BadFile("prose", b"three tuners a side", "", "line 1, column 1"),
    BadFile("another drawing", b"  0\nSECTION\n  2\nHEADER\n", "", "line 2, column 1"),
    BadFile("a picture", b"\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "", "byte 0 is not UTF-8 text"),
    BadFile("zero bytes", bytes(64), "", _JSON),
    BadFile("UTF-16", json.dumps(GOOD).encode("utf-16"), "", "is not UTF-8 text"),
    BadFile("Latin-1", b'{"pegwright": 1, "name": "Fl\xf6te"}', "", "byte 28 is not UTF-8 text"),
    BadFile("cut off in the middle", _TEXT[: len(_TEXT) // 2], "", _JSON),
    BadFile("last bracket lost", _TEXT[:-1], "", _JSON),
    BadFile("a bracket too many", _TEXT + b"}", "", _JSON),
    BadFile("single quotes", b"{'pegwright': 1}", "", "line 1, column 2"),
    BadFile("a comment", b'{"pegwright": 1, // ours\n"name": ""}', "", "line 1, column 18"),
    BadFile("a decimal comma", b'{"pegwright": 1, "scale_length": 650,5}', "", "line 1"),
    BadFile(
        "a line break in text",
        b'{"pegwright": 1, "name": "a\nb"}',
        "",
        "column 28: invalid control character; ",
    ),
    BadFile("a quotation mark lost", b'{"pegwright": 1, "name": "a}', "", "column 26: unterminated string; "),
    BadFile("lists nested without end", b"[" * 100_000, "", "nested too deeply"),
    BadFile("records nested without end", b'{"a":' * 100_000, "", "nested too deeply"),
    BadFile("a number of 5000 digits", b'{"pegwright": ' + b"1" * 5000 + b"}", "", "a number too long"),
    BadFile("too large", b" " * (LARGEST_FILE + 1), "", "5000001 bytes; a build file has at most 5000000"),
    BadFile("a list", b"[]", "", "a list of 0 is not usable here; expected a JSON object"),
    BadFile("a number", b"1", "", "1 is not usable here; expected a JSON object"),
    BadFile("text", b'"build"', "", '"build" is not usable here; expected a JSON object'),
    BadFile("null", b"null", "", "null is not usable here; expected a JSON object"),
    BadFile("NaN for a build", b"NaN", "", "nan is not usable here; expected a JSON object"),
]

_VERSIONS = [
    BadFile("nothing in it", b"{}", "pegwright", 'its first line should say "pegwright": 1'),
    missing("pegwright", "this is not a build file"),
    changed("pegwright", 2, "a newer Pegwright wrote this file"),
    changed("pegwright", 10**30, "a newer Pegwright wrote this file"),
    changed("pegwright", 0, "0 is not usable here; expected the version of the file"),
    changed("pegwright", -1, "expected the version of the file"),
    changed("pegwright", 1.0, "1.0 is not usable here; expected the version of the file"),
    changed("pegwright", "1", '"1" is not usable here; expected the version of the file'),
    changed("pegwright", True, "true is not usable here; expected the version of the file"),
    changed("pegwright", None, "null is not usable here; expected the version of the file"),
    changed("pegwright", float("nan"), "nan is not usable here; expected the version of the file"),
]

_TYPES = [
    changed("name", 3, "3 is not usable here; expected text of at most 200 characters"),
    changed("name", "a" * 201, "expected text of at most 200 characters"),
    changed("notes", "a" * 4001, "expected text of at most 4000 characters"),
    changed("name", "\ud800", "it holds half of a character"),
    changed("hand", "both", '"both" is not usable here; expected one of "left", "right"'),
    changed("nut", [], "a list of 0 is not usable here; expected an object with named fields"),
    changed("nut.margin_to", "middle", 'expected one of "centre", "edge"'),
    changed("nut.margin_to", None, 'null is not usable here; expected one of "centre", "edge"'),
    changed("nut.zero_fret", 0, "0 is not usable here; expected true or false"),
    changed("nut.zero_fret", "no", '"no" is not usable here; expected true or false'),
    changed("head.blank", 30, "expected null or an object with named fields"),
    changed("head.wood", ["ash"], "a list of 1 is not usable here; expected text of at most 200 characters"),
    changed("strings", None, "null is not usable here; expected a list of 0 to 40"),
    changed("strings", {"s1": 0.3}, "an object is not usable here; expected a list of 0 to 40"),
    changed("strings.1", "s2", '"s2" is not usable here; expected an object with named fields'),
    changed("strings.0.key", "s 1", "expected text of 1 to 40 letters, digits, dots, hyphens or underscores"),
    changed("strings.0.key", "", "expected text of 1 to 40 letters"),
    changed("strings.0.key", "s1\n", "expected a key without a line break"),
    changed(
        "strings.0.kind",
        "silk",
        'expected one of "bronze wound", "gut", "nickel wound", "nylon", "plain", "wound"',
    ),
    changed("rows.0.posts.0.string", 1, "expected null or text of 1 to 40 letters"),
    changed("hardware.0.plate.posts", 2.5, "2.5 is not usable here; expected a whole number"),
    changed("hardware.0.screws", 2, "2 is not usable here; expected a list"),
    changed("outline", [], "a list of 0 is not usable here; expected an object with named fields"),
]

_NUMBERS = [
    changed("nut.width", "wide", "it does not read as one number and its unit; " + _READABLE),
    changed(
        "nut.width", "4,500 cm", "it is not plain what the comma means: write a decimal point; " + _READABLE
    ),
    changed("nut.width", "4.3 cm", 'the unit "cm" is not known, only mm and in; ' + _READABLE),
    changed("nut.width", "1 3/0 in", "a fraction cannot have 0 below the line"),
    changed("nut.width", "1 3/4", "a fraction needs its unit"),
    changed("nut.width", "11 m", 'the unit "m" is not known'),
    changed("nut.width", "20000 mm", "it is longer than 10 m"),
    changed("nut.width", "5000 mm", '"5000 mm" is not usable here; ' + _LENGTH),
    changed("nut.width", "-1 in", '"-1 in" is not usable here; ' + _LENGTH),
    changed("nut.width", "", "it does not read as one number and its unit"),
    changed("nut.width", "9" * 41 + " mm", "it has more than 40 characters"),
    changed("nut.width", True, "true is not usable here; " + _LENGTH),
    changed("nut.width", None, "null is not usable here; " + _LENGTH),
    changed("nut.width", [43], "a list of 1 is not usable here; " + _LENGTH),
    changed("nut.width", {"mm": 43}, "an object is not usable here; " + _LENGTH),
    changed("nut.width", 0, "0 is not usable here; " + _LENGTH),
    changed("nut.width", -43, "-43 is not usable here; " + _LENGTH),
    changed("nut.width", 0.09, "0.09 is not usable here; " + _LENGTH),
    changed("strings.0.diameter", 1e-300, "1e-300 is not usable here; " + _DIAMETER),
    changed("strings.0.diameter", "0.099 mm", '"0.099 mm" is not usable here; ' + _DIAMETER),
    changed("strings.0.diameter", 11, "11 is not usable here; " + _DIAMETER),
    changed("hardware.0.post_diameter", 5e-324, "5e-324 is not usable here; " + _LENGTH),
    changed("head.thickness_tip", 0.01, "0.01 is not usable here; " + _LENGTH),
    changed("rows.0.rule.pitch", 1e-9, "1e-09 is not usable here; " + _LENGTH),
    changed("scale_length", 49, "49 is not usable here; expected a length from 50 to 2000 mm, such as 648"),
    changed("nut.width", 10**400, _LENGTH),
    changed("nut.width", float("nan"), "nan is not usable here; expected a finite number"),
    changed("nut.width", float("inf"), "inf is not usable here; expected a finite number"),
    changed("nut.margin_bass", float("-inf"), "-inf is not usable here; expected a finite number"),
    changed("nut.margin_bass", -0.1, "expected a length from 0 to 2000 mm, such as 44.5"),
    changed("nut.slot_floor", 2001, "expected a length from -2000 to 2000 mm, such as 44.5"),
    BadFile(
        "scale_length = 1e999",
        encoded({**GOOD, "scale_length": 5e300}).replace(b"5e+300", b"1e999"),
        "scale_length",
        "inf is not usable here; expected a finite number",
    ),
    changed("outline.length", 5000, "expected a length from 0.1 to 750 mm"),
    changed("outline.lean_deg", 46, "46 is not usable here; expected a number from 0 to 45"),
    changed("outline.lean_deg", "3 mm", '"3 mm" is not usable here; expected a number from 0 to 45'),
    changed("head.grain_deg", "10", '"10" is not usable here; expected a number from -180 to 180'),
    changed("head.grain_deg", False, "false is not usable here; expected a number from -180 to 180"),
    changed("rows.0.posts.1.turns", "4 in", '"4 in" is not usable here; expected a number from 0 to 20'),
    changed("rows.0.posts.1.turns", 21, "21 is not usable here; expected a number from 0 to 20"),
    changed("rows.0.posts.1.turned_deg", float("nan"), "expected a finite number"),
    changed("rows.0.rule.pitch", "abc", '"abc" is not usable here; it does not read as one number'),
    changed("hardware.0.body_mass", "27 g", '"27 g" is not usable here; expected a number from 0 to 2000'),
    changed("hardware.0.bore.through", "x", "it does not read as one number and its unit"),
    changed("old_holes.0.depth", "deep", "it does not read as one number and its unit"),
    changed("old_holes.0.depth", True, "expected null or a length from 0.1 to 2000 mm, such as"),
    changed("old_holes.0.at", [1], "a list of 1 is not usable here; " + _PLACE),
    changed("old_holes.0.at", {"x": 1, "y": 2}, "an object is not usable here; " + _PLACE),
    changed("old_holes.0.at", "1 in", '"1 in" is not usable here; ' + _PLACE),
    changed("old_holes.0.at", [1, True], "true is not usable here; " + _PLACE),
    changed("old_holes.0.at", [1, "high"], "it does not read as one number and its unit"),
    changed("old_holes.0.at", [float("nan"), 0], "nan is not usable here; " + _PLACE),
    changed("old_holes.0.at", [0, 5000], "5000 is not usable here; " + _PLACE),
    changed("outline.nodes.1.at", [0, None], "null is not usable here; " + _PLACE),
    changed("outline.nodes.1.onward.leave", [0, "2.1 m"], 'the unit "m" is not known'),
    changed("outline.nodes.0.onward.bulge", 21, "21 is not usable here; expected a number from -20 to 20"),
    changed("outline.nodes.0.follows_nut", 1.5, "1.5 is not usable here; expected a number from 0 to 1"),
    changed("limits.0.least", "3 mm", '"3 mm" is not usable here; expected a number'),
    changed("limits.0.least", 5000, "expected a number from -2000 to 2000"),
    changed("limits.0.of_bore", float("inf"), "inf is not usable here; expected a finite number"),
]

_FIELDS = [
    missing("name", "this field is missing; expected text"),
    missing("nut", "this field is missing; expected an object with named fields"),
    missing("nut.width", "this field is missing; " + _LENGTH),
    missing("strings.1.diameter", "this field is missing; " + _DIAMETER),
    missing("rows.0.posts", "this field is missing; expected a list of 0 to 40"),
    missing("outline.kind", 'this field is missing; expected one of "nodes", "starter"'),
    missing("rows.0.rule.rule", 'expected one of "along the edge", "on a line", "on a plate"'),
    missing("outline.nodes.0.onward.run", 'expected one of "arc", "curve", "straight"'),
    missing("keep_clear.0.shape.shape", 'expected one of "circle", "polygon"'),
    missing("hardware.0.button.axis", 'expected one of "rear", "side"'),
    changed("outline.kind", "sketch", '"sketch" is not usable here; expected one of "nodes", "starter"'),
    changed("outline.kind", 1, '1 is not usable here; expected one of "nodes", "starter"'),
    changed("outline.kind", "nodes", "a build file has no such field here", "outline.shape"),
    changed("rows.0.rule.rule", "by eye", '"by eye" is not usable here; expected one of'),
    changed("rows.0.rule.rule", ["on a line"], "a list of 1 is not usable here; expected one of"),
    changed("rows.0.rule.rule", "on a plate", "a build file has no such field here", "rows[0].rule.pitch"),
    changed("outline.nodes.0.onward.run", "spline", '"spline" is not usable here; expected one of'),
    changed("keep_clear.0.shape.shape", "square", '"square" is not usable here; expected one of'),
    changed("hardware.0.button.axis", "top", '"top" is not usable here; expected one of'),
    changed("nut.widht", 43, 'no such field here; did you mean "width"?'),
    changed("nut.colour", "bone", "no such field here; expected only width, spacing, margin_bass"),
    changed("outline.nodes.0.x", 43, "no such field here; expected only key, at, onward, follows_nut"),
    changed("rows.0.rule.insets", 12, 'no such field here; did you mean "inset"?'),
    changed("keep_clear.0.shape.points", [], "no such field here; expected only shape, centre, radius"),
    changed("a\nb", 1, "a\\nb: a build file has no such field here", "a\nb"),
    changed("\ud800", 1, "\\ud800: a build file has no such field", "\ud800"),
    changed("outline.kind", "\udfff", "it holds half of a character"),
    changed("rows.0.\udfff", 1, "rows[0].\\udfff: a build file has no such field"),
    changed("x" * 5000, 1, "x…: a build file has no such field here", "x" * 5000),
    BadFile(
        "a field twice",
        _TEXT.replace(b'"pitch": "1 1/2 in"', b'"pitch": 40, "pitch": 41'),
        "rows[0].rule.pitch",
        "this field is given twice in the same place",
    ),
    BadFile(
        "a field of the build twice", _TEXT[:-1] + b', "name": "again"}', "name", "this field is given twice"
    ),
    BadFile(
        "a field twice inside a field given twice",
        b'{"pegwright": 1, "nut": {"width": 1, "width": 2}, "nut": {"width": 3}}',
        "width",
        "this field is given twice",
    ),
]

_MANY_NODES = [{"key": f"n{number}", "at": [0, 0]} for number in range(501)]
_SCREW = {"along": 0, "outward": 5, "diameter": 2, "root": 1.5, "length": 9}
_COUNTS = [
    changed("strings", [{"key": f"s{n}", "name": "", "diameter": 1} for n in range(10_000)], "of 0 to 40"),
    changed("outline.nodes", [], "a list of 501 is not usable here; expected a list of 0 to 500")._replace(
        name="501 nodes", data=encoded({**GOOD, "outline": {"kind": "nodes", "nodes": _MANY_NODES}})
    ),
    changed("rows.0.posts", [{"key": f"p{n}"} for n in range(41)], "a list of 41 is not usable here"),
    changed("rows.0.moved", GOOD["rows"][0]["moved"] * 41, "a list of 41 is not usable here"),
    changed("rows", GOOD["rows"] * 21, "a list of 21 is not usable here; expected a list of 0 to 20"),
    changed("limits", GOOD["limits"] * 201, "expected a list of 0 to 200"),
    changed("retainers.0.strings", ["s1"] * 41, "a list of 41 is not usable here"),
    changed("keep_clear.1.shape.points", [[0, 0], [1, 1]], "a list of 2 is not usable here; expected a list"),
    changed("hardware.0.screws", [_SCREW] * 41, "a list of 41 is not usable here; expected at most 40"),
    changed("hardware.0.plate.screws", [_SCREW] * 41, "a list of 41 is not usable here; expected at most 40"),
    changed("hardware.0.plate.posts", 0, "0 is not usable here; expected 1 to 12 posts"),
    changed("hardware.0.plate.posts", 13, "13 is not usable here; expected 1 to 12 posts"),
    changed("hardware.0.plate.posts", 10**400, "expected 1 to 12 posts"),
    changed(
        "hardware.0.measured", ["post_diametre"], 'did you mean "post_diameter"?', "hardware[0].measured[0]"
    ),
    changed(
        "hardware.0.measured",
        ["name"],
        'expected the path of a measure of a tuner, such as "post_diameter" or "screws[0].along"',
        "hardware[0].measured[0]",
    ),
    changed(
        "hardware.0.measured", ["hole_height"] * 2, "expected each measure once", "hardware[0].measured[1]"
    ),
    changed(
        "hardware.0.measured",
        [6.0],
        "6.0 is not usable here; expected text of at most 40 characters",
        "hardware[0].measured[0]",
    ),
]

_REFERENCES = [
    changed("strings.1.key", "s1", "strings[0].key has this string key already"),
    changed("rows.0.posts.1.key", "t1", "rows[0].posts[0].key has this post key already"),
    changed("rows", GOOD["rows"] * 2, "rows[0].key has this row key already", "rows[1].key"),
    changed("hardware", GOOD["hardware"] * 2, "hardware key already", "hardware[1].key"),
    changed("keep_clear.1.key", "k1", "keep_clear[0].key has this region key already"),
    changed("old_holes", GOOD["old_holes"] * 2, "hole key already", "old_holes[1].key"),
    changed("retainers", GOOD["retainers"] * 2, "retainer key already", "retainers[1].key"),
    changed("outline.nodes.2.key", "n1", "outline.nodes[0].key has this node key already"),
    changed(
        "rows.0.hardware", "large", '"large" is not usable here; expected the key of one of the build\'s'
    ),
    changed("hardware", [], "there is none yet", "rows[0].hardware"),
    changed("rows.0.moved.0.post", "b1", "expected the key of a post of this row: t1, t2"),
    changed("rows.0.moved", GOOD["rows"][0]["moved"] * 2, "moved post key already", "rows[0].moved[1].post"),
    changed("rows.0.posts.1.string", "s9", '"s9" is not usable here; expected the key of a string: s1, s2'),
    changed("rows.0.posts.1.string", "s1", "one post for a string; rows[0].posts[0].string carries it"),
    changed("retainers.0.strings", ["s9"], "expected the key of a string", "retainers[0].strings[0]"),
    changed("retainers.0.strings", ["s1", "s1"], "a string once", "retainers[0].strings[1]"),
    changed("hardware.0.tapered", True, "tapered wooden pegs are not supported yet"),
    changed("nut.slant_deg", 3, "a slanted nut is not supported yet; expected 0"),
    changed("nut.zero_fret", True, "a zero fret is not supported yet; expected false"),
    changed("limits.0.rule", "walls", '"walls" is not usable here; did you mean "wall"?'),
    changed("limits.0.rule", "colour", "expected a limit: "),
    changed("limits.0.level", "fine", 'expected one of "stop", "watch"'),
    changed("limits", GOOD["limits"] * 2, 'limits[0] changes the stop of "wall" already', "limits[1]"),
]

BAD_FILES: tuple[BadFile, ...] = (
    *_NOT_JSON,
    *_VERSIONS,
    *_TYPES,
    *_NUMBERS,
    *_FIELDS,
    *_COUNTS,
    *_REFERENCES,
)
"""Every kind of bad file; none may end in a traceback, or in more than one line."""
