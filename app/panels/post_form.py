"""One tuner: which string, how it is wound and turned, and where it stands, by its row's rule or by hand."""

from __future__ import annotations

from collections.abc import Callable
from typing import Concatenate, ParamSpec

from msgspec import UNSET, UnsetType

from app.document.scene import Scene
from app.document.session import Edit, Session
from app.panels.numbers import Line, Numbers, PlaceFields
from app.widgets.fields import Choice, Tick
from app.widgets.kit import Form, button, strong
from app.widgets.number_field import number_text
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


Values = ParamSpec("Values")


class PostForm(Form):
    """Fields about one post of the session's build."""

    def __init__(self, session: Session, units: Units) -> None:
        """Empty until a post is shown."""
        super().__init__()
        self._session = session
        self._key = ""
        self._add_string(units)
        self._add_place(units)

    def _add_string(self, units: Units) -> None:
        tr = self.tr
        self.string = Choice(
            tr("String"), tip=tr("If another post has it, the two swap"), told=self._take_string
        )
        self.put(self.string, below=True)
        turns = tr("Turns on the post; empty: as is usual for the string")
        turned = tr("The tuner about its post, counter-clockwise as the face shows it")
        lines = (
            Line("turns", tr("Turns"), turns, "plain", optional=True),
            Line("turned_deg", tr("Turned by"), turned, "degrees"),
        )
        self.numbers = Numbers(self, Post, lines, units, self._edit)
        self.turns, self.turned = self.numbers.fields.values()
        pieces = ((UNSET, tr("For its side")), ("left", tr("Left piece")), ("right", tr("Right piece")))
        tip = tr("Left and right pieces are mirror images")
        self.piece = self.put(Choice(tr("Piece"), pieces, tip=tip, told=self._take_piece))
        tip = tr("The string runs past the button's side of the post")
        self.flip = self.put(Tick(tr("Wound on the other side"), tip=tip, told=self._flip))

    def _add_place(self, units: Units) -> None:
        tr = self.tr
        self.placed = self.put(strong(""))
        self.place = PlaceFields(self, units, self._place, Post)
        self.across, self.up = self.place.x, self.place.y
        lines = (
            Line("along", tr("Along the row"), tr("From where the rule has it, towards the tip")),
            Line("inward", tr("Inward"), tr("From where the rule has it, away from the edge")),
        )
        self.moved = Numbers(self, Moved, lines, units, self._move)
        self.along, self.inward = self.moved.fields.values()
        self.give_back = button(
            tr("Put back in its row"), tr("Place this post by its row's rule again"), self._give_back
        )
        self.put(self.give_back)
        tip = tr("It is in the wood and cannot miss any more; only the other holes have rings")
        self.drilled = self.put(Tick(tr("The hole is drilled"), tip=tip, told=self._drill))

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
        self._show_string(scene.build, scene.layout, post, placed)
        self.numbers.show(post)
        self.flip.set_value(post.flip_wound_side)
        self.piece.set_value(post.piece)
        self.set_shown(self.piece, placed is not None and placed.hardware.handed)
        self._show_place(row, placed)
        self.drilled.set_value(post.drilled)

    def _show_string(self, build: Build, layout: Layout, post: Post, placed: PlacedPost | None) -> None:
        now = placed.string if placed is not None else None
        names = {each.key: f"{layout.labels[each.key]}  {each.name}".strip() for each in build.strings}
        by_rule = self.tr("By rule")
        if post.string is UNSET and now is not None:
            by_rule = self.tr("By rule: {string}").format(string=names[now])
        options: list[tuple[object, str]] = [(UNSET, by_rule), (NONE, self.tr("None"))]
        self.string.set_options([*options, *names.items()])
        self.string.set_value(NONE if post.string is None else post.string)
        string = next((each for each in build.strings if each.key == now), None)
        usual = TURNS_WOUND if string is not None and is_wound(string.kind) else TURNS_PLAIN
        self.turns.setPlaceholderText(number_text(usual, "plain", "mm"))

    def _show_place(self, row: Row, placed: PlacedPost | None) -> None:
        moved = next((each for each in row.moved if each.post == self._key), None)
        self.placed.setText(self.tr("Placed by hand") if moved else self.tr("Placed by its row's rule"))
        self.set_shown(self.give_back, moved is not None)
        self.moved.show(moved or Moved(post=self._key, along=0.0, inward=0.0))
        self.place.show(None if placed is None else placed.at)

    # Acts

    def _act(self, label: str, edit: Edit) -> None:
        self._session.act(label.format(post=self._session.scene.layout.labels[self._key]), edit)

    def _act_on_both(
        self,
        label: str,
        edit: Callable[Concatenate[Build, str, Values], Build],
        *values: Values.args,
        **named: Values.kwargs,
    ) -> None:
        """An act that changes the twin of the post likewise; `edit` takes the post's key and these values."""
        key = self._key
        self._act(label, with_twins(lambda build: edit(build, key, *values, **named)))

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

    def _edit(self, line: Line, value: float | None) -> None:
        if line.field == "turned_deg":
            self._act_on_both(self.tr("Turn tuner {post}"), edits.turn_tuner, value or 0.0)
        else:
            key, turns = self._key, UNSET if value is None else value
            label = self.tr("Change turns on post {post}")
            self._act(label, lambda build: edits.set_turns(build, key, turns))

    def _flip(self, _: bool) -> None:  # noqa: FBT001 - what a tick tells
        self._act_on_both(self.tr("Wind post {post} on its other side"), edits.flip_wound_side)

    def _take_piece(self, piece: object) -> None:
        taken: Piece | UnsetType = "left" if piece == "left" else "right" if piece == "right" else UNSET
        self._act_on_both(self.tr("Change the piece at post {post}"), edits.set_piece, taken)

    def _give_back(self) -> None:
        self._act_on_both(self.tr("Put post {post} back in its row"), edits.give_back)

    def _move(self, _: Line, __: float | None) -> None:
        along, inward = self.along.value or 0.0, self.inward.value or 0.0
        self._act_on_both(self.tr("Move post {post}"), edits.move_post, along, inward)

    def _drill(self, drilled: bool) -> None:  # noqa: FBT001 - what a tick tells
        key = self._key
        words = (
            self.tr("Mark hole {post} as drilled") if drilled else self.tr("Mark hole {post} as not drilled")
        )
        self._act(words, lambda build: edits.set_drilled(build, key, drilled=drilled))

    def _place(self, at: Point) -> None:
        key, layout = self._key, self._session.scene.layout
        self._act(self.tr("Move post {post}"), with_twins(lambda build: move_posts(build, layout, {key: at})))


def _found(build: Build, key: str | None) -> tuple[Row, Post] | None:
    return next(((row, post) for row in build.rows for post in row.posts if post.key == key), None)
