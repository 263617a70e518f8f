"""Every sample build exported once by the command, for all tests that read the files."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from app.command_line.program import main
from geometry.document.codec import write_shop
from geometry.trade.shop import default_shop
from tests.agreement.samples import SAMPLES, Sample, sample_named

Exported = Callable[..., bytes]


@pytest.fixture(params=SAMPLES)
def sample(request: pytest.FixtureRequest) -> Sample:
    """Each sample build, laid out."""
    return sample_named(request.param)


@pytest.fixture(scope="session")
def exported(tmp_path_factory: pytest.TempPathFactory) -> Exported:
    """The bytes of a file that `pegwright export` writes: sample, suffix and further options; each written once."""
    folder = tmp_path_factory.mktemp("exported")
    shop = folder / "shop.json"
    shop.write_bytes(write_shop(default_shop()))

    @cache
    def export(path: Path, suffix: str, *options: str) -> bytes:
        out = folder / f"out{suffix}"
        given = ["export", str(path), str(out), "--force", "--despite-stop", "--shop", str(shop), *options]
        assert main(given) == 0
        return out.read_bytes()

    return export
