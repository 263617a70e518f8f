"""What is done to the parts of a head, where the tuners go, and the tools of the drawing with what helps them."""

from __future__ import annotations

from PySide6.QtCore import Qt

from app.tools.catalogue import ToolName
from app.window import dialogs
from app.window.actions import acts
from app.window.actions.action import QT_TRANSLATE_NOOP, Action, Run, chosen, drawing, show_panel

CONTROL = Qt.KeyboardModifier.ControlModifier
NONE = Qt.KeyboardModifier.NoModifier


def _tool_key(key: Qt.Key, modifiers: Qt.KeyboardModifier = NONE) -> Run:
    return lambda window: acts.tool_key(window, key, modifiers)


EDIT: tuple[Action, ...] = (
    Action(
        key="undo", menu="edit", group="undo", icon="undo", shortcut="Ctrl+Z",
        text=QT_TRANSLATE_NOOP("Actions", "&Undo"),
        tip=QT_TRANSLATE_NOOP("Actions", "Take the last act back"),
        run=lambda window: window.session.undo(),
        enabled=lambda window: window.drawing and window.session.history.undo_label is not None,
    ),
    Action(
        key="redo", menu="edit", group="undo", icon="redo", shortcut="Ctrl+Shift+Z", other_shortcut="Ctrl+Y",
        text=QT_TRANSLATE_NOOP("Actions", "&Redo"),
        tip=QT_TRANSLATE_NOOP("Actions", "Do again what was taken back"),
        run=lambda window: window.session.redo(),
        enabled=lambda window: window.drawing and window.session.history.redo_label is not None,
    ),
    Action(
        key="cut", menu="edit", group="clipboard", shortcut="Ctrl+X",
        text=QT_TRANSLATE_NOOP("Actions", "Cu&t"),
        tip=QT_TRANSLATE_NOOP("Actions", "Take the selected parts away and keep them for pasting"),
        run=_tool_key(Qt.Key.Key_X, CONTROL), enabled=chosen,
    ),
    Action(
        key="copy", menu="edit", group="clipboard", shortcut="Ctrl+C",
        text=QT_TRANSLATE_NOOP("Actions", "&Copy"),
        tip=QT_TRANSLATE_NOOP("Actions", "Keep the selected parts for pasting"),
        run=_tool_key(Qt.Key.Key_C, CONTROL), enabled=chosen,
    ),
    Action(
        key="paste", menu="edit", group="clipboard", shortcut="Ctrl+V",
        text=QT_TRANSLATE_NOOP("Actions", "&Paste"),
        tip=QT_TRANSLATE_NOOP("Actions", "Put the kept parts on the head"),
        run=_tool_key(Qt.Key.Key_V, CONTROL), enabled=drawing,
    ),
    Action(
        key="duplicate", menu="edit", group="clipboard", icon="duplicate", shortcut="Ctrl+D",
        text=QT_TRANSLATE_NOOP("Actions", "Dupl&icate"),
        tip=QT_TRANSLATE_NOOP("Actions", "Put a second one beside each selected part"),
        run=_tool_key(Qt.Key.Key_D, CONTROL), enabled=chosen,
    ),
    Action(
        key="delete", menu="edit", group="clipboard", icon="delete", shortcut="Del", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "De&lete"),
        tip=QT_TRANSLATE_NOOP("Actions", "Take the selected parts away"),
        run=_tool_key(Qt.Key.Key_Delete), enabled=chosen,
    ),
    Action(
        key="select all", menu="edit", group="select", shortcut="Ctrl+A",
        text=QT_TRANSLATE_NOOP("Actions", "Select &all"),
        tip=QT_TRANSLATE_NOOP("Actions", "Select every part of the head"),
        run=_tool_key(Qt.Key.Key_A, CONTROL), enabled=drawing,
    ),
    Action(
        key="other hand", menu="edit", group="whole",
        text=QT_TRANSLATE_NOOP("Actions", "Turn into the other &hand"),
        tip=QT_TRANSLATE_NOOP("Actions", "Make the mirror image of the whole build, left-handed or right-handed"),
        also=QT_TRANSLATE_NOOP("Actions", "mirror flip left-handed lefty right-handed"),
        run=acts.other_hand, enabled=drawing,
    ),
    Action(
        key="panel best", menu="edit", group="place", icon="best", shortcut="Ctrl+Shift+8",
        text=QT_TRANSLATE_NOOP("Actions", "&Best placement"),
        tip=QT_TRANSLATE_NOOP("Actions", "Find where the tuners forgive most, and see it over today's placement"),
        also=QT_TRANSLATE_NOOP("Actions", "optimum optimise place tuners tolerance ring"),
        run=show_panel("best"), enabled=drawing,
    ),
    Action(
        key="panel missed", menu="edit", group="place", icon="missed", shortcut="Ctrl+Shift+9",
        text=QT_TRANSLATE_NOOP("Actions", "I &missed a hole"),
        tip=QT_TRANSLATE_NOOP("Actions", "Say where a hole has landed: does the head still work, and what saves it"),
        also=QT_TRANSLATE_NOOP("Actions", "mistake wrong off drilled plug repair"),
        run=show_panel("missed"), enabled=drawing,
    ),
    Action(
        key="drilled", menu="edit", group="place", icon="missed",
        text=QT_TRANSLATE_NOOP("Actions", "Holes as &drilled…"),
        tip=QT_TRANSLATE_NOOP("Actions", "All drilled holes against their marks: from a photo, a scan or calipers"),
        also=QT_TRANSLATE_NOOP("Actions", "picture photo calipers readings measured misses real as built"),
        run=dialogs.show_drilled, enabled=drawing,
    ),
    Action(
        key="preferences", menu="edit", group="preferences", icon="preferences", shortcut="Ctrl+,",
        text=QT_TRANSLATE_NOOP("Actions", "Pre&ferences…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Units, drills, paper, printer, limits of new builds, colours, size of type"),
        also=QT_TRANSLATE_NOOP("Actions", "settings options dark light theme font shop inches"),
        run=dialogs.show_preferences,
    ),
)  # fmt: skip
"""In the order of the menu."""


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
        run=acts.toggle_symmetric, enabled=drawing, checked=lambda window: window.canvas.symmetric,
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
