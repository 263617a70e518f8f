"""A build to put found heads into."""

from __future__ import annotations

from geometry.document.build import Build
from geometry.document.fresh import SUGGESTIONS, new_build
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.string_sets import STRING_SETS


def base() -> Build:
    suggestion = SUGGESTIONS["straight-taper"]
    return new_build(
        "straight-taper",
        name="Mine",
        nut_width=suggestion.nut_width,
        string_set=next(each for each in STRING_SETS if each.key == suggestion.string_set),
        hardware=next(each for each in LIBRARY if each.key == suggestion.hardware),
        left_handed=False,
    )
