"""What all tests share: a hypothesis profile whose runs repeat, and places in this checkout."""

from __future__ import annotations

import atexit
import os
import shutil
import tempfile

import hypothesis

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
