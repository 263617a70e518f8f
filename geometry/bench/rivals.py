"""Other tuners and other buttons on the same head: what each would weigh."""

from __future__ import annotations

from collections.abc import Iterator

import msgspec
from msgspec.structs import replace

from geometry.bench.balance import Balance, balance
from geometry.checks.judge import Level, findings
from geometry.checks.outline import outline_is_sound
from geometry.document.build import Build
from geometry.layout.layout import Layout, lay_out
from geometry.layout.tuner_load import too_much
from geometry.trade.hardware import Hardware, SideButton
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.wood import Wood

LIGHT_SHARE = 0.3
"""Mass of a button of plastic or wood as a share of a metal one of its size.

From memory: metal buttons of 20 to 22 mm weigh 6 to 9 g, those of plastic or ebony 1.5 to 3 g. Weigh yours.
"""

_METAL_FROM = (
    3.0  # g from which a button on a side shaft is taken to be of metal; from memory, like LIGHT_SHARE
)


class Rival(msgspec.Struct, frozen=True):
    """One set of tuners on the head; `light` tells of plastic or wooden buttons in place of metal ones.

    `hardware` are the kinds that are used.
    """

    hardware: tuple[Hardware, ...]
    light: bool
    balance: Balance

    @property
    def name(self) -> str:
        """What the tuners are called."""
        return " and ".join(each.name for each in self.hardware)


def rivals(build: Build, layout: Layout, own: tuple[Wood, ...] = ()) -> tuple[Rival, ...]:
    """The tuners of the build, then the classes of the library that fit in their place; each with light buttons too.

    A class fits when it takes the pull and the thickness of the strings, all its tuners find their places, and no
    check stops that does not stop the build already. The holes would be drilled for it. `own` are the woods of the
    maker's shop.
    """
    used = _used(layout)
    if not used or not outline_is_sound(layout.edge):
        return ()
    found = [*_with_buttons(build, layout, own)]
    stopped = _stopped(build, layout)
    for hardware in LIBRARY:
        if hardware.key in {each.key for each in used} or too_much(build, hardware):
            continue
        other = _with_hardware(build, hardware)
        placed = lay_out(other)
        if (
            len(placed.posts) == len(layout.posts)
            and not placed.problems
            and _stopped(other, placed) <= stopped
        ):
            found += _with_buttons(other, placed, own)
    return tuple(found)


def _used(layout: Layout) -> tuple[Hardware, ...]:
    """The kinds of tuners that have a place, each once."""
    return tuple({post.hardware.key: post.hardware for post in layout.posts}.values())


def _stopped(build: Build, layout: Layout) -> set[str]:
    return {finding.check for finding in findings(build, layout) if finding.level is Level.STOP}


def _with_hardware(build: Build, hardware: Hardware) -> Build:
    rows = tuple(replace(row, hardware=hardware.key) for row in build.rows)
    return replace(build, hardware=(hardware,), rows=rows)


def _with_buttons(build: Build, layout: Layout, own: tuple[Wood, ...]) -> Iterator[Rival]:
    """The tuners as they are, and with light buttons where any is of metal."""
    yield Rival(_used(layout), light=False, balance=balance(build, layout, own))
    if any(metal_button(each) for each in _used(layout)):
        light = replace(build, hardware=tuple(lightened(each) for each in build.hardware))
        placed = lay_out(light)
        yield Rival(_used(placed), light=True, balance=balance(light, placed, own))


def metal_button(hardware: Hardware) -> bool:
    """Whether the button is one on a side shaft, heavy enough to be of metal."""
    return isinstance(hardware.button, SideButton) and hardware.button_mass >= _METAL_FROM


def lightened(hardware: Hardware) -> Hardware:
    """The tuner with a button of plastic or wood in place of a metal one."""
    if not metal_button(hardware):
        return hardware
    return replace(hardware, button_mass=LIGHT_SHARE * hardware.button_mass)
