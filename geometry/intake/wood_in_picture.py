"""Tells wood from paper in a rectified picture: light that falls off unevenly, shadows beside the head, any wood."""

from __future__ import annotations

from typing import Any

import cv2
import msgspec
import numpy as np
import numpy.typing as npt

from geometry.intake.picture_error import refuse_picture
from geometry.intake.rectified import Light, Rectified

Mask = npt.NDArray[np.bool_]

_COARSE = 2.0  # pixels in a mm at which wood and paper are told apart at first
_LEAST_AREA = 300.0  # mm2 of the smallest head

_RING = 12.0  # mm round the head whose paper counts, with the shadow on it
_SKIN = 1.5  # mm on both sides of the edge that do not count
_BESIDE = 4.0  # mm beside the head within which its edge is looked for
_SPARSE = 2  # pixels of the coarse picture; of bare paper only one in so many both ways is looked at
_ENOUGH = 8000  # pixels
_CLOSED = 2.5  # mm of grain, shine or lines that are closed over


class Wood(msgspec.Struct, frozen=True, eq=False):
    """How much each pixel looks like the wood of the head: 0 as paper, 1 as wood (high, wide); and what is head."""

    share: Light
    mask: Mask


def wood_in(seen: Rectified, region: Mask) -> Wood:
    """The head in the `region` of a rectified picture that is free for it; PictureError where there is none."""
    small = min(1.0, _COARSE / seen.fine)
    size = (max(1, round(region.shape[1] * small)), max(1, round(region.shape[0] * small)))
    coarse = np.asarray(cv2.resize(seen.light, size, interpolation=cv2.INTER_AREA), np.float32)
    within = cv2.resize(region.astype(np.uint8), size, interpolation=cv2.INTER_AREA) > 0
    fine = seen.fine * small
    paper = _surface(_paper(coarse, within), size)
    even = coarse / paper
    mask = _largest(_first_guess(even, within), fine)
    way, offset = np.zeros(3), 0.0
    for _ in range(3):
        way, offset = _between(even, mask, within, fine)
        mask = _largest((_mixed(even, way.astype(np.float32)) + np.float32(offset) > 0.5) & within, fine)
    whole = cv2.resize(mask.astype(np.float32), region.shape[::-1], interpolation=cv2.INTER_LINEAR) > 0.5
    tints = (way / paper).astype(np.float32)
    return Wood(_share(seen, region, whole, tints, offset), whole & region)


def _share(seen: Rectified, region: Mask, head: Mask, tints: Light, offset: float) -> Light:
    """How much each pixel looks like wood (high, wide) by coarse `tints`; 0 further than _BESIDE from the head."""
    share = np.zeros(region.shape, np.float32)
    x, y, wide, high = cv2.boundingRect(head.astype(np.uint8))
    beside = round(_BESIDE * seen.fine)
    left, top = max(0, x - beside), max(0, y - beside)
    part = slice(top, y + high + beside), slice(left, x + wide + beside)
    rows, columns = region[part].shape
    # The surface of the paper is smooth, so that its coarse picture does for the fine one.
    down, across = (coarse / fine for coarse, fine in zip(tints.shape, region.shape, strict=False))
    place = np.array(
        [[across, 0.0, (left + 0.5) * across - 0.5], [0.0, down, (top + 0.5) * down - 0.5]], np.float64
    )
    flags = cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP
    tinted = cv2.warpAffine(tints, place, (columns, rows), flags=flags, borderMode=cv2.BORDER_REPLICATE)
    looks = np.einsum("hwc,hwc->hw", seen.light[part], tinted) + np.float32(offset)
    share[part] = np.where(region[part], looks, np.float32(0.0))
    return share


def _paper(light: Light, within: Mask) -> npt.NDArray[np.float64]:
    """The light of bare paper as a surface of the second degree over the picture, a column for each colour (6, 3)."""
    terms = _terms(light.shape[1::-1]).reshape(*light.shape[:2], -1)[::_SPARSE, ::_SPARSE].reshape(-1, 6)
    light, within = light[::_SPARSE, ::_SPARSE], within[::_SPARSE, ::_SPARSE]
    darkest = _darkest(light)
    bright = within & (darkest > _otsu(darkest[within]))
    colours = light.reshape(-1, 3)
    for _ in range(4):
        # A few thousand pixels tell six numbers as well as all do.
        chosen = np.flatnonzero(bright)[:: max(1, int(bright.sum()) // _ENOUGH)]
        surface = np.asarray(np.linalg.lstsq(terms[chosen], colours[chosen].astype(float))[0], float)
        made = _mixed(terms, surface).reshape(light.shape)
        ratio = _darkest(light / np.maximum(made, 1e-4))
        bright = within & (ratio > 0.88) & (ratio < 1.12)
        if bright.sum() < 50:
            refuse_picture("hardly any bare paper is seen round the head; expected white paper on all sides.")
    return surface


def _mixed(values: npt.NDArray[Any], weights: npt.NDArray[Any]) -> npt.NDArray[Any]:
    """The sums (...) or (..., k) of values (..., n) by weights (n) or (n, k).

    So few columns that the threads of a matrix product would only wait for each other.
    """
    return np.asarray(np.einsum("...t,t->..." if weights.ndim == 1 else "...t,tc->...c", values, weights))


def _darkest(light: npt.NDArray[Any]) -> npt.NDArray[Any]:
    """The least of the three colours of each pixel (high, wide)."""
    return np.asarray(np.minimum(np.minimum(light[..., 0], light[..., 1]), light[..., 2]))


def _terms(size: tuple[int, int]) -> npt.NDArray[np.float64]:
    across, down = np.meshgrid(np.linspace(-1, 1, size[0]), np.linspace(-1, 1, size[1]))
    x, y = across.ravel(), down.ravel()
    return np.column_stack([np.ones_like(x), x, y, x * x, x * y, y * y])


def _surface(terms: npt.NDArray[np.float64], size: tuple[int, int]) -> Light:
    made = _mixed(_terms(size), terms).reshape(size[1], size[0], 3)
    return np.asarray(np.maximum(made, 1e-3), np.float32)


def _otsu(values: Light) -> float:
    """The threshold between the two kinds of values that a histogram shows (Otsu 1979)."""
    most = max(float(np.percentile(values, 99.5)), 1e-6)
    coded = np.clip(np.sqrt(values / most) * 255, 0, 255).astype(np.uint8)
    threshold, _ = cv2.threshold(coded.reshape(-1, 1), 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    return float((threshold / 255) ** 2 * most)


def _first_guess(even: Light, within: Mask) -> Mask:
    darkest = _darkest(even)
    return np.asarray(within & (darkest < min(_otsu(darkest[within]), 0.7)), bool)


def _between(even: Light, mask: Mask, within: Mask, fine: float) -> tuple[npt.NDArray[np.float64], float]:
    """The mixture of colours that tells the wood best from the paper round it (Fisher 1936), 0 paper and 1 wood.

    Shadow on the paper spreads its colours from bright to dark, so that what shadow changes counts little.
    """
    inner = cv2.erode(mask.astype(np.uint8), disc(_SKIN * fine)) > 0
    grown = cv2.dilate(mask.astype(np.uint8), disc(_SKIN * fine)) > 0
    wide = cv2.dilate(mask.astype(np.uint8), disc(_RING * fine)) > 0
    wood, paper = even[inner], even[wide & ~grown & within]
    if min(len(wood), len(paper)) < 20:
        refuse_picture("the head cannot be told from the paper; expected wood on white paper in even light.")
    # Medians and what lies between the quartiles, so that shine, holes and lines do not count.
    middle = [np.median(part, axis=0) for part in (wood, paper)]
    spread = sum(_scatter(part, at) for part, at in zip((wood, paper), middle, strict=True))
    apart = middle[0] - middle[1]
    way = np.linalg.solve(spread + 1e-4 * np.eye(3), apart)
    way /= way @ apart
    return way, float(-way @ middle[1])


def _scatter(values: Light, middle: Light) -> npt.NDArray[np.float64]:
    off = values - middle
    far = np.linalg.norm(off, axis=1)
    near = off[far <= np.percentile(far, 85)]
    return np.asarray(near.T @ near / len(near), float)


def _largest(mask: Mask, fine: float) -> Mask:
    """The largest piece without what is thin, its holes filled."""
    brush = disc(_CLOSED / 2 * fine)
    closed = cv2.morphologyEx(mask.astype(np.uint8), cv2.MORPH_CLOSE, brush)
    whole = np.asarray(cv2.morphologyEx(closed, cv2.MORPH_OPEN, brush), np.uint8)
    outlines, _ = cv2.findContours(whole, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
    if not outlines:
        refuse_picture("no head is seen on the sheet; expected wood on white paper in even light.")
    best = max(outlines, key=cv2.contourArea)
    if cv2.contourArea(best) < _LEAST_AREA * fine**2:
        refuse_picture("no head is seen on the sheet; expected wood on white paper in even light.")
    filled = np.zeros_like(whole)
    cv2.drawContours(filled, [best], -1, 1, cv2.FILLED)
    return filled > 0


def disc(radius: float) -> npt.NDArray[np.uint8]:
    """A round brush of this radius in pixels."""
    across = 2 * max(1, round(radius)) + 1
    return np.asarray(cv2.getStructuringElement(cv2.MORPH_ELLIPSE, (across, across)), np.uint8)
