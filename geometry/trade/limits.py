"""Limits of the checks: data that a build may change, never code.

Unless a `source` says otherwise a value is workshop practice with no source.
"""

from __future__ import annotations

from typing import Literal

import msgspec

Sense = Literal["at least", "at most"]
Unit = Literal["mm", "deg", "%", ""]
LevelName = Literal["watch", "stop"]
ShareOf = Literal["bore", "play"]

PRACTICE = "workshop practice, no source"


class Limit(msgspec.Struct, frozen=True, gc=False):
    """A required value that may grow with the bore, or with what its rule takes shares of: max(least, of_bore x D)."""

    least: float
    of_bore: float = 0.0

    def at(self, bore: float) -> float:
        """The required value for a bore of diameter `bore` in mm."""
        return max(self.least, self.of_bore * bore)


class Rule(msgspec.Struct, frozen=True):
    """What one measured quantity is held against; a missing limit is never reached.

    `share_of` is what the shares of its limits are taken of: the diameter of the bore, or the play of the post.
    """

    name: str
    watch: Limit | None
    stop: Limit | None
    unit: Unit = "mm"
    sense: Sense = "at least"
    source: str = PRACTICE
    share_of: ShareOf = "bore"


class ChangedLimit(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """A limit that this build (or this shop, for new builds) holds at another value."""

    rule: str
    level: LevelName
    least: float
    of_bore: float = 0.0

    @property
    def limit(self) -> Limit:
        """The limit as the checks use it."""
        return Limit(self.least, self.of_bore)


STRESS_SOURCE = "of the least strength by ASTM A228; the shares are from memory and workshop practice"

LOAD_SOURCE = "of what the tuner takes, which its maker tells; in the library workshop practice, no source"

DEFAULT_RULES: tuple[Rule, ...] = (
    Rule("wall", Limit(4.8, 0.5), Limit(3.0, 0.25)),
    Rule("end distance", Limit(0.0, 1.5), Limit(0.0, 1.0)),
    Rule("web along grain", Limit(0.0, 1.0), Limit(0.0, 0.5)),
    Rule("web across grain", Limit(0.0, 0.75), Limit(0.0, 0.5)),
    Rule("body gap", Limit(1.0), Limit(0.0)),
    Rule("butting body gap", None, Limit(-0.1)),
    Rule("washer gap", Limit(1.0), Limit(0.0)),
    Rule("seat", Limit(0.5), Limit(0.0)),
    Rule("seat on flat back", Limit(1.0), Limit(0.0)),
    Rule("button gap", Limit(3.0), Limit(0.5)),
    Rule("button to edge", Limit(1.5), Limit(0.5)),
    Rule("screw to edge", Limit(3.0), Limit(1.5)),
    Rule("screw to hole", Limit(3.0), Limit(1.0)),
    Rule("screw to own bore", Limit(0.5), Limit(0.0)),
    Rule("screw depth", Limit(2.0), Limit(0.5)),
    Rule("string to post", Limit(1.0), Limit(0.0)),
    Rule("string to string", Limit(1.5), Limit(0.2)),
    Rule("string over washers", Limit(0.5), Limit(0.0)),
    Rule("string over wood", Limit(0.0), None),
    Rule("wraps", Limit(0.5), Limit(0.0)),
    Rule("splay", Limit(13.0), None, "deg", "at most"),
    Rule("break", Limit(4.0), Limit(0.5), "deg"),
    Rule("high break", Limit(21.0), None, "deg", "at most"),
    Rule("string stress", Limit(75.0), Limit(95.0), "%", "at most", source=STRESS_SOURCE),
    Rule("first post", Limit(20.0), None),
    Rule("first washer", Limit(3.0), Limit(0.0)),
    Rule("first button", Limit(20.0), None),
    Rule("into the nut", None, Limit(0.0)),
    Rule("thickness", Limit(0.5), Limit(0.0)),
    Rule("bore fit", Limit(0.0), None),
    Rule("tuner measures", None, Limit(0.0)),
    Rule("hardest pull", Limit(100.0), None, "%", "at most", source=LOAD_SOURCE),
    Rule("thickest string", Limit(100.0), None, "%", "at most", source=LOAD_SOURCE),
    Rule("keep clear", Limit(2.0), Limit(0.0)),
    Rule("width at nut", None, Limit(-0.1)),
    Rule("overhang at nut", Limit(1.0), None, "mm", "at most"),
    Rule("cutter radius", Limit(0.0), None),
    Rule("blank", None, Limit(0.0)),
    Rule("plate fit", Limit(0.0, 0.5), Limit(0.0, 1.0), "mm", "at most", share_of="play"),
    Rule("evenness", Limit(0.5), None, "mm", "at most"),
    # Counts: one is one too many.
    Rule("outline", None, Limit(0.0), "", "at most"),
    Rule("placement", None, Limit(0.0), "", "at most"),
    Rule("order", None, Limit(0.0), "", "at most"),
    Rule("piece", Limit(0.0), None, "", "at most"),
    Rule("scar", Limit(0.0), None, "", "at most"),
    Rule("retainer", Limit(0.0), None, "", "at most"),
)

RULE_NAMES = frozenset(rule.name for rule in DEFAULT_RULES)

STRING_GAP_SHARE = 0.8
"""Strings may come this much closer than at the nut before it is worth a watch; workshop practice, no source."""


def rules_with(changed: tuple[ChangedLimit, ...]) -> dict[str, Rule]:
    """The default rules by name with the changed limits in their places."""
    rules = {rule.name: rule for rule in DEFAULT_RULES}
    for change in changed:
        rules[change.rule] = msgspec.structs.replace(rules[change.rule], **{change.level: change.limit})
    return rules
