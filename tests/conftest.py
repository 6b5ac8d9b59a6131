"""What all tests share: a hypothesis profile whose runs repeat, and where temporary files lie."""

from __future__ import annotations

import atexit
import gc
import logging
import os
import shutil
import tempfile

import hypothesis
import pytest

from bradawl.language import catalogue
from tests.amount import amount

#: A file system in memory: thousands of commits and photos need not wait for a disk there.
_MEMORY = "/dev/shm"
_ENOUGH_BYTES = 3 * 2**30


def _has_room() -> bool:
    """Whether what a run leaves (some hundred MB) is nothing to that file system."""
    if not os.access(_MEMORY, os.W_OK):
        return False
    here, page = os.statvfs(_MEMORY), os.sysconf("SC_PAGE_SIZE")
    room = min(here.f_bavail * here.f_frsize, os.sysconf("SC_AVPHYS_PAGES") * page)
    return room >= _ENOUGH_BYTES


if "TMPDIR" not in os.environ and _has_room():
    os.environ["TMPDIR"] = tempfile.tempdir = _MEMORY  # for the processes that are started, too

# What a server notes outside of its data folder (settings.chain_notes) is the tests' own.
_STATE = tempfile.mkdtemp(prefix="bradawl-test-state-")
os.environ["XDG_STATE_HOME"] = _STATE
atexit.register(shutil.rmtree, _STATE, ignore_errors=True)

# Derandomised: a failure in CI is the same failure here. No deadline: two cores, many workers.
# As many examples as hypothesis tries by itself are tried in `make proof`.
hypothesis.settings.register_profile(
    "repeatable",
    max_examples=amount(100, short=40),
    derandomize=True,
    deadline=None,
    database=None,
    suppress_health_check=[hypothesis.HealthCheck.too_slow],
)
hypothesis.settings.load_profile("repeatable")


class _Unsaid(logging.Handler):
    """Whoever reads sees a gap for what cannot be said (language/catalogue.py); a test fails."""

    def handle(self, record: logging.LogRecord) -> bool:
        raise AssertionError(record.getMessage())


catalogue.logger.addHandler(_Unsaid())


def _begins_with_its_module(item: pytest.Item) -> bool:
    """Whether it uses what its module makes once: a browser, a server, a folder of data."""
    known = item._fixtureinfo.name2fixturedefs if isinstance(item, pytest.Function) else {}
    return any(
        one[-1].scope == "module" for name, one in known.items() if name in item.fixturenames
    )


def pytest_collection_finish() -> None:
    """What was imported and collected stays to the end: nobody need look for garbage in it."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(50_000, 20, 50)


def _name_group(item: pytest.Item, group: str) -> None:
    """Add a group to an item's name, by which xdist sends it to one worker.

    xdist 3.8 writes it into an attribute that pytest 9.2 no longer reads: every worker made every
    module's browser, server and phone.
    """
    if item.config.getoption("loadgroup", default=False) and not item.nodeid.endswith(f"@{group}"):
        item._id = type(item._id).parse(f"{item.nodeid}@{group}")  # type: ignore[attr-defined]


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """What a module makes once is made by one worker, not by each (`--dist loadgroup`).

    These come first: they take longest, and at the end of a run one worker would be alone with the
    last of them (`--no-loadscope-reorder`: by itself xdist begins with what has most tests).
    """
    for item in items:
        if item.get_closest_marker("xdist_group") is None and _begins_with_its_module(item):
            item.add_marker(pytest.mark.xdist_group(item.nodeid.partition("::")[0]))
        if (group := item.get_closest_marker("xdist_group")) is not None:
            _name_group(item, group.args[0])
    items.sort(key=lambda item: item.get_closest_marker("xdist_group") is None)
