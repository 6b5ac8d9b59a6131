"""What all tests share: a hypothesis profile whose runs repeat, and places in this checkout."""

from __future__ import annotations

import hypothesis

# Derandomised: a failure in CI is the same failure here. No deadline: two cores, many workers.
hypothesis.settings.register_profile(
    "repeatable",
    derandomize=True,
    deadline=None,
    database=None,
    suppress_health_check=[hypothesis.HealthCheck.too_slow],
)
hypothesis.settings.load_profile("repeatable")
