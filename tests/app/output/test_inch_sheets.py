"""Every sheet of an inch shop speaks inches, pounds and ounces."""

from __future__ import annotations

import re
from collections.abc import Callable

import pytest
from msgspec.structs import replace

from app.document.scene import scene_of
from app.writing.export import made
from export.drawing import Text
from geometry.document.build import Build
from geometry.trade.shop import Shop
from tests.app.output.printed import job_of
from tests.builds import bass_two_and_two, three_and_three

METRIC = re.compile(r"[0-9] ?(?:mm|N|MPa|g|kg|N·m|g/m)\b|\bmm\b")

BOTH = (
    re.compile(r"⌀ mm|mm · |^(?:top )?[0-9.]+ mm$|in, [0-9.]+ mm|^mm$|pins in mm"),
    re.compile(r"[0-9.]+ mm \([0-9.]+ in\)"),
    re.compile(r"kg/m3: "),
    re.compile(r"at 23 mm pitch"),
)
"""Diameters of bores and drills stand in both measures; a source is quoted as it was published."""


@pytest.mark.parametrize("make", [three_and_three, bass_two_and_two])
def test_no_metric_quantity_is_left(make: Callable[[], Build]) -> None:
    shop = Shop(units="inch", drill_sets=("fraction",), press_throat=200.0, press_table=300.0)
    done = made(job_of(scene_of(make()), shop, names=None))
    assert not [each for each in done.left_out if each.fault]
    words = {
        mark.shape.words
        for sheet in done.sheets
        for mark in sheet.drawing.marks
        if isinstance(mark.shape, Text)
    } | {note for sheet in done.sheets for note in (*sheet.notes, *sheet.cautions)}
    left = [line for line in words if METRIC.search(line) and not any(each.search(line) for each in BOTH)]
    assert left == []


def test_the_pages_are_measured_in_inches() -> None:
    job = job_of(scene_of(three_and_three()), Shop(units="inch"), names=("face",))
    assert job.stamp.units == "inch"
    assert replace(job.stamp, units="mm") != job.stamp
