"""Which way is bass."""

from __future__ import annotations

import pytest

from geometry.document.build import Build, Nut, SideName
from geometry.document.starters import STARTERS


@pytest.mark.parametrize(
    ("hand", "side", "sign"),
    [("right", "bass", -1), ("right", "treble", 1), ("left", "bass", 1), ("left", "treble", -1)],
)
def test_bass_is_left_on_a_right_handed_build_only(hand: str, side: SideName, sign: int) -> None:
    outline = STARTERS["narrow"]
    build = Build(name="", outline=outline, nut=Nut(width=25.0), hand=hand)  # type: ignore[arg-type]
    assert build.sign_of(side) == sign
    assert build.bass_sign == build.sign_of("bass")
