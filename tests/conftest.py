"""What all tests share: laws are held by what is found, not by how long a busy machine takes for it."""

from __future__ import annotations

from hypothesis import HealthCheck, settings

settings.register_profile(
    "pegwright", deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.filter_too_much]
)
settings.load_profile("pegwright")
