"""Everything that can be done from the keyboard, in one table.

Menus, toolbar, shortcuts, their list and the search for actions are all made from it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Literal

from PySide6.QtCore import Qt

from app import dialogs
from app.action import QT_TRANSLATE_NOOP, Action, Run, ToolName, When, translated

if TYPE_CHECKING:
    from app.window import Window

CONTROL = Qt.KeyboardModifier.ControlModifier
NONE = Qt.KeyboardModifier.NoModifier


def _tool(name: ToolName) -> tuple[Run, When]:
    return lambda window: window.use_tool(name), lambda window: window.tool_name == name


def _side(side: Literal["face", "back", "both"]) -> tuple[Run, When]:
    return lambda window: window.set_side(side), lambda window: window.canvas.side == side


def _tool_key(key: Qt.Key, modifiers: Qt.KeyboardModifier = NONE) -> Run:
    return lambda window: window.tool_key(key, modifiers)


def _panel(name: str) -> Run:
    return lambda window: window.show_panel(name)


def _drawing(window: Window) -> bool:
    return window.drawing


def _chosen(window: Window) -> bool:
    return window.drawing and bool(window.session.selection)


_select, _is_select = _tool("select")
_node, _is_node = _tool("node")
_round, _is_round = _tool("round")
_region, _is_region = _tool("region")
_old_hole, _is_old_hole = _tool("old hole")
_face, _is_face = _side("face")
_back, _is_back = _side("back")
_both, _is_both = _side("both")

ACTIONS: tuple[Action, ...] = (
    # Build
    Action(
        key="new", menu="build", group="file", icon="new", shortcut="Ctrl+N",
        text=QT_TRANSLATE_NOOP("Actions", "&New build…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Choose a starter, a sample or a recent build"),
        run=lambda window: window.show_start(),
    ),
    Action(
        key="open", menu="build", group="file", icon="open", shortcut="Ctrl+O",
        text=QT_TRANSLATE_NOOP("Actions", "&Open…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Open a build from a file"),
        run=lambda window: window.document.choose_and_open(),
    ),
    Action(
        key="save", menu="build", group="save", icon="save", shortcut="Ctrl+S",
        text=QT_TRANSLATE_NOOP("Actions", "&Save"),
        tip=QT_TRANSLATE_NOOP("Actions", "Save the build in its file"),
        run=lambda window: window.document.save(), enabled=_drawing,
    ),
    Action(
        key="save as", menu="build", group="save", shortcut="Ctrl+Shift+S",
        text=QT_TRANSLATE_NOOP("Actions", "Save &as…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Save the build under another name"),
        run=lambda window: window.document.save_as(), enabled=_drawing,
    ),
    Action(
        key="rename", menu="build", group="save", shortcut="F2",
        text=QT_TRANSLATE_NOOP("Actions", "Na&me the build…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Change the name that is printed on every sheet"),
        run=lambda window: window.rename(), enabled=_drawing,
    ),
    Action(
        key="output", menu="build", group="output", icon="output", shortcut="Ctrl+P",
        text=QT_TRANSLATE_NOOP("Actions", "&Print and export…"),
        tip=QT_TRANSLATE_NOOP("Actions", "See every sheet as it prints, print at true size, write PDF, DXF, SVG, CSV"),
        run=dialogs.show_output, enabled=_drawing,
    ),
    Action(
        key="family", menu="build", group="output", shortcut="Ctrl+Shift+N",
        text=QT_TRANSLATE_NOOP("Actions", "Nut &widths…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Refit the head to a range of nut widths: a chart, and a template for each"),
        run=dialogs.show_family, enabled=_drawing,
    ),
    Action(
        key="compare", menu="build", group="output", shortcut="Ctrl+Shift+C",
        text=QT_TRANSLATE_NOOP("Actions", "&Compare…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Hold the head against a saved one, or against itself with other tuners"),
        run=dialogs.show_compare, enabled=_drawing,
    ),
    Action(
        key="quit", menu="build", group="quit", shortcut="Ctrl+Q",
        text=QT_TRANSLATE_NOOP("Actions", "&Quit"),
        tip=QT_TRANSLATE_NOOP("Actions", "Close Pegwright"),
        run=lambda window: window.close(),
    ),
    # Edit
    Action(
        key="undo", menu="edit", group="undo", icon="undo", shortcut="Ctrl+Z",
        text=QT_TRANSLATE_NOOP("Actions", "&Undo"),
        tip=QT_TRANSLATE_NOOP("Actions", "Take the last act back"),
        run=lambda window: window.session.undo(),
        enabled=lambda window: window.drawing and window.session.history.undo_label is not None,
    ),
    Action(
        key="redo", menu="edit", group="undo", icon="redo", shortcut="Ctrl+Shift+Z",
        text=QT_TRANSLATE_NOOP("Actions", "&Redo"),
        tip=QT_TRANSLATE_NOOP("Actions", "Do again what was taken back"),
        run=lambda window: window.session.redo(),
        enabled=lambda window: window.drawing and window.session.history.redo_label is not None,
    ),
    Action(
        key="cut", menu="edit", group="clipboard", shortcut="Ctrl+X",
        text=QT_TRANSLATE_NOOP("Actions", "Cu&t"),
        tip=QT_TRANSLATE_NOOP("Actions", "Take the selected parts away and keep them for pasting"),
        run=_tool_key(Qt.Key.Key_X, CONTROL), enabled=_chosen,
    ),
    Action(
        key="copy", menu="edit", group="clipboard", shortcut="Ctrl+C",
        text=QT_TRANSLATE_NOOP("Actions", "&Copy"),
        tip=QT_TRANSLATE_NOOP("Actions", "Keep the selected parts for pasting"),
        run=_tool_key(Qt.Key.Key_C, CONTROL), enabled=_chosen,
    ),
    Action(
        key="paste", menu="edit", group="clipboard", shortcut="Ctrl+V",
        text=QT_TRANSLATE_NOOP("Actions", "&Paste"),
        tip=QT_TRANSLATE_NOOP("Actions", "Put the kept parts on the head"),
        run=_tool_key(Qt.Key.Key_V, CONTROL), enabled=_drawing,
    ),
    Action(
        key="duplicate", menu="edit", group="clipboard", icon="duplicate", shortcut="Ctrl+D",
        text=QT_TRANSLATE_NOOP("Actions", "Dupl&icate"),
        tip=QT_TRANSLATE_NOOP("Actions", "Put a second one beside each selected part"),
        run=_tool_key(Qt.Key.Key_D, CONTROL), enabled=_chosen,
    ),
    Action(
        key="delete", menu="edit", group="clipboard", icon="delete", shortcut="Del", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "De&lete"),
        tip=QT_TRANSLATE_NOOP("Actions", "Take the selected parts away"),
        run=_tool_key(Qt.Key.Key_Delete), enabled=_chosen,
    ),
    Action(
        key="select all", menu="edit", group="select", shortcut="Ctrl+A",
        text=QT_TRANSLATE_NOOP("Actions", "Select &all"),
        tip=QT_TRANSLATE_NOOP("Actions", "Select every part of the head"),
        run=_tool_key(Qt.Key.Key_A, CONTROL), enabled=_drawing,
    ),
    Action(
        key="other hand", menu="edit", group="whole",
        text=QT_TRANSLATE_NOOP("Actions", "Turn into the other &hand"),
        tip=QT_TRANSLATE_NOOP("Actions", "Make the mirror image of the whole build, left-handed or right-handed"),
        run=lambda window: window.other_hand(), enabled=_drawing,
    ),
    Action(
        key="panel best", menu="edit", group="place", icon="best", shortcut="Ctrl+Shift+8",
        text=QT_TRANSLATE_NOOP("Actions", "&Best placement"),
        tip=QT_TRANSLATE_NOOP("Actions", "Find where the tuners forgive most, and see it over today's placement"),
        run=_panel("best"), enabled=_drawing,
    ),
    Action(
        key="panel missed", menu="edit", group="place", icon="missed", shortcut="Ctrl+Shift+9",
        text=QT_TRANSLATE_NOOP("Actions", "I &missed a hole"),
        tip=QT_TRANSLATE_NOOP("Actions", "Say where a hole has landed: does the head still work, and what saves it"),
        run=_panel("missed"), enabled=_drawing,
    ),
    Action(
        key="preferences", menu="edit", group="preferences", icon="preferences", shortcut="Ctrl+,",
        text=QT_TRANSLATE_NOOP("Actions", "Pre&ferences…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Units, drills, paper, printer, limits of new builds, colours, size of type"),
        run=dialogs.show_preferences,
    ),
    # Draw
    Action(
        key="select tool", menu="draw", group="tools", icon="select", shortcut="S", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "&Select and move"),
        tip=QT_TRANSLATE_NOOP("Actions", "Choose parts and drag them"),
        run=_select, enabled=_drawing, checked=_is_select,
    ),
    Action(
        key="node tool", menu="draw", group="tools", icon="node", shortcut="N", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Add &nodes"),
        tip=QT_TRANSLATE_NOOP("Actions", "Click on the outline to add a node"),
        run=_node, enabled=_drawing, checked=_is_node,
    ),
    Action(
        key="round tool", menu="draw", group="tools", icon="round", shortcut="R", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "&Round a corner"),
        tip=QT_TRANSLATE_NOOP("Actions", "Drag on a corner to round it by a radius"),
        run=_round, enabled=_drawing, checked=_is_round,
    ),
    Action(
        key="region tool", menu="draw", group="tools", icon="region", shortcut="K", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "&Keep a region clear"),
        tip=QT_TRANSLATE_NOOP("Actions", "Draw where no hole may come: a rod pocket, an inlay, a glue line"),
        run=_region, enabled=_drawing, checked=_is_region,
    ),
    Action(
        key="old hole tool", menu="draw", group="tools", icon="old hole", shortcut="O", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Mark an &old hole"),
        tip=QT_TRANSLATE_NOOP("Actions", "Click where the head has a hole already, open or plugged"),
        run=_old_hole, enabled=_drawing, checked=_is_old_hole,
    ),
    Action(
        key="symmetric", menu="draw", group="aids", icon="symmetric", shortcut="Y", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Both sides a&like"),
        tip=QT_TRANSLATE_NOOP("Actions", "What is done to the outline on one side happens on the other side too"),
        run=lambda window: window.toggle_symmetric(), enabled=_drawing,
        checked=lambda window: window.symmetric,
    ),
    Action(
        key="snap", menu="draw", group="aids", icon="snap", shortcut="M", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Sna&p"),
        tip=QT_TRANSLATE_NOOP("Actions", "What is dragged catches on lines, nodes and grid; hold Ctrl to leave it off"),
        run=lambda window: window.toggle_snap(), checked=lambda window: window.store.settings.snap,
    ),
    Action(
        key="grid", menu="draw", group="aids", icon="grid", shortcut="G", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "&Grid"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show a grid that suits how near the head is"),
        run=lambda window: window.toggle_grid(), checked=lambda window: window.store.settings.grid,
    ),
    Action(
        key="free outline", menu="draw", group="outline",
        text=QT_TRANSLATE_NOOP("Actions", "&Free the outline"),
        tip=QT_TRANSLATE_NOOP("Actions", "Turn the starter into nodes that can be moved one by one"),
        run=lambda window: window.free_outline(), enabled=lambda window: window.drawing and window.is_starter,
    ),
    # View
    Action(
        key="face", menu="view", group="side", icon="face", shortcut="F7",
        text=QT_TRANSLATE_NOOP("Actions", "&Face"),
        tip=QT_TRANSLATE_NOOP("Actions", "Look at the side that the strings run over"),
        run=_face, enabled=_drawing, checked=_is_face,
    ),
    Action(
        key="back", menu="view", group="side", icon="back", shortcut="F8",
        text=QT_TRANSLATE_NOOP("Actions", "&Back"),
        tip=QT_TRANSLATE_NOOP("Actions", "Look at the side that the tuner bodies sit on"),
        run=_back, enabled=_drawing, checked=_is_back,
    ),
    Action(
        key="both", menu="view", group="side", icon="both", shortcut="F9",
        text=QT_TRANSLATE_NOOP("Actions", "B&oth"),
        tip=QT_TRANSLATE_NOOP("Actions", "Look at the face with the back showing through"),
        run=_both, enabled=_drawing, checked=_is_both,
    ),
    Action(
        key="rings", menu="view", group="rings", shortcut="A", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Rin&gs of allowance"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show round each hole how far its mark may miss with the head still safe"),
        run=lambda window: window.toggle_rings(), checked=lambda window: window.store.settings.rings,
    ),
    Action(
        key="fit", menu="view", group="zoom", icon="fit", shortcut="Ctrl+0",
        text=QT_TRANSLATE_NOOP("Actions", "F&it the head"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the whole head"),
        run=lambda window: window.canvas.fit(), enabled=_drawing,
    ),
    Action(
        key="actual size", menu="view", group="zoom", icon="actual", shortcut="Ctrl+1",
        text=QT_TRANSLATE_NOOP("Actions", "&True size"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the head as large as it is; measure the screen once for that"),
        run=lambda window: window.actual_size(), enabled=_drawing,
    ),
    Action(
        key="zoom to selection", menu="view", group="zoom", shortcut="Ctrl+2",
        text=QT_TRANSLATE_NOOP("Actions", "Zoom to the &selection"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the selected parts as large as they fit"),
        run=lambda window: window.canvas.zoom_to_selection(), enabled=_chosen,
    ),
    Action(
        key="closer", menu="view", group="zoom", icon="closer", shortcut="Ctrl++",
        text=QT_TRANSLATE_NOOP("Actions", "&Closer"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the drawing larger"),
        run=lambda window: window.canvas.zoom_by(1.25), enabled=_drawing,
    ),
    Action(
        key="further", menu="view", group="zoom", icon="further", shortcut="Ctrl+-",
        text=QT_TRANSLATE_NOOP("Actions", "F&urther"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the drawing smaller"),
        run=lambda window: window.canvas.zoom_by(0.8), enabled=_drawing,
    ),
    Action(
        key="measure screen", menu="view", group="screen",
        text=QT_TRANSLATE_NOOP("Actions", "&Measure the screen…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Lay a bank card or a steel rule on the screen, so that true size is true"),
        run=dialogs.measure_screen,
    ),
    Action(
        key="inches", menu="view", group="screen", shortcut="Ctrl+U",
        text=QT_TRANSLATE_NOOP("Actions", "Inc&hes"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show and type lengths in inches instead of millimetres"),
        run=lambda window: window.toggle_units(),
        checked=lambda window: window.store.settings.units == "inch",
    ),
    Action(
        key="panel head", menu="view", group="panels", icon="head", shortcut="Ctrl+Shift+1",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: head"),
        tip=QT_TRANSLATE_NOOP("Actions", "Outline, thickness, angle, wood"),
        run=_panel("head"), enabled=_drawing,
    ),
    Action(
        key="panel strings", menu="view", group="panels", icon="strings", shortcut="Ctrl+Shift+2",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: strings"),
        tip=QT_TRANSLATE_NOOP("Actions", "The nut and the strings"),
        run=_panel("strings"), enabled=_drawing,
    ),
    Action(
        key="panel tuners", menu="view", group="panels", icon="tuners", shortcut="Ctrl+Shift+3",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: tuners"),
        tip=QT_TRANSLATE_NOOP("Actions", "Hardware, rows, and where the posts stand"),
        run=_panel("tuners"), enabled=_drawing,
    ),
    Action(
        key="panel keep clear", menu="view", group="panels", icon="keep clear", shortcut="Ctrl+Shift+4",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: keep clear"),
        tip=QT_TRANSLATE_NOOP("Actions", "Regions without holes, and holes that are there already"),
        run=_panel("keep clear"), enabled=_drawing,
    ),
    Action(
        key="panel selected", menu="view", group="panels", icon="selected", shortcut="Ctrl+Shift+5",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: selected"),
        tip=QT_TRANSLATE_NOOP("Actions", "Exact numbers of what is selected"),
        run=_panel("selected"), enabled=_drawing,
    ),
    Action(
        key="panel findings", menu="view", group="panels", icon="findings", shortcut="Ctrl+Shift+6",
        text=QT_TRANSLATE_NOOP("Actions", "Findings"),
        tip=QT_TRANSLATE_NOOP("Actions", "What clears and what does not"),
        run=lambda window: window.show_findings(), enabled=_drawing,
    ),
    Action(
        key="panel refit", menu="view", group="panels", icon="refit", shortcut="Ctrl+Shift+7",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: refit"),
        tip=QT_TRANSLATE_NOOP("Actions", "The same head for another nut width"),
        run=_panel("refit"), enabled=_drawing,
    ),
    Action(
        key="panel bench", menu="view", group="panels", icon="bench", shortcut="Ctrl+Shift+B",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: bench"),
        tip=QT_TRANSLATE_NOOP("Actions", "Strings, nut, drilling, strength, balance, and what holds the head"),
        run=_panel("bench"), enabled=_drawing,
    ),
    Action(
        key="next part", menu="view", group="window", shortcut="F6",
        text=QT_TRANSLATE_NOOP("Actions", "Next part of the window"),
        tip=QT_TRANSLATE_NOOP("Actions", "Move the keyboard from panel to drawing to findings and round again"),
        run=lambda window: window.next_part(1), enabled=_drawing,
    ),
    Action(
        key="earlier part", menu="view", group="window", shortcut="Shift+F6",
        text=QT_TRANSLATE_NOOP("Actions", "Earlier part of the window"),
        tip=QT_TRANSLATE_NOOP("Actions", "The same, the other way round"),
        run=lambda window: window.next_part(-1), enabled=_drawing,
    ),
    Action(
        key="full screen", menu="view", group="window", shortcut="F11",
        text=QT_TRANSLATE_NOOP("Actions", "Full sc&reen"),
        tip=QT_TRANSLATE_NOOP("Actions", "Give the window the whole screen"),
        run=lambda window: window.toggle_full_screen(), checked=lambda window: window.isFullScreen(),
    ),
    # Help
    Action(
        key="how", menu="help", group="help", icon="help", shortcut="F1",
        text=QT_TRANSLATE_NOOP("Actions", "&How this works"),
        tip=QT_TRANSLATE_NOOP("Actions", "The way from an empty bench to a drilled head"),
        run=dialogs.show_how,
    ),
    Action(
        key="search", menu="help", group="help", icon="search", shortcut="F3",
        text=QT_TRANSLATE_NOOP("Actions", "&Find an action…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Type what you want to do"),
        run=dialogs.show_search,
    ),
    Action(
        key="shortcuts", menu="help", group="help", shortcut="Ctrl+?",
        text=QT_TRANSLATE_NOOP("Actions", "&Keys…"),
        tip=QT_TRANSLATE_NOOP("Actions", "All keys, and what the mouse does"),
        run=dialogs.show_keys,
    ),
    Action(
        key="what is this", menu="help", group="help", shortcut="Shift+F1",
        text=QT_TRANSLATE_NOOP("Actions", "&What is this?"),
        tip=QT_TRANSLATE_NOOP("Actions", "Then click on something to learn about it"),
        run=lambda window: window.what_is_this(),
    ),
    Action(
        key="log", menu="help", group="about",
        text=QT_TRANSLATE_NOOP("Actions", "Show the &log"),
        tip=QT_TRANSLATE_NOOP("Actions", "What went wrong inside the program, if anything did"),
        run=dialogs.show_log,
    ),
    Action(
        key="about", menu="help", group="about",
        text=QT_TRANSLATE_NOOP("Actions", "&About Pegwright"),
        tip=QT_TRANSLATE_NOOP("Actions", "Version and licence"),
        run=dialogs.show_about,
    ),
)  # fmt: skip
"""All actions, menu by menu in their order."""

TOOLBAR: tuple[tuple[str, ...], ...] = (
    ("new", "open", "save"),
    ("undo", "redo"),
    ("select tool", "node tool", "round tool", "region tool", "old hole tool", "symmetric"),
    ("face", "back", "both"),
    ("fit", "actual size", "grid", "snap"),
)
"""Keys of the actions on the toolbar, in groups; what goes to paper stands apart at its end."""


def find(key: str) -> Action:
    """The action with this key."""
    return next(action for action in ACTIONS if action.key == key)


def matching(query: str) -> tuple[Action, ...]:
    """Actions that have every word of the query in their name or tip; those with it in the name come first."""
    words = query.casefold().split()

    def rank(action: Action) -> int | None:
        name, tip = action.name.casefold(), translated(action.tip).casefold()
        if all(word in name for word in words):
            return 0 if words and name.startswith(words[0]) else 1
        return 2 if all(word in f"{name} {tip}" for word in words) else None

    ranked = [(rank(action), place, action) for place, action in enumerate(ACTIONS)]
    fitting = sorted((at, place) for at, place, _ in ranked if at is not None)
    return tuple(ACTIONS[place] for _, place in fitting)
