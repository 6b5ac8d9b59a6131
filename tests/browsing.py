"""A real Chromium for the tests: one way to start it, and patience for a busy machine.

Pages stand still: a color that is half-way between two is no color that anybody chose, and axe
would measure it. How long a test waits for a state says nothing of how fast the app is (that is
`tests/bench`), so it is long enough for a machine with five times more work than cores.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from playwright.sync_api import (
    Browser,
    BrowserContext,
    FloatRect,
    Locator,
    Page,
    expect,
    sync_playwright,
)

from tests.amount import amount

#: The same engine without a window's parts: a quarter less of processor time.
CHROMIUM = os.environ.get("BRADAWL_TEST_CHROMIUM", "/usr/bin/chromium-headless-shell")
#: With them: it alone reads which authorities a person trusts from an NSS database.
WHOLE_CHROMIUM = "/usr/bin/chromium"
ARGUMENTS = (
    "--no-sandbox",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-quic",
)
#: A camera that shows a pattern; the second is a person who allows it.
FAKE_CAMERA = "--use-fake-device-for-media-stream"
CAMERA_ALLOWED = "--use-fake-ui-for-media-stream"
PATIENCE_MS = 90_000
#: Options of every context.
STILL: dict[str, Any] = {"reduced_motion": "reduce"}
AXE = Path(__file__).parents[1] / "web" / "node_modules" / "axe-core" / "axe.min.js"
#: Of contrast the rule that the house asks for: of any text WCAG 2.2, 1.4.6 asks more than 1.4.3
#: (7:1 for 4.5:1, of large text 4.5:1 for 3:1). Both would measure each text twice.
CONTRAST = {"color-contrast": {"enabled": False}, "color-contrast-enhanced": {"enabled": True}}
#: axe.run's options: of what passes it need not tell each place.
EVERYTHING: dict[str, Any] = {"resultTypes": ["violations"], "rules": CONTRAST}
#: The rules that look at colors and places. The others read the document, once in `make test`:
#: for no scheme, width or size of the text changes what they say.
_LOOKS = ["color-contrast-enhanced", "link-in-text-block", "scrollable-region-focusable"]
LOOKS_ALONE: dict[str, Any] = {"resultTypes": ["violations"], "runOnly": _LOOKS}
#: With the size of targets (WCAG 2.2, 2.5.8), which axe measures where it is told to.
LOOKS_AND_TARGETS: dict[str, Any] = {**LOOKS_ALONE, "runOnly": [*_LOOKS, "target-size"]}
#: Whether what is seen is painted into files too, for whoever looks at them: BRADAWL_PICTURES=1.
PICTURES = bool(os.environ.get("BRADAWL_PICTURES")) or bool(amount(1, short=0))

expect.set_options(timeout=PATIENCE_MS)


@contextmanager
def launched(*arguments: str, **options: Any) -> Iterator[Browser]:
    """A browser with further arguments, until the end of the block."""
    with sync_playwright() as playwright:
        options = {"executable_path": CHROMIUM, **options}
        browser = playwright.chromium.launch(args=[*ARGUMENTS, *arguments], **options)
        yield browser
        browser.close()


def opened(browser: Browser, **options: Any) -> BrowserContext:
    """A context of its own: the storage of one phone or one computer."""
    return patient(browser.new_context(**STILL, **options))


def patient(context: BrowserContext) -> BrowserContext:
    """`context`, waiting as long as all the tests' browsers do."""
    context.set_default_timeout(PATIENCE_MS)
    context.set_default_navigation_timeout(PATIENCE_MS)
    return context


def violations(page: Page, options: dict[str, Any] = EVERYTHING) -> list[dict[str, Any]]:
    """What axe finds on a page that has its script (`AXE`)."""
    found: list[dict[str, Any]] = page.evaluate(
        "(options) => axe.run(document, options).then((result) => result.violations)", options
    )
    return found


def place_of(target: Locator) -> FloatRect:
    """Where it is on the page, in CSS pixels.

    A screen that comes in place of another one may take away what was just seen: then it is looked
    for again.
    """
    for _ in range(20):
        expect(target).to_be_visible()
        box = target.bounding_box()
        if box is not None:
            return box
    raise AssertionError(f"{target} comes and goes")


def look_at_cars(page: Page, region: str = "us") -> None:
    """Answer the one first question of a new phone, where it is asked; then the cars are listed."""
    answer = page.locator(f'[data-region="{region}"]')
    start = page.locator("footer button.main")  # "Start a car", in any language
    expect(answer.or_(start)).to_be_visible()
    if answer.count():
        answer.click()
    expect(start).to_be_visible()
