"""The list of findings: its rows, its words, its limits, and how calm it stays."""

from __future__ import annotations

from pathlib import Path

import msgspec
import pytest
from PySide6.QtCore import QEvent, QPoint, QRect, Qt
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.finding_rows import (
    Bar,
    FindingRow,
    FoldRow,
    LimitsRow,
    bar_of,
    first_fine,
    identity,
    measured_words,
    rows_of,
    rules_of,
    verdict,
)
from app.panels.findings_panel import FindingsPanel
from app.widgets.number_field import NumberField
from geometry.checks.gaps import Part
from geometry.checks.judge import Finding, Level, findings
from geometry.checks.words import say
from geometry.document import edits
from geometry.trade.bore_fit import with_drawn_bore
from geometry.trade.limits import ChangedLimit
from geometry.trade.measured import measures, with_measured
from tests.app.panels.hands import SCREENLESS, point, press, shown, type_in
from tests.builds import LEVEL, change, plain_head, row, six_in_line, three_and_three, twelve_strings

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


def thin(inset: float = 7.0, count: int = 1) -> Session:
    """A plain head with 5 mm bores so near the edge that the wall is `inset` - 5."""
    build = plain_head(row("treble", count))
    rule = msgspec.structs.replace(build.rows[0].rule, inset=inset)
    return Session(edits.set_rule(build, "treble", rule))


def panel_of(qtbot: QtBot, session: Session) -> FindingsPanel:
    return shown(qtbot, FindingsPanel(session))


def finding(level: Level = Level.WATCH, **fields: object) -> Finding:
    ready: dict[str, object] = {
        "check": "wall",
        "level": level,
        "measured": 4.0,
        "watch": 4.8,
        "stop": 3.0,
        "margin": 1.0,
        "unit": "mm",
        "sense": "at least",
        "where": None,
        "about": (Part("bore", "p1", "1"), Part("edge", "", "treble")),
    }
    return Finding(**(ready | fields))  # type: ignore[arg-type]


def row_of(panel: FindingsPanel, check: str) -> int:
    return next(
        n
        for n, each in enumerate(panel.model.rows)
        if isinstance(each, FindingRow) and each.finding.check == check
    )


def centre(panel: FindingsPanel, place: int) -> QPoint:
    return panel.list.visualRect(panel.model.index(place)).center()


def link(panel: FindingsPanel, place: int) -> QPoint:
    """Where the words "limits" stand in a row."""
    area = panel.list.visualRect(panel.model.index(place))
    return QPoint(area.right() - 24, area.bottom() - 14)


# Rows


def test_what_is_bad_is_shown_and_what_is_fine_is_counted() -> None:
    found = findings(thin().build)
    bad = first_fine(found)
    assert [each.level for each in found[:bad]].count(Level.FINE) == 0
    assert {each.level for each in found[bad:]} == {Level.FINE}
    rows = rows_of(found, fine_shown=False, limits_of=None)
    assert rows == [*(FindingRow(each) for each in found[:bad]), FoldRow(len(found) - bad, opened=False)]
    opened = rows_of(found, fine_shown=True, limits_of=None)
    assert [each for each in opened if isinstance(each, FindingRow)] == [FindingRow(each) for each in found]


@pytest.mark.parametrize("fine_shown", [True, False])
def test_limits_open_under_their_finding(fine_shown: bool) -> None:
    found = findings(thin().build)
    for wanted in (found[0], found[-1]):
        rows = rows_of(found, fine_shown=fine_shown, limits_of=identity(wanted))
        place = rows.index(LimitsRow(wanted.check))
        assert rows[place - 1] == FindingRow(wanted)
    assert LimitsRow("wall") not in rows_of(found, fine_shown=fine_shown, limits_of=("wall", ()))


def test_without_findings_there_are_no_rows() -> None:
    assert rows_of((), fine_shown=False, limits_of=None) == []


# Words and numbers


@pytest.mark.parametrize(
    ("measured", "filled"),
    # From 3 - 2.4 to 4.8 + 3.6: half and three quarters of the largest limit.
    [(4.5, (4.5 - 0.6) / 7.8), (0.0, 0.0), (20.0, 1.0)],
)
def test_a_bar_shows_the_margin(measured: float, filled: float) -> None:
    bar = bar_of(finding(measured=measured))
    assert bar is not None
    assert bar.filled == pytest.approx(filled)
    assert bar.stop == pytest.approx(2.4 / 7.8)
    assert bar.watch == pytest.approx(4.2 / 7.8)


def test_a_bar_needs_only_one_limit_and_none_is_drawn_for_counts() -> None:
    assert bar_of(finding(watch=None, stop=0.0, measured=0.125)) == Bar(filled=0.5, watch=None, stop=0.4)
    assert bar_of(finding(measured=None)) is None
    assert bar_of(finding(unit="")) is None


@pytest.mark.parametrize(
    ("fields", "room", "words"),
    [
        ({}, 99, "4.0 mm (≥ 4.8 mm)"),
        ({"level": Level.STOP, "measured": 2.0}, 99, "2.0 mm (≥ 3.0 mm)"),
        ({"unit": "deg", "sense": "at most", "watch": 13.0, "stop": None}, 99, "4.0° (≤ 13.0°)"),
        ({"unit": "%", "sense": "at most", "watch": 75.0, "stop": 95.0}, 99, "4 % (≤ 75 %)"),
        ({}, 15, "4.0 (≥ 4.8 mm)"),
        ({"unit": "deg", "sense": "at most", "watch": 13.0, "stop": None}, 14, "4.0° (≤ 13.0°)"),
        ({"unit": "%", "sense": "at most", "watch": 75.0, "stop": 95.0}, 11, "4 (≤ 75 %)"),
        ({}, 8, "4.0 mm"),
        ({}, 3, ""),
        ({"measured": None}, 99, ""),
        ({"unit": ""}, 99, ""),
    ],
)
def test_measured_and_asked_for_in_short(fields: dict[str, object], room: int, words: str) -> None:
    assert measured_words(finding(**fields), "mm", room, len) == words  # type: ignore[arg-type]


def test_the_headline_says_whether_it_can_be_drilled() -> None:
    stop, watch, fine = finding(Level.STOP), finding(Level.WATCH), finding(Level.FINE)
    assert verdict((stop, stop, watch, fine)) == (Level.STOP, "Do not drill: fix 2 problems first.")
    assert verdict((watch, fine)) == (Level.WATCH, "It can be drilled; look at 1 finding first.")
    assert verdict((fine,)) == (Level.FINE, "It can be drilled: everything clears.")


def test_rules_of_a_check() -> None:
    assert [rule.name for rule in rules_of("web")] == ["web along grain", "web across grain"]
    assert [rule.name for rule in rules_of("wall")] == ["wall"]
    assert rules_of("outline") == ()


# The panel


def test_every_row_has_its_words(qtbot: QtBot) -> None:
    session = thin()
    panel = panel_of(qtbot, session)
    assert panel.sentence.text().startswith("Do not drill")
    first = panel.model.index(0)
    worst = session.scene.findings[0]
    assert first.data() == say(worst)
    assert first.data(Qt.ItemDataRole.AccessibleTextRole) == f"Stop: {say(worst)}"
    assert "limit" in first.data(Qt.ItemDataRole.ToolTipRole)
    assert first.data(Qt.ItemDataRole.DecorationRole) is None
    fold = panel.model.index(panel.model.rowCount() - 1)
    fine = sum(each.level is Level.FINE for each in session.scene.findings)
    assert fold.data() == f"{fine} fine"
    assert fold.data(Qt.ItemDataRole.DecorationRole) is None
    panel.set_units("inch")
    assert first.data() == say(worst, "inch")


@pytest.mark.parametrize("key", [Qt.Key.Key_Return, Qt.Key.Key_Space])
def test_the_fold_opens_and_closes(qtbot: QtBot, key: Qt.Key) -> None:
    session = thin()
    panel = panel_of(qtbot, session)
    folded = panel.model.rowCount()
    panel.list.setCurrentIndex(panel.model.index(folded - 1))
    QTest.keyClick(panel.list, key)
    assert panel.model.rowCount() == len(session.scene.findings) + 1
    assert not panel.grab().isNull()
    QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=centre(panel, folded - 1))
    assert panel.model.rowCount() == folded


def test_a_click_and_enter_choose(qtbot: QtBot) -> None:
    session = thin(count=3)
    panel = shown(qtbot, FindingsPanel(session), height=1500)
    with qtbot.waitSignal(panel.chosen) as told:
        QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=centre(panel, 1))
    assert told.args == [session.scene.findings[1]]
    QTest.keyClick(panel.list, Qt.Key.Key_Down)
    with qtbot.waitSignal(panel.chosen) as told:
        QTest.keyClick(panel.list, Qt.Key.Key_Enter)
    assert told.args == [session.scene.findings[2]]
    with qtbot.assertNotEmitted(panel.chosen):
        QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.RightButton, pos=centre(panel, 1))
        below = QPoint(20, panel.list.viewport().height() - 2)
        QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=below)


def test_mouse_and_keyboard_point(qtbot: QtBot) -> None:
    session = thin(count=3)
    panel = panel_of(qtbot, session)
    with qtbot.waitSignal(panel.hovered) as told:
        point(panel.list.viewport(), centre(panel, 2))
    assert told.args == [session.scene.findings[2]]
    with qtbot.waitSignal(panel.hovered) as told:
        QApplication.sendEvent(panel.list, QEvent(QEvent.Type.Leave))
    assert told.args == [None]
    with qtbot.waitSignal(panel.hovered) as told:
        panel.list.setFocus()
        panel.list.setCurrentIndex(panel.model.index(1))
    assert told.args == [session.scene.findings[1]]


def test_what_is_pointed_at_is_measured_anew(qtbot: QtBot) -> None:
    session = thin()
    panel = panel_of(qtbot, session)
    panel.list.setCurrentIndex(panel.model.index(row_of(panel, "wall")))
    rule = msgspec.structs.replace(session.build.rows[0].rule, inset=7.5)
    with qtbot.waitSignal(panel.hovered) as told:
        session.act("inset", lambda build: edits.set_rule(build, "treble", rule))
    assert told.args[0].measured == pytest.approx(2.5)
    with qtbot.waitSignal(panel.hovered) as told:
        session.act("no row", lambda build: edits.remove_row(build, "treble"))
    assert told.args == [None]


def test_the_cursor_stays_on_its_finding_while_others_come(qtbot: QtBot) -> None:
    session = thin(inset=8.5, count=3)
    panel = panel_of(qtbot, session)
    watched = row_of(panel, "wall")
    wanted = identity(panel.model.rows[watched].finding)  # type: ignore[union-attr]
    panel.list.setCurrentIndex(panel.model.index(watched))
    chosen = session.scene.findings[watched].about[0].key
    other = next(post.key for post in session.build.rows[0].posts if post.key != chosen)
    session.act("worse", lambda build: edits.move_post(build, other, 0.0, -3.0))
    now = panel.list.finding_at(panel.list.currentIndex())
    assert now is not None
    assert identity(now) == wanted
    assert panel.list.currentIndex().row() != watched


def test_the_list_stays_where_it_is_scrolled_to(qtbot: QtBot) -> None:
    session = Session(twelve_strings())
    panel = panel_of(qtbot, session)
    panel.list.setCurrentIndex(panel.model.index(panel.model.rowCount() - 1))
    QTest.keyClick(panel.list, Qt.Key.Key_Return)
    QApplication.processEvents()
    panel.list.verticalScrollBar().setValue(400)
    assert panel.list.verticalScrollBar().value() == 400
    post = session.build.rows[0].posts[0].key
    for step in range(1, 6):
        session.preview(edits.move_post(session.build, post, 0.1 * step, 0.0))
        QApplication.processEvents()
        assert panel.list.verticalScrollBar().value() == 400


def test_rows_lie_one_below_the_other_whether_there_is_a_scroll_bar_or_not(qtbot: QtBot) -> None:
    """A scroll bar takes width, so that sentences wrap anew and rows are higher."""
    panel = panel_of(qtbot, Session(twelve_strings()))
    bars = set()
    for width in (260, 300, 340):
        for height in (900, 400, 1400, 300):
            panel.resize(width, height)
            QApplication.processEvents()
            bars.add(panel.list.verticalScrollBar().isVisible())
            areas = [panel.list.visualRect(panel.model.index(n)) for n in range(panel.model.rowCount())]
            assert [one.bottom() + 1 for one in areas[:-1]] == [two.top() for two in areas[1:]]
    assert bars == {False, True}


# Limits


def test_limits_are_changed_next_to_the_finding(qtbot: QtBot) -> None:
    session = thin()
    panel = panel_of(qtbot, session)
    place = row_of(panel, "wall")
    QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=link(panel, place))
    assert isinstance(panel.model.rows[place + 1], LimitsRow)
    fields = {field.accessibleName(): field for field in panel.findChildren(NumberField)}
    stop = fields["wall: Stop below"]
    assert fields["wall: Good from"].hasFocus()
    type_in(stop, "1.5")
    type_in(fields["wall: Stop below, or × bore"], "0.1")
    changed = ChangedLimit(rule="wall", level="stop", least=1.5, of_bore=0.1)
    assert list(session.build.limits) == [changed]
    assert session.history.undo_label == "Change the limit of wall"
    wall = next(each for each in session.scene.findings if each.check == "wall")
    assert (wall.stop, wall.level) == (1.5, Level.WATCH)
    assert panel.foot.isVisible()
    assert panel.changed_count.text() == "Changed limits: 1"
    assert panel.model.changed_limit(wall)
    assert not panel.grab().isNull()
    panel.set_units("inch")
    assert stop.text() == "0.059 in"
    panel.set_units("mm")
    type_in(stop, "3")
    type_in(fields["wall: Stop below, or × bore"], "0.25")
    assert list(session.build.limits) == []
    assert not panel.foot.isVisible()


def test_a_finding_that_becomes_fine_stays_until_its_limits_are_closed(qtbot: QtBot) -> None:
    session = thin(inset=9.0)
    panel = panel_of(qtbot, session)
    place = row_of(panel, "wall")
    panel.list.setCurrentIndex(panel.model.index(place))
    QTest.keyClick(panel.list, Qt.Key.Key_L)
    editor = panel._editor
    assert editor is not None
    good = editor.findChildren(NumberField)[0]
    type_in(good, "2")
    type_in(editor.findChildren(NumberField)[1], "0.1")
    wall = next(each for each in session.scene.findings if each.check == "wall")
    assert wall.level is Level.FINE
    assert FindingRow(wall) in panel.model.rows
    press(editor.reset)
    assert session.build.limits == ()
    QTest.keyClick(good, Qt.Key.Key_Escape)
    assert panel._editor is None
    assert panel.list.hasFocus()
    assert not any(isinstance(each, LimitsRow) for each in panel.model.rows)


def test_limits_of_both_directions_of_the_grain(qtbot: QtBot) -> None:
    build = plain_head(row("treble", 2))
    rule = msgspec.structs.replace(build.rows[0].rule, pitch=15.0)
    session = Session(edits.set_rule(build, "treble", rule))
    panel = panel_of(qtbot, session)
    web = next(each for each in session.scene.findings if each.check == "web")
    panel.toggle_limits(web)
    assert panel._editor is not None
    names = [field.accessibleName() for field in panel._editor.findChildren(NumberField)]
    assert "web along grain: Good from, or × bore" in names
    assert "web across grain: Stop below" in names
    QTest.keyClick(panel._editor, Qt.Key.Key_A)
    assert panel._editor is not None
    panel.toggle_limits(web)
    assert panel._editor is None


def test_angles_have_their_own_words_and_counts_have_no_limits(qtbot: QtBot) -> None:
    session = Session(three_and_three())
    panel = panel_of(qtbot, session)
    splay = next(each for each in session.scene.findings if each.check == "splay")
    panel.toggle_limits(splay)
    assert panel._editor is not None
    (field,) = panel._editor.findChildren(NumberField)
    assert field.accessibleName() == "splay: Good up to"
    assert field.text() == "13°"
    stress = next(each for each in session.scene.findings if each.check == "string stress")
    panel.toggle_limits(splay)
    panel.toggle_limits(stress)
    assert [each.text() for each in panel._editor.findChildren(NumberField)] == ["75 %", "95 %"]
    outline = next(each for each in session.scene.findings if each.check == "outline")
    panel.toggle_limits(outline)
    assert panel._editor is None


def test_limits_close_when_their_finding_is_gone(qtbot: QtBot) -> None:
    session = thin()
    panel = panel_of(qtbot, session)
    panel.toggle_limits(session.scene.findings[row_of(panel, "wall")])
    session.act("no row", lambda build: edits.remove_row(build, "treble"))
    assert panel._editor is None


def test_all_limits_are_reset_at_once(qtbot: QtBot) -> None:
    session = thin()
    changed = ChangedLimit(rule="splay", level="watch", least=20.0)
    session.act("limit", lambda build: edits.set_limit(build, changed))
    panel = panel_of(qtbot, session)
    press(panel.reset_all)
    assert session.build.limits == ()
    assert session.history.undo_label == "Reset all limits"


def test_limits_go_with_their_row(qtbot: QtBot) -> None:
    session = thin(count=3)
    panel = shown(qtbot, FindingsPanel(session), height=300)
    panel.toggle_limits(session.scene.findings[0])
    QApplication.processEvents()
    assert panel._editor is not None

    def room() -> QRect:
        place = panel.model.row_place(LimitsRow)
        assert place is not None
        return panel.list.visualRect(panel.model.index(place))

    assert panel._editor.geometry() == room()
    assert room().height() >= panel._editor.minimumSizeHint().height()
    panel.list.verticalScrollBar().setValue(30)
    assert panel._editor.geometry() == room()
    panel.resize(420, 300)
    QApplication.processEvents()
    assert panel._editor.geometry() == room()


def test_the_sign_follows_the_palette(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, thin())
    before = panel.sign.pixmap().toImage()
    palette = panel.palette()
    palette.setColor(palette.ColorRole.Base, Qt.GlobalColor.black)
    panel.setPalette(palette)
    assert panel.sign.pixmap().toImage() != before
    assert panel.sizeHint().width() >= 280


def test_two_lines_are_kept_for_the_rings_in_any_size_of_type(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, thin())
    before = panel.rings.minimumHeight()
    font = panel.font()
    font.setPointSizeF(2 * font.pointSizeF())
    panel.setFont(font)
    assert panel.rings.minimumHeight() == 2 * panel.rings.fontMetrics().lineSpacing() > before


def test_the_words_limits_are_pointed_at(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, thin())
    place = row_of(panel, "wall")
    point(panel.list.viewport(), centre(panel, place))
    point(panel.list.viewport(), link(panel, place))
    assert panel.list.viewport().cursor().shape() is Qt.CursorShape.PointingHandCursor
    point(panel.list.viewport(), centre(panel, place))
    assert panel.list.viewport().cursor().shape() is Qt.CursorShape.ArrowCursor
    QTest.keyClick(panel.list, Qt.Key.Key_Home)


def test_long_lists_forget_old_sentences(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, thin())
    for step in range(2100):
        panel.model.words(finding(measured=float(step)))
    assert len(panel.model._said) < 2100
    fonts = panel.list.fontMetrics()
    for step in range(4100):
        panel.list._painter._text_height("x", fonts, 10 + step)
    assert len(panel.list._painter._text_heights) < 4100


# Acts


def loose(qtbot: QtBot) -> tuple[Session, FindingsPanel]:
    """Bores of 9 mm in maple for ribs of 8.8: drills of 8.63 to 8.75 are good."""
    build = six_in_line(head=change(LEVEL, wood="sugar maple"))
    session = Session(change(build, hardware=tuple(with_drawn_bore(each, 9.0) for each in build.hardware)))
    return session, panel_of(qtbot, session)


def fit_row(panel: FindingsPanel) -> tuple[Finding, QRect]:
    """The finding about the bores, and where its row is."""
    (finding,) = (each for each in panel.session.scene.findings if each.check == "bore fit")
    place = panel.model.place(identity(finding))
    assert place is not None
    return finding, panel.list.visualRect(panel.model.index(place))


def test_a_click_uses_the_bore_that_suits_and_one_undo_takes_it_back(qtbot: QtBot) -> None:
    session, panel = loose(qtbot)
    before = session.build
    finding, rect = fit_row(panel)
    assert panel.model.act_words(finding) == "Use 8.7 mm"
    link = panel.list._painter.act_link(rect, panel.list.fontMetrics(), finding)
    QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=link.center())
    assert session.build.hardware[0].bore.through == 8.7
    assert session.history.undo_label == "Bores: use 8.7 mm"
    assert all(each.level is Level.FINE for each in session.scene.findings if each.check == "bore fit")
    session.undo()
    assert session.build == before


def test_the_same_by_a_key_and_for_a_screen_reader(qtbot: QtBot) -> None:
    session, panel = loose(qtbot)
    finding, _ = fit_row(panel)
    index = panel.model.index(panel.model.place(identity(finding)) or 0)
    assert index.data(Qt.ItemDataRole.AccessibleTextRole).endswith("Use 8.7 mm")
    assert "U does this: Use 8.7 mm." in index.data(Qt.ItemDataRole.ToolTipRole)
    panel.list.setCurrentIndex(index)
    QTest.keyClick(panel.list, Qt.Key.Key_U)
    assert session.build.hardware[0].bore.through == 8.7
    # Nothing is offered about it any more, nor about other findings.
    assert all(panel.model.act(each) is None for each in session.scene.findings)


def test_the_drill_is_one_of_the_shop(qtbot: QtBot, tmp_path: Path) -> None:
    session, _ = loose(qtbot)
    store = SettingsStore(tmp_path / "config", tmp_path / "state")
    panel = shown(qtbot, FindingsPanel(session, "inch", store=store))
    finding, _ = fit_row(panel)
    store.keep_shop(change(store.settings.shop, drill_sets=("fraction",)))
    assert panel.model.act_words(finding) == "Use 11/32 in"
    store.keep_shop(change(store.settings.shop, drill_sets=()))
    assert panel.model.act_words(finding) == "Use 0.343 in"


def chosen_rows(panel: FindingsPanel) -> list[FindingRow]:
    """The findings that are shown as chosen."""
    rows = (panel.model.rows[each.row()] for each in panel.list.selectedIndexes())
    return [each for each in rows if isinstance(each, FindingRow)]


def test_findings_that_come_while_a_hand_drags_are_not_chosen(qtbot: QtBot) -> None:
    """The cursor on what is fine goes with that, not to what takes its row."""
    session = thin(inset=12.0, count=3)
    panel = panel_of(qtbot, session)
    fold = panel.model.row_place(FoldRow)
    assert fold is not None
    for _ in range(2):
        QTest.mouseClick(panel.list.viewport(), Qt.MouseButton.LeftButton, pos=centre(panel, fold))
    for inset in (9.0, 12.0, 9.0):
        rule = msgspec.structs.replace(session.build.rows[0].rule, inset=inset)
        session.preview(edits.set_rule(session.build, "treble", rule))
        assert chosen_rows(panel) == []
    session.commit("Move")
    assert any(each.finding.check == "wall" for each in panel.model.rows if isinstance(each, FindingRow))
    assert chosen_rows(panel) == []


def test_a_finding_that_went_in_a_drag_is_not_chosen_when_it_is_back(qtbot: QtBot) -> None:
    session = thin(inset=9.0)
    panel = panel_of(qtbot, session)
    panel.list.setCurrentIndex(panel.model.index(row_of(panel, "wall")))
    assert [each.finding.check for each in chosen_rows(panel)] == ["wall"]
    for inset in (12.0, 9.0):
        rule = msgspec.structs.replace(session.build.rows[0].rule, inset=inset)
        session.preview(edits.set_rule(session.build, "treble", rule))
        assert chosen_rows(panel) == []
    session.cancel()


def test_typical_measures_are_counted_below_the_headline(qtbot: QtBot) -> None:
    session = Session(three_and_three())
    panel = panel_of(qtbot, session)
    assert panel.typical.text() == "All tuner measures are typical: measure yours."
    (tuner,) = session.build.hardware
    typed = with_measured(tuner, measures(tuner).keys() - {"seat.along", "seat.across", "body_mass"})
    session.act("Measure", lambda build: edits.change_hardware(build, typed))
    assert panel.typical.isVisible()
    assert panel.typical.text() == "3 measures of the tuners are typical: measure yours."
    every = with_measured(tuner, measures(tuner).keys())
    session.act("Measure", lambda build: edits.change_hardware(build, every))
    assert not panel.typical.isVisible()
