"""The first page: six starters as live pictures, recent builds, samples, and how all of this works."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import get_args

from PySide6.QtCore import QCoreApplication, QPointF, QSize, Qt, QTimer, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPixmap, QShowEvent
from PySide6.QtWidgets import QFrame, QHBoxLayout, QLabel, QScrollArea, QVBoxLayout, QWidget

from app.canvas.picture import head_picture
from app.document.files import load_build
from app.document.messages import Refusal
from app.widgets.boxes import Part, filled
from app.widgets.cards import Card, CardGrid, Heading
from app.widgets.kit import PlainLabel, button
from app.widgets.shades import Shade, colours_of
from app.widgets.theme import image
from geometry.document.build import Build
from geometry.document.fresh import SUGGESTIONS, new_build
from geometry.document.outline import StarterShape
from geometry.layout.trees import with_trees
from geometry.trade.escapes import in_tip
from geometry.trade.hardware_library import find
from geometry.trade.string_sets import find_string_set

SAMPLES = Path(__file__).parents[1] / "resources" / "samples"
SMALL = QSize(112, 118)
MARGIN = 28

SIGN = 76
"""Pixels of the sign on a card that has no head to show."""


def starter_words(shape: StarterShape) -> tuple[str, str]:
    """What a starter is called, and a line about what it suits."""
    called = partial(QCoreApplication.translate, "Starter")
    words: dict[StarterShape, tuple[str, str]] = {
        "straight-taper": (called("Straight taper"), called("two rows, narrower to the tip")),
        "waisted": (called("Waisted"), called("two rows, sides drawn in")),
        "one-sided": (called("One-sided"), called("all tuners in one row, flat head")),
        "narrow": (called("Narrow"), called("three or four strings")),
        "rounded-paddle": (called("Rounded paddle"), called("pegs turned from behind")),
        "broad-for-plates": (called("Broad for plates"), called("pairs of strings, tuners on plates")),
    }
    return words[shape]


def suggested(shape: StarterShape) -> Build:
    """A starter with everything that goes well with it."""
    suggestion = SUGGESTIONS[shape]
    strings, hardware = find_string_set(suggestion.string_set), find(suggestion.hardware)
    assert strings is not None
    assert hardware is not None
    build = new_build(
        shape,
        name=starter_words(shape)[0],
        nut_width=suggestion.nut_width,
        string_set=strings,
        hardware=hardware,
        left_handed=False,
    )
    return with_trees(build)


_FAILS = "fails-"
"""How the names of the samples begin that cannot be built."""


def samples() -> tuple[Path, ...]:
    """The builds that come with the program and can be drilled."""
    return tuple(sorted(path for path in SAMPLES.glob("*.pegwright") if not path.stem.startswith(_FAILS)))


def failing_samples() -> tuple[Path, ...]:
    """Those that show what cannot be built."""
    return tuple(sorted(SAMPLES.glob(f"{_FAILS}*.pegwright")))


class StartScreen(QScrollArea):
    """A page to begin from; pictures come one after the other, so that the page is there at once.

    Signals:
        starter_chosen: the shape.
        recent_chosen, sample_chosen: the path.
        open_asked, photo_asked, drawing_asked, back_asked: nothing.
    """

    starter_chosen = Signal(str)
    recent_chosen = Signal(object)
    sample_chosen = Signal(object)
    open_asked = Signal()
    photo_asked = Signal()
    drawing_asked = Signal()
    back_asked = Signal()

    def __init__(self, shade: Shade, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._shade = shade
        self._waiting: list[tuple[Card, Callable[[], Build]]] = []
        self._recent: tuple[Path, ...] = ()
        self.setWidgetResizable(True)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setFocusPolicy(Qt.FocusPolicy.NoFocus)
        self.setAccessibleName(self.tr("Start"))
        self.starters, self.recent, self.samples, self.failing = (CardGrid() for _ in range(4))
        self._recent_title = Heading(self.tr("Recent builds"))
        self.back = button(self.tr("Back to the drawing"), self.tr("Go on with the build that is open (Esc)"))
        self.back.clicked.connect(self.back_asked)
        self.back.hide()
        self.open = button(self.tr("Open a file…"), self.tr("Open a build from a file (Ctrl+O)"))
        self.open.clicked.connect(self.open_asked)
        self.setWidget(self._page())
        self._timer = QTimer(self, interval=0)
        self._timer.timeout.connect(self._next_picture)

    # The page

    def _page(self) -> QWidget:
        choices: tuple[Part, ...] = (
            *(Heading(self.tr("Begin a head"), 1.5), self.starters, 18),
            *(self._recent_title, self.recent, 18),
            *(Heading(self.tr("Samples to try")), self.samples, 18),
            *(Heading(self.tr("To see what a problem looks like")), self.failing, None),
        )
        how = (_line(f"{number}.  {line}", self) for number, line in enumerate(how_lines(), start=1))
        side = Heading(self.tr("How this works")), *how, 12, self.open, self.back, None
        columns = filled(QVBoxLayout(), *choices, spacing=12), filled(QVBoxLayout(), *side, spacing=12)
        page = QWidget()
        margins = (MARGIN, MARGIN, MARGIN, MARGIN)
        filled(QHBoxLayout(page), (columns[0], 1), columns[1], margins=margins, spacing=40)
        return page

    # What is on it

    def set_recent(self, paths: tuple[Path, ...]) -> None:
        """Show the recent builds; those that are gone stand there faded."""
        self._recent = paths
        self._recent_title.setVisible(bool(paths))
        self.recent.setVisible(bool(paths))
        self.recent.set_cards(tuple(self._recent_card(path) for path in paths))
        self._continue()

    def set_can_go_back(self, can: bool) -> None:  # noqa: FBT001 - reads as Qt's setters
        """Whether there is a drawing to go back to."""
        self.back.setVisible(can)

    def setFocus(  # noqa: N802 - Qt's name
        self, reason: Qt.FocusReason = Qt.FocusReason.OtherFocusReason
    ) -> None:
        """The keyboard begins at the first starter."""
        self._fill_once()
        self.starters.cards[0].setFocus(reason)

    def set_shade(self, shade: Shade) -> None:
        """Follow a change between light and dark: every picture is painted again."""
        changed, self._shade = shade != self._shade, shade
        if changed and self.starters.cards:
            self._waiting.clear()
            self._fill()
            self.set_recent(self._recent)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """The page begins at its top, and the pictures when it is first seen."""
        if not event.spontaneous():  # a window that was minimised comes back as it was
            self.verticalScrollBar().setValue(0)
        self._fill_once()
        self._continue()
        super().showEvent(event)

    def keyPressEvent(self, event: QKeyEvent) -> None:  # noqa: N802 - Qt's name
        """Esc goes back to the drawing where there is one."""
        if event.key() == Qt.Key.Key_Escape and self.back.isVisibleTo(self):
            self.back_asked.emit()
        else:
            super().keyPressEvent(event)

    def _fill_once(self) -> None:
        if not self.starters.cards:
            self._fill()

    def _fill(self) -> None:
        shapes = tuple(self._starter_card(shape) for shape in get_args(StarterShape))
        self.starters.set_cards((*shapes, *self._own_cards()))
        self.samples.set_cards(tuple(self._sample_card(path) for path in samples()))
        self.failing.set_cards(tuple(self._sample_card(path) for path in failing_samples()))
        self._continue()

    def _starter_card(self, shape: StarterShape) -> Card:
        card = Card(*starter_words(shape))
        card.clicked.connect(lambda: self.starter_chosen.emit(shape))
        self._waiting.append((card, lambda: suggested(shape)))
        return card

    def _own_cards(self) -> tuple[Card, Card]:
        """The ways in for a head that is there already, after the starters."""
        photo = Card(self.tr("From a photo"), self.tr("or a scan of your own head"))
        photo.clicked.connect(self.photo_asked)
        drawing = Card(self.tr("From a drawing"), self.tr("SVG or DXF, or a table (CSV)"))
        drawing.clicked.connect(self.drawing_asked)
        for card, name in ((photo, "photo"), (drawing, "drawing")):
            card.set_picture(_sign(name, card.picture_size, self._shade, self.devicePixelRatio()))
        return photo, drawing

    @property
    def own_cards(self) -> tuple[Card, ...]:
        """The cards that begin with the maker's own head: from a photo, from a drawing."""
        self._fill_once()
        return self.starters.cards[-2:]

    def _recent_card(self, path: Path) -> Card:
        there = path.exists()
        card = Card(path.stem, str(path.parent) if there else self.tr("no longer there"), SMALL)
        card.setToolTip(in_tip(str(path)))
        card.setEnabled(there)
        card.clicked.connect(lambda: self.recent_chosen.emit(path))
        if there:
            self._waiting.append((card, lambda: load_build(path)))
        return card

    def _sample_card(self, path: Path) -> Card:
        words = path.stem.removeprefix(_FAILS).replace("-", " ").capitalize()
        if path.stem.startswith(_FAILS):
            words = self.tr("{fault} (fails on purpose)").format(fault=words)
        card = Card(words, picture=SMALL)
        card.clicked.connect(lambda: self.sample_chosen.emit(path))
        self._waiting.append((card, lambda: load_build(path)))
        return card

    # Pictures, one at a time

    def _continue(self) -> None:
        if self._waiting and self.isVisibleTo(self.window()):
            self._timer.start()

    def _next_picture(self) -> None:
        if not self._waiting:
            self._timer.stop()
            return
        card, make = self._waiting.pop(0)
        try:
            size = card.picture_size
            picture = head_picture(make(), size.width(), size.height(), self.devicePixelRatio(), self._shade)
            card.set_picture(picture)
        except Refusal:
            card.setToolTip(self.tr("This file cannot be read."))
        except RuntimeError:
            # The card went away while it was waiting: the list of recent builds was made anew.
            return


def _sign(name: str, room: QSize, shade: Shade, ratio: float) -> QPixmap:
    """An icon in the middle of the room for a picture."""
    picture = QPixmap(room * ratio)
    picture.setDevicePixelRatio(ratio)
    picture.fill(Qt.GlobalColor.transparent)
    sign = image(name, colours_of(shade).text, SIGN, ratio)
    painter = QPainter(picture)
    painter.drawPixmap(QPointF(room.width() - SIGN, room.height() - SIGN) / 2, sign)
    painter.end()
    return picture


def how_lines() -> tuple[str, ...]:
    """How this works, in four lines."""
    told = partial(QCoreApplication.translate, "Start")
    return (
        told("Choose a starter and say how wide your nut is."),
        told("Drag the outline and the tuners until they are yours; measure your tuners with calipers."),
        told("Watch the findings: stop means that it cannot be built, watch means have a look."),
        told("Print at true size, lay a steel rule on the printed rulers, tape it down and drill."),
    )


def _line(words: str, page: QWidget) -> QLabel:
    label = PlainLabel(words)
    label.setWordWrap(True)
    label.setMinimumWidth(page.fontMetrics().averageCharWidth() * 34)
    return label
