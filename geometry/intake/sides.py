"""The sides of a drawing."""

from typing import Literal

Side = Literal["top", "bottom", "left", "right"]
"""A side of a drawing or a picture as it is seen."""
