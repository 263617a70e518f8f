"""Places for sentences: words that can be marked and copied, with a little air between them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QLabel

_UNIT = re.compile(r"(?<=\d) (?=(?:mm|in|g|N|lbf|MPa|ksi|Hz)\b|%)")
"""The space between a number and its unit, at which no line ends."""


def sentence(*, bold: bool = False) -> QLabel:
    """A place for words that can be marked and copied, bold where they matter most."""
    label = QLabel()
    label.setWordWrap(True)
    label.setTextFormat(Qt.TextFormat.RichText)
    label.setTextInteractionFlags(Qt.TextInteractionFlag.TextSelectableByMouse)
    if bold:
        font = label.font()
        font.setBold(True)
        label.setFont(font)
    return label


def tell(label: QLabel, words: str | Iterable[str]) -> None:
    """Show words or a few sentences, with a little air between them; without any the label is hidden."""
    sentences = [words] if isinstance(words, str) else list(words)
    *most, last = [_UNIT.sub("\N{NO-BREAK SPACE}", escape(each)) for each in sentences] or [""]
    text = "".join(f'<p style="margin:0 0 5px 0">{each}</p>' for each in most)
    text += f'<p style="margin:0">{last}</p>' if last else ""
    if label.text() != text:
        label.setText(text)
    label.setVisible(bool(text))
