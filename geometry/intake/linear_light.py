"""Light as it falls in, from the values of a picture: edges lie where light, not its coded value, is half-way."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import numpy.typing as npt


@lru_cache(maxsize=1)
def linear_light() -> npt.NDArray[np.float32]:
    """The light (256,), 0 to 1, that each value of a picture stands for: sRGB, IEC 61966-2-1."""
    coded = np.arange(256) / 255
    return np.where(coded <= 0.04045, coded / 12.92, ((coded + 0.055) / 1.055) ** 2.4).astype(np.float32)


def coded_light(light: npt.NDArray[np.float32]) -> npt.NDArray[np.uint8]:
    """Light of any shape, 0 to 1, as the values of a picture that stand for it: the way back, to half a value."""
    between = (linear_light()[1:] + linear_light()[:-1]) / 2
    return np.searchsorted(between, light).astype(np.uint8)
