"""The rings of what the session shows: a sound bound as soon as the hand slows down, exact ones when it rests.

They cost more than a frame has to give, so they are not found at every move of a fast drag. What is not known of the
build in view is not shown, and what was found for another build never is.
"""

from __future__ import annotations

from collections.abc import Callable

from PySide6.QtCore import QElapsedTimer, QObject, QTimer, Signal

from app.scene import Scene
from app.session import Session
from geometry.build.build import Build
from geometry.search.allowance import Allowance, allowance
from geometry.search.joint import Joint, bounded_rings, exact_rings

PACE = 30
"""Changes that follow each other faster than this, in milliseconds, are a hand on its way."""

SHARE = 5
"""Nor may a bound come more often than that: at most every fifth moment goes into bounds, on slow machines too."""

REST = 60
"""After so many milliseconds without a change the exact rings are worth their time."""


class LiveRings(QObject):
    """Follows a session.

    Signals:
        changed: something else is known, or nothing any more.
    """

    changed = Signal()

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        """Begin with what the session shows, once the window is there."""
        super().__init__(parent)
        self._session = session
        self._build: Build = session.scene.build
        self._joint: Joint | None = None
        self._allowance: Allowance | None = None
        self._wanted = False
        self._since = QElapsedTimer()
        self._cost = 0  # of the last bound, in milliseconds
        self._slow = self._timer(PACE, self._bound)
        self._rest = self._timer(REST, self._exactly)
        self._words = self._timer(0, self._single)
        session.changed.connect(self._follow)
        self._rest.start()

    def _timer(self, after: int, act: Callable[[], None]) -> QTimer:
        timer = QTimer(self)
        timer.setSingleShot(True)
        timer.setInterval(after)
        timer.timeout.connect(act)
        return timer

    @property
    def joint(self) -> Joint | None:
        """The joint rings of the build in view, None while they are not known."""
        return self._joint if self._session.scene.build is self._build else None

    @property
    def allowance(self) -> Allowance | None:
        """Everything about its rings, None while it is not known; it comes only after `want_allowance`."""
        return self._allowance if self._session.scene.build is self._build else None

    def want_allowance(self) -> None:
        """Somebody would tell more than the joint rings of this build: find it when no gesture is under way."""
        self._wanted = True
        if self._allowance is None and not self._rest.isActive():
            self._rest.start()

    # What follows

    def _follow(self, scene: Scene) -> None:
        if scene.build is not self._build:
            self._build = scene.build
            self._joint = self._allowance = None
            self._wanted = False
            pause = max(PACE, SHARE * self._cost)
            on_its_way = self._since.isValid() and not self._since.hasExpired(pause)
            self._since.start()
            if on_its_way:
                self._slow.start()
                self.changed.emit()
            else:
                self._bound()
        if not self._complete(scene):
            self._rest.start()

    def _complete(self, scene: Scene) -> bool:
        exact = self._joint is not None and self._joint.exact
        return exact and (scene.gesture or not self._wanted or self._allowance is not None)

    def _bound(self) -> None:
        self._slow.stop()
        scene, clock = self._session.scene, QElapsedTimer()
        clock.start()
        self._joint = bounded_rings(scene.build, scene.layout)
        self._cost = clock.elapsed()
        self.changed.emit()

    def _exactly(self) -> None:
        scene = self._session.scene
        self._slow.stop()
        if self._joint is None or not self._joint.exact:
            self._joint = exact_rings(scene.build, scene.layout)
            self.changed.emit()
        if not self._complete(scene):
            self._words.start()  # the rings are painted before

    def _single(self) -> None:
        scene = self._session.scene
        if self._rest.isActive() or self._complete(scene):
            return  # the build has changed meanwhile
        self._allowance = allowance(scene.build, scene.layout)
        self.changed.emit()
