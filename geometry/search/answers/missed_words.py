"""A hole beside its mark, in words: where it is, how the head stands, where the others go, and what else saves it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from geometry.checks.judge import Level
from geometry.checks.trimmed import once_trimmed
from geometry.checks.words import say
from geometry.document.build import Build
from geometry.search.answers.fitting_words import say_work
from geometry.search.answers.missed import SOUND, Missed, Plug, Rescue, Step, WithHoles
from geometry.search.answers.readings import AGREE, Located
from geometry.search.placing.best import Proposal
from geometry.search.placing.cures import Remedy
from geometry.search.placing.cures_words import say_remedies
from geometry.search.rings.allowance import rounded_down
from geometry.search.rings.allowance_words import say_rings
from geometry.shape.point import Vector
from geometry.shape.tolerance import PRINT
from geometry.trade.quantities import Step as Accuracy
from geometry.trade.quantities import show_length, show_measured, show_need, show_radius
from geometry.trade.sentence import Translate, as_it_is, say_note
from geometry.trade.units import Units

_NOTICED = 0.05  # centres nearer to each other than this, in mm, are drilled as one


def say_step(step: Vector, units: Units = "mm", to: Accuracy | None = None) -> str:
    """A displacement as the face shows it: "0.6 mm right, 0.4 mm towards the nut"; as typed, or to a step."""
    parts = []
    if abs(step.x) > PRINT:
        parts.append(f"{show_length(abs(step.x), units, to)} {'right' if step.x > 0 else 'left'}")
    if abs(step.y) > PRINT:
        parts.append(f"{show_length(abs(step.y), units, to)} towards the {'tip' if step.y > 0 else 'nut'}")
    return ", ".join(parts) or "nowhere"


def say_place(hole: Missed, units: Units = "mm", to: Accuracy | None = None) -> str:
    """How far a hole is from its mark, and which way: as typed, or to the step that readings are worth."""
    if hole.by.length <= PRINT:
        return f"Hole {hole.label} is on its mark."
    far = show_length(hole.by.length, units, to)
    return f"Hole {hole.label} is {far} from its mark: {say_step(hole.by, units, to)}, as the face shows it."


def say_drilled_holes(hole: WithHoles) -> str:
    """Which head is meant, behind "with"."""
    return f"hole {hole.label} as drilled" if isinstance(hole, Missed) else "these holes as drilled"


def say_head(hole: WithHoles, units: Units = "mm") -> Iterator[str]:
    """Whether the head still works, what is worse for the miss, and how far the other holes may miss.

    Every verdict says that it is of the head as drilled: what is told of the plan may be another.
    """
    drilled = f"With {say_drilled_holes(hole)}"
    if hole.works:
        unspoilt = "" if hole.worse else ", and no clearance got worse"
        yield f"{drilled}, the head still works{unspoilt}."
    elif any(each.level is Level.STOP for each in hole.worse):
        yield f"{drilled}, the head does not work."
    else:
        cause = "this hole is" if isinstance(hole, Missed) else "these holes are"
        yield f"{drilled}, the head does not work, but {cause} not the cause: as planned it does not work either."
    marks = {Level.STOP: "STOP: ", Level.WATCH: "Watch: "}
    yield from (f"{marks[each.level]}{say(each, units)}" for each in hole.worse)
    rings = say_rings(hole.allowance, units)
    # The holes in the wood break something whatever the others do, which may still keep all else.
    apart = not hole.works and not any(ring.broken for ring in hole.allowance.rings if not ring.drilled)
    yield f"Apart from that: {rings[0].lower()}{rings[1:]}" if apart else rings


def say_rest(
    hole: WithHoles, proposal: Proposal | None, steps: Sequence[Step], units: Units = "mm"
) -> Iterator[str]:
    """Where the holes still to be drilled go; `proposal` is None where they stay at their marks."""
    if not hole.left:
        yield "No hole is left to drill."
        return
    if proposal is not None and proposal.refused is not None:
        yield f"Other places would break a limit that these keep, or break one further: {proposal.refused}"
    if proposal is not None and proposal.forbidden is not None:
        yield f"Even with the other marks moved: {proposal.forbidden}"
    if proposal is None or not steps:
        yield "The other holes stay at their marks."
        return
    before, after = (show_radius(rounded_down(each), units) for each in (proposal.before, proposal.after))
    if proposal.forbidden is None:
        yield f"Moving the other marks gives more room: the smallest ring was {before} and is {after}."
    else:
        yield "The least bad places for the others:"
    yield from (
        f"Move the mark of hole {each.label}: {say_step(each.new - each.old, units)}." for each in steps
    )
    if proposal.forbidden is None and not hole.works:
        yield "With these marks moved, the head works."


def say_ways_out(
    hole: Missed,
    found: Rescue,
    cures: Sequence[Remedy],
    there: Build,
    units: Units = "mm",
    translate: Translate = as_it_is,
) -> tuple[str, ...]:
    """What else would save the head; `cures` are those of `there`, the head with the other marks where they go.

    Where the others move, each sentence stands behind the head that it is about.
    """
    of_there = list(say_remedies(cures, there, units, translate))
    of_hole = list(say_rescue(hole, found, units))
    plug = say_plug(hole, found.plug, units)
    if there != hole.build:
        of_there = ["With the other marks moved:", *of_there] if of_there else []
        of_hole = ["With the other marks where they are:", *of_hole] if of_hole else []
    return (*of_there, *of_hole, *([plug] if plug else []))


def say_rescue(hole: Missed, found: Rescue, units: Units = "mm") -> Iterator[str]:
    """What else would save the head with the other holes at their marks, but for a plug."""
    if found.washer is not None:
        washer = show_length(found.washer, units)
        yield f"A washer of {washer} or less on tuner {hole.label} clears what this hole put at stop."
    for fit in found.models:
        yield f"Other tuners for the bores of this row: {fit.model.name}, {say_work(fit, units)}."


def say_plug(hole: Missed, plug: Plug, units: Units = "mm") -> str:
    """How to plug the hole so that it can be drilled at its mark."""
    if hole.by.length <= PRINT:
        return ""
    size = show_need(plug.diameter, units)
    if plug.apart:
        text = f"Fill the hole with a plug of {size}: the new bore at the mark lies in sound wood beside it."
    else:
        step, sound = plug.centre - hole.mark, show_length(SOUND, units)
        centre = f"off the mark ({say_step(step, units)})" if step.length > _NOTICED else "on the mark"
        text = (
            f"Plug and drill again: a plug of {size} or more, its centre {centre}, takes in the wrong hole and leaves "
            f"{sound} of sound wood round the new bore."
        )
    note = say_note(once_trimmed(hole.build.head, "either"), units)
    once = f" {note}" if note else ""
    if plug.to_edge < 0:
        return f"{text} It breaks out by {show_measured(-plug.to_edge, units)} at the edge{once}."
    cut = f" It runs into bore {', '.join(plug.meets)}." if plug.meets else ""
    return f"{text} It leaves {show_measured(plug.to_edge, units)} to the edge of the head{once}.{cut}"


# Readings


def say_located(found: Located, names: Sequence[str], units: Units = "mm") -> Iterator[str]:
    """What the readings say of themselves; `names` are theirs."""
    off = ", ".join(
        f"{name} {show_measured(residual, units)}"
        for name, residual in zip(names, found.residuals, strict=True)
    )
    if len(names) > 2:
        yield f"How far each reading is off the place that fits them best: {off}."
    else:
        yield "Two readings give a place but cannot prove each other; a third would."
    if not found.agree:
        yield say_contradiction(found, names, units)


def say_contradiction(found: Located, names: Sequence[str], units: Units = "mm") -> str:
    """That readings contradict each other, and which one is to blame where that can be told."""
    text = (
        f"The readings contradict each other by up to {show_measured(found.largest, units)}; "
        f"within {show_length(AGREE, units)} they would agree."
    )
    if found.suspect is not None:
        return f"{text} Without the reading {names[found.suspect]} the others agree: take it again."
    return f"{text} Take them again."


def say_too_few(found: Located) -> str:
    """Which reading is missing."""
    assert found.untold is not None, "readings that tell the place are not too few"
    across = abs(found.untold.x) > abs(found.untold.y)
    more = (
        "to the side, or to a bore across the head" if across else "to the nut, or to a bore of the same row"
    )
    way = "across the head" if across else "along the head"
    return f"the readings do not tell where the hole lies {way}; take one more {more}."
