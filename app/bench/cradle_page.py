"""What holds the head under the drill: its parts, how the head lies level, and the sizes that the shop keeps."""

from __future__ import annotations

from msgspec.structs import replace

from app.bench.drawing_view import DrawingView
from app.bench.page import Fold, NeckPart, Page
from app.bench.value_table import ValueTable, sizes_table
from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.numbers import Line, Numbers
from app.panels.sentences import sentence, tell
from app.widgets.fields import Choice
from app.widgets.kit import Form, capital
from app.widgets.number_field import number_text
from export.drawing import Drawing, Text
from export.sheets.cautions import HELD
from export.sheets.cradle import base_sheet
from export.sheets.cradle_list import WAYS, cradle_remarks, part_rows
from export.sheets.head_rest import rest_remarks, rest_views, support_rows
from export.sheets.table import stacked
from geometry.bench.cradle import Cradle, cradle
from geometry.bench.press_words import MEANING, press_rows, say_press, ways_of
from geometry.trade.shop import CradleSizes, Shop
from geometry.trade.units import Units

FRETS = tuple((fret, str(fret)) for fret in range(1, 25))
"""The frets under which the neck can be supported."""


class CradlePage(Page):
    """Drawings and heights first, then the parts to saw, then the sizes."""

    def __init__(self, session: Session, store: SettingsStore, units: Units) -> None:
        super().__init__(session, store, units)
        tr = self.tr
        self.caution, self.problem = sentence(bold=True), sentence(bold=True)
        tell(self.caution, HELD)
        self.plan = DrawingView(
            tr("The head held, seen from its face"),
            tr("Blocks beside the head, wedges and stops outside of them, the base plate beneath"),
        )
        self.add(self.caution, self.problem, self.plan)
        self.level_title = self.add_heading(tr("The head lies level"))
        self.level = DrawingView(
            tr("The head level under the drill, from the side"),
            tr("Face up on a riser or at the table's edge, and face down, with a support at A and at B"),
        )
        self.heights = ValueTable(tr("Heights of the supports over the table's top"))
        self.remarks = sentence()
        self.neck = NeckPart(session, units)
        self.add(self.level, self.heights, self.remarks, self.neck)
        self.press_title = self.add_heading(tr("The drill press"))
        self.press = ValueTable(tr("What each way to drill asks of a press"), words=(0,))
        self.fits = sentence()
        self.meaning = Fold(tr("What throat and table mean"), tr("How to measure a press"))
        self.meaning.tell((MEANING,))
        self.add(self.press, self.fits, self.meaning)
        self.parts_title = self.add_heading(tr("Parts to saw"))
        self.parts = ValueTable(tr("Parts that hold the head"), words=(0,))
        self.mind = sentence()
        self.ways = Fold(tr("Three ways to hold the blocks"), tr("In a vice, screwed, or with wedges"))
        self.ways.tell(WAYS)
        self.add(self.parts, self.mind, self.ways)
        self._add_sizes()

    def _add_sizes(self) -> None:
        form, tr = Form(), self.tr
        thickness, taper = (
            tr("Left empty: as thick as the head"),
            tr("8 at least: steeper ones do not hold by themselves"),
        )
        cutter = tr("Its diameter opens inner corners; 0 for a saw that cuts any corner")
        lines = (
            Line("gap", tr("Gap for tape"), tr("Between head and block")),
            Line("block_width", tr("Width of blocks"), tr("Width of the stock that they are cut from")),
            Line("block_thickness", tr("Thickness of blocks"), thickness, optional=True),
            Line("wedge_taper", tr("Wedges taper 1 to"), taper, "plain"),
            Line("cutter", tr("Cutter for blocks"), cutter),
            Line("base", tr("Base plate"), tr("Its thickness")),
            Line("backing", tr("Backing board"), tr("Its thickness")),
        )
        self.sizes = Numbers(
            form, CradleSizes, lines, self.units, lambda line, value: self._keep(line.field, value)
        )
        self.frets: dict[str, Choice] = {}
        for field, name in (("near_fret", tr("Support A, fret")), ("far_fret", tr("Support B, fret"))):
            choice = Choice(name, FRETS, tip=tr("The fret under which the neck is supported"))
            choice.picked.connect(lambda fret, field=field: self._keep(field, fret))
            self.frets[field] = form.put(choice)
        throat = tr("From the axis of its spindle to its column")
        press = (
            Line("press_throat", tr("Throat of the press"), throat, optional=True),
            Line("press_table", tr("Table of the press"), tr("Its length from left to right"), optional=True),
        )
        self.press_fields = Numbers(form, Shop, press, self.units, self._edit_press)
        self.add_heading(tr("Sizes, kept for the shop"))
        self.add(form)

    # Showing

    def show_fields(self, scene: Scene) -> None:
        """The sizes of the shop, beside what the head asks for where they are left to it, and the neck's depth."""
        sizes, head = self.shop.cradle, scene.build.head
        self.neck.show_scene(scene)
        self.sizes.show(sizes)
        self.press_fields.show(self.shop)
        own = number_text(max(head.thickness_nut, head.thickness_tip), "length", self.units)
        self.sizes.fields["block_thickness"].setPlaceholderText(own)
        for field, choice in self.frets.items():
            choice.set_value(getattr(sizes, field))

    def show_values(self, scene: Scene) -> None:
        """Make the cradle, or say why there is none."""
        made, problem = None, ""
        try:
            made = cradle(scene.build, scene.layout, self.shop.cradle, self.shop.kerf, self.units)
        except ValueError as error:
            problem = str(error)
        tell(self.problem, problem)
        self._show(made, scene)

    def _show(self, made: Cradle | None, scene: Scene) -> None:
        titles = (self.level_title, self.press_title, self.parts_title)
        for part in (*titles, self.ways, self.meaning, self.caution):
            part.setVisible(made is not None)
        if made is None:
            for each in (self.plan, self.level):
                each.show_drawing(None)
            for table in (self.heights, self.press, self.parts):
                table.show_table(None)
            for words in (self.remarks, self.fits, self.mind):
                tell(words, "")
            return
        self.plan.show_drawing(self._plan(scene, made))
        _, views = rest_views(scene.build, made, self.units, self.level.room(1.0)[0])
        self.level.show_drawing(stacked(views, 3.0))
        heads, rows = support_rows(made, self.units)
        # The fret tells how far from the nut.
        narrow = tuple((row[0], *row[2:]) for row in rows)
        self.heights.show_table(sizes_table((self.tr("Support"), *map(capital, heads[2:])), narrow))
        short = (self.tr("Part"), self.tr("No."), self.tr("Long"), self.tr("Wide"), self.tr("Thick"))
        self.parts.show_table(sizes_table(short, part_rows(made, self.units)))
        tell(self.remarks, list(rest_remarks(scene.build, scene.layout, made, self.units)))
        self._show_press(made, scene)
        tell(self.mind, cradle_remarks(scene.build, made, self.units))

    def _show_press(self, made: Cradle, scene: Scene) -> None:
        ways = ways_of(made, scene.layout)
        for part in (self.press_title, self.meaning):
            part.setVisible(bool(ways))
        heads, rows = press_rows(ways, self.shop)
        self.press.show_table(sizes_table(heads, rows) if ways else None)
        tell(self.fits, list(say_press(made, scene.layout, self.shop)))

    def _plan(self, scene: Scene, made: Cradle) -> Drawing:
        """The base plate as its sheet shows it; words that run upwards have no room here."""
        drawing = base_sheet(scene.build, scene.layout, made, self.units).drawing
        return Drawing(tuple(mark for mark in drawing.marks if not isinstance(mark.shape, Text)))

    # Acts on the shop

    def _edit_press(self, line: Line, value: float | None) -> None:
        self.store.keep_shop(replace(self.store.settings.shop, **{line.field: value}))

    def _keep(self, field: str, value: object) -> None:
        shop = self.store.settings.shop
        self.store.keep_shop(replace(shop, cradle=replace(shop.cradle, **{field: value})))
