"""The whole browser killed with -9 in the middle of a recording."""

from __future__ import annotations

import contextlib
from pathlib import Path

from playwright.sync_api import Error as PlaywrightError
from playwright.sync_api import sync_playwright

from tests.phone.capture.test_recordings import DECODED, begun, pieces, recorded
from tests.phone.offline.kill_loop import KilledPhone
from tests.phone.server import Server


def test_a_browser_that_is_killed_while_recording_loses_at_most_a_second(
    server: Server, tmp_path: Path
) -> None:
    """Every process of the browser gets a SIGKILL: what it had not put on the disk is gone."""
    with sync_playwright() as playwright:
        phone = KilledPhone(playwright, tmp_path / "profile", server.origin)
        try:
            phone.start()
            phone.begin(make="Tarn")
            # W3C MediaStream Recording: with a timeslice of 1000 ms a piece comes each second
            phone.page.evaluate(
                """() => {
                  const of = MediaRecorder.prototype;
                  const before = of.start;
                  of.start = function (ms) { globalThis.asked = ms; before.call(this, ms); };
                }"""
            )
            begun(phone, "Voice note")
            phone.wait_until(lambda: len(pieces(phone)["until_ms"]) >= 4)
            assert phone.page.evaluate("asked") == 1_000
            before = pieces(phone)["until_ms"]
            while phone.processes():
                phone.kill()
            with contextlib.suppress(PlaywrightError):
                phone.context.close()
            phone.start()
            phone.wait_until(lambda: pieces(phone)["takes"] == 0)
            name, value = recorded(phone)
            # every piece that was there is in it, and it decodes
            assert value["length_ms"] >= int(before[-1])
            assert phone.page.evaluate(DECODED, name)["seconds"] > value["length_ms"] / 1000 - 1
            phone.context.close()
        finally:
            phone.kill()
