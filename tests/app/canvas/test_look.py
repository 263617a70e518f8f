"""Contrasts after WCAG 2.2: 4.5 for words (1.4.3), 3 for lines that mean something (1.4.11)."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PySide6.QtCore import QSize
from PySide6.QtGui import QColor

from app.canvas.levels import level_icon, level_word
from app.canvas.look import DARK, DARK_CONTRAST, LIGHT, LIGHT_CONTRAST, Look, line
from app.canvas.marks import GHOSTS, ORDER
from export.drawing import Role
from geometry.checks.judge import Level

LOOKS = [LIGHT, DARK, LIGHT_CONTRAST, DARK_CONTRAST]


def luminance(colour: str) -> float:
    """Relative luminance, WCAG 2.2, "relative luminance"."""
    shade = QColor(colour)

    def linear(part: float) -> float:
        return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(part) for part in (shade.redF(), shade.greenF(), shade.blueF()))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def grounds(look: Look) -> Iterator[str]:
    yield from (look.desk, look.wood, look.paper, *look.grid, *look.wood_grid)


def test_contrast_of_black_on_white() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
@pytest.mark.parametrize("name", ["ink", "quiet", "accent", "stop", "watch", "fine"])
def test_words_can_be_read(look: Look, name: str) -> None:
    for ground in (look.desk, look.wood, look.paper):
        assert contrast(getattr(look, name), ground) >= 4.5, ground


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_lines_can_be_seen_on_everything_beneath(look: Look) -> None:
    for role in ORDER:
        for ground in grounds(look):
            assert contrast(look.stroke(role).colour, ground) >= 3.0, (role, ground)
    for role in GHOSTS:
        for ground in (look.desk, look.wood):
            assert contrast(look.ghost(role).colour, ground) >= 3.0, (role, ground)


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_what_is_selected_differs_by_lightness_from_its_casing(look: Look) -> None:
    assert contrast(look.accent, look.paper) >= 4.5


@pytest.mark.parametrize("look", [LIGHT_CONTRAST, DARK_CONTRAST], ids=lambda look: look.name)
def test_high_contrast_is_seven_for_words_and_four_and_a_half_for_lines(look: Look) -> None:
    for name in ("ink", "quiet", "accent", "proposed", "stop", "watch", "fine"):
        for ground in (look.desk, look.wood, look.paper):
            assert contrast(getattr(look, name), ground) >= 7.0, (name, ground)
    for role in ORDER:
        for ground in grounds(look):
            assert contrast(look.stroke(role).colour, ground) >= 4.5, (role, ground)
    for role in GHOSTS:
        for ground in (look.desk, look.wood):
            assert contrast(look.ghost(role).colour, ground) >= 4.5, (role, ground)
    usual = LIGHT if look is LIGHT_CONTRAST else DARK
    assert all(look.stroke(role).width > usual.stroke(role).width for role in ORDER)


def test_a_role_of_paper_only_is_a_quiet_line() -> None:
    assert LIGHT.stroke(Role.SEAM).colour == LIGHT.quiet


def test_dashes_are_in_pixels() -> None:
    made = line("#000000", 2.0, (6.0, 4.0))
    assert made.dashPattern() == [3.0, 2.0]
    assert not made.isCosmetic()


@pytest.mark.parametrize("look", LOOKS, ids=lambda look: look.name)
def test_levels_are_told_apart_without_colour(qapp: object, look: Look) -> None:
    masks = set()
    for level in Level:
        image = level_icon(level, look, 16).pixmap(QSize(16, 16), 2.0).toImage()
        assert image.width() == 32
        dark = [image.pixelColor(x, y).alpha() > 128 for x in range(32) for y in range(32)]
        assert any(dark)
        masks.add(tuple(dark))
        assert level_word(level)
    assert len(masks) == 3
