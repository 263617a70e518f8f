"""The head in the panel: every field is an act, every act is undone exactly."""

from __future__ import annotations

from pathlib import Path

import pytest
from msgspec.structs import replace
from PySide6.QtCore import QLocale, Qt
from PySide6.QtGui import QColor, QPalette
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QLabel, QLineEdit, QStyledItemDelegate
from pytestqt.qtbot import QtBot

from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.head_panel import HeadPanel, blank_round
from app.widgets.number_field import NumberField
from app.widgets.wood_combo import BAR
from geometry.document.build import Blank
from geometry.document.edits import free_outline, mirrored
from geometry.document.outline import Nodes, Starter
from geometry.document.starters import STARTERS
from geometry.shape.bounds import Bounds
from geometry.trade.shop import OwnWood
from geometry.trade.wood import WOODS
from tests.app.panels.hands import SCREENLESS, pick, press, shown, type_in
from tests.builds import nodes, plain_head, three_and_three

pytestmark = pytest.mark.qt_log_ignore(SCREENLESS)


def starter_session(shape: str = "waisted") -> Session:
    starter = next(each for key, each in STARTERS.items() if key == shape)
    return Session(replace(three_and_three(), outline=starter))


def panel_of(qtbot: QtBot, session: Session) -> HeadPanel:
    return shown(qtbot, HeadPanel(session), height=1200)


@pytest.mark.parametrize(
    "field", ["length", "width_low", "width_high", "shoulder", "tip_rise", "corner", "waist"]
)
def test_a_starter_follows_its_numbers(qtbot: QtBot, field: str) -> None:
    session = starter_session()
    before = session.build
    panel = panel_of(qtbot, session)
    type_in(panel.starter.fields[field], "20.5")
    outline = session.build.outline
    assert isinstance(before.outline, Starter)
    assert outline == replace(before.outline, **{field: 20.5})
    session.undo()
    assert session.build == before


def test_only_a_one_sided_starter_leans(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, starter_session())
    assert not panel.starter.fields["lean_deg"].isVisible()
    leaning = panel_of(qtbot, starter_session("one-sided"))
    type_in(leaning.starter.fields["lean_deg"], "12")
    outline = leaning.session.build.outline
    assert isinstance(outline, Starter)
    assert outline.lean_deg == 12.0


def test_the_outline_is_freed_and_begun_anew(qtbot: QtBot) -> None:
    session = starter_session()
    before = session.build
    panel = panel_of(qtbot, session)
    press(panel.free)
    assert session.build == free_outline(before)
    assert not panel.free.isVisible()
    assert panel.freed.isVisible()
    assert panel.shape.currentText() == "Free"
    assert not panel.starter.fields["length"].isVisible()
    pick(panel.shape, "Narrow")
    assert session.build.outline == STARTERS["narrow"]
    assert session.history.undo_label == "Take the shape narrow"
    session.undo()
    assert isinstance(session.build.outline, Nodes)
    pick(panel.shape, "Free")
    assert isinstance(session.build.outline, Nodes)


@pytest.mark.parametrize(
    ("field", "text", "value"),
    [
        ("thickness_nut", "9/16 in", 14.2875),
        ("thickness_tip", "14.5", 14.5),
        ("angle_deg", "13.5", 13.5),
        ("back_flat_from", "20", 20.0),
        ("edge_face", "1", 1.0),
        ("edge_back", "1.5", 1.5),
        ("binding", "2", 2.0),
        ("grain_deg", "-5", -5.0),
        ("neck_depth", "5/8 in", 15.875),
        ("volute_height", "3", 3.0),
        ("volute_length", "1 in", 25.4),
    ],
)
def test_the_wood_follows_its_numbers(qtbot: QtBot, field: str, text: str, value: float) -> None:
    session = Session(three_and_three())
    before = session.build
    panel = panel_of(qtbot, session)
    type_in(panel.wood_numbers.fields[field], text)
    assert session.build == replace(before, head=replace(before.head, **{field: value}))
    session.undo()
    assert session.build == before
    assert panel.wood_numbers.fields[field].value == getattr(before.head, field)


def test_the_joint_of_the_head(qtbot: QtBot) -> None:
    session = Session(three_and_three())
    before = session.build
    panel = panel_of(qtbot, session)
    assert panel.joint.currentText() == "One piece with the neck"
    pick(panel.joint, "Scarfed on")
    assert session.build == replace(before, head=replace(before.head, joint="scarf"))
    assert session.history.undo_label == "Change the joint of the head"
    pick(panel.joint, "One piece with the neck")
    assert session.build == before


def test_name_wood_notes_hand_and_cutter(qtbot: QtBot) -> None:
    session = Session(three_and_three())
    before = session.build
    panel = panel_of(qtbot, session)
    type_in(panel.name, "Second try")
    type_in(panel.wood, "sugar maple")
    type_in(panel.cutter.fields["cutter_diameter"], "6")
    panel.notes.setFocus()
    panel.notes.selectAll()
    QTest.keyClicks(panel.notes, "for Monday")
    press(panel.left_handed)
    wanted = mirrored(
        replace(
            before,
            name="Second try",
            head=replace(before.head, wood="sugar maple"),
            cutter_diameter=6.0,
            notes="for Monday",
        )
    )
    assert session.build == wanted
    assert session.history.undo_labels == (
        "Change the hand",
        "Change the notes",
        "Change cutter diameter",
        "Change the wood",
        "Rename the build",
    )
    for _ in range(5):
        session.undo()
    assert session.build == before
    assert panel.notes.toPlainText() == before.notes


def test_the_board_begins_round_the_head(qtbot: QtBot) -> None:
    session = Session(plain_head())
    panel = panel_of(qtbot, session)
    press(panel.has_blank)
    # The plain head is 80 wide and 200 long; 2 mm are left to spare.
    assert session.build.head.blank == Blank(left=42.0, right=42.0, length=202.0)
    type_in(panel.blank.fields["left"], "45")
    assert session.build.head.blank == Blank(left=45.0, right=42.0, length=202.0)
    press(panel.has_blank)
    assert session.build.head.blank is None
    assert not panel.blank.fields["left"].isVisible()


def test_a_board_can_always_be_saved() -> None:
    everything = Bounds(-1999.5, 0.0, -100.0, 2000.0)
    assert blank_round(everything) == Blank(left=2000.0, right=1.0, length=2000.0)


def test_late_edits_of_what_is_gone_change_nothing(qtbot: QtBot) -> None:
    """An undo under the cursor may take away what a field is about."""
    session = starter_session()
    panel = panel_of(qtbot, session)
    session.act("free", free_outline)
    panel.starter.fields["length"].edited.emit(99.0)
    panel.blank.fields["left"].edited.emit(99.0)
    assert session.build == free_outline(starter_session().build)


def test_a_hidden_panel_catches_up_when_it_is_shown(qtbot: QtBot) -> None:
    session = Session(three_and_three())
    panel = panel_of(qtbot, session)
    panel.hide()
    session.act("name", lambda build: replace(build, name="later"))
    assert panel.name.text() != "later"
    panel.show()
    assert panel.name.text() == "later"


def test_units_change_every_field(qtbot: QtBot) -> None:
    session = Session(replace(three_and_three(), cutter_diameter=6.35))
    panel = panel_of(qtbot, session)
    panel.set_units("inch")
    assert panel.cutter.fields["cutter_diameter"].text() == "1/4 in"


def test_every_field_has_a_name_and_a_tooltip(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, starter_session())
    for field in panel.findChildren(QLineEdit):
        assert field.accessibleName()
        assert field.toolTip()


# Wood, and what is told beside a field


def test_woods_are_a_list_with_pictures_of_their_hardness(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, Session(three_and_three()))
    names = [panel.woods.itemText(place) for place in range(panel.woods.count())]
    assert names == sorted((wood.name for wood in WOODS), key=str.casefold)
    assert not any(panel.woods.itemIcon(place).isNull() for place in range(panel.woods.count()))
    panel.woods.setCurrentIndex(names.index("red maple"))
    panel.woods.activated.emit(names.index("red maple"))
    assert panel.session.build.head.wood == "red maple"
    # Wood Handbook, Table 5-3: the side hardness of red maple is 4200 N.
    assert "4200 N" in panel.hardness.text()
    assert "10 mm" in panel.hardness.text()


def test_maple_offers_the_five(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, Session(three_and_three()))
    completer = panel.woods.completer()
    assert completer is not None
    completer.setCompletionPrefix("maple")
    assert completer.completionCount() == 5


def test_a_wood_is_found_by_its_other_names(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, Session(three_and_three()))
    completer = panel.woods.completer()
    assert completer is not None
    completer.setCompletionPrefix("Hard Map")
    told = {completer.completionModel().index(row, 0).data() for row in range(completer.completionCount())}
    assert told == {"sugar maple (hard maple, rock maple)", "black maple (hard maple)"}
    completer.setCompletionPrefix("rock")
    assert completer.currentCompletion() == "sugar maple"
    place = panel.woods.findText("sugar maple")
    entry, shown_as = panel.woods.model().index(place, 0), panel.woods.itemDelegate()
    assert isinstance(shown_as, QStyledItemDelegate)
    assert shown_as.displayText(entry.data(), QLocale()) == "sugar maple (hard maple, rock maple)"


def test_a_wood_that_the_table_lacks_may_be_typed(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, Session(three_and_three()))
    type_in(panel.wood, "bog oak")
    assert panel.session.build.head.wood == "bog oak"
    assert panel.hardness.text() == '"bog oak", a wood that is not known here (perhaps northern red oak)'


def test_the_makers_own_woods_are_offered_with_their_hardness(qtbot: QtBot, tmp_path: Path) -> None:
    store = SettingsStore(tmp_path / "config", tmp_path / "state")
    session = Session(three_and_three())
    panel = shown(qtbot, HeadPanel(session, "mm", store), height=1200)
    type_in(panel.wood, "bog oak")
    assert panel.hardness.text() == '"bog oak", a wood that is not known here (perhaps northern red oak)'
    oak = OwnWood(name="bog oak", specific_gravity=0.7)
    store.keep_shop(replace(store.settings.shop, woods=(oak,)))
    assert panel.woods.itemText(0) == "bog oak"
    assert panel.woods.count() == len(WOODS) + 1
    assert panel.wood.text() == "bog oak"
    assert panel.hardness.text().startswith("Hardness ")
    store.keep_shop(replace(store.settings.shop, woods=()))
    assert panel.woods.findText("bog oak") < 0
    assert panel.hardness.text() == '"bog oak", a wood that is not known here (perhaps northern red oak)'
    assert session.build.head.wood == "bog oak"


def test_bars_of_hardness_follow_the_colour_of_the_words(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, Session(three_and_three()))
    for words in ("#ff0000", "#00ff00"):
        palette = panel.woods.palette()
        palette.setColor(QPalette.ColorRole.Text, QColor(words))
        panel.woods.setPalette(palette)
        bar = panel.woods.itemIcon(0).pixmap(BAR).toImage()
        assert bar.pixelColor(4, bar.height() // 2).name() == words


def test_a_refused_number_says_why_beneath_it_at_once(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, starter_session())
    field = panel.starter.fields["length"]
    type_in(field, "-5")
    told = [each for each in panel.findChildren(QLabel) if each.accessibleName() == "Why it is not taken"]
    assert [each.text() for each in told if each.isVisibleTo(panel)] == [field.fault]
    assert field.fault
    type_in(field, "180")
    assert not any(each.isVisibleTo(panel) for each in told)


def test_labels_have_the_tips_of_their_fields(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, Session(three_and_three()))
    pairs = [(each, each.buddy()) for each in panel.findChildren(QLabel) if each.buddy() is not None]
    assert len(pairs) > 20
    assert all(label.toolTip() == field.toolTip() for label, field in pairs if field is not None)


def test_a_width_that_would_fold_the_outline_is_refused_at_its_field(qtbot: QtBot) -> None:
    session = Session(free_outline(three_and_three()))
    before = session.build
    panel = panel_of(qtbot, session)
    type_in(panel.sizes.fields["width"], "30")
    assert session.build == before
    assert (
        panel.sizes.fields["width"].fault
        == "The nut line stays as wide as it is; expected a width of 43 mm or more."
    )
    type_in(panel.sizes.fields["length"], "20")
    assert session.build == before
    assert "expected a length of more than" in panel.sizes.fields["length"].fault


def test_looking_at_the_numbers_of_a_head_from_a_photo_changes_none(qtbot: QtBot) -> None:
    corners = ((24.0137, 0.0), (31.2442, 40.0071), (29.8888, 170.1239), (-30.1117, 170.0004), (-24.0, 0.0))
    session = Session(plain_head(outline=nodes(*corners)))
    panel = panel_of(qtbot, session)
    before = session.build
    assert panel.sizes.fields["width"].text() == "61.36 mm"
    for field in panel.findChildren(NumberField):
        if field.isVisibleTo(panel):
            field.setFocus()
            QTest.keyClick(field, Qt.Key.Key_Return)
            field.clearFocus()
    assert session.build == before


def test_nothing_moves_sideways_when_the_scroll_bar_comes(qtbot: QtBot) -> None:
    panel = panel_of(qtbot, starter_session())
    panel.resize(300, 2400)
    qtbot.waitUntil(lambda: not panel.verticalScrollBar().isVisible())
    wide = panel.viewport().width()
    panel.resize(300, 400)
    qtbot.waitUntil(panel.verticalScrollBar().isVisible)
    assert panel.viewport().width() == wide


def test_the_list_of_woods_says_what_its_bars_mean(qtbot: QtBot) -> None:
    panel = shown(qtbot, HeadPanel(Session(three_and_three())), height=1400)
    panel.woods.showPopup()
    view = panel.woods.view()
    legend = next(each for each in view.findChildren(QLabel) if each.isVisible())
    assert legend.text() == "Bar: how hard the wood is"
    assert view.viewport().geometry().top() >= legend.geometry().bottom()
    place = panel.woods.findText("sugar maple")
    assert "hard maple" in panel.woods.itemData(place, Qt.ItemDataRole.ToolTipRole)
    panel.woods.hidePopup()
