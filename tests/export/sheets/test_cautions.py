"""The warnings are short, and each tells where its end of the matter lies."""

from __future__ import annotations

import pytest

from export.catalogue import SHEETS
from export.drawing import Sheet
from export.furniture import SMALL, frame
from export.paper import Stamp
from export.sheets.cautions import (
    BACKED_UP,
    FOR_CRADLE,
    FOR_GUIDE,
    FOR_PILOTS,
    FOR_SCHEDULE,
    FOR_STRENGTH,
    FOR_TEMPLATES,
    GUIDED_BITS,
    HELD,
)
from export.text import wrapped

EVERY = {kind.name: kind.cautions for kind in SHEETS if kind.cautions}


@pytest.mark.parametrize("cautions", EVERY.values(), ids=EVERY.keys())
def test_a_sheet_has_one_to_three_cautions_of_one_line_on_a4(cautions: tuple[str, ...], head: Sheet) -> None:
    assert 1 <= len(set(cautions)) == len(cautions) <= 3
    stamp = Stamp(build="Head")
    room = frame(head, stamp.paper, stamp).block.width
    for caution in cautions:
        assert len(wrapped(f"⚠ {caution}", room, SMALL, bold=True)) == 1


def test_what_leads_to_the_machine_defers_to_its_manual_and_local_rules() -> None:
    for cautions in (FOR_TEMPLATES, FOR_PILOTS, FOR_GUIDE, FOR_SCHEDULE, FOR_CRADLE):
        words = " ".join(cautions).lower()
        assert "manual" in words
        assert "local rules" in words
    assert "licensed practice" in " ".join(FOR_STRENGTH)


def test_holding_a_head_under_the_drill_names_what_is_done_first() -> None:
    for words in ("Strings off", "Backing board", "masking tape"):
        assert words in BACKED_UP
    for words in ("Clamp or screw the blocks", "strap the body", "Never hold the work by hand"):
        assert words in HELD


def test_bits_with_spurs_stay_out_of_guide_bushings() -> None:
    for words in ("twist or piloted", "guide bushings", "brad-point", "Forstner"):
        assert words in GUIDED_BITS
    assert GUIDED_BITS in FOR_GUIDE
    assert GUIDED_BITS in FOR_SCHEDULE
