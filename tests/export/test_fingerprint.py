"""The mark on papers and files: one head has one, whatever it is put on paper or cut with."""

from __future__ import annotations

import re

import pytest
from msgspec.structs import replace

from export.fingerprint import fingerprint
from geometry.trade.measured import with_measured
from geometry.trade.shop import PrinterProfile, Shop, default_shop
from tests.builds import change, three_and_three

MARK = fingerprint(three_and_three(), default_shop(), "1")


@pytest.mark.parametrize(
    "other",
    [
        {"paper": "Letter"},
        {"units": "inch"},
        {"kerf": 0.2},
        {"guide_bushing": 8.2},
        {"printers": (PrinterProfile(name="upstairs", factor_x=1.01, factor_y=0.99),)},
    ],
)
def test_other_paper_and_another_kerf_are_the_same_head(other: dict[str, object]) -> None:
    assert re.fullmatch("[0-9A-F]{8}", MARK)
    assert fingerprint(three_and_three(), replace(default_shop(), **other), "1") == MARK


def test_what_was_typed_of_a_tuner_is_no_other_head() -> None:
    head = three_and_three()
    typed = tuple(with_measured(each, {"post_diameter"}) for each in head.hardware)
    assert fingerprint(change(head, hardware=typed), default_shop(), "1") == MARK


def test_another_head_other_drills_and_another_program_have_other_marks() -> None:
    head, shop = three_and_three(), default_shop()
    others: list[tuple[object, Shop, str]] = [
        (change(head, name="other"), shop, "1"),
        (head, replace(shop, extra_drills=(8.8,)), "1"),
        (head, shop, "2"),
    ]
    marks = {fingerprint(build, tools, version) for build, tools, version in others}  # type: ignore[arg-type]
    assert len(marks | {MARK}) == 4
