"""What a drilled bore asks for, in words."""

from __future__ import annotations

from geometry.checks.words import say
from geometry.search.answers.fitting import Fit
from geometry.shape.tolerance import SAME
from geometry.trade.bore_fit import REAMED
from geometry.trade.quantities import show_count, show_length, show_measured
from geometry.trade.units import Units


def say_work(fit: Fit, units: Units = "mm") -> str:
    """What must be done to the bores before the model goes in, in a few words."""
    if fit.misfit:
        return say(fit.misfit, units).removesuffix(".")
    wide = show_measured(fit.loose, units)
    needed = show_length(fit.model.bore.largest, units)
    ream = f"ream by {show_measured(fit.ream, units)}" if fit.needs_reamer else ""
    match fit.verdict:
        case "drops in":
            return "as they are"
        case "ream":
            return f"{ream}, to {_sizes(fit, units)}"
        case "bush down":
            return ", ".join(each for each in (f"{wide} too wide: bush to {needed}", ream) if each)
        case "plug":
            far = (
                f"{show_measured(fit.ream, units)} too narrow to ream" if _narrow(fit) else f"{wide} too wide"
            )
            return f"{far}: plug and drill {_sizes(fit, units)}"


def _narrow(fit: Fit) -> bool:
    """Whether a bore is so much too narrow that it is drilled anew."""
    return fit.ream > REAMED + SAME


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
    return show_count(len(fit.scars), "hole") if fit.scars else "none"
