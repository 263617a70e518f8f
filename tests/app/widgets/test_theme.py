"""Contrast of the window's colours, by the formula of WCAG 2.2, and the icons."""

from __future__ import annotations

import pytest
from PySide6.QtGui import QColor, QPalette
from PySide6.QtWidgets import QApplication

from app.widgets.theme import DARK, ICONS, LIGHT, Colours, colours_of, dress, icon, image, palette, shade_of

SHADES = pytest.mark.parametrize("colours", [LIGHT, DARK], ids=["light", "dark"])


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2, its definition)."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_of_contrast() -> None:
    assert contrast("#ffffff", "#000000") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@SHADES
def test_text_has_a_contrast_of_four_and_a_half(colours: Colours) -> None:
    for ground in (
        colours.ground,
        colours.paper,
        colours.striped,
        colours.raised,
        colours.tint,
        colours.hint,
    ):
        assert contrast(colours.text, ground) >= 4.5
    for ground in (colours.ground, colours.paper, colours.striped):
        assert contrast(colours.muted, ground) >= 4.5
    assert contrast(colours.on_accent, colours.accent) >= 4.5


@SHADES
def test_borders_and_marks_have_a_contrast_of_three(colours: Colours) -> None:
    for ground in (colours.ground, colours.paper):
        assert contrast(colours.edge, ground) >= 3.0
        assert contrast(colours.accent, ground) >= 3.0
    assert contrast(colours.accent, colours.tint) >= 3.0


@SHADES
def test_the_palette_uses_these_colours(qapp: QApplication, colours: Colours) -> None:
    made = palette(colours)
    assert made.color(QPalette.ColorRole.Window) == QColor(colours.ground)
    assert made.color(QPalette.ColorRole.HighlightedText) == QColor(colours.on_accent)


def test_a_chosen_theme_is_taken_whatever_the_system_has(qapp: QApplication) -> None:
    assert shade_of("dark") == "dark"
    assert shade_of("light") == "light"
    assert shade_of("system") in ("light", "dark")
    assert colours_of("dark") is DARK
    assert colours_of("light") is LIGHT


def test_type_grows_from_the_systems_size(qapp: QApplication) -> None:
    before = qapp.palette(), qapp.font(), qapp.styleSheet()
    dress(qapp, "light", 1.0)
    size = qapp.font().pointSizeF()
    dress(qapp, "dark", 1.5)
    assert qapp.font().pointSizeF() == pytest.approx(size * 1.5)
    dress(qapp, "dark", 1.0)
    assert qapp.font().pointSizeF() == pytest.approx(size)
    qapp.setPalette(before[0])
    qapp.setFont(before[1])
    qapp.setStyleSheet(before[2])


@pytest.mark.parametrize("name", sorted(path.stem for path in ICONS.glob("*.svg")))
def test_every_icon_draws_something_within_its_square(qapp: QApplication, name: str) -> None:
    drawn = image(name, "#ff0000", 24, 2.0)
    assert drawn.deviceIndependentSize().width() == 24
    picture = drawn.toImage()
    inked = [
        (x, y)
        for x in range(picture.width())
        for y in range(picture.height())
        if picture.pixelColor(x, y).alpha() > 0
    ]
    assert len(inked) > 40
    assert all(0 < x < 47 and 0 < y < 47 for x, y in inked)


def test_an_icon_fades_when_it_cannot_be_used(qapp: QApplication) -> None:
    made = icon("keep clear", "light")
    sizes = [size.width() for size in made.availableSizes()]
    assert 24 in sizes
