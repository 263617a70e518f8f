"""The sheets of strength and balance: what they draw, what they say, and that they keep to their page."""

from __future__ import annotations

from collections.abc import Callable
from itertools import pairwise

import pytest
import shapely
from msgspec.structs import astuple, replace

from export.drawing import Drawing, Mark, Role, Sheet, Text, reduced
from export.page import paginate_all
from export.page import room as page_room
from export.paper import PAPERS, Stamp
from export.sheets.balance import balance_sheets
from export.sheets.cautions import FOR_STRENGTH
from export.sheets.strength import STRENGTH
from export.sheets.strength_curve import fit_to, strength_drawing
from export.sheets.strength_plot import Fit
from geometry.bench.strength import strength
from geometry.document.build import Build
from geometry.layout.layout import lay_out
from geometry.shape.contour import Contour, through
from geometry.shape.point import Point, Vector
from geometry.shape.segment import Arc, Bounds, Circle, Cubic
from geometry.trade.shop import Shop
from tests.builds import READY_MADE, bass_two_and_two, plain_head, three_and_three, three_strings

Room = tuple[float, float]


def wooden(build: Build, wood: str = "sugar maple", **fields: object) -> Build:
    return replace(build, head=replace(build.head, wood=wood, **fields))


def room_of(stamp: Stamp, cautions: tuple[str, ...] = FOR_STRENGTH) -> Room:
    return page_room(Sheet("", "", Bounds(0.0, 0.0, 1.0, 1.0), Drawing(), cautions=cautions), stamp)


A4 = room_of(Stamp(build=""))


def sheets_of(build: Build, room: Room = A4, shop: Shop | None = None) -> tuple[Sheet, ...]:
    return STRENGTH.drawn(build, lay_out(build), shop or Shop(), room)


def words(sheets: tuple[Sheet, ...]) -> str:
    texts = [mark.shape for sheet in sheets for mark in sheet.drawing.marks if isinstance(mark.shape, Text)]
    return " ".join(text.words for text in texts)


def of_role(sheets: tuple[Sheet, ...], role: Role) -> list[Mark]:
    return [mark for sheet in sheets for mark in sheet.drawing.marks if mark.role is role]


def with_pitches(make: Callable[[], Build]) -> Build:
    """The build with a pull typed in for every string."""
    build = make()
    return replace(build, strings=tuple(replace(string, tension=70.0) for string in build.strings))


@pytest.mark.parametrize("make", READY_MADE)
def test_every_head_has_its_sheets_on_a4(make: Callable[[], Build]) -> None:
    build = wooden(with_pitches(make))
    sheets = sheets_of(build)
    assert len(paginate_all(sheets, Stamp(build=""))) == len(sheets) <= 2
    said = words(sheets)
    for part in (
        "% of what a code would allow",
        "of what a timber code would allow, weakest",
        "what the strings use",
        "Reserve for a knock",
        "Thin walls",
        "from memory",
        "Table 5-3a",
        "weakest",
    ):
        assert part in said


@pytest.mark.parametrize("paper", PAPERS)
def test_the_sheets_keep_to_any_paper(paper: str) -> None:
    stamp = Stamp(build="", paper=PAPERS[paper])
    build = wooden(three_and_three())
    layout = lay_out(build)
    sheets = (
        *sheets_of(build, room_of(stamp)),
        *balance_sheets(build, layout, Shop(), room_of(stamp, ())),
    )
    assert len(paginate_all(sheets, stamp)) == len(sheets)


def test_a_large_sheet_takes_all_on_one_page() -> None:
    (sheet,) = sheets_of(wooden(three_strings()), (260.0, 380.0))
    assert "What goes in" in words((sheet,))


def test_the_curve_is_as_far_right_as_the_figure_at_the_weakest_place() -> None:
    build = wooden(three_and_three())
    layout = lay_out(build)
    found = strength(build, layout)
    weakest = found.weakest
    assert weakest is not None
    drawing = strength_drawing(build, layout, found, "mm", Fit())
    rings = [
        mark.shape for mark in drawing.marks if mark.role is Role.WATCH and isinstance(mark.shape, Circle)
    ]
    curves = [
        mark.shape for mark in drawing.marks if mark.role is Role.CURVE and isinstance(mark.shape, Contour)
    ]
    points = [point for curve in curves for point in curve.points if point.y < layout.top]
    rightmost = max(points, key=lambda point: point.x)
    assert rings[0].centre.distance(rightmost) < 1e-9
    assert rightmost.y == weakest.y
    # Marked values stand in proportion, from 0 to 100 % at least.
    ticks = {mark.shape.words: mark.shape.at.x for mark in drawing.marks if isinstance(mark.shape, Text)}
    step = (ticks["100"] - ticks["0"]) * found.use(weakest)
    assert rightmost.x == pytest.approx(ticks["0"] + step)


def test_the_band_runs_on_both_sides_of_the_figure_where_the_grain_slopes() -> None:
    build = wooden(three_and_three())
    layout = lay_out(build)
    drawing = strength_drawing(build, layout, strength(build, layout), "mm", Fit())
    (figure,), (low, high) = (
        [mark.shape.bounds.right for mark in drawing.only(role).marks if mark.shape.bounds.height > 20]
        for role in (Role.CURVE, Role.SECOND_CURVE)
    )
    assert low < figure < high
    scarfed = replace(build, head=replace(build.head, joint="scarf"))
    layout = lay_out(scarfed)
    assert (
        not strength_drawing(scarfed, layout, strength(scarfed, layout), "mm", Fit())
        .only(Role.SECOND_CURVE)
        .marks
    )


@pytest.mark.parametrize("make", READY_MADE)
@pytest.mark.parametrize("factor", [0.5, 1.0])
def test_the_line_of_the_weakest_place_strikes_out_no_label(make: Callable[[], Build], factor: float) -> None:
    build = wooden(with_pitches(make))
    layout = lay_out(build)
    drawing = strength_drawing(build, layout, strength(build, layout), "mm", Fit(factor))
    lines = [
        mark.shape.bounds
        for mark in drawing.marks
        if mark.label == "weakest" and isinstance(mark.shape, Contour)
    ]
    assert lines
    assert len({line.bottom for line in lines}) == 1
    labels = [mark.shape.bounds for mark in drawing.only(Role.LABEL).marks]
    assert len(labels) == len(layout.posts)
    words = [mark.shape.bounds for mark in drawing.marks if isinstance(mark.shape, Text)]
    assert not any(box.overlaps(line) for box in words for line in lines)
    discs = [mark.shape for mark in drawing.only(Role.BORE).marks if isinstance(mark.shape, Circle)]
    for disc, label in zip(discs, labels, strict=True):
        assert label.centre.distance(disc.centre) < 0.5


@pytest.mark.parametrize("make", READY_MADE)
@pytest.mark.parametrize("fit", [Fit(), Fit(0.5, 50.0), Fit(0.55, 40.0)], ids=["true", "half", "window"])
def test_the_word_at_the_weakest_place_stands_clear_of_the_curves(
    make: Callable[[], Build], fit: Fit
) -> None:
    build = wooden(with_pitches(make), "true mahogany")
    layout = lay_out(build)
    drawing = strength_drawing(build, layout, strength(build, layout), "mm", fit)
    (word,) = (
        mark.shape.bounds
        for mark in drawing.marks
        if isinstance(mark.shape, Text) and mark.shape.words == "weakest"
    )
    curves = [mark.shape for mark in drawing.only(Role.CURVE, Role.SECOND_CURVE).marks]
    box = shapely.box(*astuple(word))
    for curve in curves:
        assert isinstance(curve, Contour)
        assert shapely.LineString([(at.x, at.y) for at in curve.points]).distance(box) > 0.5


def test_a_head_beyond_what_is_usual_is_marked_as_stop() -> None:
    build = wooden(three_and_three(), "western redcedar", thickness_nut=5.0, thickness_tip=5.0)
    sheets = sheets_of(build)
    assert "beyond what is usual: scarf it or thicken it." in words(sheets)
    marks = of_role(sheets, Role.STOP)
    assert {mark.label for mark in marks} == {"weakest"}
    assert sum(isinstance(mark.shape, Circle) for mark in marks) == 1
    assert not of_role(sheets, Role.WATCH)
    assert of_role(sheets, Role.WATCH) == []


def test_without_a_wood_stresses_are_drawn() -> None:
    said = words(sheets_of(wooden(three_and_three(), "")))
    assert "stress in MPa" in said
    assert "not named" in said
    assert "timber code would allow" not in said
    inches = words(sheets_of(wooden(three_and_three(), ""), shop=Shop(units="inch")))
    assert "stress in psi" in inches
    assert "MPa" not in inches


def test_what_is_reduced_says_so() -> None:
    build = wooden(with_pitches(bass_two_and_two))
    room = (A4[0] - 2.0, A4[1] - 2.0)
    fit = fit_to(build, lay_out(build), room, "mm")
    assert 0.8 < fit.factor < 1
    assert f"Drawn at {100 * fit.factor // 1:.0f} % of its size." in words(sheets_of(build))
    assert "of its size" not in words(sheets_of(wooden(three_strings())))


def marked_values(drawing: Drawing) -> list[Text]:
    """The numbers under the plot, from the left."""
    texts = [mark.shape for mark in drawing.marks if isinstance(mark.shape, Text)]
    lowest = min(text.at.y for text in texts)
    return [text for text in texts if text.at.y == lowest]


@pytest.mark.parametrize("make", READY_MADE)
def test_a_narrow_room_has_the_plot_without_the_head(make: Callable[[], Build]) -> None:
    build = wooden(with_pitches(make))
    layout, wide = lay_out(build), 56.0
    found = strength(build, layout)
    fit = fit_to(build, layout, (wide, 120.0), "mm")
    drawing = strength_drawing(build, layout, found, "mm", fit)
    assert not fit.head
    assert drawing.bounds.width <= wide
    assert drawing.bounds.height <= 120.0
    marks = {mark.role for mark in drawing.marks}
    assert Role.CURVE in marks
    assert not marks & {Role.OUTLINE, Role.BORE, Role.STRING_PATH}
    values = marked_values(drawing)
    assert {"0", "100"} <= {text.words for text in values}
    assert all(one.bounds.right < other.bounds.left for one, other in pairwise(values))
    heights = {mark.shape.words: mark.shape.at.y for mark in drawing.marks if isinstance(mark.shape, Text)}
    assert heights["100 mm"] - heights["nut"] == pytest.approx(100.0 * fit.factor)


def test_marked_values_that_would_run_into_each_other_are_left_out() -> None:
    build = wooden(three_and_three())
    layout = lay_out(build)
    fit = Fit(factor=0.3, plot=20.0, head=False)
    drawing = strength_drawing(build, layout, strength(build, layout), "mm", fit)
    values = marked_values(drawing)
    assert (
        2
        < len(values)
        < len(marked_values(strength_drawing(build, layout, strength(build, layout), "mm", Fit())))
    )
    assert all(one.bounds.right < other.bounds.left for one, other in pairwise(values))


def test_inputs_name_joint_volute_and_missing_pulls() -> None:
    build = wooden(three_and_three(), joint="scarf", volute_height=3.0, volute_length=24.0)
    said = words(sheets_of(build))
    assert "14°, scarf" in said
    assert "16.0 mm deep" in said
    assert "3.0 mm high, 24.0 mm long" in said
    partly = replace(build, strings=(replace(build.strings[0], name="?"), *build.strings[1:]))
    assert "5 strings, 1 not known" in words(sheets_of(partly))


def test_inches() -> None:
    said = words(sheets_of(wooden(three_and_three()), shop=Shop(units="inch")))
    assert "1 in" in said.split("nut", 1)[1]
    assert " lbf on 6 strings" in said
    assert " lbf) at the tip" in said
    assert " psi" in said
    assert not any(sign in said for sign in (" N ", " MPa", " mm"))


def test_a_head_of_one_thickness_has_one() -> None:
    even, tapered = (
        words(sheets_of(wooden(three_and_three(), thickness_nut=14.0, thickness_tip=tip)))
        for tip in (14.0, 12.0)
    )
    assert "14.0 mm to 12.0 mm" in tapered
    assert "14.0 mm to" not in even


def test_no_pull_no_sheet_and_no_tuners_no_balance() -> None:
    build = plain_head()
    assert sheets_of(build) == ()
    assert balance_sheets(build, lay_out(build), Shop(), A4) == ()


def test_a_head_without_strings_is_drawn_bare() -> None:
    build = wooden(plain_head())
    layout = lay_out(build)
    drawing = strength_drawing(build, layout, strength(build, layout), "mm", Fit())
    assert not any(mark.label == "weakest" for mark in drawing.marks)
    assert any(mark.role is Role.OUTLINE for mark in drawing.marks)


def test_balance_tells_what_lighter_buttons_save() -> None:
    build = wooden(three_and_three())
    said = words(balance_sheets(build, lay_out(build), Shop(), A4))
    assert "The head weighs" in said
    assert "buttons of plastic or wood" in said
    assert "29 g" in said
    unknown = tuple(replace(each, body_mass=0.0) for each in build.hardware)
    bare = replace(build, hardware=unknown)
    assert "is not known: weigh one" in words(balance_sheets(bare, lay_out(bare), Shop(), A4))


def test_reduced_drawings() -> None:
    arc, cubic = (
        Arc(Point(0, 0), Point(8, 0), 0.5),
        Cubic(Point(8, 0), Point(16, 4), Vector(2, 0), Vector(-2, 0)),
    )
    drawing = Drawing(
        (
            Mark(Role.OUTLINE, Contour((arc, cubic))),
            Mark(Role.BORE, Circle(Point(4, 4), 2.0), "post 1"),
            Mark(Role.LABEL, Text(Point(6, 2), 3.0, "1")),
            Mark(Role.NUT_LINE, through((Point(0, 0), Point(10, 2)))),
        )
    )
    outline, bore, label, line = reduced(drawing, 0.5).marks
    assert isinstance(outline.shape, Contour)
    half_arc, half_cubic = outline.shape.segments
    assert half_arc.length == pytest.approx(arc.length / 2)
    assert half_cubic.length == pytest.approx(cubic.length / 2)
    assert bore == Mark(Role.BORE, Circle(Point(2, 2), 1.0), "post 1")
    assert label.shape == Text(Point(3, 1), 3.0, "1")
    assert line.bounds == Bounds(0, 0, 5, 1)
    assert reduced(drawing, 1.0) is drawing
