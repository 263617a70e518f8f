"""How the head is seen, and which parts of the window are shown."""

from __future__ import annotations

from msgspec.structs import replace

from app.document.scene import Side
from app.document.settings import Theme
from app.window import dialogs
from app.window.actions import acts
from app.window.actions.action import QT_TRANSLATE_NOOP, Action, chosen, drawing, show_panel
from app.window.shell import Shell

_COLOURS = QT_TRANSLATE_NOOP("Actions", "Co&lours")
_PANELS = QT_TRANSLATE_NOOP("Actions", "P&anels")


def _side(side: Side, shortcut: str, text: str, tip: str, also: str = "") -> Action:
    """What turns the head to a side."""
    return Action(
        key=side, menu="view", group="side", icon=side, shortcut=shortcut, text=text, tip=tip, also=also,
        run=lambda window: window.canvas.set_side(side), enabled=drawing,
        checked=lambda window: window.canvas.side == side,
    )  # fmt: skip


def _theme(key: str, theme: Theme, text: str, tip: str, also: str) -> Action:
    """What puts on other colours."""
    return Action(
        key=f"colours {key}", menu="view", group="screen", submenu=_COLOURS, text=text, tip=tip, also=also,
        run=lambda window: window.store.keep(replace(window.store.settings, theme=theme)),
        checked=lambda window: window.store.settings.theme == theme,
    )  # fmt: skip


def _panel(name: str, shortcut: str, text: str, tip: str, also: str = "") -> Action:
    """What puts a panel in front."""
    return Action(
        key=f"panel {name}", menu="view", group="panels", submenu=_PANELS, icon=name, shortcut=shortcut,
        text=text, tip=tip, also=also,
        run=show_panel(name), enabled=drawing,
    )  # fmt: skip


def _has_picture(window: Shell) -> bool:
    return window.drawing and window.canvas.underlay is not None


def _toggle_picture(window: Shell) -> None:
    window.canvas.underlay_shown = not window.canvas.underlay_shown


VIEW: tuple[Action, ...] = (
    _side(
        "face", "F7",
        QT_TRANSLATE_NOOP("Actions", "&Face"),
        QT_TRANSLATE_NOOP("Actions", "Look at the side that the strings run over"),
    ),
    _side(
        "back", "F8",
        QT_TRANSLATE_NOOP("Actions", "&Back"),
        QT_TRANSLATE_NOOP("Actions", "Look at the side that the tuner bodies sit on"),
        QT_TRANSLATE_NOOP("Actions", "rear screws"),
    ),
    _side(
        "both", "F9",
        QT_TRANSLATE_NOOP("Actions", "B&oth"),
        QT_TRANSLATE_NOOP("Actions", "Look at the face with the back showing through"),
    ),
    Action(
        key="from side", menu="view", group="side", shortcut="Shift+F7",
        text=QT_TRANSLATE_NOOP("Actions", "From the si&de as well"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show thickness, angle, nut and posts from the side, beside the drawing"),
        also=QT_TRANSLATE_NOOP("Actions", "elevation profile section angle thickness scale length volute"),
        run=lambda window: acts.toggle(window, "from_side"), enabled=drawing,
        checked=lambda window: window.store.settings.from_side,
    ),
    Action(
        key="rings", menu="view", group="rings", shortcut="A", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Miss rin&gs"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show round each hole how far its mark may miss with the head still safe"),
        also=QT_TRANSLATE_NOOP("Actions", "allowance tolerance how far miss"),
        run=acts.toggle_rings, checked=lambda window: window.store.settings.rings,
    ),
    Action(
        key="picture", menu="view", group="picture",
        text=QT_TRANSLATE_NOOP("Actions", "&Picture of the head"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the photo or scan that the head was read from under the drawing"),
        also=QT_TRANSLATE_NOOP("Actions", "photo scan backdrop underlay trace"),
        run=_toggle_picture, enabled=_has_picture, checked=lambda window: window.canvas.underlay_shown,
    ),
    Action(
        key="picture stronger", menu="view", group="picture",
        text=QT_TRANSLATE_NOOP("Actions", "Picture strong&er"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show more of the picture and less of the drawing's wood"),
        also=QT_TRANSLATE_NOOP("Actions", "photo opacity opaque"),
        run=lambda window: window.canvas.strengthen_underlay(1), enabled=_has_picture,
    ),
    Action(
        key="picture fainter", menu="view", group="picture",
        text=QT_TRANSLATE_NOOP("Actions", "Picture fai&nter"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show less of the picture and more of the drawing's wood"),
        also=QT_TRANSLATE_NOOP("Actions", "photo opacity transparent"),
        run=lambda window: window.canvas.strengthen_underlay(-1), enabled=_has_picture,
    ),
    Action(
        key="fit", menu="view", group="zoom", icon="fit", shortcut="Ctrl+0",
        text=QT_TRANSLATE_NOOP("Actions", "F&it the head"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the whole head"),
        run=lambda window: window.canvas.fit(), enabled=drawing,
    ),
    Action(
        key="actual size", menu="view", group="zoom", icon="actual", shortcut="Ctrl+1",
        text=QT_TRANSLATE_NOOP("Actions", "&True size"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the head as large as it is; measure the screen once for that"),
        also=QT_TRANSLATE_NOOP("Actions", "scale 1:1 100 %"),
        run=acts.actual_size, enabled=drawing,
    ),
    Action(
        key="zoom to selection", menu="view", group="zoom", shortcut="Ctrl+2",
        text=QT_TRANSLATE_NOOP("Actions", "Zoom to the &selection"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the selected parts as large as they fit"),
        run=lambda window: window.canvas.zoom_to_selection(), enabled=chosen,
    ),
    Action(
        key="back to view", menu="view", group="zoom", shortcut="Ctrl+3",
        text=QT_TRANSLATE_NOOP("Actions", "Back to &where I was"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show what was in view before a finding was shown"),
        also=QT_TRANSLATE_NOOP("Actions", "previous view return"),
        run=lambda window: window.canvas.go_back(), enabled=lambda window: window.canvas.has_left,
    ),
    Action(
        key="closer", menu="view", group="zoom", icon="closer", shortcut="Ctrl++",
        text=QT_TRANSLATE_NOOP("Actions", "&Zoom in"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the drawing larger"),
        run=lambda window: window.canvas.zoom_by(1.25), enabled=drawing,
    ),
    Action(
        key="further", menu="view", group="zoom", icon="further", shortcut="Ctrl+-",
        text=QT_TRANSLATE_NOOP("Actions", "Zoom o&ut"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the drawing smaller"),
        run=lambda window: window.canvas.zoom_by(0.8), enabled=drawing,
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
        also=QT_TRANSLATE_NOOP("Actions", "units imperial metric millimetres mm"),
        run=acts.toggle_units, checked=lambda window: window.store.settings.units == "inch",
    ),
    _theme(
        "desktop", "system",
        QT_TRANSLATE_NOOP("Actions", "Colours: as the &desktop"),
        QT_TRANSLATE_NOOP("Actions", "Light, dark or high contrast as the desktop has it, now and when it changes"),
        QT_TRANSLATE_NOOP("Actions", "theme system"),
    ),
    _theme(
        "light", "light",
        QT_TRANSLATE_NOOP("Actions", "Colours: &light"),
        QT_TRANSLATE_NOOP("Actions", "Dark words on a light ground"),
        QT_TRANSLATE_NOOP("Actions", "theme day bright"),
    ),
    _theme(
        "dark", "dark",
        QT_TRANSLATE_NOOP("Actions", "Colours: d&ark"),
        QT_TRANSLATE_NOOP("Actions", "Light words on a dark ground"),
        QT_TRANSLATE_NOOP("Actions", "theme night"),
    ),
    _theme(
        "contrast", "contrast",
        QT_TRANSLATE_NOOP("Actions", "Colours: high &contrast"),
        QT_TRANSLATE_NOOP("Actions", "Black and white with firm borders, light or dark as the desktop is"),
        QT_TRANSLATE_NOOP("Actions", "theme accessibility readable sight"),
    ),
    _panel(
        "head", "Ctrl+Shift+1",
        QT_TRANSLATE_NOOP("Actions", "Panel: head"),
        QT_TRANSLATE_NOOP("Actions", "Outline, thickness, angle, wood"),
        QT_TRANSLATE_NOOP("Actions", "outline shape wood thickness angle volute neck"),
    ),
    _panel(
        "strings", "Ctrl+Shift+2",
        QT_TRANSLATE_NOOP("Actions", "Panel: strings"),
        QT_TRANSLATE_NOOP("Actions", "The nut and the strings"),
        QT_TRANSLATE_NOOP("Actions", "gauge tension pull nut slot spacing course scale length"),
    ),
    _panel(
        "tuners", "Ctrl+Shift+3",
        QT_TRANSLATE_NOOP("Actions", "Panel: tuners"),
        QT_TRANSLATE_NOOP("Actions", "Hardware, rows, and where the posts stand"),
        QT_TRANSLATE_NOOP("Actions", "bore drill hole peg gear machine bushing button row pitch"),
    ),
    _panel(
        "keep clear", "Ctrl+Shift+4",
        QT_TRANSLATE_NOOP("Actions", "Panel: keep clear"),
        QT_TRANSLATE_NOOP("Actions", "Regions without holes, and holes that are there already"),
        QT_TRANSLATE_NOOP("Actions", "rod pocket inlay truss veneer region"),
    ),
    _panel(
        "selected", "Ctrl+Shift+5",
        QT_TRANSLATE_NOOP("Actions", "Panel: selected"),
        QT_TRANSLATE_NOOP("Actions", "Exact numbers of what is selected"),
    ),
    Action(
        key="panel findings", menu="view", group="panels", submenu=_PANELS, icon="findings", shortcut="Ctrl+Shift+6",
        text=QT_TRANSLATE_NOOP("Actions", "Findings"),
        tip=QT_TRANSLATE_NOOP("Actions", "What clears and what does not"),
        also=QT_TRANSLATE_NOOP("Actions", "check problem error stop watch clearance limit"),
        run=lambda window: window.show_findings(), enabled=drawing,
    ),
    _panel(
        "refit", "Ctrl+Shift+7",
        QT_TRANSLATE_NOOP("Actions", "Panel: refit"),
        QT_TRANSLATE_NOOP("Actions", "The same head for another nut width"),
        QT_TRANSLATE_NOOP("Actions", "resize wider narrower nut width"),
    ),
    _panel(
        "bench", "Ctrl+Shift+B",
        QT_TRANSLATE_NOOP("Actions", "Panel: bench"),
        QT_TRANSLATE_NOOP("Actions", "Strings, nut, drilling, strength, balance, and what holds the head"),
        QT_TRANSLATE_NOOP("Actions", "drill bore cradle press schedule weight heavy tension file"),
    ),
    Action(
        key="next part", menu="view", group="window", shortcut="F6",
        text=QT_TRANSLATE_NOOP("Actions", "Next part of the window"),
        tip=QT_TRANSLATE_NOOP("Actions", "Move the keyboard from panel to drawing to findings and round again"),
        run=lambda window: acts.next_part(window, 1), enabled=drawing,
    ),
    Action(
        key="earlier part", menu="view", group="window", shortcut="Shift+F6",
        text=QT_TRANSLATE_NOOP("Actions", "Earlier part of the window"),
        tip=QT_TRANSLATE_NOOP("Actions", "The same, the other way round"),
        run=lambda window: acts.next_part(window, -1), enabled=drawing,
    ),
    Action(
        key="full screen", menu="view", group="window", shortcut="F11",
        text=QT_TRANSLATE_NOOP("Actions", "Full sc&reen"),
        tip=QT_TRANSLATE_NOOP("Actions", "Give the window the whole screen"),
        run=acts.toggle_full_screen, checked=lambda window: window.isFullScreen(),
    ),
)  # fmt: skip
"""In the order of the menu."""
