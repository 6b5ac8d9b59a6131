"""Opens a page in the person's browser, where this session has a screen to show one on."""

from __future__ import annotations

import os
import sys
import webbrowser


def show(address: str) -> bool:
    """Whether a browser was asked to show `address`.

    Without a screen the library would take a browser of the terminal, which then keeps it.
    """
    screenless = sys.platform.startswith("linux") and not (
        os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY") or os.environ.get("BROWSER")
    )
    if screenless:
        return False
    try:
        return webbrowser.open(address)
    except (OSError, webbrowser.Error):
        return False
