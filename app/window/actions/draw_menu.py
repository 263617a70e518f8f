"""Tools of the drawing, and what helps them."""

from __future__ import annotations

from app.tools.catalogue import ToolName
from app.window.actions import acts
from app.window.actions.action import QT_TRANSLATE_NOOP, Action, drawing


def _tool(name: ToolName, shortcut: str, text: str, tip: str, also: str = "") -> Action:
    """What takes a tool in hand."""
    return Action(
        key=f"{name} tool", menu="draw", group="tools", icon=name, shortcut=shortcut, on_canvas=True,
        text=text, tip=tip, also=also,
        run=lambda window: acts.use_tool(window, name), enabled=drawing,
        checked=lambda window: window.tool_name == name,
    )  # fmt: skip


DRAW: tuple[Action, ...] = (
    _tool(
        "select", "S",
        QT_TRANSLATE_NOOP("Actions", "&Select and move"),
        QT_TRANSLATE_NOOP("Actions", "Choose parts and drag them"),
    ),
    _tool(
        "node", "N",
        QT_TRANSLATE_NOOP("Actions", "Add &nodes"),
        QT_TRANSLATE_NOOP("Actions", "Click on the outline to add a node"),
    ),
    _tool(
        "round", "R",
        QT_TRANSLATE_NOOP("Actions", "&Round a corner"),
        QT_TRANSLATE_NOOP("Actions", "Drag on a corner to round it by a radius"),
        QT_TRANSLATE_NOOP("Actions", "corner radius fillet"),
    ),
    _tool(
        "region", "K",
        QT_TRANSLATE_NOOP("Actions", "&Keep a region clear"),
        QT_TRANSLATE_NOOP("Actions", "Draw where no hole may come: a rod pocket, an inlay, a glue line"),
        QT_TRANSLATE_NOOP("Actions", "keep clear rod pocket inlay"),
    ),
    _tool(
        "old hole", "O",
        QT_TRANSLATE_NOOP("Actions", "Mark an &old hole"),
        QT_TRANSLATE_NOOP("Actions", "Click where the head has a hole already, open or plugged"),
        QT_TRANSLATE_NOOP("Actions", "plug plugged filled used neck"),
    ),
    Action(
        key="symmetric", menu="draw", group="aids", icon="symmetric", shortcut="Y", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Both sides a&like"),
        tip=QT_TRANSLATE_NOOP("Actions", "What you move, draw or type on one side is done on the other side too"),
        also=QT_TRANSLATE_NOOP("Actions", "symmetry mirror alike both sides"),
        run=acts.toggle_symmetric, enabled=drawing, checked=lambda window: window.symmetric,
    ),
    Action(
        key="snap", menu="draw", group="aids", icon="snap", shortcut="M", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Sna&p"),
        tip=QT_TRANSLATE_NOOP("Actions", "What is dragged catches on lines, nodes and grid; hold Ctrl to leave it off"),
        run=lambda window: acts.toggle(window, "snap"), checked=lambda window: window.store.settings.snap,
    ),
    Action(
        key="grid", menu="draw", group="aids", icon="grid", shortcut="G", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "&Grid"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show a grid that suits how near the head is"),
        run=lambda window: acts.toggle(window, "grid"), checked=lambda window: window.store.settings.grid,
    ),
    Action(
        key="free outline", menu="draw", group="outline",
        text=QT_TRANSLATE_NOOP("Actions", "&Free the outline"),
        tip=QT_TRANSLATE_NOOP("Actions", "Turn the starter into nodes that can be moved one by one"),
        run=acts.free_outline, enabled=acts.is_starter,
    ),
)  # fmt: skip
"""In the order of the menu."""
