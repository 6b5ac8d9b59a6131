"""WebKit by its own WebDriver: the engine of every browser on an iPhone, as Debian builds it.

Protocol: W3C WebDriver (w3.org/TR/webdriver2), of which only what the test needs is spoken here.
"""

from __future__ import annotations

import contextlib
import os
import socket
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import httpx

#: Debian's WebKitGTK brings a bare browser, in the folder of the machine's kind.
BROWSERS = "usr/lib/*/webkit2gtk-4.1/MiniBrowser"
ELEMENT = "element-6066-11e4-a52e-4f735466cecf"  # named so by the protocol
SOON_S = 120.0


class Webkit:
    """One window of WebKit. Elements are named by XPath or CSS; the first that is found counts."""

    def __init__(self, driver: httpx.Client) -> None:
        self._driver = driver
        (browser,) = Path("/").glob(BROWSERS)
        options = {"binary": str(browser), "args": ["--automation"]}
        wanted = {"alwaysMatch": {"webkitgtk:browserOptions": options, "acceptInsecureCerts": True}}
        session = self._ask("POST", "/session", {"capabilities": wanted})
        self.version: str = session["capabilities"]["browserVersion"]
        self._session = f"/session/{session['sessionId']}"

    def _ask(self, method: str, path: str, body: dict[str, Any] | None = None) -> Any:
        answer = self._driver.request(method, path, json=body)
        value = answer.json()["value"]
        if answer.is_error:
            raise AssertionError(f"{path}: {value['error']}: {value['message']}")
        return value

    def _here(self, path: str, **body: Any) -> Any:
        return self._ask("POST", self._session + path, body)

    def open(self, address: str) -> None:
        self._here("/url", url=address)

    def reload(self) -> None:
        self._here("/refresh")

    def run(self, script: str, *arguments: Any) -> Any:
        """The value of a function body, awaited where it is a promise."""
        return self._here("/execute/sync", script=script, args=list(arguments))

    def find(self, path: str) -> dict[str, str]:
        """The element, once it is there."""
        using = "xpath" if path.startswith("/") else "css selector"
        deadline = time.monotonic() + SOON_S
        while True:
            found = self._found(using, path)
            if found:
                return dict(found[0])
            assert time.monotonic() < deadline, f"{path} never came: {self.text()}"
            time.sleep(0.1)

    def _found(self, using: str, path: str) -> list[dict[str, str]]:
        """What is there now; nothing where it was drawn anew while the driver looked."""
        try:
            return list(self._here("/elements", using=using, value=path))
        except AssertionError as error:
            if "stale element reference" in str(error):
                return []
            raise

    def gone(self, path: str) -> None:
        """Wait until no such element is there."""
        using = "xpath" if path.startswith("/") else "css selector"
        deadline = time.monotonic() + SOON_S
        while self._here("/elements", using=using, value=path):
            assert time.monotonic() < deadline, f"{path} never went: {self.text()}"
            time.sleep(0.1)

    def tap(self, path: str) -> None:
        found = self.find(path)
        # the driver scrolls a thing just into view, which is under the bar at the foot
        self.run("arguments[0].scrollIntoView({ block: 'center' })", found)
        self._here(f"/element/{found[ELEMENT]}/click")

    def type(self, path: str, text: str) -> None:
        """Type as on a keyboard; into a file field: choose that file."""
        self._here(f"/element/{self.find(path)[ELEMENT]}/value", text=text)

    def text(self) -> str:
        return str(self.run("return document.body.innerText"))

    def close(self) -> None:
        self._ask("DELETE", self._session)


def _free_port() -> int:
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        port: int = listener.getsockname()[1]
    return port


@contextlib.contextmanager
def webkit(home: Path) -> Iterator[Webkit]:
    """A window on a display of its own, with an empty profile below `home`."""
    reading, writing = os.pipe()
    with contextlib.ExitStack() as ending:
        screen = subprocess.Popen(
            ["Xvfb", "-displayfd", str(writing), "-screen", "0", "600x1000x24", "-nolisten", "tcp"],
            pass_fds=[writing],
            stderr=subprocess.DEVNULL,
        )
        ending.callback(_end, screen)
        os.close(writing)
        with os.fdopen(reading) as told:
            display = told.readline().strip()
        assert display, "Xvfb gave no display"
        kept = {name: os.environ[name] for name in ("PATH", "LANG") if name in os.environ}
        surroundings = {
            **kept,
            "DISPLAY": f":{display}",
            "HOME": str(home),
            "XDG_RUNTIME_DIR": str(home),
            "GTK_A11Y": "none",
            "NO_AT_BRIDGE": "1",  # no desktop, so no accessibility bus to ask for
            "LIBGL_ALWAYS_SOFTWARE": "1",
            "WEBKIT_DISABLE_SANDBOX_THIS_IS_DANGEROUS": "1",  # a container cannot nest another
        }
        port = _free_port()
        log = ending.enter_context((home / "webkit.log").open("ab"))
        driver = subprocess.Popen(
            ["WebKitWebDriver", f"--port={port}"], env=surroundings, stdout=log, stderr=log
        )
        ending.callback(_end, driver)
        client = ending.enter_context(
            httpx.Client(
                base_url=f"http://127.0.0.1:{port}",
                timeout=60,
                transport=httpx.HTTPTransport(retries=8),
            )
        )
        window = Webkit(client)
        ending.callback(window.close)
        yield window


def _end(process: subprocess.Popen[bytes]) -> None:
    process.terminate()
    try:
        process.wait(timeout=60)
    except subprocess.TimeoutExpired:
        process.kill()
        process.wait()
