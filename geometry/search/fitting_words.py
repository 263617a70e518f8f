"""What a drilled bore asks for, in words."""

from __future__ import annotations

from geometry.build.lengths import Units, show_length
from geometry.checks.words import length_words, say
from geometry.search.fitting import DROPS_IN, Fit
from geometry.shape.tolerance import SAME


def say_work(fit: Fit, units: Units = "mm") -> str:
    """What must be done to the bores before the model goes in, in a few words."""
    if fit.misfit:
        return say(fit.misfit, units).removesuffix(".")
    wide = length_words(fit.loose, units)
    needed = show_length(fit.model.bore.largest, units)
    ream = f"ream by {length_words(fit.ream, units)}" if fit.ream > DROPS_IN + SAME else ""
    match fit.verdict:
        case "drops in":
            return "as they are"
        case "ream":
            return f"{ream}, to {_sizes(fit, units)}"
        case "bush down":
            return ", ".join(each for each in (f"{wide} too wide: bush to {needed}", ream) if each)
        case "plug":
            return f"{wide} too wide: plug and drill {_sizes(fit, units)}"


def _sizes(fit: Fit, units: Units) -> str:
    bore = fit.model.bore
    size = show_length(bore.through, units)
    if bore.counterbore is None:
        return size
    step = bore.counterbore
    return (
        f"{size} and {show_length(step.diameter, units)}, {show_length(step.depth, units)} deep from the face"
    )


def say_sight(fit: Fit) -> str:
    """How many old holes stay in sight."""
    count = len(fit.scars)
    if not count:
        return "none"
    names = [part.key for part in fit.scars]
    return f"{count}: {', '.join(names)}" if count <= 4 else f"{count}: {', '.join(names[:3])}, ..."
