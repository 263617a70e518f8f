"""What keeps a picture from being read."""

from __future__ import annotations

from geometry.trade.sentence import SentenceError


class PictureError(SentenceError):
    """A picture that does not show what it should; one sentence that says what is wrong and what was expected."""
