"""One tuner: which string, how it is wound and turned, and where it stands, by its row's rule or by hand."""

from __future__ import annotations

from msgspec import UNSET, UnsetType
from PySide6.QtWidgets import QWidget

from app.document.scene import Scene
from app.document.session import Edit, Session
from app.panels.numbers import MEASURE, range_of
from app.widgets.fields import Choice, Tick
from app.widgets.kit import Form, button, strong
from app.widgets.number_field import NumberField, number_text
from geometry.document import edits
from geometry.document.build import Build, Moved, Piece, Post, Row
from geometry.document.twins import with_twins
from geometry.layout.by_hand import move_posts
from geometry.layout.layout import Layout
from geometry.layout.parts import PlacedPost
from geometry.layout.paths import TURNS_PLAIN, TURNS_WOUND
from geometry.shape.point import Point
from geometry.trade.string_sets import is_wound
from geometry.trade.units import Units

NONE = "none"
"""Stands for no string among the keys of strings."""


class PostForm(Form):
    """Fields about one post of the session's build."""

    def __init__(self, session: Session, units: Units, parent: QWidget | None = None) -> None:
        """Empty until a post is shown."""
        super().__init__(parent)
        self._session = session
        self._key = ""
        self._units: Units = units
        self._add_string()
        self._add_place()

    def _add_string(self) -> None:
        self.string = Choice(self.tr("String"), tip=self.tr("If another post has it, the two swap"))
        self.string.picked.connect(self._take_string)
        self.turns = NumberField(
            self.tr("Turns"),
            measure="plain",
            within=range_of(Post, "turns"),
            optional=True,
            tip=self.tr("Turns on the post; empty: as is usual for the string"),
        )
        self.turns.edited.connect(self._set_turns)
        self.turns.cleared.connect(lambda: self._set_turns(UNSET))
        self.turned = NumberField(
            self.tr("Turned by"),
            measure="degrees",
            within=range_of(Post, "turned_deg"),
            tip=self.tr("The tuner about its post, counter-clockwise as the face shows it"),
        )
        self.turned.edited.connect(self._turn)
        self.flip = Tick(
            self.tr("Wound on the other side"),
            tip=self.tr("The string runs past the button's side of the post"),
        )
        self.flip.ticked.connect(self._flip)
        pieces = (
            (UNSET, self.tr("For its side")),
            ("left", self.tr("Left piece")),
            ("right", self.tr("Right piece")),
        )
        self.piece = Choice(self.tr("Piece"), pieces, tip=self.tr("Left and right pieces are mirror images"))
        self.piece.picked.connect(self._take_piece)
        self.add_below(self.tr("String"), self.string)
        self.add(self.tr("Turns"), self.turns)
        self.add(self.tr("Turned by"), self.turned)
        self.add(self.tr("Piece"), self.piece)
        self.add_wide(self.flip)
        self.turns.setProperty(MEASURE, "Post.turns")
        self.turned.setProperty(MEASURE, "Post.turned_deg")

    def _add_place(self) -> None:
        self.placed = strong("")
        self.give_back = button(
            self.tr("Put back in its row"), self.tr("Place this post by its row's rule again")
        )
        self.give_back.clicked.connect(self._give_back)
        self.along = self._number(
            "Moved.along", self.tr("Along the row"), self.tr("From where the rule has it, towards the tip")
        )
        self.inward = self._number(
            "Moved.inward", self.tr("Inward"), self.tr("From where the rule has it, away from the edge")
        )
        self.across = self._number("Post.x", self.tr("X"), self.tr("From the centre line, to the right"))
        self.up = self._number("Post.y", self.tr("Y"), self.tr("From the nut line, towards the tip"))
        self.add_wide(self.placed)
        for field in (self.across, self.up, self.along, self.inward):
            self.add(field.accessibleName(), field)
        self.add_wide(self.give_back)
        self.drilled = Tick(
            self.tr("The hole is drilled"),
            tip=self.tr("It is in the wood and cannot miss any more; only the other holes have rings"),
        )
        self.drilled.ticked.connect(self._drill)
        self.add_wide(self.drilled)
        self.along.edited.connect(self._move)
        self.inward.edited.connect(self._move)
        self.across.edited.connect(self._put)
        self.up.edited.connect(self._put)

    def _number(self, measure: str, name: str, tip: str) -> NumberField:
        field = NumberField(name, units=self._units, within=range_of(Moved, "along"), tip=tip)
        field.setProperty(MEASURE, measure)
        return field

    # Showing

    def show_post(self, scene: Scene, key: str | None) -> None:
        """Show a post of a scene; nothing for None."""
        found = _found(scene.build, key)
        self.setVisible(found is not None)
        if found is None:
            return
        row, post = found
        self._key = post.key
        placed = next((each for each in scene.layout.posts if each.key == post.key), None)
        self._show_string(scene.build, scene.layout, post)
        self.turned.set_value(post.turned_deg)
        self.flip.set_value(post.flip_wound_side)
        self.piece.set_value(post.piece)
        self.set_shown(self.piece, placed is not None and placed.hardware.handed)
        self._show_place(row, placed)
        self.drilled.set_value(post.drilled)

    def _show_string(self, build: Build, layout: Layout, post: Post) -> None:
        placed = next((each for each in layout.posts if each.key == post.key), None)
        now = placed.string if placed is not None else None
        names = {each.key: f"{layout.labels[each.key]}  {each.name}".strip() for each in build.strings}
        by_rule = self.tr("By rule")
        if post.string is UNSET and now is not None:
            by_rule = self.tr("By rule: {string}").format(string=names[now])
        options: list[tuple[object, str]] = [(UNSET, by_rule), (NONE, self.tr("None"))]
        self.string.set_options([*options, *names.items()])
        self.string.set_value(NONE if post.string is None else post.string)
        string = next((each for each in build.strings if each.key == now), None)
        self.turns.set_value(None if isinstance(post.turns, UnsetType) else post.turns)
        usual = TURNS_WOUND if string is not None and is_wound(string.kind) else TURNS_PLAIN
        self.turns.setPlaceholderText(number_text(usual, "plain", "mm"))

    def _show_place(self, row: Row, placed: PlacedPost | None) -> None:
        moved = next((each for each in row.moved if each.post == self._key), None)
        self.placed.setText(self.tr("Placed by hand") if moved else self.tr("Placed by its row's rule"))
        self.set_shown(self.give_back, moved is not None)
        self.along.set_value(moved.along if moved else 0.0)
        self.inward.set_value(moved.inward if moved else 0.0)
        for field in (self.across, self.up):
            self.set_shown(field, placed is not None)
        if placed is not None:
            self.across.set_value(placed.at.x)
            self.up.set_value(placed.at.y)

    # Acts

    def _act(self, label: str, edit: Edit) -> None:
        self._session.act(label.format(post=self._session.scene.layout.labels[self._key]), edit)

    def _take_string(self, choice: object) -> None:
        key = self._key
        string = None if choice == NONE else choice
        assert string is None or isinstance(string, str | UnsetType), "an option"
        posts = self._session.scene.layout.posts
        now = {each.key: each.string for each in posts if each.string is not None}
        other = next((post for post, each in now.items() if each == string and post != key), None)
        if other is not None and key in now:
            labels = self._session.scene.layout.labels
            words = self.tr("Change over strings {one} and {two}").format(one=labels[key], two=labels[other])
            self._session.act(words, lambda build: edits.swap_strings(build, key, other, now))
        else:
            self._act(
                self.tr("Lead a string to post {post}"), lambda build: edits.set_string_of(build, key, string)
            )

    def _set_turns(self, turns: float | UnsetType) -> None:
        key = self._key
        self._act(self.tr("Change turns on post {post}"), lambda build: edits.set_turns(build, key, turns))

    def _turn(self, degrees: float) -> None:
        key = self._key
        self._act(
            self.tr("Turn tuner {post}"), with_twins(lambda build: edits.turn_tuner(build, key, degrees))
        )

    def _flip(self) -> None:
        key = self._key
        self._act(
            self.tr("Wind post {post} on its other side"),
            with_twins(lambda build: edits.flip_wound_side(build, key)),
        )

    def _take_piece(self, piece: object) -> None:
        key = self._key
        taken: Piece | UnsetType = "left" if piece == "left" else "right" if piece == "right" else UNSET
        self._act(
            self.tr("Change the piece at post {post}"),
            with_twins(lambda build: edits.set_piece(build, key, taken)),
        )

    def _give_back(self) -> None:
        key = self._key
        self._act(
            self.tr("Put post {post} back in its row"),
            with_twins(lambda build: edits.give_back(build, key)),
        )

    def _move(self) -> None:
        key, along, inward = self._key, self.along.value or 0.0, self.inward.value or 0.0
        self._act(
            self.tr("Move post {post}"), with_twins(lambda build: edits.move_post(build, key, along, inward))
        )

    def _drill(self, drilled: bool) -> None:  # noqa: FBT001 - what a tick tells
        key = self._key
        words = (
            self.tr("Mark hole {post} as drilled") if drilled else self.tr("Mark hole {post} as not drilled")
        )
        self._act(words, lambda build: edits.set_drilled(build, key, drilled=drilled))

    def _put(self) -> None:
        key, layout = self._key, self._session.scene.layout
        at = Point(self.across.value or 0.0, self.up.value or 0.0)
        self._act(self.tr("Move post {post}"), with_twins(lambda build: move_posts(build, layout, {key: at})))


def _found(build: Build, key: str | None) -> tuple[Row, Post] | None:
    return next(((row, post) for row in build.rows for post in row.posts if post.key == key), None)
