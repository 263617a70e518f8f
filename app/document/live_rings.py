"""The rings of what the session shows: a sound bound as soon as the hand slows down, exact ones when it rests.

They cost more than a frame has to give, so bounds are not found at every move of a fast drag, and exact rings beside
the window, which a hand that moves on gives up. What is not known of the build in view is not shown, and what was found
for another build never is.
"""

from __future__ import annotations

from PySide6.QtCore import QElapsedTimer, QObject, QTimer, Signal

from app.document.scene import Scene
from app.document.session import Session
from app.document.work import Work
from geometry.document.build import Build
from geometry.search.rings.allowance import Joint, Ring, bounded_rings, exact_rings, ring_of

PACE = 30
"""Changes that follow each other faster than this, in milliseconds, are a hand on its way."""

SHARE = 5
"""Nor may a bound come more often than that: at most every fifth moment goes into bounds, on slow machines too."""

REST = 50
"""After so many milliseconds without a change the exact rings are worth their time; all is told within 150 of them."""


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
        self._wanted: str | None = None
        self._ring: Ring | None = None
        self._since = QElapsedTimer()
        self._cost = 0  # of the last bound, in milliseconds
        self._work = Work(self)
        self._work.done.connect(self._take)
        self._slow = QTimer(self, singleShot=True, interval=PACE)
        self._slow.timeout.connect(self._bound)
        self._rest = QTimer(self, singleShot=True, interval=REST)
        self._rest.timeout.connect(self._exactly)
        session.changed.connect(self._follow)
        self._rest.start()

    @property
    def joint(self) -> Joint | None:
        """The joint rings of the build in view, None while they are not known."""
        return self._joint if self._session.scene.build is self._build else None

    def ring(self, post: str) -> Ring | None:
        """All about the hole of a post, None while it is not known; it comes only after `want_ring`."""
        known = self._ring is not None and self._ring.post == post
        return self._ring if known and self._session.scene.build is self._build else None

    def want_ring(self, post: str) -> None:
        """Somebody would tell more of one hole than its joint ring: find it when no gesture is under way.

        Of a post that has no place there is nothing to find.
        """
        placed = any(each.key == post for each in self._session.scene.layout.posts)
        if placed and post != self._wanted:
            self._wanted = post
            self._rest.start()

    # What follows

    def _follow(self, scene: Scene) -> None:
        if scene.build is not self._build:
            self._build = scene.build
            self._joint = self._ring = self._wanted = None
            self._work.cancel()
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
        return exact and (scene.gesture or self._wanted is None or self.ring(self._wanted) is not None)

    def _bound(self) -> None:
        self._slow.stop()
        scene, clock = self._session.scene, QElapsedTimer()
        clock.start()
        self._joint = bounded_rings(scene.build, scene.layout)
        self._cost = clock.elapsed()
        self.changed.emit()

    def _exactly(self) -> None:
        """Find what is missing of the build in view: the rings first, then what is told of a hole."""
        scene, wanted = self._session.scene, self._wanted
        self._slow.stop()
        if self._work.busy:
            return
        if self._joint is None or not self._joint.exact:
            self._work.start(lambda _: exact_rings(scene.build, scene.layout))
        elif not self._complete(scene):
            assert wanted is not None, "only what somebody asked for is missing now"
            self._work.start(lambda _: ring_of(scene.build, scene.layout, wanted))

    def _take(self, found: Joint | Ring) -> None:
        """Show what was found, and find what is missing still; a change since has given it up."""
        if isinstance(found, Joint):
            self._joint = found
        else:
            self._ring = found
        self.changed.emit()
        if not self._rest.isActive() and not self._complete(self._session.scene):
            self._exactly()
