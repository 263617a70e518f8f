"""Balance in words and rows."""

from __future__ import annotations

from geometry.bench.balance import Balance, Moment
from geometry.bench.rivals import Rival
from geometry.build.lengths import Units
from geometry.checks.words import length_words
from geometry.layout.layout import Layout
from geometry.shape.point import Point

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
    wood = "" if found.wood.known else f" (wood not known: {found.wood.density:.0f} kg/m3 taken)"
    weight = (
        f"The head weighs {grams(whole.mass)}: wood {grams(found.wood.lump.mass)}{wood}, tuners "
        f"{grams(found.bodies.mass)}, buttons {grams(found.buttons.mass)}."
    )
    centre = f"Its centre of gravity lies {length_words(whole.at.y, units)} past the nut{_aside(whole.at.x, units)}."
    moment = (
        f"With the neck level it pulls down by {turns(found.about_nut)} about the nut, and by {turns(about)} about "
        f"{place_words(place, units)}."
    )
    return weight, centre, moment


def _aside(x: float, units: Units) -> str:
    if abs(x) < 0.5:
        return " on the centre line"
    side = "right" if x > 0 else "left"
    return f" and {length_words(abs(x), units)} {side} of the centre line, seen from the face"


def place_words(place: Point, units: Units) -> str:
    """A place along the neck."""
    if place.y > 0:
        return f"a place {length_words(place.y, units)} past the nut"
    return f"a place {length_words(-place.y, units)} from the nut along the neck"


def grams(mass: float) -> str:
    """A mass in whole grams, the tuners' own figures being no better."""
    return f"{round(mass)} g".replace("-", "−")


def turns(moment: Moment) -> str:
    """A moment to two decimals of a newton metre."""
    return f"{moment.turns:.2f} N·m".replace("-", "−")


def unweighed(layout: Layout) -> tuple[str, ...]:
    """The tuners whose mass nobody has told, by name."""
    names = (post.hardware.name for post in layout.posts if post.hardware.body_mass == 0)
    return tuple(dict.fromkeys(names))


def rival_row(rival: Rival, own: Rival, place: Point) -> tuple[str, ...]:
    """One line of a comparison; what it saves is against the tuners that the build has."""
    balance = rival.balance
    saved = own.balance.whole.mass - balance.whole.mass
    return (
        f"{rival.name}, buttons of plastic or wood" if rival.light else rival.name,
        grams(balance.tuners),
        grams(balance.whole.mass),
        turns(balance.about_nut),
        turns(balance.about(place)),
        "–" if rival is own else grams(saved),
    )
