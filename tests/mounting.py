"""Tests that mount file systems, for people who are not root: in a user namespace of their own.

Linux lets anybody be root of a namespace in which only their own processes are (user_namespaces(7),
`unshare -Urm` of util-linux). A pytest plugin; a test that mounts is marked `mounts`, or asks for
`small_disk`.
"""

from __future__ import annotations

import os
import subprocess
import sys
import time
from typing import Literal

import pytest

WHEN: tuple[Literal["setup", "call", "teardown"], ...] = ("setup", "call", "teardown")


def _mounts(item: pytest.Item) -> bool:
    fixtures = getattr(item, "fixturenames", ())
    return item.get_closest_marker("mounts") is not None or "small_disk" in fixtures


@pytest.hookimpl(tryfirst=True)
def pytest_runtest_protocol(item: pytest.Item) -> bool | None:
    """Run such a test by a pytest of its own within a namespace, and report what that said."""
    if os.geteuid() == 0 or not _mounts(item):
        return None
    item.ihook.pytest_runtest_logstart(nodeid=item.nodeid, location=item.location)
    began = time.time()
    inner = [sys.executable, "-m", "pytest", "-q", "-p", "no:xdist", item.nodeid]
    done = subprocess.run(
        ["unshare", "--user", "--map-root-user", "--mount", *inner],
        cwd=item.config.rootpath,
        capture_output=True,
        text=True,
        check=False,
    )
    for when in WHEN:
        failed = when == "call" and done.returncode != 0
        report = pytest.TestReport(
            item.nodeid,
            item.location,
            dict.fromkeys(item.keywords, 1),
            "failed" if failed else "passed",
            done.stdout + done.stderr if failed else None,
            when,
            duration=time.time() - began if when == "call" else 0,
        )
        item.ihook.pytest_runtest_logreport(report=report)
    item.ihook.pytest_runtest_logfinish(nodeid=item.nodeid, location=item.location)
    return True
