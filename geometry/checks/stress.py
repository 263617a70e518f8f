"""How near the plain steel strings are to breaking at their pitch."""

from __future__ import annotations

import numpy as np

from geometry.checks.facts import Facts
from geometry.checks.gaps import Gaps, gaps
from geometry.layout.string_loads import string_load
from geometry.shape.shapes import points


def string_stress(facts: Facts) -> Gaps:
    """A plain steel string close to its breaking load snaps while it is tuned up, and flies.

    Silent for nylon, gut and wound strings, whose strength nobody publishes by diameter, and without a pitch.
    """
    shares = [string_load(path.string, facts.build.scale_length).percent for path in facts.paths]
    told = [number for number, share in enumerate(shares) if share is not None]
    legs = [facts.paths[number].points for number in told]
    return gaps(
        facts.rule("string stress"),
        facts.strings,
        np.array([shares[number] for number in told], dtype=float),
        np.array(told, dtype=np.intp),
        points([leg[0] for leg in legs]),
        points([leg[1] for leg in legs]),
    )
