"""Theme colours and lines of the canvas: a table for light rooms, one for dark ones, and both with high contrast.

The colours of meaning come from a set that people with any kind of colour vision tell apart ("Color Universal
Design", 2008), darkened or lightened until text in them has a contrast of 4.5 and lines have 3 against everything
they lie on (WCAG 2.2, 1.4.3 and 1.4.11); with high contrast 7 (1.4.6) and 4.5. No meaning hangs on a colour alone:
each level has its own sign and word, each kind of line its own dash or weight.
"""

from __future__ import annotations

import msgspec
from msgspec.structs import replace
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor, QPalette, QPen

from app.widgets.shades import Shade, shade_in
from export.drawing import Role
from geometry.checks.judge import Level

SOLID: tuple[float, ...] = ()
DASHED = (7.0, 4.0)
SHORT = (4.0, 3.0)
CHAIN = (14.0, 4.0, 2.5, 4.0)
PHANTOM = (14.0, 4.0, 2.5, 4.0, 2.5, 4.0)
DOTTED = (1.6, 2.4)
"""Dashes: pixels drawn and left out in turn."""

BOLD = 1.35
"""Lines with high contrast are so many times as wide."""


class Stroke(msgspec.Struct, frozen=True):
    """How the marks of one role are drawn: colour, width and dash in pixels, and the colour inside, if any."""

    colour: str
    width: float = 1.2
    dash: tuple[float, ...] = SOLID
    fill: str = ""


class Look(msgspec.Struct, frozen=True):
    """A whole look; colours are written #rrggbb, or #aarrggbb where they let through what lies beneath.

    `desk` is what the head lies on, `wood` its face, each with a fine and a strong `grid`; `paper` is the ground of
    rulers and of words on the drawing, `ink` main lines and words, `quiet` lesser ones. `accent` is the one colour
    of what is selected or pointed at, `proposed` that of what is not so yet. `stop`, `watch` and `fine` are the levels.
    """

    name: str
    desk: str
    wood: str
    paper: str
    grid: tuple[str, str]
    wood_grid: tuple[str, str]
    ink: str
    quiet: str
    accent: str
    proposed: str
    stop: str
    watch: str
    fine: str
    strokes: dict[Role, Stroke]
    ghosts: dict[Role, Stroke]

    def level(self, level: Level) -> str:
        """The colour of a level, for words and lines."""
        return {Level.STOP: self.stop, Level.WATCH: self.watch, Level.FINE: self.fine}[level]

    def stroke(self, role: Role) -> Stroke:
        """How a role is drawn; a quiet thin line for whatever only paper shows."""
        return self.strokes.get(role, Stroke(self.quiet, 1.0))

    def ghost(self, role: Role) -> Stroke:
        """How a role of the back is drawn where it shows through the face."""
        return self.ghosts[role]


def pen(stroke: Stroke) -> QPen:
    """The pen of a stroke, for painting in pixels of the canvas.

    It is not cosmetic: Qt takes the width of cosmetic pens in pixels of the screen, so they get thin on fine ones.
    """
    return line(stroke.colour, stroke.width, stroke.dash)


def line(colour: str, width: float, dash: tuple[float, ...] = SOLID) -> QPen:
    """The same from its parts, all in pixels."""
    made = QPen(QColor(colour), width)
    made.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    # Lines with round ends cost Qt fifty times as long as those with flat ones.
    made.setCapStyle(Qt.PenCapStyle.FlatCap)
    if dash:
        # Qt counts dashes in widths of the pen.
        made.setDashPattern([part / width for part in dash])
    return made


def _strokes(
    ink: str,
    quiet: str,
    steel: str,
    string: str,
    warning: str,
    allowed: str,
    hole: str,
    nut: str,
    part: str,
    ring: str,
    weight: float = 1.0,
) -> dict[Role, Stroke]:
    """The lines of one look from its few colours; the last four are what holes and parts are filled with.

    All lines are `weight` times as wide as usual.
    """
    usual = {
        Role.BLANK: Stroke(quiet, 1.0, PHANTOM),
        Role.OUTLINE: Stroke(ink, 2.0),
        Role.NUT_LINE: Stroke(ink, 1.6),
        Role.BACK_FLAT: Stroke(quiet, 1.0, DASHED),
        Role.CENTRE_LINE: Stroke(quiet, 1.0, CHAIN),
        Role.NUT: Stroke(quiet, 1.2, fill=nut),
        Role.NUT_SLOT: Stroke(ink, 1.4),
        Role.BINDING: Stroke(quiet, 1.0),
        Role.KEEP_CLEAR: Stroke(warning, 1.2, SHORT),
        Role.OLD_HOLE: Stroke(quiet, 1.2, SHORT),
        Role.BUTTON: Stroke(steel, 1.2, fill=part),
        Role.SHAFT: Stroke(steel, 3.0),
        Role.BODY: Stroke(steel, 1.2, fill=part),
        Role.PLATE: Stroke(steel, 1.2, fill=part),
        Role.STRING_PATH: Stroke(string, 1.4),
        Role.RETAINER: Stroke(steel, 1.4, fill=ring),
        Role.WASHER: Stroke(steel, 1.2, fill=ring),
        Role.BORE: Stroke(ink, 1.8, fill=hole),
        Role.COUNTERBORE: Stroke(ink, 1.2, SHORT),
        Role.SCREW: Stroke(ink, 1.4, fill=hole),
        Role.PIN: Stroke(ink, 1.4, fill=hole),
        Role.CROSSHAIR: Stroke(quiet, 1.0),
        Role.CENTRE_DOT: Stroke(ink, 1.0, fill=ink),
        Role.MARGIN_RING: Stroke(allowed, 1.8, DOTTED),
        Role.LABEL: Stroke(ink, 1.0),
    }
    return {role: replace(stroke, width=stroke.width * weight) for role, stroke in usual.items()}


def _ghosts(colour: str, part: str, hole: str) -> dict[Role, Stroke]:
    solid = {role: Stroke(colour, 1.0, fill=part) for role in (Role.BUTTON, Role.BODY, Role.PLATE)}
    holes = {role: Stroke(colour, 1.2, fill=hole) for role in (Role.SCREW, Role.PIN)}
    return {**solid, **holes, Role.SHAFT: Stroke(colour, 2.4)}


LIGHT = Look(
    name="light",
    desk="#e6e3dc",
    wood="#f7f1e3",
    paper="#faf9f6",
    grid=("#dedad2", "#d0cbc1"),
    wood_grid=("#efe8d8", "#e3dac6"),
    ink="#24221f",
    quiet="#625e57",
    accent="#0b6599",
    proposed="#8a2f6a",
    stop="#a83200",
    watch="#765000",
    fine="#00654a",
    strokes=_strokes(
        ink="#24221f",
        quiet="#625e57",
        steel="#56646e",
        string="#70582b",
        warning="#a83200",
        allowed="#00654a",
        hole="#ffffff",
        nut="#ece5d3",
        part="#2a8296a0",
        ring="#dedfd6",
    ),
    ghosts=_ghosts("#747e84", "#188296a0", "#f7f1e3"),
)
"""For light rooms."""

DARK = Look(
    name="dark",
    desk="#1b1f22",
    wood="#2d2a25",
    paper="#15181a",
    grid=("#22272a", "#2c3236"),
    wood_grid=("#35312b", "#413c34"),
    ink="#eceff0",
    quiet="#a0a9ae",
    accent="#6bc0f2",
    proposed="#eb9cc8",
    stop="#ff9466",
    watch="#efc04a",
    fine="#4fcba4",
    strokes=_strokes(
        ink="#eceff0",
        quiet="#a0a9ae",
        steel="#a9b6be",
        string="#d8bd86",
        warning="#ff9466",
        allowed="#4fcba4",
        hole="#15181a",
        nut="#454037",
        part="#26b9c9d3",
        ring="#44443f",
    ),
    ghosts=_ghosts("#7a858c", "#16b9c9d3", "#2d2a25"),
)
"""For dark rooms."""


LIGHT_CONTRAST = Look(
    name="light contrast",
    desk="#f0f0f0",
    wood="#ffffff",
    paper="#ffffff",
    grid=("#e2e2e2", "#cfcfcf"),
    wood_grid=("#ececec", "#dadada"),
    ink="#000000",
    quiet="#3a3a3a",
    accent="#00408a",
    proposed="#6e0049",
    stop="#861a00",
    watch="#563a00",
    fine="#00452d",
    strokes=_strokes(
        ink="#000000",
        quiet="#3a3a3a",
        steel="#26333d",
        string="#4a3300",
        warning="#861a00",
        allowed="#00452d",
        hole="#ffffff",
        nut="#e4e4e4",
        part="#2a5c7486",
        ring="#d4d4d4",
        weight=BOLD,
    ),
    ghosts=_ghosts("#4c4c4c", "#185c7486", "#ffffff"),
)
"""High contrast in light rooms."""

DARK_CONTRAST = Look(
    name="dark contrast",
    desk="#000000",
    wood="#161616",
    paper="#000000",
    grid=("#161616", "#262626"),
    wood_grid=("#222222", "#303030"),
    ink="#ffffff",
    quiet="#d2d2d2",
    accent="#8fd3ff",
    proposed="#ffb3e0",
    stop="#ffb092",
    watch="#ffd966",
    fine="#7df0c0",
    strokes=_strokes(
        ink="#ffffff",
        quiet="#d2d2d2",
        steel="#d5dde2",
        string="#ffe3a6",
        warning="#ffb092",
        allowed="#7df0c0",
        hole="#000000",
        nut="#303030",
        part="#2ad0e0ea",
        ring="#3a3a3a",
        weight=BOLD,
    ),
    ghosts=_ghosts("#b4b4b4", "#18d0e0ea", "#161616"),
)
"""High contrast in dark rooms."""

_LOOKS: dict[Shade, Look] = {
    "light": LIGHT,
    "dark": DARK,
    "light contrast": LIGHT_CONTRAST,
    "dark contrast": DARK_CONTRAST,
}


def look_of(shade: Shade) -> Look:
    """The look for a shade."""
    return _LOOKS[shade]


def look_in(palette: QPalette) -> Look:
    """The look that goes with a palette."""
    return look_of(shade_in(palette))
