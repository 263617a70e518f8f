"""Which bits in which order, the bore that this wood wants, and the fit that felt right on scrap."""

from __future__ import annotations

from msgspec.structs import replace

from app.bench.drilling_parts import BorePart, WoodPart
from app.bench.page import Fold, Page
from app.bench.value_table import ValueTable
from app.document.scene import Scene
from app.document.session import Session
from app.document.settings import SettingsStore
from app.panels.numbers import Line, Numbers
from app.panels.sentences import sentence, tell
from app.widgets.fields import Choice
from app.widgets.kit import Form, capital, remark
from export.flow import Column, Row, Table
from export.sheets.cautions import BACKED_UP
from export.sheets.schedule import drill_words, off_words, on_the_press, remarks, short_length
from geometry.bench.drilling import schedule
from geometry.bench.operations import Operation
from geometry.document.build import Head
from geometry.document.edits import set_head
from geometry.layout.names import run_words
from geometry.trade.quantities import UNKNOWN, length_unit
from geometry.trade.shop import BitKind
from geometry.trade.units import Units


class DrillingPage(Page):
    """The fit of each kind of tuner first, then every step; what the chosen step asks for stands below the table."""

    def __init__(self, session: Session, store: SettingsStore, units: Units) -> None:
        super().__init__(session, store, units)
        self._steps: tuple[Operation, ...] = ()
        self.add_heading(self.tr("Bore for this wood"), first=True)
        self.none = remark(self.tr("There are no tuners to drill for yet."))
        self.bores, self.wood = BorePart(session, store), WoodPart(store, units)
        self.add(self.none, self.bores, self.wood)
        self._add_shop()
        self._add_schedule()

    def _add_shop(self) -> None:
        self.shop_form = form = Form()
        tr = self.tr
        bits: tuple[tuple[BitKind, str], ...] = (
            ("twist", tr("Twist bits")),
            ("brad point", tr("Brad point bits")),
            ("Forstner", tr("Forstner bits")),
            ("piloted counterbore", tr("Piloted counterbore")),
        )
        tip = tr("It decides the order of the steps")
        self.bit = form.put(Choice(tr("Bored with"), bits, tip=tip, told=self._keep_bit), below=True)
        tip = tr("By how much finish that comes later makes the diameter of a bore of this head narrower")
        line = Line("finish_build_up", tr("Finish builds up"), tip)
        self.numbers = Numbers(form, Head, (line,), self.units, self._set_build_up)
        (self.build_up,) = self.numbers.fields.values()
        self.add(form)

    def _add_schedule(self) -> None:
        tr = self.tr
        self.title = self.add_heading(tr("Step by step"))
        self.table = ValueTable(tr("Steps of drilling, in their order"), words=(1, 2))
        self.table.currentCellChanged.connect(lambda *_: self._show_step())
        self.step_title, self.step = sentence(bold=True), sentence()
        self.press, self.caution = sentence(), sentence()
        tell(self.caution, BACKED_UP)
        tip = tr("Stop, off, finish, and what the numbers are worth")
        self.about = Fold(tr("What the columns mean"), tip)
        self.add(self.table, self.step_title, self.step, self.press, self.caution, self.about)

    # Showing

    def show_fields(self, scene: Scene) -> None:
        """What the shop drills with, and the finish."""
        self.bit.set_value(self.shop.bit)
        self.numbers.show(scene.build.head)

    def show_values(self, scene: Scene) -> None:
        """Fits, wood, steps."""
        build, shop = scene.build, self.shop
        self._steps = schedule(build, scene.layout, shop)
        kinds = {post.hardware.key: post.hardware for post in scene.layout.posts}
        self.none.setVisible(not self._steps)
        for part in (self.title, self.caution, self.shop_form):
            part.setVisible(bool(self._steps))
        self.bores.show_bores(scene, tuple(kinds.values()), shop)
        self.wood.show_wood(build.head.wood.strip() if kinds else "", shop)
        self.table.show_table(self._table())
        if self._steps and self.table.currentRow() < 0:
            bores = (place for place, step in enumerate(self._steps) if step.hole is not None)
            self.table.setCurrentCell(next(bores, 0), 0)
        self._show_step()
        # The head's blocks are made for it: too much for every rest in the middle of a drag.
        if not scene.gesture:
            tell(self.press, list(on_the_press(build, scene.layout, shop)) if self._steps else "")
        self.about.tell(remarks(build, shop) if self._steps else ())

    def _show_step(self) -> None:
        place = self.table.currentRow()
        if not 0 <= place < len(self._steps):
            tell(self.step_title, "")
            tell(self.step, "")
            return
        step = self._steps[place]
        title = self.tr("{number}. {name}")
        tell(self.step_title, title.format(number=place + 1, name=step.name))
        tell(self.step, self._step_words(step))

    def _table(self) -> Table:
        """One row for each step, with what is needed to set up the drill; the rest stands below the table."""
        columns = (
            Column("#", anchor="end"),
            Column(self.tr("Step and holes")),
            Column(self.tr("Drill")),
            Column(self.tr("Over, under {unit}").format(unit=self._unit), anchor="end"),
            Column(self.tr("Stop {unit}").format(unit=self._unit), anchor="end"),
        )
        return Table(columns, tuple(Row(self._cells(*each)) for each in enumerate(self._steps, 1)))

    def _cells(self, number: int, step: Operation) -> tuple[str, ...]:
        what = f"{step.name}: {run_words(spot.name for spot in step.spots)}"
        hole = step.hole
        if hole is None:
            return str(number), what, "", "", ""
        choice, stop = hole.choice, short_length(hole.stop, self.units)
        if choice is None:
            return str(number), what, UNKNOWN, UNKNOWN, stop
        off = off_words(choice.difference, self.units)
        return str(number), what, drill_words(choice.drill), off if choice.inside else f"{off} !", stop

    def _step_words(self, step: Operation) -> list[str]:
        """How a step is done: bit, depth and side, then everything to mind."""
        hole = step.hole
        if hole is None:
            return list(step.notes)
        deep = self.tr("right through")
        if hole.depth is not None:
            depth = short_length(hole.depth, self.units)
            deep = self.tr("{depth} {unit} deep").format(depth=depth, unit=self._unit)
        side = self.tr("from the face") if hole.side == "face" else self.tr("from the back")
        board = self.tr("on backing") if hole.backing else self.tr("clamped")
        return [f"{capital(hole.bit)}, {deep} {side}, {board}.", *step.notes]

    @property
    def _unit(self) -> str:
        return length_unit(self.units)

    # Acts

    def _set_build_up(self, line: Line, value: float | None) -> None:
        self.session.act(
            self.tr("Finish in the bores"),
            lambda build: set_head(build, replace(build.head, **{line.field: value})),
        )

    def _keep_bit(self, bit: object) -> None:
        self.store.keep_shop(replace(self.store.settings.shop, bit=bit))
