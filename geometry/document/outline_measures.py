"""Annotated numbers of an outline, and how large they may be."""

from typing import Annotated, Final

from msgspec import Meta

from geometry.trade.measures import LEAST, LENGTH_MARK

LARGEST_BULGE: Final = 20.0
"""An arc with a larger bulge is a full circle but for a tenth of its diameter: a slip of the hand."""

LARGEST_STARTER: Final = 750.0
"""No measure of a starter is longer, in mm, so that all its nodes stay within the largest length."""

StarterSize = Annotated[float, Meta(ge=LEAST, le=LARGEST_STARTER, extra={LENGTH_MARK: True})]
"""A measure of a starter in mm that is not 0, nor next to it."""

StarterDistance = Annotated[float, Meta(ge=0, le=LARGEST_STARTER, extra={LENGTH_MARK: True})]
"""A measure of a starter in mm, 0 allowed."""
