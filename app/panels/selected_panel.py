"""What is selected, in exact numbers, and how far the hole of a tuner may miss."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QLabel

from app.canvas.words import part_title
from app.document.live_rings import LiveRings
from app.document.scene import Scene
from app.document.selection import Item, Selection
from app.document.session import Session
from app.panels.finding_rows import translated
from app.panels.mark_forms import OldHoleForm, RegionForm, RetainerForm
from app.panels.outline_forms import NodeForm, RunForm
from app.panels.panel import Panel
from app.panels.post_form import PostForm
from app.widgets.kit import Form, PlainLabel, heading, remark
from geometry.document.build import Build
from geometry.document.outline_nodes import runs_at
from geometry.search.rings.allowance import MOST_LEAN, JointRing, Ring, rounded_down
from geometry.search.rings.allowance_words import say_ring, say_rings
from geometry.trade.escapes import on_one_line
from geometry.trade.quantities import show_angle, show_radius
from geometry.trade.units import Units


class SelectedPanel(Panel):
    """Fields of the part that was selected last."""

    def __init__(self, session: Session, units: Units = "mm", rings: LiveRings | None = None) -> None:
        """Show what is selected in the session, with the rings that are found for it."""
        super().__init__(session, units)
        self.set_title(self.tr("Selected"))
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
        self.put(self.title, self.hint, self.node)
        self.put(self.arriving_title, self.arriving, self.leaving_title, self.leaving)
        self.put(self.post, self.rings, self.region, self.hole, self.retainer)
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
        nothing = self.tr("Nothing is selected")
        self.title.setText(nothing if last is None else on_one_line(part_title(scene, last)))
        self.hint.setText(self._hint(scene.selection))
        self.hint.setVisible(bool(self.hint.text()))
        self._show_outline(scene.build, last)
        key = _key(last, "post")
        has_place = any(post.key == key for post in scene.layout.posts)
        self.post.show_post(scene, key)
        self.rings.show_post(scene.build, key if has_place else None)
        self.region.show_mark(scene, _key(last, "region"))
        self.hole.show_mark(scene, _key(last, "old hole"))
        self.retainer.show_mark(scene, _key(last, "retainer"))

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


UNKNOWN = "…"
"""What is not known yet: it is worked out for as long as it is looked at."""


class RingWords(Form):
    """Lines about the hole of one post; what is not known of the build in view is being worked out."""

    def __init__(self, rings: LiveRings, units: Units) -> None:
        """Empty until a post is shown."""
        super().__init__()
        self._rings = rings
        self._units: Units = units
        self._key: str | None = None
        self._build: Build | None = None
        self.add_wide(heading(self.tr("How far the hole may miss")))
        self.joint = self._line(
            self.tr("Together with all others"),
            self.tr("All holes may miss at once, each as far as its own ring on the drawing"),
        )
        self.even = self._line(
            self.tr("Without looking uneven"),
            self.tr("The thinner ring on the drawing: what the eye forgives"),
        )
        self.lean = self._line(
            self.tr("Off square"), self.tr("How far all holes may lean at once, their marks dead on")
        )
        self.alone = remark("")
        self.alone.setAccessibleName(self.tr("Alone"))
        self.add_wide(self.alone)
        rings.changed.connect(self._refresh)

    def _line(self, text: str, tip: str) -> QLabel:
        label = PlainLabel(UNKNOWN)
        label.setAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        label.setToolTip(tip)
        label.setAccessibleName(text)
        self.add(text, label)
        return label

    def set_units(self, units: Units) -> None:
        """Say lengths in other units."""
        self._units = units
        self._refresh()

    def show_post(self, build: Build, key: str | None) -> None:
        """Tell about a placed post of the build in view; nothing for None."""
        self._build, self._key = build, key
        self.setVisible(key is not None)
        self._refresh()

    def _refresh(self) -> None:
        if self._key is None or not self.isVisible():
            return
        joint, ring = self._rings.joint, self._rings.ring(self._key)
        if ring is None:
            self._rings.want_ring(self._key)
        found = next((each for each in joint.rings if each.post == self._key), None) if joint else None
        self._show_joint(found)
        if joint is not None and not joint.told:
            _say(self.alone, say_rings(joint, self._units, translated))
        else:
            self._show_whole(ring)

    def showEvent(self, event: QShowEvent) -> None:  # noqa: N802 - Qt's name
        """What was found while nobody looked is told now, and what is missing asked for."""
        super().showEvent(event)
        self._refresh()

    def _show_joint(self, found: JointRing | None) -> None:
        even = None if found is None else found.even
        _say(self.joint, UNKNOWN if found is None else show_radius(found.radius, self._units))
        _say(self.even, UNKNOWN if even is None else show_radius(rounded_down(even), self._units))
        may_miss = found is None or not (found.broken or found.drilled)
        self.set_shown(self.joint, may_miss)
        self.set_shown(self.lean, may_miss)
        self.set_shown(self.even, may_miss and (found is None or even is not None))

    def _show_whole(self, ring: Ring | None) -> None:
        if ring is None or self._build is None:
            _say(self.lean, UNKNOWN)
            _say(self.alone, " ")
            return
        more = self.tr("{0} and more")
        lean = show_angle(ring.lean_deg)
        _say(self.lean, more.format(lean) if ring.lean_deg >= MOST_LEAN else lean)
        _say(self.alone, say_ring(ring, self._build, self._units, translated))


def _say(label: QLabel, words: str) -> None:
    if label.text() != words:
        label.setText(words)
