"""Tools of the drawing, and what helps them."""

from __future__ import annotations

from app.tools.catalogue import ToolName
from app.window.actions.action import QT_TRANSLATE_NOOP, Action, Run, When
from app.window.actions.shared import drawing


def _tool(name: ToolName) -> tuple[Run, When]:
    return lambda acts: acts.use_tool(name), lambda acts: acts.tool_name == name


_select, _is_select = _tool("select")
_node, _is_node = _tool("node")
_round, _is_round = _tool("round")
_region, _is_region = _tool("region")
_old_hole, _is_old_hole = _tool("old hole")

DRAW: tuple[Action, ...] = (
    Action(
        key="select tool", menu="draw", group="tools", icon="select", shortcut="S", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "&Select and move"),
        tip=QT_TRANSLATE_NOOP("Actions", "Choose parts and drag them"),
        run=_select, enabled=drawing, checked=_is_select,
    ),
    Action(
        key="node tool", menu="draw", group="tools", icon="node", shortcut="N", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Add &nodes"),
        tip=QT_TRANSLATE_NOOP("Actions", "Click on the outline to add a node"),
        run=_node, enabled=drawing, checked=_is_node,
    ),
    Action(
        key="round tool", menu="draw", group="tools", icon="round", shortcut="R", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "&Round a corner"),
        tip=QT_TRANSLATE_NOOP("Actions", "Drag on a corner to round it by a radius"),
        also=QT_TRANSLATE_NOOP("Actions", "corner radius fillet"),
        run=_round, enabled=drawing, checked=_is_round,
    ),
    Action(
        key="region tool", menu="draw", group="tools", icon="region", shortcut="K", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "&Keep a region clear"),
        tip=QT_TRANSLATE_NOOP("Actions", "Draw where no hole may come: a rod pocket, an inlay, a glue line"),
        also=QT_TRANSLATE_NOOP("Actions", "keep clear rod pocket inlay"),
        run=_region, enabled=drawing, checked=_is_region,
    ),
    Action(
        key="old hole tool", menu="draw", group="tools", icon="old hole", shortcut="O", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Mark an &old hole"),
        tip=QT_TRANSLATE_NOOP("Actions", "Click where the head has a hole already, open or plugged"),
        also=QT_TRANSLATE_NOOP("Actions", "plug plugged filled used neck"),
        run=_old_hole, enabled=drawing, checked=_is_old_hole,
    ),
    Action(
        key="symmetric", menu="draw", group="aids", icon="symmetric", shortcut="Y", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Both sides a&like"),
        tip=QT_TRANSLATE_NOOP("Actions", "What you move, draw or type on one side is done on the other side too"),
        also=QT_TRANSLATE_NOOP("Actions", "symmetry mirror alike both sides"),
        run=lambda acts: acts.toggle_symmetric(), enabled=drawing,
        checked=lambda acts: acts.symmetric,
    ),
    Action(
        key="snap", menu="draw", group="aids", icon="snap", shortcut="M", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Sna&p"),
        tip=QT_TRANSLATE_NOOP("Actions", "What is dragged catches on lines, nodes and grid; hold Ctrl to leave it off"),
        run=lambda acts: acts.toggle_snap(), checked=lambda acts: acts.store.settings.snap,
    ),
    Action(
        key="grid", menu="draw", group="aids", icon="grid", shortcut="G", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "&Grid"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show a grid that suits how near the head is"),
        run=lambda acts: acts.toggle_grid(), checked=lambda acts: acts.store.settings.grid,
    ),
    Action(
        key="free outline", menu="draw", group="outline",
        text=QT_TRANSLATE_NOOP("Actions", "&Free the outline"),
        tip=QT_TRANSLATE_NOOP("Actions", "Turn the starter into nodes that can be moved one by one"),
        run=lambda acts: acts.free_outline(), enabled=lambda acts: acts.drawing and acts.is_starter,
    ),
)  # fmt: skip
"""In the order of the menu."""
