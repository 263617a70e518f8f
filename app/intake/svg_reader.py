"""Curves of an SVG file: paths, arcs, ellipses, polygons, transforms, view box and units, as svgelements reads them."""

from __future__ import annotations

import io
import math
import re
from collections import Counter
from collections.abc import Iterator
from itertools import chain
from typing import Any
from xml.etree import ElementTree as ET

import numpy as np

from geometry.intake.drawn import FINE, Curve, DrawingError, Drawn, Thing, gathered, meets_itself, usable
from geometry.shape.cubic import Cubic
from geometry.shape.point import Point
from geometry.trade.units import INCH

_PIXELS = 96.0  # CSS, Values and Units: an inch is 96 px, and a number without a unit is px

_ABSOLUTE = re.compile(r"\s*\+?[0-9]*\.?[0-9]+(?:[eE][+-]?[0-9]+)?\s*(?:mm|cm|in|pt|pc|Q)\s*")
_LABEL = "{http://www.inkscape.org/namespaces/inkscape}label"
_THINGS: dict[str, Thing] = {"Text": "text", "Image": "image"}


def read_svg(data: bytes) -> Drawn:
    """The curves of an SVG file in mm; DrawingError says in a sentence what is wrong with it."""
    refuse_bombs(data)
    root = _parsed(data)
    left_out: Counter[Thing] = Counter()
    try:
        parts = (_curves(element, name, left_out) for element, name in _elements(root, ""))
        found = gathered(chain.from_iterable(parts))
    except DrawingError:
        raise
    except Exception as error:
        # Numbers that make no sense surface only when a curve is worked out, as whatever the library meets.
        raise DrawingError(_broken(error)) from None
    certain = _says_unit(root)
    doubt = "" if certain else "the drawing is measured in pixels, which programs count differently"
    return Drawn(found, INCH / _PIXELS, certain, doubt, left_out)


def _parsed(data: bytes) -> Any:
    """The document; whatever the library stumbles on in a broken file is one sentence."""
    from svgelements import SVG

    try:
        return SVG.parse(io.BytesIO(data), reify=True, ppi=_PIXELS)
    except Exception as error:
        # Broken numbers, colours and references end in as many kinds of exceptions.
        raise DrawingError(_broken(error)) from None


def _broken(error: Exception) -> str:
    words = re.sub(r"\s+", " ", str(error)).strip()[:80] or type(error).__name__
    return f"The SVG is broken: {words}."


def _elements(group: Any, name: str) -> Iterator[tuple[Any, str]]:
    """The elements within a group, each with the names of the groups around it and its own."""
    from svgelements import Group, Use

    for element in group:
        own = f"{name} {_name(element)}".strip()
        if isinstance(element, Group | Use):
            yield from _elements(element, own)
        else:
            yield element, own


def _name(element: Any) -> str:
    values = getattr(element, "values", None) or {}
    attributes = values.get("attributes") or {}
    words = (attributes.get("id"), attributes.get(_LABEL), attributes.get("class"))
    return " ".join(str(word) for word in words if word)


def _curves(element: Any, name: str, left_out: Counter[Thing]) -> Iterator[Curve]:
    """The curves of one element."""
    from svgelements import Path, Shape

    if not isinstance(element, Shape):
        thing = _THINGS.get(type(element).__name__)
        if thing:
            left_out[thing] += 1
        return
    # A circle that is turned keeps its transform; only its segments have it worked in.
    path = Path(*element.segments(transformed=True))
    for part in path.as_subpaths():
        segments = list(Path(part))
        points = _points(segments)
        if not usable(points):
            left_out["point"] += 1
            continue
        yield Curve(points * [1.0, -1.0], _is_closed(segments, points), name)


def _is_closed(segments: list[Any], points: np.ndarray) -> bool:
    from svgelements import Close

    return any(isinstance(each, Close) for each in segments) or meets_itself(points)


def _points(segments: list[Any]) -> np.ndarray:
    """Points (n, 2) along the segments of one subpath."""
    found: list[tuple[float, float]] = []
    for segment in segments:
        if segment.start is None or segment.end is None:
            continue
        if not found:
            found.append((float(segment.start.x), float(segment.start.y)))
        found += _onward(segment)
    return np.array(found, float).reshape(-1, 2)


def _onward(segment: Any) -> list[tuple[float, float]]:
    """Points along a segment behind its start."""
    from svgelements import Arc, CubicBezier, QuadraticBezier

    end = (float(segment.end.x), float(segment.end.y))
    if isinstance(segment, Arc):
        return [*_along_arc(segment), end]
    if isinstance(segment, CubicBezier):
        return _along_cubic(segment.start, segment.control1, segment.control2, segment.end)
    if isinstance(segment, QuadraticBezier):
        # A quadratic as the cubic that it is: controls at two thirds of the way to its own.
        one = segment.start + (segment.control - segment.start) * (2 / 3)
        two = segment.end + (segment.control - segment.end) * (2 / 3)
        return _along_cubic(segment.start, one, two, segment.end)
    return [end]


def _along_cubic(start: Any, one: Any, two: Any, end: Any) -> list[tuple[float, float]]:
    a, b, c, d = (Point(float(each.x), float(each.y)) for each in (start, one, two, end))
    cubic = Cubic(a, d, b - a, c - d)
    if not math.isfinite(cubic.reach) or cubic.reach == 0:
        return [(d.x, d.y)]
    return [(point.x, point.y) for point in cubic.flatten(FINE * cubic.reach)[1:]]


def _along_arc(arc: Any) -> list[tuple[float, float]]:
    """Points within an elliptical arc, ends left out: centre + cos of the one half axis + sin of the other."""
    first, sweep = float(arc.get_start_t()), float(arc.sweep)
    if not math.isfinite(sweep):
        return []
    # A chord over the angle a strays by r (1 - cos (a / 2)).
    count = max(2, math.ceil(abs(sweep) / (2 * math.acos(1 - FINE))))
    angles = first + sweep * np.arange(1, count) / count
    centre, one, two = (np.array([float(each.x), float(each.y)]) for each in (arc.center, arc.prx, arc.pry))
    with np.errstate(invalid="ignore", over="ignore"):
        # What is infinite in the file makes a curve that `usable` drops.
        places = centre + np.cos(angles)[:, None] * (one - centre) + np.sin(angles)[:, None] * (two - centre)
    return [(float(x), float(y)) for x, y in places]


def _says_unit(root: Any) -> bool:
    """Whether the file gives its size in a unit that means a length, for a view box that tells what a number is."""
    attributes = (root.values or {}).get("attributes") or {}
    sizes = [attributes.get("width"), attributes.get("height")]
    told = [str(size) for size in sizes if size is not None]
    return bool(told) and all(_ABSOLUTE.fullmatch(size) for size in told) and "viewBox" in attributes


# Bounds, looked at before the file is read


_LARGEST_SVG = 20_000_000  # bytes; pictures in a drawing make it large

MOST_ELEMENTS = 20_000
MOST_PATH_DATA = 1_500_000
"""Elements once copies are made, and characters of all paths; no drawing of a head needs as many."""

_DEEPEST = 100  # groups within groups

_ENTITY = re.compile(rb"<!ENTITY\s+(%\s+)?[^\s>]+\s+(?P<rest>[^>]*)>")
_MOST_ENTITIES = 100
_USE = "use"
_DATA = ("d", "points")
_REFERENCES = ("href", "{http://www.w3.org/1999/xlink}href")


def refuse_bombs(data: bytes) -> None:
    """A DrawingError for a file that is no SVG, or that would take far more to read than it looks like."""
    if len(data) > _LARGEST_SVG:
        raise DrawingError(
            f"The SVG is larger than {_LARGEST_SVG // 1_000_000} MB; expected the drawing of one head."
        )
    _refuse_entities(data)
    try:
        root = _tree(data)
    except ET.ParseError as error:
        raise DrawingError(f"The SVG is not sound XML: {error}.") from None
    except DrawingError:
        raise
    except (LookupError, ValueError):
        raise DrawingError("The SVG names an encoding that is not known; expected UTF-8.") from None
    if root.tag.rpartition("}")[2] != "svg":
        raise DrawingError("The file is no SVG: its first element is another one.")
    counts = _Counts(root)
    if counts.elements > MOST_ELEMENTS or counts.data > MOST_PATH_DATA:
        raise DrawingError("The SVG holds, copies counted, far more than the drawing of one head.")


def _refuse_entities(data: bytes) -> None:
    """Old programs name namespaces by entities, which is harmless; entities made of entities grow without end."""
    found = list(_ENTITY.finditer(data))
    if len(found) > _MOST_ENTITIES or any(b"&" in each["rest"] or b"%" in each["rest"] for each in found):
        raise DrawingError("The SVG defines entities by entities, which no drawing needs.")


def _tree(data: bytes) -> ET.Element:
    """The elements of the file; a DrawingError where they lie too deep in each other."""
    depth = 0
    root: ET.Element | None = None
    # No parser fetches anything here, and what entities may grow to was looked at before.
    for event, element in ET.iterparse(io.BytesIO(data), ("start", "end")):  # noqa: S314
        root = element if root is None else root
        depth += 1 if event == "start" else -1
        if depth > _DEEPEST:
            raise DrawingError(f"The SVG has more than {_DEEPEST} groups within each other.")
    assert root is not None, "a document without an element is a parse error"
    return root


class _Counts:
    """Elements and characters of paths, with every copy that `use` makes counted as what it copies."""

    def __init__(self, root: ET.Element) -> None:
        self._by_id = {element.get("id"): element for element in root.iter() if element.get("id")}
        self._known: dict[int, tuple[int, int]] = {}
        self._open: set[int] = set()
        self.elements, self.data = self._of(root)

    def _of(self, element: ET.Element) -> tuple[int, int]:
        key = id(element)
        if key in self._known:
            return self._known[key]
        if key in self._open:
            raise DrawingError("The SVG copies a part of itself into itself.")
        if len(self._open) > 2 * _DEEPEST:
            raise DrawingError("The SVG has too many copies of copies.")
        self._open.add(key)
        elements, data = 1, sum(len(element.get(name) or "") for name in _DATA)
        for part in (*element, *self._copied(element)):
            more = self._of(part)
            elements, data = elements + more[0], data + more[1]
        self._open.discard(key)
        self._known[key] = elements, data
        return elements, data

    def _copied(self, element: ET.Element) -> list[ET.Element]:
        """What a `use` copies."""
        if not isinstance(element.tag, str) or element.tag.rpartition("}")[2] != _USE:
            return []
        names = [(element.get(each) or "").strip() for each in _REFERENCES]
        found = [self._by_id.get(name[1:]) for name in names if name.startswith("#")]
        return [each for each in found if each is not None][:1]
