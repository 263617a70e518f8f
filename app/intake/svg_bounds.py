"""Bounds of an SVG file, looked at before it is read: size, elements, entities that grow, copies of copies."""

from __future__ import annotations

import io
import re
from xml.etree import ElementTree as ET

from geometry.intake.drawn import DrawingError

LARGEST_SVG = 20_000_000
"""Bytes; pictures in a drawing make it large."""

MOST_ELEMENTS = 20_000
MOST_PATH_DATA = 1_500_000
"""Elements once copies are made, and characters of all paths; no drawing of a head needs as many."""

DEEPEST = 100
"""Groups within groups."""

_ENTITY = re.compile(rb"<!ENTITY\s+(%\s+)?[^\s>]+\s+(?P<rest>[^>]*)>")
_MOST_ENTITIES = 100
_USE = "use"
_DATA = ("d", "points")
_REFERENCES = ("href", "{http://www.w3.org/1999/xlink}href")


def refuse_bombs(data: bytes) -> None:
    """A DrawingError for a file that is no SVG, or that would take far more to read than it looks like."""
    if len(data) > LARGEST_SVG:
        message = f"The SVG is larger than {LARGEST_SVG // 1_000_000} MB; expected the drawing of one head."
        raise DrawingError(message)
    _refuse_entities(data)
    try:
        root = _tree(data)
    except ET.ParseError as error:
        message = f"The SVG is not sound XML: {error}."
        raise DrawingError(message) from None
    except DrawingError:
        raise
    except (LookupError, ValueError):
        message = "The SVG names an encoding that is not known; expected UTF-8."
        raise DrawingError(message) from None
    if root.tag.rpartition("}")[2] != "svg":
        message = "The file is no SVG: its first element is another one."
        raise DrawingError(message)
    counts = _Counts(root)
    if counts.elements > MOST_ELEMENTS or counts.data > MOST_PATH_DATA:
        message = "The SVG holds, copies counted, far more than the drawing of one head."
        raise DrawingError(message)


def _refuse_entities(data: bytes) -> None:
    """Old programs name namespaces by entities, which is harmless; entities made of entities grow without end."""
    found = list(_ENTITY.finditer(data))
    if len(found) > _MOST_ENTITIES or any(b"&" in each["rest"] or b"%" in each["rest"] for each in found):
        message = "The SVG defines entities by entities, which no drawing needs."
        raise DrawingError(message)


def _tree(data: bytes) -> ET.Element:
    """The elements of the file; a DrawingError where they lie too deep in each other."""
    depth = 0
    root: ET.Element | None = None
    # No parser fetches anything here, and what entities may grow to was looked at before.
    for event, element in ET.iterparse(io.BytesIO(data), ("start", "end")):  # noqa: S314
        root = element if root is None else root
        depth += 1 if event == "start" else -1
        if depth > DEEPEST:
            message = f"The SVG has more than {DEEPEST} groups within each other."
            raise DrawingError(message)
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
            message = "The SVG copies a part of itself into itself."
            raise DrawingError(message)
        if len(self._open) > 2 * DEEPEST:
            message = "The SVG has too many copies of copies."
            raise DrawingError(message)
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
