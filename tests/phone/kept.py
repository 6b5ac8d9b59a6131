"""A phone whose storage lies in a folder, which may be copied and put back while it is stopped."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import BrowserContext, BrowserType

from tests.browsing import STILL, patient
from tests.phone.phone import LAUNCH, SIZE, Phone


class KeptPhone(Phone):
    """One profile on the disk is one phone."""

    def __init__(self, kind: BrowserType, origin: str, folder: Path) -> None:
        self.origin = origin
        self.folder = folder
        self.visit = ""
        self.errors: list[str] = []
        self.taps = 0
        self._kind = kind

    def start(self) -> None:
        """Start the browser."""
        self.context: BrowserContext = self._kind.launch_persistent_context(
            self.folder, viewport=SIZE, has_touch=True, is_mobile=True, **STILL, **LAUNCH
        )
        patient(self.context)
        self.page = self.context.new_page()
        self._watch(self.page)

    def stop(self) -> None:
        """End the browser; the folder is whole then."""
        self.context.close()
