"""Contrast of the window's colours, by the formula of WCAG 2.2, and the icons."""

from __future__ import annotations

import gc

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QColor, QGuiApplication, QImage, QPalette
from PySide6.QtWidgets import (
    QApplication,
    QCheckBox,
    QComboBox,
    QHBoxLayout,
    QLineEdit,
    QPushButton,
    QTableWidget,
    QToolButton,
    QWidget,
)
from pytestqt.qtbot import QtBot

from app.canvas.look import look_in, look_of
from app.widgets.shades import (
    Colours,
    Shade,
    colours_of,
    shade_in,
    shade_of,
)
from app.widgets.theme import ICONS, dress, icon, image, palette

ALL: tuple[Shade, ...] = ("light", "dark", "light contrast", "dark contrast")
SHADES = pytest.mark.parametrize("colours", [colours_of(shade) for shade in ALL], ids=ALL)
GROUNDS = ("ground", "paper", "striped", "raised", "tint", "hint")
"""Tokens that words lie on."""
WORDS = ("text", "muted", "accent", "fault", "faded")
"""Tokens that words are written in."""


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
    for ground in GROUNDS:
        assert contrast(colours.text, getattr(colours, ground)) >= 4.5
    for ground in (colours.ground, colours.paper, colours.striped):
        assert contrast(colours.muted, ground) >= 4.5
    assert contrast(colours.on_accent, colours.accent) >= 4.5


@SHADES
def test_borders_and_marks_have_a_contrast_of_three(colours: Colours) -> None:
    for ground in (colours.ground, colours.paper):
        assert contrast(colours.edge, ground) >= 3.0
        assert contrast(colours.accent, ground) >= 3.0
    assert contrast(colours.accent, colours.tint) >= 3.0


@pytest.mark.parametrize(
    "colours", [colours_of("light contrast"), colours_of("dark contrast")], ids=["light", "dark"]
)
def test_high_contrast_is_seven_to_one_for_all_words_on_all_grounds(colours: Colours) -> None:
    """WCAG 2.2, 1.4.6; every token is a ground, a word, or one of those named here."""
    assert {*GROUNDS, *WORDS, "on_accent", "line", "edge"} == set(Colours.__struct_fields__)
    for words in WORDS:
        for ground in GROUNDS:
            assert contrast(getattr(colours, words), getattr(colours, ground)) >= 7.0, (words, ground)
    assert contrast(colours.on_accent, colours.accent) >= 7.0
    for border in ("line", "edge"):
        for ground in ("ground", "paper", "striped", "raised"):
            assert contrast(getattr(colours, border), getattr(colours, ground)) >= 4.5, (border, ground)


@pytest.mark.parametrize("shade", ALL)
def test_a_palette_tells_its_shade(qapp: QApplication, shade: Shade) -> None:
    assert shade_in(palette(colours_of(shade))) == shade
    assert look_of(shade).name == shade
    assert look_in(palette(colours_of(shade))) is look_of(shade)


def test_a_palette_of_others_is_light_or_dark(qapp: QApplication) -> None:
    assert shade_in(QPalette(QColor("#202020"))) == "dark"
    assert shade_in(QPalette(QColor("#fafafa"))) == "light"


class Desktop:
    """What a desktop may ask for, as Qt tells it."""

    def __init__(self, *, dark: bool, contrast: bool) -> None:
        self.dark, self.contrast = dark, contrast

    def colorScheme(self) -> Qt.ColorScheme:  # noqa: N802 - Qt's name
        return Qt.ColorScheme.Dark if self.dark else Qt.ColorScheme.Light

    def accessibility(self) -> Desktop:
        return self

    def contrastPreference(self) -> Qt.ContrastPreference:  # noqa: N802 - Qt's name
        return Qt.ContrastPreference.HighContrast if self.contrast else Qt.ContrastPreference.NoPreference


@pytest.mark.parametrize(
    ("dark", "asked", "system", "chosen"),
    [
        (False, False, "light", "light contrast"),
        (True, False, "dark", "dark contrast"),
        (False, True, "light contrast", "light contrast"),
        (True, True, "dark contrast", "dark contrast"),
    ],
)
def test_the_desktop_is_followed_in_light_and_contrast(
    monkeypatch: pytest.MonkeyPatch, *, dark: bool, asked: bool, system: Shade, chosen: Shade
) -> None:
    monkeypatch.setattr(QGuiApplication, "styleHints", lambda: Desktop(dark=dark, contrast=asked))
    assert shade_of("system") == system
    assert shade_of("contrast") == chosen
    assert shade_of("light") == "light"
    assert shade_of("dark") == "dark"


def test_an_older_qt_knows_of_no_contrast(monkeypatch: pytest.MonkeyPatch) -> None:
    class Older:
        def colorScheme(self) -> Qt.ColorScheme:  # noqa: N802 - Qt's name
            return Qt.ColorScheme.Light

    monkeypatch.setattr(QGuiApplication, "styleHints", Older)
    assert shade_of("system") == "light"


@pytest.mark.parametrize("shade", ["light contrast", "dark contrast"])
def test_the_focus_is_seen_by_the_shape_of_a_border(qapp: QApplication, qtbot: QtBot, shade: Shade) -> None:
    before = qapp.palette(), qapp.font(), qapp.styleSheet()
    dress(qapp, shade, 1.0)
    try:
        holder = QWidget()
        qtbot.addWidget(holder)
        row = QHBoxLayout(holder)
        parts: list[QWidget] = [
            QLineEdit(),
            QPushButton("Create"),
            QComboBox(),
            QToolButton(),
            QCheckBox("On"),
        ]
        for part in parts:
            row.addWidget(part)
        holder.show()
        holder.activateWindow()
        qtbot.waitUntil(holder.isActiveWindow)
        accent = QColor(colours_of(shade).accent)
        for part in parts:
            part.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
            part.clearFocus()
            without = pixels_of(holder.grab().toImage(), accent)
            part.setFocus()
            assert pixels_of(holder.grab().toImage(), accent) >= without + 40, type(part).__name__
            part.clearFocus()
    finally:
        qapp.setPalette(before[0])
        qapp.setFont(before[1])
        qapp.setStyleSheet(before[2])


@pytest.mark.parametrize("shade", ALL)
def test_the_cells_of_a_table_are_told_apart(qapp: QApplication, qtbot: QtBot, shade: Shade) -> None:
    before = qapp.palette(), qapp.font(), qapp.styleSheet()
    dress(qapp, shade, 1.0)
    try:
        table = QTableWidget(4, 4)
        qtbot.addWidget(table)
        table.resize(300, 200)
        table.show()
        line = QColor(colours_of(shade).line)
        # Four columns with a line of some 110 pixels each at their right.
        assert pixels_of(table.viewport().grab().toImage(), line) > 400
    finally:
        qapp.setPalette(before[0])
        qapp.setFont(before[1])
        qapp.setStyleSheet(before[2])


def pixels_of(image: QImage, colour: QColor) -> int:
    every = ((x, y) for x in range(image.width()) for y in range(image.height()))
    return sum(image.pixelColor(x, y) == colour for x, y in every)


@SHADES
def test_the_palette_uses_these_colours(qapp: QApplication, colours: Colours) -> None:
    made = palette(colours)
    assert made.color(QPalette.ColorRole.Window) == QColor(colours.ground)
    assert made.color(QPalette.ColorRole.HighlightedText) == QColor(colours.on_accent)


def test_a_chosen_theme_is_taken_whatever_the_system_has(qapp: QApplication) -> None:
    assert shade_of("dark") == "dark"
    assert shade_of("light") == "light"
    assert shade_of("system") in ("light", "dark")
    assert colours_of("dark").ground == "#22272a"
    assert colours_of("light").ground == "#f3f4f5"


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


def test_no_garbage_is_collected_while_the_program_is_dressed_anew(qtbot: QtBot, qapp: QApplication) -> None:
    """Qt goes through a list of all widgets meanwhile, and one that were collected on the way would crash it."""
    told: list[bool] = []

    class Hearing(QWidget):
        def changeEvent(self, event: QEvent) -> None:  # noqa: N802 - Qt's name
            told.append(gc.isenabled())
            super().changeEvent(event)

    widget = Hearing()
    qtbot.addWidget(widget)
    look = qapp.palette(), qapp.font(), qapp.styleSheet()
    dress(qapp, "dark", 1.25)
    dress(qapp, "light", 1.0)
    for change, kept in zip((qapp.setPalette, qapp.setFont, qapp.setStyleSheet), look, strict=True):
        change(kept)  # type: ignore[operator]
    assert False in told
    assert gc.isenabled()
