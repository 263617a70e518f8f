"""A fit and the drill for it in words: where the diameter is from, and what to do where no drill meets it."""

from __future__ import annotations

import math

from geometry.bench.bore_fit import Advice, BoreFits, Choice
from geometry.shape.tolerance import SAME
from geometry.trade.bore_fit import PRESSES, Fit, bushing_place
from geometry.trade.hardware import Hardware
from geometry.trade.quantities import ESTIMATE, show_fine, show_force
from geometry.trade.sentence import listed
from geometry.trade.units import Units
from geometry.trade.wood import Wood, woods_meant

_PRESSED = {
    "soft": "a firm press in soft wood",
    "medium": "a press in wood of medium hardness",
    "hard": "a light press in hard wood",
    "unknown wood": "a press in a wood that is not in the list",
}


def reason(fit: Fit, hardware: Hardware, units: Units) -> str:
    """Where a fit is from, as the end of a sentence."""
    match fit.kind:
        case "soft" | "medium" | "hard" | "unknown wood":
            return _press_reason(fit, hardware, units)
        case "felt":
            return "felt right in this wood before"
        case "taper":
            return "where the reamer for the taper begins"
        case "pilot":
            return "by the root of the screw and the wood"
        case "pin":
            return "as wide as the pin"
        case "passes":
            bushing = hardware.bushing
            threaded = bushing is not None and bushing.kind == "screw-in"
            return "the threaded bushing passes freely" if threaded else "by the size of the part"


def _press_reason(fit: Fit, hardware: Hardware, units: Units) -> str:
    press = PRESSES[fit.kind]  # type: ignore[index]
    assert hardware.bushing is not None, "only a bushing is pressed in"
    crest = show_fine(max(hardware.bushing.root, hardware.bushing.crest), units)
    least, most = (show_fine(abs(each), units) for each in (press.most, press.least))
    under = f"{least} to {most}" if press.most else f"up to {most}"
    return f"{_PRESSED[fit.kind]}, the hole {under} smaller than the ribs' crest of {crest}"


def range_words(fit: Fit, units: Units) -> str:
    """From what to what a bore may be drilled."""
    if math.isinf(fit.most):
        return f"{show_fine(fit.least, units)} or more"
    return f"{show_fine(fit.least, units)} to {show_fine(fit.most, units)}"


def choice_notes(fit: Fit, choice: Choice | None, units: Units) -> tuple[str, ...]:
    """What to do where the shop's drills do not meet the fit; nothing where one does."""
    wanted = show_fine(fit.diameter, units)
    if choice is None:
        return (f"The shop has no drills yet; {wanted} is wanted.",)
    if choice.inside:
        return ()
    narrower = choice.drill.diameter < fit.least
    off = f"{show_fine(abs(choice.difference), units)} {'narrower' if narrower else 'wider'}"
    missing = f"No drill of the shop makes {range_words(fit, units)}: this one is {off}"
    return (f"{missing}. {_remedy(fit, wanted, units, narrower=narrower)}",)


def _remedy(fit: Fit, wanted: str, units: Units, *, narrower: bool) -> str:
    if fit.kind == "pilot":
        why = "a tight pilot snaps screws" if narrower else "in a wide pilot a screw holds less"
        return f"Get a drill of {wanted}: {why}."
    if not narrower:
        return f"Try it on the ladder, or get a drill of {wanted}."
    if fit.pressed:
        low, high = (show_fine(each, units) for each in fit.hole)
        return f"Drill, then ream by hand until the hole measures {low} to {high}."
    return f"Drill, then ream up to {wanted} by hand."


def bore_notes(hardware: Hardware, fits: BoreFits, fit: Fit, units: Units) -> tuple[str, ...]:
    """What to know about a bore that a tuner sits in; about the bushing only at its own bore."""
    if fit != fits.main:
        return ()
    if not fits.suits:
        return ("Outside the fit for this wood: see bore fit among the findings.",)
    said = [f"{reason(fits.wanted, hardware, units)}{_finish(fits.wanted, units)}."]
    if hardware.tapered:
        said.append("Ream by hand until the peg stands where it should.")
    elif fits.wanted.pressed:
        low = show_fine(fits.wanted.hole[0], units)
        said.append(
            f"The tight fit is intended: do not ream a hole that measures {low} or more, and use no hammer."
        )
    return (said[0][:1].upper() + said[0][1:], *said[1:])


def _finish(fit: Fit, units: Units) -> str:
    return f", and {show_fine(fit.build_up, units)} for the finish" if fit.build_up > SAME else ""


def advice_words(found: Advice, units: Units) -> str:
    """What to do about a bore outside its fit: "use 8.8 mm", and that no drill makes it where that is so."""
    if found.drill is not None:
        return f"use {found.drill.name}"
    return f"use {show_fine(found.diameter, units)}"


def wood_words(wood: Wood | None, name: str, units: Units) -> str:
    """The wood and its hardness, or that it is not known."""
    if wood is None:
        return unknown_wood(name) if name.strip() else "wood not named"
    return f"{wood.name}, hardness {show_force(wood.janka, units, ESTIMATE)} ({wood.source})"


def unknown_wood(name: str, own: tuple[Wood, ...] = ()) -> str:
    """That a named wood is not known, and which of the known ones it may be."""
    meant = [wood.name for wood in woods_meant(name, own)]
    perhaps = f" (perhaps {listed(meant, 'or')})" if meant else ""
    return f'"{name}", a wood that is not known here{perhaps}'


def ladder_subject(hardware: Hardware, units: Units) -> str:
    """The tuner of a ladder, with the ribs or thread of its bushing."""
    bushing = hardware.bushing
    if bushing is None or bushing_place(hardware) is None:
        return hardware.name
    what = "ribs" if bushing.kind == "press-in" else "thread"
    return f"{hardware.name}; {what} {show_fine(bushing.root, units)} to {show_fine(bushing.crest, units)}"
