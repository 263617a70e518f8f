"""What is done with a whole build: new, open, save, print and export, compare."""

from __future__ import annotations

from app.window import dialogs
from app.window.actions import acts
from app.window.actions.action import QT_TRANSLATE_NOOP, Action, drawing

BUILD: tuple[Action, ...] = (
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
        key="own head", menu="build", group="file",
        text=QT_TRANSLATE_NOOP("Actions", "From a &drawing of a head…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Begin with the outline of your own head: a drawing or an offset table"),
        also=QT_TRANSLATE_NOOP("Actions", "import intake svg dxf csv calipers trace outline"),
        run=dialogs.show_own_head,
    ),
    Action(
        key="photo", menu="build", group="file",
        text=QT_TRANSLATE_NOOP("Actions", "From a p&hoto of a head…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Begin with the outline and the holes of your own head: a photo or a scan"),
        also=QT_TRANSLATE_NOOP("Actions", "import intake picture camera scanner jpg png markers sheet trace outline"),
        run=dialogs.show_photo,
    ),
    Action(
        key="recovered", menu="build", group="file",
        text=QT_TRANSLATE_NOOP("Actions", "&Recovered work"),
        tip=QT_TRANSLATE_NOOP("Actions", "Find again what was not saved when Pegwright ended"),
        also=QT_TRANSLATE_NOOP("Actions", "lost crash restore backup"),
        run=lambda window: window.notices.show_recovered(),
    ),
    Action(
        key="save", menu="build", group="save", icon="save", shortcut="Ctrl+S",
        text=QT_TRANSLATE_NOOP("Actions", "&Save"),
        tip=QT_TRANSLATE_NOOP("Actions", "Save the build in its file"),
        run=lambda window: window.document.save(), enabled=drawing,
    ),
    Action(
        key="save as", menu="build", group="save", shortcut="Ctrl+Shift+S",
        text=QT_TRANSLATE_NOOP("Actions", "Save &as…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Save the build under another name"),
        run=lambda window: window.document.save_as(), enabled=drawing,
    ),
    Action(
        key="rename", menu="build", group="save", shortcut="F2",
        text=QT_TRANSLATE_NOOP("Actions", "Na&me the build…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Change the name that is printed on every sheet"),
        run=acts.rename, enabled=drawing,
    ),
    Action(
        key="output", menu="build", group="output", icon="output", shortcut="Ctrl+P",
        text=QT_TRANSLATE_NOOP("Actions", "&Print and export…"),
        tip=QT_TRANSLATE_NOOP("Actions", "See every sheet as it prints, print at true size, write PDF, DXF, SVG, CSV"),
        also=QT_TRANSLATE_NOOP("Actions", "template guide paper laser router cnc 3mf stl plastic drill cradle"),
        run=dialogs.show_output, enabled=drawing,
    ),
    Action(
        key="widths", menu="build", group="output", shortcut="Ctrl+Shift+N",
        text=QT_TRANSLATE_NOOP("Actions", "Nut &widths…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Refit the head to a range of nut widths: a chart, and a template for each"),
        also=QT_TRANSLATE_NOOP("Actions", "family range chart wider narrower"),
        run=dialogs.show_widths, enabled=drawing,
    ),
    Action(
        key="compare", menu="build", group="output", shortcut="Ctrl+Shift+C",
        text=QT_TRANSLATE_NOOP("Actions", "&Compare…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Hold the head against a saved one, or against itself with other tuners"),
        also=QT_TRANSLATE_NOOP("Actions", "difference other tuners before after"),
        run=dialogs.show_compare, enabled=drawing,
    ),
    Action(
        key="quit", menu="build", group="quit", shortcut="Ctrl+Q",
        text=QT_TRANSLATE_NOOP("Actions", "&Quit"),
        tip=QT_TRANSLATE_NOOP("Actions", "Close Pegwright"),
        run=lambda window: window.close(),
    ),
)  # fmt: skip
"""In the order of the menu."""
