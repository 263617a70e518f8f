"""What is selected, in exact numbers."""

from __future__ import annotations

from PySide6.QtWidgets import QWidget

from app.canvas.words import part_title
from app.document.live_rings import LiveRings
from app.document.scene import Scene
from app.document.selection import Item, Selection
from app.document.session import Session
from app.panels.mark_forms import OldHoleForm, RegionForm, RetainerForm
from app.panels.outline_forms import NodeForm, RunForm
from app.panels.panel import Panel
from app.panels.post_form import PostForm
from app.panels.ring_words import RingWords
from app.widgets.kit import heading, remark
from geometry.document.build import Build
from geometry.document.outline_edits import runs_at
from geometry.trade.escapes import on_one_line
from geometry.trade.units import Units


class SelectedPanel(Panel):
    """Fields of the part that was selected last."""

    def __init__(
        self,
        session: Session,
        units: Units = "mm",
        rings: LiveRings | None = None,
        parent: QWidget | None = None,
    ) -> None:
        """Show what is selected in the session, with the rings that are found for it."""
        super().__init__(session, "", units, parent)
        self.setAccessibleName(self.tr("Selected"))
        self.setWindowTitle(self.tr("Selected"))
        self.title = heading("", first=True)
        self.hint = remark("")
        self.node = NodeForm(session, units)
        self.arriving_title = heading(self.tr("Run before it"))
        self.arriving = RunForm(session, units)
        self.leaving_title = heading(self.tr("Run after it"))
        self.leaving = RunForm(session, units)
        self.post = PostForm(session, units)
        self.rings = RingWords(rings or LiveRings(session, self), units)
        self.region = RegionForm(session, units)
        self.hole = OldHoleForm(session, units)
        self.retainer = RetainerForm(session, units)
        for part in (
            self.title,
            self.hint,
            self.node,
            self.arriving_title,
            self.arriving,
            self.leaving_title,
            self.leaving,
            self.post,
            self.rings,
            self.region,
            self.hole,
            self.retainer,
        ):
            self.column.addWidget(part)
        self.column.addStretch(1)
        self.refresh()

    def set_units(self, units: Units) -> None:
        """Show lengths in other units."""
        super().set_units(units)
        self.rings.set_units(units)

    @property
    def part_in_hand(self) -> str | None:
        """The key of the post that is shown."""
        chosen = self.session.selection
        return _key(chosen[-1] if chosen else None, "post")

    def show_scene(self, scene: Scene, before: Scene | None) -> None:  # noqa: ARG002 - as all panels
        """Show the fields of what is selected in a scene."""
        last = scene.selection[-1] if scene.selection else None
        self.title.setText(self._title(scene, last))
        self.hint.setText(self._hint(scene.selection))
        self.hint.setVisible(bool(self.hint.text()))
        self._show_outline(scene.build, last)
        self.post.show_post(scene, _key(last, "post"))
        self.rings.show_post(scene.build, _placed(scene, _key(last, "post")))
        self.region.show_region(scene, _key(last, "region"))
        self.hole.show_hole(scene, _key(last, "old hole"))
        self.retainer.show_retainer(scene, _key(last, "retainer"))

    def _show_outline(self, build: Build, last: Item | None) -> None:
        node, run = _key(last, "node"), _key(last, "run")
        before, after = runs_at(build, node) if node is not None else (None, run)
        self.node.setVisible(node is not None)
        if node is not None:
            self.node.show_node(build, node)
        for form, title, key in (
            (self.arriving, self.arriving_title, before),
            (self.leaving, self.leaving_title, after),
        ):
            form.setVisible(key is not None)
            title.setVisible(key is not None and node is not None)
            if key is not None:
                form.show_run(build, key)

    def _title(self, scene: Scene, last: Item | None) -> str:
        return self.tr("Nothing is selected") if last is None else on_one_line(part_title(scene, last))

    def _hint(self, selection: Selection) -> str:
        if not selection:
            return self.tr("Click a node, a post or a region on the head to see its numbers.")
        if len(selection) > 1:
            return self.tr("%n selected; these are the numbers of the last one.", "", len(selection))
        hints = {
            "row": self.tr("Its numbers are in the panel of the tuners."),
            "string": self.tr("Its numbers are in the panel of the strings."),
        }
        return hints.get(selection[-1].kind, "")


def _key(item: Item | None, kind: str) -> str | None:
    return item.key if item is not None and item.kind == kind else None


def _placed(scene: Scene, key: str | None) -> str | None:
    """The key again, None when the post has no place."""
    return key if any(post.key == key for post in scene.layout.posts) else None
