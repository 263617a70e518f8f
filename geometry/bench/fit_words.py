"""A fit and the drill for it in words: where the diameter is from, and what to do where no drill meets it."""

from __future__ import annotations

from geometry.bench.bore_fit import PRESS_SLACK, BoreFits, Choice, Fit, bushing_place, drawn_bore
from geometry.build.lengths import Units, show_length
from geometry.shape.tolerance import SAME
from geometry.trade.hardware import Bushing, Hardware
from geometry.trade.wood import Wood


def reason(fit: Fit, hardware: Hardware, units: Units) -> str:
    """Where a fit's diameter is from, as the end of a sentence."""
    bushing = hardware.bushing
    match fit.kind:
        case "felt":
            return "felt right in this wood before"
        case "soft" | "between" | "hard" | "unknown wood":
            assert bushing is not None, "only a bushing is pressed in"
            return _press_reason(fit, bushing, units)
        case "taper":
            return "where the reamer for the taper begins"
        case "pilot":
            return "by the root of the screw and the wood"
        case "pin":
            return "as wide as the pin"
        case "passes":
            threaded = bushing is not None and bushing.kind == "screw-in"
            return "the threaded bushing passes freely" if threaded else "by the size of the part"


def _press_reason(fit: Fit, bushing: Bushing, units: Units) -> str:
    root, crest = fine_length(bushing.root, units), fine_length(bushing.crest, units)
    ribs = f"ribs {root} to {crest}"
    if fit.kind == "soft":
        return f"half-way up the ribs for soft wood, {ribs}"
    if fit.kind == "hard":
        return f"at the crest of the ribs for hard wood, {ribs}"
    tall = bushing.crest - bushing.root
    share = (fit.diameter - fit.build_up - bushing.root) / tall if abs(tall) > SAME else 1.0
    why = "the wood is not known here" if fit.kind == "unknown wood" else "by the hardness of the wood"
    return f"{100 * share:.0f} % up the ribs, {why}, {ribs}"


def fine_length(length: float, units: Units) -> str:
    """A length as bores are told: to a hundredth of a millimetre or a thousandth of an inch."""
    return show_length(length, units) if units == "mm" else f"{length / 25.4:.3f} in"


def range_words(fit: Fit, units: Units) -> str:
    """From what to what a bore may be drilled."""
    return f"{fine_length(fit.least, units)} to {fine_length(fit.most, units)}"


def choice_notes(fit: Fit, choice: Choice | None, units: Units) -> tuple[str, ...]:
    """What to do where the shop's drills do not meet the fit; nothing where one does."""
    wanted = fine_length(fit.diameter, units)
    if choice is None:
        return (f"The shop has no drills yet; {wanted} is wanted.",)
    if choice.inside:
        return ()
    narrower = choice.drill.diameter < fit.least
    off = f"{fine_length(abs(choice.difference), units)} {'narrower' if narrower else 'wider'}"
    missing = f"No drill of the shop makes {range_words(fit, units)}: this one is {off}"
    return (f"{missing}. {_remedy(fit, wanted, narrower=narrower)}",)


def _remedy(fit: Fit, wanted: str, *, narrower: bool) -> str:
    if fit.kind == "pilot":
        why = "a tight pilot snaps screws" if narrower else "in a wide pilot a screw holds less"
        return f"Get a drill of {wanted}: {why}."
    if narrower:
        return f"Drill, then ream up to {wanted} by hand."
    return f"Try it on the ladder, or get a drill of {wanted}."


def bore_notes(hardware: Hardware, fits: BoreFits, fit: Fit, units: Units) -> tuple[str, ...]:
    """What to know about a bore that a tuner sits in; about the bushing only at its own bore."""
    if fit != fits.main:
        return ()
    said = [
        f"Wanted {fine_length(fit.diameter, units)}: {reason(fit, hardware, units)}{_finish(fit, units)}."
    ]
    drawn = drawn_bore(hardware)
    if abs(fit.diameter - fit.build_up - drawn) > PRESS_SLACK + SAME:
        said.append(f"The build draws it {fine_length(drawn, units)}.")
    if hardware.tapered:
        said.append("Ream by hand until the peg stands where it should.")
    elif pressed(hardware):
        said.append("A bushing that does not start by hand wants reaming, never a hammer.")
    return tuple(said)


def pressed(hardware: Hardware) -> bool:
    """Whether a bushing is pressed into the bore."""
    return hardware.bushing is not None and hardware.bushing.kind == "press-in"


def _finish(fit: Fit, units: Units) -> str:
    return f", and {fine_length(fit.build_up, units)} for the finish" if fit.build_up > SAME else ""


def wood_words(wood: Wood | None, name: str) -> str:
    """The wood and its hardness, or that it is not known."""
    if wood is None:
        return f'"{name}", a wood that is not known here' if name.strip() else "wood not named"
    return f"{wood.name}, hardness {wood.janka:.0f} N ({wood.source})"


def ladder_subject(hardware: Hardware, units: Units) -> str:
    """The tuner of a ladder, with the ribs or thread of its bushing."""
    bushing = hardware.bushing
    if bushing is None or bushing_place(hardware) is None:
        return hardware.name
    what = "ribs" if bushing.kind == "press-in" else "thread"
    return (
        f"{hardware.name}; {what} {fine_length(bushing.root, units)} to {fine_length(bushing.crest, units)}"
    )
