"""Bodies as files for a printer's own program: 3MF by the library of the format's consortium, STL by the same."""

from __future__ import annotations

import ctypes
import uuid
from collections.abc import Sequence
from typing import Literal

import lib3mf
import numpy as np

from export.solid.body import Piece
from geometry.trade.escapes import on_one_line

Format = Literal["3mf", "stl"]

_BETWEEN = 10.0  # mm between two pieces that lie on the bed

_HEAD = 80  # bytes


def written(pieces: Sequence[Piece], title: str, note: str, form: Format) -> bytes:
    """The bytes of a file with all pieces side by side, in millimetres; STL, which has no units, by custom in the same.

    `title` and `note` are told in 3MF, each a line of text; STL has room for the note before its triangles.
    """
    wrapper = lib3mf.Wrapper()
    model = wrapper.CreateModel()
    model.SetUnit(lib3mf.ModelUnit.MilliMeter)
    about = model.GetMetaDataGroup()
    about.AddMetaData("", "Title", on_one_line(title), "xs:string", True)
    about.AddMetaData("", "Description", on_one_line(note), "xs:string", True)
    left = 0.0
    for piece in pieces:
        low, high = piece.corners.min(axis=0), piece.corners.max(axis=0)
        mesh = model.AddMeshObject()
        mesh.SetName(piece.name)
        mesh.SetGeometry(*_structures(piece, left - low[0]))
        # Names of objects that would be drawn by chance: the same guide gives the same bytes.
        mesh.SetUUID(_name_of(note, piece.name))
        model.AddBuildItem(mesh, wrapper.GetIdentityTransform()).SetUUID(
            _name_of(note, f"{piece.name} on the bed")
        )
        left += high[0] - low[0] + _BETWEEN
    model.SetBuildUUID(_name_of(note, "bed"))
    data = bytes(model.QueryWriter(form).WriteToBuffer())
    return data if form == "3mf" else _headed(data, note)


def _headed(stl: bytes, note: str) -> bytes:
    """The file with a note in the 80 bytes that binary STL begins with; one that begins "solid" is taken for text."""
    told = f"STL {on_one_line(note)}".encode("ascii", "replace")[:_HEAD]
    return told.ljust(_HEAD) + stl[_HEAD:]


def _name_of(note: str, part: str) -> str:
    return str(uuid.uuid5(uuid.NAMESPACE_OID, f"{note}/{part}"))


def _structures(piece: Piece, right: float) -> tuple[object, object]:
    """Corners and triangles as the library's own arrays, moved to the right."""
    corners = np.ascontiguousarray(piece.corners + np.array([right, 0.0, 0.0]), dtype=np.float32)
    triangles = np.ascontiguousarray(piece.triangles, dtype=np.uint32)
    places = (lib3mf.Position * len(corners)).from_buffer_copy(corners.tobytes())
    sides = (lib3mf.Triangle * len(triangles)).from_buffer_copy(triangles.tobytes())
    assert ctypes.sizeof(places) == corners.nbytes
    return places, sides
