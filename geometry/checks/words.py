"""One sentence a maker understands for each finding."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable

from geometry.checks.judge import Finding, Level
from geometry.trade.limits import Sense
from geometry.trade.quantities import bare_angle, show_measured, show_share
from geometry.trade.sentence import Sentence, Translate, as_it_is, say_note
from geometry.trade.units import Units

SENTENCES: dict[str, str] = {
    "wall": "{a}: {measured} of wood left at {b}{once}; {limit}.",
    "end distance": "{a}: {measured} along the grain from its centre to the end of the wood; {limit}.",
    "web": "{a} and {b}: {measured} of wood between them; {limit}.",
    "body gap": "{a} and {b}: {measured} between them; {limit}.",
    "butting body gap": "{a} and {b}: {measured} between them (they may touch); {limit}.",
    "washer gap": "{a}: {measured} to {b}{once}; {limit}.",
    "seat": "{a}: its seat lies {measured} inside the back's edge{once}; {limit}.",
    "seat on flat back": "{a}: its seat begins {measured} above the start of the flat back; {limit}.",
    "button gap": "{a} and {b}: {measured} between them; {limit}.",
    "button to edge": "{a}: {measured} to the edge of the head; {limit}.",
    "screw to edge": "{a}: {measured} of wood left at {b}{once}; {limit}.",
    "screw to hole": "{a} and {b}: {measured} of wood between them; {limit}.",
    "screw to own bore": "{a}: {measured} of wood left to its own tuner's bore; {limit}.",
    "screw depth": "{a}: {measured} of wood left beyond the end of its hole; {limit}.",
    "string to post": "{a} passes {measured} from {b} or its windings; {limit}.",
    "string to string": "{a} and {b}: {measured} between them at their closest; {limit}.",
    "string over washers": "{a} passes {measured} over {b}; {limit}.",
    "string over wood": "{a} stays {measured} inside the head; {limit}.",
    "wraps": "{a}: its lowest turn is {measured} above the bushing or washer; {limit}.",
    "splay": "{a} turns {measured} sideways at the nut; {limit}.",
    "break": "{a} bends down {measured} over the nut; {limit}.",
    "high break": "{a} bends down {measured} over the nut; {limit}.",
    "string stress": "{a} pulls at {measured} of the least strength of its wire (ASTM A228); {limit}.",
    "first post": "{a} meets its post {measured} from the nut; {limit}.",
    "first washer": "{a}: {measured} from the nut line; {limit}.",
    "first button": "{a} begins {measured} from the nut line; {limit}.",
    "into the nut": "{a}: it or its washer begins {measured} from the nut line; {limit}.",
    "thickness": "{a}: the thickness is {measured} inside the tuner's range; {limit}.",
    "bore fit": "{a}: {measured} inside the fit for the wood and what sits in it; {limit}.",
    "tuner measures": "{a}: the parts of its tuner go into each other with {measured} to spare; {limit}.",
    "hardest pull": "{a} pulls {once}.",
    "thickest string": "{a} is {once}.",
    "keep clear": "{a}: {measured} to {b}; {limit}.",
    "width at nut": "At the nut line {a} stands {measured} outside the end of the nut; {limit}.",
    "overhang at nut": "At the nut line {a} stands {measured} outside the end of the nut; {limit}.",
    "cutter radius": "A hollow of the outline is {measured} wider in radius than the cutter; {limit}.",
    "plate fit": "{a}: shafts of the plate lie up to {measured} off the middles of their holes; {limit}.",
    "evenness": "{a}: a post lies up to {measured} off a straight and even row; {limit}.",
    "blank": "The head ends {measured} inside {a} of the blank; {limit}.",
}
"""What is measured, by check; `a` and `b` are the parts, `limit` says what is needed.

`once` says what is taken off the edge that is measured to, for that is less than a caliper finds; of the load of a
tuner it says all, for the share that is measured is no quantity that a maker knows.
"""

TRIMMED = frozenset({"wall", "screw to edge", "washer gap", "seat"})
"""Checks of what stays inside a rounded edge: their notes are part of their sentence."""

WITHIN = TRIMMED | {"hardest pull", "thickest string"}
"""Checks whose notes are part of their sentence."""

COUNTS: dict[str, tuple[str, str]] = {
    "outline": ("The outline is closed and does not cross itself.", "The outline is not sound."),
    "placement": ("Every tuner and string has its place.", "{a} has no place."),
    "order": ("{a} crosses no other string.", "{a} crosses {b}."),
    "piece": (
        "{a} is the right piece for its side.",
        "{a} is a piece for the other side: it will tune the wrong way round.",
    ),
    "retainer": (
        "{a} holds {b}.",
        "{a} does not hold {b}: it must stand between the nut and the post.",
    ),
    "scar": ("{a} will be hidden.", "{a} stays in sight: no new bore, washer or seat covers it."),
}
"""Sentences of checks that count faults: when there is none, and when there is one."""

NEGATIVE: dict[str, str] = {
    "wall": "{a} breaks out by {measured} at {b}{once}; {limit}.",
    "end distance": "{a}: the wood ends {measured} before its centre along the grain; {limit}.",
    "web": "{a} and {b} run into each other by {measured}; {limit}.",
    "body gap": "{a} and {b} overlap by {measured}; {limit}.",
    "butting body gap": "{a} and {b} overlap by {measured} (they may touch); {limit}.",
    "washer gap": "{a} and {b} overlap by {measured}{once}; {limit}.",
    "seat": "{a}: its seat hangs {measured} over the back's edge{once}; {limit}.",
    "seat on flat back": "{a}: its seat begins {measured} below the start of the flat back; {limit}.",
    "button gap": "{a} and {b} overlap by {measured}; {limit}.",
    "button to edge": "{a} reaches {measured} over the head; {limit}.",
    "screw to edge": "{a} breaks out by {measured} at {b}{once}; {limit}.",
    "screw to hole": "{a} and {b} run into each other by {measured}; {limit}.",
    "screw to own bore": "{a} runs {measured} into its own tuner's bore; {limit}.",
    "screw depth": "{a}: its hole comes through the other side by {measured}; {limit}.",
    "string to post": "{a} rubs {b}: it runs {measured} into the post or its windings; {limit}.",
    "string to string": "{a} and {b} touch: they run {measured} into each other; {limit}.",
    "string over washers": "{a} lies {measured} too low over {b}; {limit}.",
    "string over wood": "{a} runs {measured} outside the head; {limit}.",
    "wraps": "{a}: its lowest turn lies {measured} below the top of the bushing or washer; {limit}.",
    "break": "{a} bends up {measured} over the nut; {limit}.",
    "high break": "{a} bends up {measured} over the nut; {limit}.",
    "first post": "{a} meets its post {measured} below the nut line; {limit}.",
    "first washer": "{a} reaches {measured} over the nut line; {limit}.",
    "first button": "{a} begins {measured} below the nut line; {limit}.",
    "into the nut": "{a}: it or its washer reaches {measured} into the nut; {limit}.",
    "thickness": "{a}: the thickness is {measured} outside the tuner's range; {limit}.",
    "bore fit": "{a}: {measured} outside the fit for the wood and what sits in it.",
    "tuner measures": "{a}: the measures of its tuner disagree by {measured}; {limit}.",
    "keep clear": "{a} runs {measured} into {b}; {limit}.",
    "width at nut": "At the nut line {a} ends {measured} short of the end of the nut; {limit}.",
    "overhang at nut": "At the nut line {a} does not stand out beyond the nut; {limit}.",
    "cutter radius": "A hollow of the outline is {measured} tighter in radius than the cutter; {limit}.",
    "blank": "The head stands {measured} over {a} of the blank; {limit}.",
}
"""The same where the quantity is below nothing; `measured` is then said without its sign."""


HEADLINES: dict[Level, tuple[str, str]] = {
    Level.STOP: (
        "Do not drill: fix 1 problem first.",
        "Do not drill: fix {0} problems first.",
    ),
    Level.WATCH: (
        "It can be drilled; look at 1 finding first.",
        "It can be drilled; look at {0} findings first.",
    ),
    Level.FINE: ("It can be drilled: everything clears.",) * 2,
}
"""What can be said of all findings together, by their worst level: for one of that level, and for more."""


def headline(findings: Iterable[Finding], translate: Translate = as_it_is) -> str:
    """One sentence that says whether the head can be drilled."""
    count = Counter(finding.level for finding in findings)
    level = next((each for each in (Level.STOP, Level.WATCH) if count[each]), Level.FINE)
    one, many = HEADLINES[level]
    return translate(one) if count[level] == 1 else translate(many).format(count[level])


def say(finding: Finding, units: Units = "mm", translate: Translate = as_it_is) -> str:
    """The finding as one or two sentences, lengths in `units`."""
    if finding.measured is None:
        name = translate(finding.check)
        return f"{name[:1].upper()}{name[1:]}: {say_note(finding.note, units, translate)}"
    sentence = _sentence(finding, units, translate)
    if finding.note and _note_counts(finding):
        return f"{sentence} {say_note(finding.note, units, translate)}".strip()
    return sentence


def _note_counts(finding: Finding) -> bool:
    return finding.check not in COUNTS and finding.check not in WITHIN and finding.level is not Level.FINE


def measured_to(finding: Finding, translate: Translate = as_it_is) -> str:
    """Where what is measured ends, if not at the edge as it is drawn: "to the rounding"; else empty."""
    if finding.check not in TRIMMED or not finding.note:
        return ""
    bound = isinstance(finding.note, Sentence) and "binding" in finding.note.text
    return translate("to the binding" if bound else "to the rounding")


def _sentence(finding: Finding, units: Units, translate: Translate) -> str:
    assert finding.measured is not None, "a quantity that cannot be told has no sentence of its own"
    names = [part.said for part in finding.about] + [""]
    if finding.check in COUNTS:
        if finding.note and finding.level is not Level.FINE:
            return say_note(finding.note, units, translate)
        text = COUNTS[finding.check][0 if finding.level is Level.FINE else 1]
        return _capital(translate(text).format(a=names[0], b=names[1]))
    below = finding.measured < 0 and finding.check in NEGATIVE
    text = translate((NEGATIVE if below else SENTENCES)[finding.check])
    measured, needed = finding.measured, _needed(finding)
    sense = finding.sense
    if below:
        measured = -measured
        if needed < 0:
            # So little may be missing: said without its sign, like the quantity.
            needed, sense = -needed, "at most"
    shown, required = _told_apart(measured, needed, finding, units, translate)
    limit = translate(_limit(finding, sense)).format(required)
    once = _within(finding, units, translate)
    return _capital(text.format(a=names[0], b=names[1], measured=shown, limit=limit, once=once))


def _within(finding: Finding, units: Units, translate: Translate) -> str:
    """The note where it is part of the sentence."""
    if finding.check not in WITHIN or not finding.note:
        return ""
    note = say_note(finding.note, units, translate)
    return f" {note}" if finding.check in TRIMMED else note


def _needed(finding: Finding) -> float:
    """What is needed: the limit that was broken, or the stricter one that was kept."""
    required = finding.stop if finding.level is Level.STOP or finding.watch is None else finding.watch
    assert required is not None, "a rule has a limit"
    return required


def _told_apart(
    measured: float, needed: float, finding: Finding, units: Units, translate: Translate
) -> tuple[str, str]:
    """The quantity and what is needed in words.

    A broken limit never reads like the quantity that breaks it: it takes as many decimals as needed.
    """
    shown = limit = ""
    for more in range(6):
        shown, limit = (_shown(value, finding, units, translate, more) for value in (measured, needed))
        if shown != limit or finding.level is Level.FINE:
            break
    return shown, limit


def _limit(finding: Finding, sense: Sense) -> str:
    if finding.level is Level.STOP and finding.stop == 0 and finding.unit == "mm":
        return "not allowed"
    if finding.level is Level.STOP:
        return "at least {0} needed" if sense == "at least" else "at most {0} allowed"
    if sense == "at least" and _needed(finding) <= 0:
        # Nothing is needed, or less: a number would only puzzle.
        return "that is enough" if finding.level is Level.FINE else "better not"
    return "aim for {0} or more" if sense == "at least" else "aim for up to {0}"


def _shown(value: float, finding: Finding, units: Units, translate: Translate, more: int) -> str:
    if finding.unit == "deg":
        return translate("{0} degrees").format(bare_angle(value, more))
    if finding.unit == "%":
        return show_share(value / 100, more)
    return show_measured(value, units, more)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
