"""What cures a height, in words: "What cures the lowest turn of string 6: a head 0.8 mm thinner, or one turn less."."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from geometry.checks.gaps import Part
from geometry.checks.judge import Finding
from geometry.document.build import Build
from geometry.search.placing.cures import HeightCure, Remedy
from geometry.trade.quantities import bare_angle, show_length, typed_number
from geometry.trade.sentence import Translate, as_it_is, listed
from geometry.trade.units import Units

SUBJECTS: dict[str, tuple[str, str]] = {
    "wraps": ("the lowest turn of {0}", "the lowest turns of {0}"),
    "string over washers": ("the height of {0} over what it passes",) * 2,
    "break": ("the break of {0} over the nut", "the breaks of {0} over the nut"),
    "thickness": ("the thickness at {0}",) * 2,
    "screw depth": ("the wood over {0}",) * 2,
}
"""What is cured, by check: of one part and of several."""

BY_LENGTH = {
    "thinner": "a head {0} thinner",
    "thicker": "a head {0} thicker",
    "higher holes": "tuners with string holes {0} higher",
}


def say_remedies(
    found: Sequence[Remedy], build: Build, units: Units = "mm", translate: Translate = as_it_is
) -> Iterator[str]:
    """One sentence for each check with what cures it; `build` is the head that is cured."""
    for remedy in found:
        what = translate(SUBJECTS[remedy.check][len(_names(remedy.broken)) > 1]).format(
            _listed(remedy.broken)
        )
        first, *others = (say_cure(cure, build, units, translate) for cure in remedy.cures)
        told = ", ".join([first, *(translate("or {0}").format(each) for each in others)])
        yield translate("What cures {0}: {1}.").format(what, told)


def say_cure(cure: HeightCure, build: Build, units: Units = "mm", translate: Translate = as_it_is) -> str:
    """One change, as part of a sentence; `build` is the head before it."""
    match cure.kind:
        case "thinner" | "thicker" | "higher holes":
            return translate(BY_LENGTH[cure.kind]).format(show_length(cure.amount, units))
        case "fewer turns":
            return _counted(cure.amount, translate("one turn less"), translate("{0} turns less"))
        case "more turns":
            return _counted(cure.amount, translate("one turn more"), translate("{0} turns more"))
        case "steeper":
            now, then = (each.head.angle_deg for each in (build, cure.build))
            return translate("a head angle of {0}° instead of {1}°").format(
                typed_number(then), bare_angle(now)
            )
        case "trees":
            text = (
                "a tree {0} from the nut over {1}"
                if len(cure.labels) == 1
                else "trees {0} from the nut over {1}"
            )
            over = ", over ".join(
                f"string{'s' * (len(labels) > 1)} {listed(labels)}" for labels in cure.labels
            )
            return translate(text).format(show_length(cure.amount, units), over)


def _counted(count: float, one: str, many: str) -> str:
    return one if count == 1 else many.format(typed_number(count))


def _names(found: Sequence[Finding]) -> list[Part]:
    return list(dict.fromkeys(each.about[0] for each in found))


def _listed(found: Sequence[Finding]) -> str:
    """Such as "strings 5 and 6"; parts of several kinds by their own names."""
    parts = sorted(_names(found), key=lambda part: (len(part.label), part.label))
    kinds = {part.kind for part in parts}
    if len(parts) == 1 or len(kinds) > 1:
        return listed([part.name for part in parts])
    return f"{parts[0].kind}s {listed([part.label for part in parts])}"
