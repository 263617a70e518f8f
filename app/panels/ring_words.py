"""How far the hole of one tuner may miss, in words: with all others, alone, by eye, and off square."""

from __future__ import annotations

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QLabel, QWidget

from app.document.live_rings import LiveRings
from app.panels.finding_rows import translated
from app.widgets.kit import Form, heading, remark
from app.widgets.plain import PlainLabel
from geometry.document.build import Build
from geometry.search.rings.allowance import MOST_LEAN, Ring, rounded_down
from geometry.search.rings.allowance_words import say_ring, say_rings
from geometry.search.rings.joint import JointRing
from geometry.trade.quantities import show_angle, show_radius
from geometry.trade.units import Units

UNKNOWN = "…"
"""What is not known yet: it is worked out for as long as it is looked at."""


class RingWords(Form):
    """Lines about the hole of one post; what is not known of the build in view is being worked out."""

    def __init__(self, rings: LiveRings, units: Units, parent: QWidget | None = None) -> None:
        """Empty until a post is shown."""
        super().__init__(parent)
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
