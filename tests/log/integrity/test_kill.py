"""The real server process, killed with -9 in the middle of sync and photo upload."""

from __future__ import annotations

from tests.log.integrity import disaster_loop
from tests.log.integrity.kill_loop import run


def test_a_killed_server_keeps_everything_it_acknowledged() -> None:
    # 200 kills: python -m tests.log.integrity.kill_loop
    assert run(4, seed=1).endswith("0 lost, 0 torn")


def test_the_whole_server_killed_keeps_everything_it_acknowledged() -> None:
    assert run(2, seed=2, whole=True).endswith("0 lost, 0 torn")


def test_what_is_killed_copied_and_set_back_comes_through() -> None:
    # 200 kills: python -m tests.log.integrity.disaster_loop
    assert disaster_loop.run(4, seed=3).endswith("0 lost, 0 torn")
