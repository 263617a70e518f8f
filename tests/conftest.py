"""What all tests share: how many examples a law gets, which tests come first, and whose run coverage counts."""

from __future__ import annotations

from collections.abc import Generator
from pathlib import Path

import pytest
from coverage import Coverage
from hypothesis import HealthCheck, settings

from tests.amount import sampled

# Laws are held by what is found, not by how long a busy machine takes for it.
settings.register_profile(
    "pegwright",
    max_examples=sampled(40, of=100),
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much],
)
settings.load_profile("pegwright")

HERE = Path(__file__).parent
COUNTED = (HERE / "geometry", HERE / "export")
"""Coverage counts what tests of a package run of it. It would slow the others down by half, to count the same lines."""

FIRST = (
    "app/test_random_acts.py",
    "geometry/search/placing",
    "app/test_end_to_end.py",
    "geometry/search/rings",
)
"""Where tests of many seconds are: at the end one worker would work at them and the others wait."""


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What takes long comes first."""
    items.sort(key=lambda item: not item.path.relative_to(HERE).as_posix().startswith(FIRST))


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item: pytest.Item) -> Generator[None, object, object]:
    """Run a test without the tracer of coverage where its lines do not count."""
    traced = Coverage.current()
    if traced is None or any(item.path.is_relative_to(each) for each in COUNTED):
        return (yield)
    traced.stop()
    try:
        return (yield)
    finally:
        traced.start()
