"""Whether tuners take what their strings pull, and how thick these are."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from geometry.checks.facts import Facts
from geometry.checks.gaps import Gaps, Part, gaps
from geometry.layout.string_loads import StringLoad, string_load
from geometry.shape.shapes import points
from geometry.trade.hardware import Hardware
from geometry.trade.sentence import GaugeSentence, Note, PullSentence

Told = tuple[float, Note]
"""What a tuner has to bear in percent of what it takes, and how that is said."""


def hardest_pull(facts: Facts) -> Gaps:
    """A tuner whose string pulls harder than it takes wears out, slips or creeps.

    An estimated pull is judged as it is told, to two figures; silent where pull or limit are not known.
    """
    return _told(facts, "hardest pull", _pulled)


def thickest_string(facts: Facts) -> Gaps:
    """A string that is too thick does not go through the hole of its post; silent where the limit is not known."""
    return _told(facts, "thickest string", _threaded)


def _pulled(load: StringLoad, hardware: Hardware) -> Told | None:
    pull, most = load.told_pull, hardware.most_pull
    if pull is None or most is None:
        return None
    text = "about {0}: its tuner takes {1} at most" if load.estimate else "{0}: its tuner takes {1} at most"
    return 100 * pull / most, PullSentence(text, pull, most, load.estimate)


def _threaded(load: StringLoad, hardware: Hardware) -> Told | None:
    thick, most = load.string.diameter, hardware.most_string
    if most is None:
        return None
    return 100 * thick / most, GaugeSentence("{0} thick: its tuner takes {1} at most", (thick, most))


def _told(facts: Facts, name: str, told: Callable[[StringLoad, Hardware], Told | None]) -> Gaps:
    """A quantity of each string and the post that it is wound on."""
    found = []
    for number, path in enumerate(facts.paths):
        post = facts.layout.post(path.post)
        one = told(string_load(path.string, facts.build.scale_length), post.hardware)
        if one is not None:
            found.append((number, post, one))
    parts = facts.strings + tuple(Part("post", post.key, post.label) for _, post, _ in found)
    at = points([post.at for _, post, _ in found])
    return gaps(
        facts.rule(name),
        parts,
        np.array([share for *_, (share, _) in found], dtype=float),
        np.array([number for number, *_ in found], dtype=np.intp),
        at,
        at,
        j=np.arange(len(facts.strings), len(parts), dtype=np.intp),
        notes=[note for *_, (_, note) in found],
    )
