"""The whole browser killed with -9 in the middle of saving."""

from __future__ import annotations

from tests.phone.offline.kill_loop import run


def test_a_killed_browser_keeps_every_answer_that_the_screen_had_shown() -> None:
    # 50 kills: python -m tests.phone.offline.kill_loop
    assert run(2, seed=1).endswith("0 lost")
