"""How the head is seen, and which parts of the window are shown."""

from __future__ import annotations

from app.document.scene import Side
from app.document.settings import Theme
from app.window.actions.action import QT_TRANSLATE_NOOP, Action, Run, When
from app.window.actions.acts import Acts
from app.window.actions.shared import chosen, drawing, show_panel


def _theme(theme: Theme) -> tuple[Run, When]:
    return lambda acts: acts.use_theme(theme), lambda acts: acts.store.settings.theme == theme


def _side(side: Side) -> tuple[Run, When]:
    return lambda acts: acts.set_side(side), lambda acts: acts.canvas.side == side


_face, _is_face = _side("face")
_back, _is_back = _side("back")
_both, _is_both = _side("both")
_as_desktop, _is_as_desktop = _theme("system")
_light, _is_light = _theme("light")
_dark, _is_dark = _theme("dark")
_contrast, _is_contrast = _theme("contrast")
_COLOURS = QT_TRANSLATE_NOOP("Actions", "Co&lours")
_PANELS = QT_TRANSLATE_NOOP("Actions", "P&anels")


def _has_picture(acts: Acts) -> bool:
    return acts.drawing and acts.canvas.underlay is not None


def _toggle_picture(acts: Acts) -> None:
    acts.canvas.underlay_shown = not acts.canvas.underlay_shown


VIEW: tuple[Action, ...] = (
    Action(
        key="face", menu="view", group="side", icon="face", shortcut="F7",
        text=QT_TRANSLATE_NOOP("Actions", "&Face"),
        tip=QT_TRANSLATE_NOOP("Actions", "Look at the side that the strings run over"),
        run=_face, enabled=drawing, checked=_is_face,
    ),
    Action(
        key="back", menu="view", group="side", icon="back", shortcut="F8",
        text=QT_TRANSLATE_NOOP("Actions", "&Back"),
        tip=QT_TRANSLATE_NOOP("Actions", "Look at the side that the tuner bodies sit on"),
        also=QT_TRANSLATE_NOOP("Actions", "rear screws"),
        run=_back, enabled=drawing, checked=_is_back,
    ),
    Action(
        key="both", menu="view", group="side", icon="both", shortcut="F9",
        text=QT_TRANSLATE_NOOP("Actions", "B&oth"),
        tip=QT_TRANSLATE_NOOP("Actions", "Look at the face with the back showing through"),
        run=_both, enabled=drawing, checked=_is_both,
    ),
    Action(
        key="from side", menu="view", group="side", shortcut="Shift+F7",
        text=QT_TRANSLATE_NOOP("Actions", "From the si&de as well"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show thickness, angle, nut and posts from the side, beside the drawing"),
        also=QT_TRANSLATE_NOOP("Actions", "elevation profile section angle thickness scale length volute"),
        run=lambda acts: acts.toggle_from_side(), enabled=drawing,
        checked=lambda acts: acts.store.settings.from_side,
    ),
    Action(
        key="rings", menu="view", group="rings", shortcut="A", on_canvas=True,
        text=QT_TRANSLATE_NOOP("Actions", "Miss rin&gs"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show round each hole how far its mark may miss with the head still safe"),
        also=QT_TRANSLATE_NOOP("Actions", "allowance tolerance how far miss"),
        run=lambda acts: acts.toggle_rings(), checked=lambda acts: acts.store.settings.rings,
    ),
    Action(
        key="picture", menu="view", group="picture",
        text=QT_TRANSLATE_NOOP("Actions", "&Picture of the head"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the photo or scan that the head was read from under the drawing"),
        also=QT_TRANSLATE_NOOP("Actions", "photo scan backdrop underlay trace"),
        run=_toggle_picture, enabled=_has_picture, checked=lambda acts: acts.canvas.underlay_shown,
    ),
    Action(
        key="picture stronger", menu="view", group="picture",
        text=QT_TRANSLATE_NOOP("Actions", "Picture strong&er"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show more of the picture and less of the drawing's wood"),
        also=QT_TRANSLATE_NOOP("Actions", "photo opacity opaque"),
        run=lambda acts: acts.canvas.strengthen_underlay(1), enabled=_has_picture,
    ),
    Action(
        key="picture fainter", menu="view", group="picture",
        text=QT_TRANSLATE_NOOP("Actions", "Picture fai&nter"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show less of the picture and more of the drawing's wood"),
        also=QT_TRANSLATE_NOOP("Actions", "photo opacity transparent"),
        run=lambda acts: acts.canvas.strengthen_underlay(-1), enabled=_has_picture,
    ),
    Action(
        key="fit", menu="view", group="zoom", icon="fit", shortcut="Ctrl+0",
        text=QT_TRANSLATE_NOOP("Actions", "F&it the head"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the whole head"),
        run=lambda acts: acts.canvas.fit(), enabled=drawing,
    ),
    Action(
        key="actual size", menu="view", group="zoom", icon="actual", shortcut="Ctrl+1",
        text=QT_TRANSLATE_NOOP("Actions", "&True size"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the head as large as it is; measure the screen once for that"),
        also=QT_TRANSLATE_NOOP("Actions", "scale 1:1 100 %"),
        run=lambda acts: acts.actual_size(), enabled=drawing,
    ),
    Action(
        key="zoom to selection", menu="view", group="zoom", shortcut="Ctrl+2",
        text=QT_TRANSLATE_NOOP("Actions", "Zoom to the &selection"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the selected parts as large as they fit"),
        run=lambda acts: acts.canvas.zoom_to_selection(), enabled=chosen,
    ),
    Action(
        key="back to view", menu="view", group="zoom", shortcut="Ctrl+3",
        text=QT_TRANSLATE_NOOP("Actions", "Back to &where I was"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show what was in view before a finding was shown"),
        also=QT_TRANSLATE_NOOP("Actions", "previous view return"),
        run=lambda acts: acts.canvas.go_back(), enabled=lambda acts: acts.canvas.has_left,
    ),
    Action(
        key="closer", menu="view", group="zoom", icon="closer", shortcut="Ctrl++",
        text=QT_TRANSLATE_NOOP("Actions", "&Zoom in"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the drawing larger"),
        run=lambda acts: acts.canvas.zoom_by(1.25), enabled=drawing,
    ),
    Action(
        key="further", menu="view", group="zoom", icon="further", shortcut="Ctrl+-",
        text=QT_TRANSLATE_NOOP("Actions", "Zoom o&ut"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show the drawing smaller"),
        run=lambda acts: acts.canvas.zoom_by(0.8), enabled=drawing,
    ),
    Action(
        key="measure screen", menu="view", group="screen",
        text=QT_TRANSLATE_NOOP("Actions", "&Measure the screen…"),
        tip=QT_TRANSLATE_NOOP("Actions", "Lay a bank card or a steel rule on the screen, so that true size is true"),
        run=lambda acts: acts.measure_screen(),
    ),
    Action(
        key="inches", menu="view", group="screen", shortcut="Ctrl+U",
        text=QT_TRANSLATE_NOOP("Actions", "Inc&hes"),
        tip=QT_TRANSLATE_NOOP("Actions", "Show and type lengths in inches instead of millimetres"),
        also=QT_TRANSLATE_NOOP("Actions", "units imperial metric millimetres mm"),
        run=lambda acts: acts.toggle_units(),
        checked=lambda acts: acts.store.settings.units == "inch",
    ),
    Action(
        key="colours desktop", menu="view", group="screen", submenu=_COLOURS,
        text=QT_TRANSLATE_NOOP("Actions", "Colours: as the &desktop"),
        tip=QT_TRANSLATE_NOOP("Actions", "Light, dark or high contrast as the desktop has it, now and when it changes"),
        also=QT_TRANSLATE_NOOP("Actions", "theme system"),
        run=_as_desktop, checked=_is_as_desktop,
    ),
    Action(
        key="colours light", menu="view", group="screen", submenu=_COLOURS,
        text=QT_TRANSLATE_NOOP("Actions", "Colours: &light"),
        tip=QT_TRANSLATE_NOOP("Actions", "Dark words on a light ground"),
        also=QT_TRANSLATE_NOOP("Actions", "theme day bright"),
        run=_light, checked=_is_light,
    ),
    Action(
        key="colours dark", menu="view", group="screen", submenu=_COLOURS,
        text=QT_TRANSLATE_NOOP("Actions", "Colours: d&ark"),
        tip=QT_TRANSLATE_NOOP("Actions", "Light words on a dark ground"),
        also=QT_TRANSLATE_NOOP("Actions", "theme night"),
        run=_dark, checked=_is_dark,
    ),
    Action(
        key="colours contrast", menu="view", group="screen", submenu=_COLOURS,
        text=QT_TRANSLATE_NOOP("Actions", "Colours: high &contrast"),
        tip=QT_TRANSLATE_NOOP("Actions", "Black and white with firm borders, light or dark as the desktop is"),
        also=QT_TRANSLATE_NOOP("Actions", "theme accessibility readable sight"),
        run=_contrast, checked=_is_contrast,
    ),
    Action(
        key="panel head", menu="view", group="panels", submenu=_PANELS, icon="head", shortcut="Ctrl+Shift+1",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: head"),
        tip=QT_TRANSLATE_NOOP("Actions", "Outline, thickness, angle, wood"),
        also=QT_TRANSLATE_NOOP("Actions", "outline shape wood thickness angle volute neck"),
        run=show_panel("head"), enabled=drawing,
    ),
    Action(
        key="panel strings", menu="view", group="panels", submenu=_PANELS, icon="strings", shortcut="Ctrl+Shift+2",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: strings"),
        tip=QT_TRANSLATE_NOOP("Actions", "The nut and the strings"),
        also=QT_TRANSLATE_NOOP("Actions", "gauge tension pull nut slot spacing course scale length"),
        run=show_panel("strings"), enabled=drawing,
    ),
    Action(
        key="panel tuners", menu="view", group="panels", submenu=_PANELS, icon="tuners", shortcut="Ctrl+Shift+3",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: tuners"),
        tip=QT_TRANSLATE_NOOP("Actions", "Hardware, rows, and where the posts stand"),
        also=QT_TRANSLATE_NOOP("Actions", "bore drill hole peg gear machine bushing button row pitch"),
        run=show_panel("tuners"), enabled=drawing,
    ),
    Action(
        key="panel keep clear", menu="view", group="panels", submenu=_PANELS, icon="keep clear",
        shortcut="Ctrl+Shift+4",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: keep clear"),
        tip=QT_TRANSLATE_NOOP("Actions", "Regions without holes, and holes that are there already"),
        also=QT_TRANSLATE_NOOP("Actions", "rod pocket inlay truss veneer region"),
        run=show_panel("keep clear"), enabled=drawing,
    ),
    Action(
        key="panel selected", menu="view", group="panels", submenu=_PANELS, icon="selected", shortcut="Ctrl+Shift+5",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: selected"),
        tip=QT_TRANSLATE_NOOP("Actions", "Exact numbers of what is selected"),
        run=show_panel("selected"), enabled=drawing,
    ),
    Action(
        key="panel findings", menu="view", group="panels", submenu=_PANELS, icon="findings", shortcut="Ctrl+Shift+6",
        text=QT_TRANSLATE_NOOP("Actions", "Findings"),
        tip=QT_TRANSLATE_NOOP("Actions", "What clears and what does not"),
        also=QT_TRANSLATE_NOOP("Actions", "check problem error stop watch clearance limit"),
        run=lambda acts: acts.show_findings(), enabled=drawing,
    ),
    Action(
        key="panel refit", menu="view", group="panels", submenu=_PANELS, icon="refit", shortcut="Ctrl+Shift+7",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: refit"),
        tip=QT_TRANSLATE_NOOP("Actions", "The same head for another nut width"),
        also=QT_TRANSLATE_NOOP("Actions", "resize wider narrower nut width"),
        run=show_panel("refit"), enabled=drawing,
    ),
    Action(
        key="panel bench", menu="view", group="panels", submenu=_PANELS, icon="bench", shortcut="Ctrl+Shift+B",
        text=QT_TRANSLATE_NOOP("Actions", "Panel: bench"),
        tip=QT_TRANSLATE_NOOP("Actions", "Strings, nut, drilling, strength, balance, and what holds the head"),
        also=QT_TRANSLATE_NOOP("Actions", "drill bore cradle press schedule weight heavy tension file"),
        run=show_panel("bench"), enabled=drawing,
    ),
    Action(
        key="next part", menu="view", group="window", shortcut="F6",
        text=QT_TRANSLATE_NOOP("Actions", "Next part of the window"),
        tip=QT_TRANSLATE_NOOP("Actions", "Move the keyboard from panel to drawing to findings and round again"),
        run=lambda acts: acts.next_part(1), enabled=drawing,
    ),
    Action(
        key="earlier part", menu="view", group="window", shortcut="Shift+F6",
        text=QT_TRANSLATE_NOOP("Actions", "Earlier part of the window"),
        tip=QT_TRANSLATE_NOOP("Actions", "The same, the other way round"),
        run=lambda acts: acts.next_part(-1), enabled=drawing,
    ),
    Action(
        key="full screen", menu="view", group="window", shortcut="F11",
        text=QT_TRANSLATE_NOOP("Actions", "Full sc&reen"),
        tip=QT_TRANSLATE_NOOP("Actions", "Give the window the whole screen"),
        run=lambda acts: acts.toggle_full_screen(), checked=lambda acts: acts.isFullScreen(),
    ),
)  # fmt: skip
"""In the order of the menu."""
