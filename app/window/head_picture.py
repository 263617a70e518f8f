"""The picture of a real head: shown under the drawing, and kept beside the build's file from one day to the next."""

from __future__ import annotations

from pathlib import Path

from PySide6.QtCore import QObject

from app.canvas.canvas import Canvas
from app.canvas.underlay import Underlay, read_underlay, written
from app.document.document import Document
from app.document.files import read_if_there, write_whole
from app.document.messages import Refusal
from app.document.session import Session

LARGEST = 60_000_000
"""Bytes of a picture that is kept; faces at ten pixels a mm take a few millions."""


def picture_beside(path: Path) -> Path:
    """Where the picture of a build's file is kept."""
    return path.with_suffix(".picture.png")


class HeadPicture(QObject):
    """Joins the picture under the drawing to the file of the build: saved with it, and found again beside it."""

    def __init__(self, canvas: Canvas, session: Session, document: Document) -> None:
        super().__init__(canvas)
        self._canvas, self._session, self._document = canvas, session, document
        self._kept: tuple[Underlay, Path] | None = None
        document.opened.connect(self.find)
        document.saved.connect(self._keep)

    def find(self) -> None:
        """Show the picture that lies beside the build on the bench, if one does."""
        path = self._session.path
        try:
            there = None if path is None else self._there(path)
        except Refusal as refusal:
            there = None
            self._document.refused.emit(str(refusal))
        self._canvas.underlay = there
        self._kept = None if there is None or path is None else (there, path)

    def _there(self, path: Path) -> Underlay | None:
        """The picture beside a file; a PNG of another kind is none of ours."""
        data = read_if_there(picture_beside(path), LARGEST)
        return None if data is None or len(data) > LARGEST else read_underlay(data)

    def _keep(self) -> None:
        """Write the picture beside the file that was just saved, where it does not lie there yet."""
        underlay, path = self._canvas.underlay, self._session.path
        if underlay is None or path is None or self._kept == (underlay, path):
            return
        beside = picture_beside(path)
        try:
            if beside.exists() and self._there(path) is None:
                words = self.tr(
                    "{path} is another picture, so that of the head is not kept beside the build."
                )
                raise Refusal(words.format(path=beside))
            write_whole(beside, written(underlay))
        except Refusal as refusal:
            self._document.refused.emit(str(refusal))
            return
        self._kept = underlay, path
