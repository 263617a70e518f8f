"""What keeps a picture from being read."""

from __future__ import annotations

from typing import NoReturn

from geometry.trade.sentence import SentenceError


class PictureError(SentenceError):
    """A picture that does not show what it should; one sentence that says what is wrong and what was expected."""


def refuse_picture(text: str, measured: tuple[float, ...] = (), typed: tuple[float, ...] = ()) -> NoReturn:
    """Raise the PictureError that says this, its lengths in mm as in a SentenceError."""
    raise PictureError(text, measured, typed)
