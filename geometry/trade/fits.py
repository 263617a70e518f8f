"""Fits that felt right: which bore a bushing wanted in a wood, as one maker found it on scrap."""

from __future__ import annotations

from typing import Annotated, Literal

import msgspec
from msgspec import Meta

from geometry.trade.hardware import Bushing
from geometry.trade.measures import LEAST, LENGTH_MARK
from geometry.trade.wood import same_wood

Millimetres = Annotated[float, Meta(ge=LEAST, le=100, extra={LENGTH_MARK: True})]
WoodOfFit = Annotated[str, Meta(max_length=200)]

CALIPER = 0.01
"""mm; two bushings whose diameters differ by less are one kind: calipers tell no more."""


class StoredFit(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """In this wood a bushing of these diameters felt right in a bore of `bore` mm, without finish in it."""

    wood: WoodOfFit
    kind: Literal["press-in", "screw-in"]
    root: Millimetres
    crest: Millimetres
    bore: Millimetres

    def of(self, wood: str, bushing: Bushing) -> bool:
        """Whether this is the fit of a bushing in a wood."""
        return (
            same_wood(self.wood, wood)
            and self.kind == bushing.kind
            and abs(self.root - bushing.root) < CALIPER
            and abs(self.crest - bushing.crest) < CALIPER
        )


def stored_fit(fits: tuple[StoredFit, ...], wood: str, bushing: Bushing) -> StoredFit | None:
    """What felt right for a bushing in a wood, or None."""
    return next((fit for fit in fits if fit.of(wood, bushing)), None)


def with_fit(fits: tuple[StoredFit, ...], wood: str, bushing: Bushing, bore: float) -> tuple[StoredFit, ...]:
    """The fits with this one in place of what was stored for the same wood and bushing."""
    found = StoredFit(wood=wood.strip(), kind=bushing.kind, root=bushing.root, crest=bushing.crest, bore=bore)
    return (*without_fit(fits, wood, bushing), found)


def without_fit(fits: tuple[StoredFit, ...], wood: str, bushing: Bushing) -> tuple[StoredFit, ...]:
    """The fits without that of a bushing in a wood."""
    return tuple(fit for fit in fits if not fit.of(wood, bushing))
