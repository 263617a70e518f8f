"""The tuners: their rows, the rule that places each row, and every post."""

from __future__ import annotations

from collections.abc import Callable

from app.document.scene import Scene
from app.document.selection import Item, keys_of
from app.document.session import Session
from app.panels.hardware_form import HardwareForm
from app.panels.numbers import most_of
from app.panels.panel import Panel
from app.panels.part_table import PartTable
from app.panels.post_form import PostForm
from app.panels.row_form import RowForm
from app.panels.words import side_words
from app.widgets.kit import button, heading, line, remark, small_button
from geometry.document import edits, row_edits
from geometry.document.build import Build, Row
from geometry.document.twins import with_twins
from geometry.trade.hardware import Hardware
from geometry.trade.hardware_library import LIBRARY
from geometry.trade.units import Units

FIRST_COUNT = 3
"""Tuners of the first row of a build without any."""


class TunersPanel(Panel):
    """Rows, the current row's rule, its posts, and the current post."""

    def __init__(self, session: Session, units: Units = "mm") -> None:
        """Show the tuners of the session's build."""
        super().__init__(session, units)
        self.set_title(self.tr("Tuners"))
        self._add_rows()
        self._add_posts()
        self.column.addStretch(1)
        self.refresh()

    def _add_rows(self) -> None:
        tr = self.tr
        columns = (tr("Posts"), tr("Row"))
        self.rows = PartTable(self.session, "row", tr("Rows of tuners"), columns)
        self.rows.current_changed.connect(self._show_row)
        tip = tr("Add a row like this one on the other side")
        self.add_row = small_button(tr("Add"), tip, self._add_row)
        self.remove_row = small_button(tr("Remove"), tr("Take this row away"), self._remove_row)
        tip = tr("Give the other side the same tuners, placed as in a mirror")
        self.across = button(tr("Copy to the other side"), tip, self._copy_across)
        self.row_form = RowForm(self.session, self.units)
        self.row_form.measures_wanted.connect(self._measure)
        self.no_rows = remark(tr("There are no tuners yet. Add a row to begin."))
        buttons = line(self.add_row, self.remove_row)
        title = heading(tr("Rows"), first=True)
        self.put(title, self.rows, buttons, self.row_form, self.across, self.no_rows)

    def _add_posts(self) -> None:
        tr = self.tr
        columns = (tr("Post"), tr("String"), tr("Placed"))
        self.posts = PartTable(self.session, "post", tr("Posts of the row, from the nut"), columns)
        self.posts.current_changed.connect(self._show_post)
        tip = tr("Add a tuner at the tip end of the row")
        self.add_post = small_button(tr("Add"), tip, self._add_post)
        self.remove_post = small_button(tr("Remove"), tr("Take this tuner away"), self._remove_post)
        self.post_form = PostForm(self.session, self.units)
        self.posts_title = heading(tr("Posts"))
        self.posts_buttons = line(self.add_post, self.remove_post)
        self.put(self.posts_title, self.posts, self.posts_buttons, self.post_form)

    # Showing

    @property
    def row_in_hand(self) -> str | None:
        """The key of the row that is shown."""
        return self.rows.current

    @property
    def part_in_hand(self) -> str | None:
        """The key of the post that is shown."""
        return self.posts.current

    def show_scene(self, scene: Scene, before: Scene | None) -> None:  # noqa: ARG002 - as all panels
        """Show the tuners of a scene."""
        rows = [(row.key, (str(len(row.posts)), side_words(row.side))) for row in scene.build.rows]
        selected = keys_of(scene.selection, "post")
        posts = ((row.key, post.key) for row in scene.build.rows for post in row.posts)
        of_post = next((row for row, post in posts if post in selected), None)
        self.rows.show_rows(rows, scene, of_post)
        self._show_row()

    def _show_row(self) -> None:
        scene = self.session.scene
        row = self._row(scene.build)
        self.row_form.show_row(scene, self.rows.current)
        self.no_rows.setVisible(row is None)
        self.add_row.setEnabled(len(scene.build.rows) < most_of(Build, "rows"))
        of_posts = (self.posts_title, self.posts, self.posts_buttons)
        for part in (self.rows, self.remove_row, self.across, *of_posts):
            part.setVisible(row is not None)
        if row is not None:
            self.add_post.setEnabled(len(row.posts) < most_of(Row, "posts"))
            self.posts.show_rows(self._post_rows(scene, row), scene)
        self._show_post()

    def _post_rows(self, scene: Scene, row: Row) -> list[tuple[str, tuple[str, ...]]]:
        names = {each.key: each.name for each in scene.build.strings}
        strings = {each.key: names.get(each.string or "", "") for each in scene.layout.posts}
        placed = {each.post: self.tr("by hand") for each in row.moved}
        keys = (post.key for post in row.posts)
        return [(key, (scene.layout.labels[key], strings.get(key, ""), placed.get(key, ""))) for key in keys]

    def _show_post(self) -> None:
        scene = self.session.scene
        row = self._row(scene.build)
        key = self.posts.current if row is not None and row.posts else None
        self.remove_post.setVisible(key is not None)
        self.post_form.show_post(scene, key)

    def _row(self, build: Build) -> Row | None:
        return next((each for each in build.rows if each.key == self.rows.current), None)

    # Acts

    def _add_row(self) -> None:
        build = self.session.build
        like = self._row(build)
        if like is None:
            hardware = build.hardware[0] if build.hardware else LIBRARY[0]
            self.session.act(
                self.tr("Add a row"), lambda build: row_edits.first_row(build, "bass", hardware, FIRST_COUNT)
            )
            return
        added = row_edits.new_row(build, row_edits.OTHER_SIDE[like.side], like, len(like.posts))
        self.session.act(
            self.tr("Add a row"), lambda build: edits.add_row(build, added), (Item("row", added.key),)
        )

    def _act_on_row(self, label: str, edit: Callable[[Build, str], Build]) -> None:
        key = self.rows.current
        if key is not None:
            self.session.act(label, lambda build: edit(build, key))

    def _remove_row(self) -> None:
        self._act_on_row(self.tr("Remove a row"), edits.remove_row)

    def _copy_across(self) -> None:
        self._act_on_row(self.tr("Copy the row to the other side"), row_edits.copy_across)

    def _add_post(self) -> None:
        self._act_on_row(self.tr("Add a tuner"), row_edits.add_post)

    def _remove_post(self) -> None:
        key = self.posts.current
        if key is not None:
            label = self.tr("Remove tuner {post}").format(post=self.session.scene.layout.labels[key])
            self.session.act(label, lambda build: row_edits.remove_post(build, key))

    def _measure(self, hardware: Hardware) -> None:
        row = self.rows.current
        measured = self.ask_measures(hardware)
        if measured is not None and row is not None:
            label = self.tr("Measure tuners: {name}").format(name=measured.name)
            self.session.act(label, with_twins(lambda build: row_edits.measured(build, row, measured)))

    def ask_measures(self, hardware: Hardware) -> Hardware | None:
        """Let the maker measure tuners; None when given up."""
        return HardwareForm.ask(hardware, self.units, self)
