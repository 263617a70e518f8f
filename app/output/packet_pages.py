"""What comes out of each packet of paper: its first page and how many there are, found out beside the window."""

from __future__ import annotations

from collections.abc import Mapping

import msgspec
from PySide6.QtCore import QObject, Signal

from app.document.messages import Progress, Refusal
from app.document.work import Work
from app.writing.export import Job, pages_of, sheets_of
from export.catalogue import PACKETS, Packet
from export.drawing import Sheet
from export.page import Page

Drawn = Mapping[str, tuple[Sheet, ...]]
"""Sheets that were drawn already, by the name of their kind: packets share them."""


class PacketPages(msgspec.Struct, frozen=True):
    """The pages of the packet called `name`: how many, and the first; none where nothing in it can be drawn."""

    name: str
    count: int
    first: Page | None


class _Step(msgspec.Struct, frozen=True):
    found: PacketPages
    drawn: Drawn


class PacketLooker(QObject):
    """Draws one packet after the other, when somebody wants to see them, until other choices make them others.

    Signals:
        found: the PacketPages of one packet.
    """

    found = Signal(object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.work = Work(self)
        self.work.done.connect(self._take)
        self._job: Job | None = None
        self._drawn: Drawn = {}
        self._left: tuple[Packet, ...] = ()

    def forget(self) -> None:
        """What was found is of other choices."""
        self.work.cancel()
        self._job, self._drawn, self._left = None, {}, ()

    def look(self, job: Job) -> None:
        """Find out for this job, whatever sheets it names; what was found since `forget` is not looked for again."""
        if self._job is None:
            self._job, self._left = job, PACKETS
            self._next()

    def close(self) -> None:
        """Look no more."""
        self.work.close()

    def _next(self) -> None:
        job, drawn = self._job, self._drawn
        if self._left and job is not None:
            packet, *rest = self._left
            self._left = tuple(rest)
            self.work.start(lambda progress: _looked(job, packet, drawn, progress))

    def _take(self, step: _Step) -> None:
        self._drawn = step.drawn
        self.found.emit(step.found)
        self._next()


def _looked(job: Job, packet: Packet, drawn: Drawn, progress: Progress) -> _Step:
    known = dict(drawn)
    for number, name in enumerate(packet.names):
        progress(number, len(packet.names))  # ends here once nobody wants it any more
        if name not in known:
            known[name] = sheets_of(job, name)
    sheets = tuple(sheet for name in packet.names for sheet in known[name])
    try:
        pages = pages_of(sheets, job.stamp)
    except Refusal:  # the paper is too small; the preview says so
        pages = ()
    return _Step(PacketPages(packet.name, len(pages), next(iter(pages), None)), known)
