"""Every edit of an outline under one roof: of its nodes, its runs, and what is read off it.

Each is a function from a build to a build that changes what it names and nothing else; a starter turns into nodes
first. `symmetric` makes the same edit on the other side of the centre line. ValueErrors are sentences for the maker.
"""

from __future__ import annotations

from geometry.document.corner_edits import make_corner, make_smooth, radius_for_reach, round_corner
from geometry.document.node_edits import add_node, move_nodes, new_node_key, remove_node, set_handle
from geometry.document.outline_nodes import (
    End,
    Handle,
    RunKind,
    RunMeasures,
    following,
    handles_of,
    has_handle,
    is_end,
    is_smooth,
    kept_place,
    node_of,
    nodes_of,
    partner_of,
    run_measures,
    run_partner_of,
    runs_at,
    runs_of,
    segment_of,
    tangents_at,
)
from geometry.document.run_edits import drag_run, run_as, set_angle, set_length, set_radius

__all__ = [
    "End",
    "Handle",
    "RunKind",
    "RunMeasures",
    "add_node",
    "drag_run",
    "following",
    "handles_of",
    "has_handle",
    "is_end",
    "is_smooth",
    "kept_place",
    "make_corner",
    "make_smooth",
    "move_nodes",
    "new_node_key",
    "node_of",
    "nodes_of",
    "partner_of",
    "radius_for_reach",
    "remove_node",
    "round_corner",
    "run_as",
    "run_measures",
    "run_partner_of",
    "runs_at",
    "runs_of",
    "segment_of",
    "set_angle",
    "set_handle",
    "set_length",
    "set_radius",
    "tangents_at",
]
