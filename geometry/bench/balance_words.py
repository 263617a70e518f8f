"""Balance in words and rows."""

from __future__ import annotations

from geometry.bench.balance import Balance
from geometry.bench.rivals import Rival
from geometry.layout.layout import Layout
from geometry.shape.point import Point
from geometry.trade.quantities import CUT, UNKNOWN, show_density, show_length, show_mass, show_moment
from geometry.trade.units import Units

HEADS = ("tuners", "tuners weigh", "head weighs", "at the nut", "about the place", "saves")
"""The columns of a comparison."""

NOTE = (
    "Typical masses: weigh yours. Buttons of plastic or wood are taken at 30 % of metal ones (from memory). Other "
    "tuners fit by their clearances on a head drilled for them, and take the pull and the thickness of these strings "
    "(workshop practice, no source)."
)
"""What a comparison takes for granted."""


def say_balance(found: Balance, place: Point, units: Units = "mm") -> tuple[str, ...]:
    """What the head weighs, where its centre of gravity lies, how hard it pulls down."""
    if not found.wood.told:
        return ("The weight cannot be told while the outline is open or crosses itself.",)
    whole, about = found.whole, found.about(place)
    wood = "" if found.wood.known else f" (wood not known: {show_density(found.wood.density, units)} taken)"
    head, board, bodies, buttons = (
        show_mass(each.mass, units) for each in (whole, found.wood.point_mass, found.bodies, found.buttons)
    )
    weight = f"The head weighs {head}: wood {board}{wood}, tuners {bodies}, buttons {buttons}."
    past = show_length(whole.at.y, units, CUT)
    centre = f"Its centre of gravity lies {past} past the nut{_aside(whole.at.x, units)}."
    moment = (
        f"With the neck level the head tips down by {show_moment(found.about_nut.turns, units)} at the nut, and by "
        f"{show_moment(about.turns, units)} at {place_words(place, units)}."
    )
    return weight, centre, moment


def _aside(x: float, units: Units) -> str:
    if abs(x) < 0.5:
        return " on the centre line"
    side = "right" if x > 0 else "left"
    return f" and {show_length(abs(x), units, CUT)} {side} of the centre line, seen from the face"


def place_words(place: Point, units: Units) -> str:
    """A place along the neck."""
    if place.y > 0:
        return f"a place {show_length(place.y, units)} past the nut"
    return f"a place {show_length(-place.y, units)} from the nut along the neck"


def unweighed(layout: Layout) -> tuple[str, ...]:
    """The tuners whose mass nobody has told, by name."""
    names = (post.hardware.name for post in layout.posts if post.hardware.body_mass == 0)
    return tuple(dict.fromkeys(names))


def rival_row(rival: Rival, own: Rival, place: Point, units: Units) -> tuple[str, ...]:
    """One line of a comparison; what it saves is against the tuners that the build has."""
    balance = rival.balance
    saved = own.balance.whole.mass - balance.whole.mass
    return (
        f"{rival.name}, buttons of plastic or wood" if rival.light else rival.name,
        show_mass(balance.tuners, units),
        show_mass(balance.whole.mass, units),
        show_moment(balance.about_nut.turns, units),
        show_moment(balance.about(place).turns, units),
        UNKNOWN if rival is own else show_mass(saved, units),
    )
