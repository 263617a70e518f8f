"""A hole that has landed beside its mark: where it is, how the head stands with it, and what saves it."""

from __future__ import annotations

from functools import partial

from msgspec.structs import replace
from PySide6.QtCore import QSignalBlocker
from PySide6.QtGui import QShowEvent

from app.document.scene import Scene
from app.document.selection import keys_of
from app.document.session import Session
from app.panels.missed_answer import Answer, MissedResult, Place, answered, seen
from app.panels.panel import ProposingPanel
from app.panels.readings_form import ReadingsForm
from app.widgets.fields import Choice
from app.widgets.kit import Form, button, capital, heading, line, remark
from app.widgets.number_field import NumberField, Range
from app.widgets.ranges import WIDEST_BORE
from app.widgets.typed_line import say_unread, when_in_doubt
from geometry.checks.outline import outline_is_sound
from geometry.layout.names import natural
from geometry.layout.parts import PlacedPost
from geometry.search.answers.missed import Rest
from geometry.search.answers.missed_words import say_too_few
from geometry.search.answers.readings import located
from geometry.search.rings.slack import LARGEST
from geometry.shape.point import Point, Vector
from geometry.shape.tolerance import SAME
from geometry.trade.measures import LEAST
from geometry.trade.quantities import show_length
from geometry.trade.units import Units

RESTS: tuple[Rest, ...] = ("row", "all")


class MissedPanel(ProposingPanel[Answer]):
    """Which hole, where it is by its offset or by readings, and the answer; taking it over is one act.

    What was measured at the wood stays as long as its hole is at the same mark, whatever else is looked at or done.
    """

    result: MissedResult

    def __init__(self, session: Session, units: Units = "mm") -> None:
        """The hole of the tuner that is selected, or else the first one."""
        super().__init__(session, units, MissedResult(units))
        self._mark: Point | None = None
        """The mark of the hole that something was typed of."""
        self.set_title(self.tr("A missed hole"))
        self._add_hole()
        self._add_place()
        self._add_answer()
        self.refresh()
        self._how("offset")

    # How it is put together

    def _add_hole(self) -> None:
        form, tr = Form(), self.tr
        tip = tr("The hole that has landed beside its mark")
        self.hole = form.put(Choice(tr("Hole"), tip=tip, told=self._clear))
        tip = tr("How wide it is drilled now; empty for the bore of the tuner")
        self.diameter = self._number(form, tr("Its diameter"), tip, Range(LEAST, WIDEST_BORE), optional=True)
        self.diameter.cleared.connect(self._look)
        self.diameter.setPlaceholderText(tr("its bore"))
        hows: list[tuple[object, str]] = [
            ("offset", tr("Offset from its mark")),
            ("readings", tr("Caliper readings")),
        ]
        tip = tr("How you know where the hole is")
        self.how = form.put(Choice(tr("Measured by"), hows, tip=tip, told=self._how), below=True)
        self.how.set_value("offset")
        self.put(heading(tr("A hole beside its mark"), first=True), form)

    def _number(
        self, form: Form, name: str, tip: str, within: Range, *, optional: bool = False
    ) -> NumberField:
        """What was measured at the wood, in a form; the answer follows it."""
        field = NumberField(name, units=self.units, within=within, optional=optional, tip=tip)
        field.edited.connect(self._look)
        when_in_doubt(field, self._look)
        return form.put(field)

    def _add_place(self) -> None:
        tr, reach = self.tr, Range(-LARGEST, LARGEST)
        self.offset = Form()
        tip = tr("How far to the right of its mark, seen from the face; negative to the left")
        self.right = self._number(self.offset, tr("To the right"), tip, reach)
        tip = tr("How far from its mark towards the tip; negative towards the nut")
        self.tipward = self._number(self.offset, tr("Towards the tip"), tip, reach)
        self.readings = ReadingsForm(lambda: self.units)
        self.readings.edited.connect(self._look)
        self.hint = remark("")
        self.put(self.offset, self.readings, self.hint)

    def _add_answer(self) -> None:
        form, tr = Form(), self.tr
        rests: list[tuple[object, str]] = [
            (None, tr("Stay at their marks")),
            ("row", tr("Best places, in its row")),
            ("all", tr("Best places, on the whole head")),
        ]
        tip = tr("Whether the other holes are placed anew")
        self.rest = form.put(Choice(tr("Holes still to drill"), rests, tip=tip, told=self._look), below=True)
        self.rest.set_value(None)
        tip = tr("Put the hole where it is, drilled, and the others as proposed: one act")
        self.take = button(tr("Accept"), tip, self._take)
        self.leave = button(tr("Dismiss"), tr("Leave everything as it was (Esc)"), self._dismiss)
        self.put(form, line(self.take, self.leave), self.searching, self.result)
        self.column.addStretch(1)

    # Showing

    def show_scene(self, scene: Scene, before: Scene | None) -> None:
        """Offer the holes of a scene; what was told of another build is forgotten."""
        stale = self._stale(scene)
        rests = before is not None and before.gesture and not scene.gesture
        edited, self._about = scene.build is not self._about, scene.build
        if (edited or rests) and self._typed_for_this:
            # While a hand drags there is nothing to wait for.
            (self._drop if scene.gesture else self._look)()
        elif stale and self._anything:
            self._forget()
        posts = self._posts
        self.hole.set_options([(post.key, post.label) for post in posts])
        keys = [post.key for post in posts]
        if self.hole.value not in keys:
            self.hole.set_value(keys[0] if keys else None)
        chosen = keys_of(scene.selection, "post")
        selected_before = () if before is None else keys_of(before.selection, "post")
        other = len(chosen) == 1 and chosen[0] in keys and chosen[0] != self.hole.value
        if other and chosen != selected_before:
            self.hole.set_value(chosen[0])
            self._forget()
        self._offer_others()
        self._allow()

    def _offer_others(self) -> None:
        others = [(post.key, post.label) for post in self._posts if post.key != self.hole.value]
        self.readings.show_holes(others)

    def _allow(self) -> None:
        self.take.setEnabled(self._proposal is not None)
        self.leave.setEnabled(self._laid is not None)
        usable = bool(self.session.scene.layout.posts) and outline_is_sound(self.session.scene.layout.edge)
        for part in (self.hole, self.how, self.diameter, self.offset, self.readings, self.rest):
            part.setEnabled(usable)

    def _how(self, how: object) -> None:
        self.offset.setVisible(how == "offset")
        self.readings.setVisible(how == "readings")
        self._look()

    # Where the hole is

    @property
    def _posts(self) -> list[PlacedPost]:
        """The tuners as they are counted."""
        return sorted(self.session.scene.layout.posts, key=lambda post: natural(post.label))

    @property
    def post(self) -> PlacedPost | None:
        """The tuner whose hole it is."""
        return next((post for post in self.session.scene.layout.posts if post.key == self.hole.value), None)

    def _place(self) -> Place | str:
        """Where the hole is, or what is missing before that can be told."""
        post, layout = self.post, self.session.scene.layout
        if post is None:
            return self.tr("There are no holes yet.")
        fields = self.findChildren(NumberField)
        unread = next((each for each in fields if each.fault and each.isVisibleTo(self)), None)
        if unread is not None:
            return say_unread(unread)
        if not outline_is_sound(layout.edge):
            return self.tr("Nothing can be told while the outline is open or crosses itself.")
        place = self._by_offset(post) if self.how.value == "offset" else self._by_readings(post)
        if isinstance(place, Place) and place.at.distance(post.at) > LARGEST:
            far, most = (show_length(each, self.units) for each in (place.at.distance(post.at), LARGEST))
            return self.tr("That puts the hole {0} from its mark; {1} is the most.").format(far, most)
        return place

    def _by_offset(self, post: PlacedPost) -> Place | str:
        right, tipward = self.right.value, self.tipward.value
        if right is None and tipward is None:
            return self.tr("Type how far the hole is from its mark, seen from the face.")
        at = post.at + Vector(right or 0.0, tipward or 0.0)
        return Place(post.key, at, self.diameter.value or post.bore)

    def _by_readings(self, post: PlacedPost) -> Place | str:
        diameter = self.diameter.value or post.bore
        taken = self.readings.taken
        if len(taken) < 2:
            return self.tr("Type two readings, better three, each from the rim of the hole.")
        readings = tuple(reading for reading, _ in taken)
        found = located(self.session.scene.layout, post.at, diameter, readings)
        if found.untold is not None:
            return capital(say_too_few(found))
        return Place(post.key, found.at, diameter, readings, tuple(name for _, name in taken), found)

    def _look(self, *_: object) -> None:
        """Show where the hole is, at once, and find out the rest beside the window."""
        self._drop()
        self._mark = None if self.post is None else self.post.at
        place = self._place()
        self._show_hint(place)
        if isinstance(place, Place):
            self._ask(place)
        self._allow()

    def _show_hint(self, place: Place | str) -> None:
        self.hint.setText(place if isinstance(place, str) else "")
        self.hint.setVisible(isinstance(place, str))

    def _ask(self, place: Place) -> None:
        self.session.cancel()
        scene, words = self.session.scene, self.tr("as drilled")
        self._lay_over(seen(scene.build, scene.layout, place, words))
        rest = next((each for each in RESTS if each == self.rest.value), None)
        self._start(partial(answered, scene.build, place, rest, self.units, words))
        if rest is not None:
            self.searching.begin()

    def _found(self, found: Answer) -> None:
        self._proposal = found
        self._lay_over(found.ghost)
        self.result.show_found(found)
        self._allow()

    def _rest(self) -> None:
        if self.searching.stop.hasFocus():
            self.rest.setFocus()
        super()._rest()

    # What becomes of it

    @property
    def _anything(self) -> bool:
        """Whether something is told, asked or typed; a drag of something else does not wait for empty forms."""
        return self._typed or self._proposal is not None or self.work.busy or self.rest.value is not None

    @property
    def _typed(self) -> bool:
        fields = (self.right, self.tipward, self.diameter)
        return any(field.value is not None for field in fields) or bool(self.readings.taken)

    @property
    def _typed_for_this(self) -> bool:
        """Whether what is typed is of a hole that is at the same mark still."""
        post, mark = self.post, self._mark
        return self._typed and bool(post and mark and mark.distance(post.at) <= SAME)

    @property
    def kept_nowhere(self) -> str:
        """What was measured and not taken over."""
        if not self._typed_for_this:
            return ""
        words = self.tr("What you measured of hole {0} is not accepted yet: the build does not hold it.")
        return words.format(self.hole.currentText())

    def _forget(self) -> None:
        """Forget the answer and what was typed."""
        self._drop()
        for field in (self.right, self.tipward, self.diameter):
            field.set_value(None)
        with QSignalBlocker(self.readings):
            self.readings.empty()
        self.rest.set_value(None)
        self._offer_others()
        self._show_hint(self._place())

    def _clear(self, *_: object) -> None:
        self._forget()
        self._allow()

    def _dismiss(self) -> None:
        """Forget all; the button that was pressed goes grey, and the keyboard stays in the panel."""
        self.hole.setFocus()
        self._clear()

    def _stop(self) -> None:
        """End the search for better places; the hole alone is told."""
        self.rest.setFocus()  # the button that was pressed goes away
        self.rest.set_value(None)
        self._look()

    def _take(self) -> None:
        found = self._proposal
        if found is not None and self._take_over(self.tr("Hole {0} where it is").format(found.hole.label)):
            self._clear()
            self.hole.setFocus()

    def _put_away(self) -> None:
        """What was measured stays for when the panel is shown again."""
        self._drop()

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """Find out again with what was measured before; what was selected meanwhile was for something else."""
        if self.shown is not None and self._typed_for_this:
            self.shown = replace(self.shown, selection=self.session.scene.selection)
        super().showEvent(event)
        if self._typed_for_this and not self.work.busy:
            self._look()
