"""Parts on the clipboard, under a type of their own, so that they can go from one window to another."""

from __future__ import annotations

import msgspec
from PySide6.QtCore import QByteArray, QMimeData
from PySide6.QtGui import QGuiApplication

from geometry.document.copies import Copies

MIME_TYPE = "application/x-pegwright-parts+json"
LARGEST = 5_000_000
"""Bytes; more than that is not read from a clipboard."""


def put_on_clipboard(copies: Copies) -> None:
    """Keep copies on the clipboard in place of what was there."""
    data = QMimeData()
    data.setData(MIME_TYPE, QByteArray(msgspec.json.encode(copies)))
    QGuiApplication.clipboard().setMimeData(data)


def on_clipboard() -> Copies | None:
    """The copies on the clipboard; None when there is something else, or nothing that can be used."""
    data = QGuiApplication.clipboard().mimeData()
    if data is None or not data.hasFormat(MIME_TYPE):
        return None
    content = bytes(data.data(MIME_TYPE).data())
    if len(content) > LARGEST:
        return None
    try:
        return msgspec.json.decode(content, type=Copies)
    except (msgspec.MsgspecError, UnicodeDecodeError):
        return None
