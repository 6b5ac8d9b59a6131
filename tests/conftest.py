"""What all tests share: a hypothesis profile whose runs repeat, and places in this checkout."""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile

import hypothesis
import pytest

# What a server notes outside of its data folder (settings.chain_notes) is the tests' own.
_STATE = tempfile.mkdtemp(prefix="bradawl-test-state-")
os.environ["XDG_STATE_HOME"] = _STATE
atexit.register(shutil.rmtree, _STATE, ignore_errors=True)

# Derandomised: a failure in CI is the same failure here. No deadline: two cores, many workers.
hypothesis.settings.register_profile(
    "repeatable",
    derandomize=True,
    deadline=None,
    database=None,
    suppress_health_check=[hypothesis.HealthCheck.too_slow],
)
hypothesis.settings.load_profile("repeatable")

#: What a module of tests starts once, and what takes seconds.
_SLOW_TO_START = {"browser", "standing_server"}


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """A module's browser and server are started by one worker, not by each (`--dist loadgroup`)."""
    for item in items:
        fixtures = {*getattr(item, "fixturenames", ())}
        if fixtures & _SLOW_TO_START and item.get_closest_marker("xdist_group") is None:
            item.add_marker(pytest.mark.xdist_group(item.nodeid.partition("::")[0]))
