"""Take the README's pictures from a server that has the demo loaded.

.venv/bin/bradawl demo && .venv/bin/bradawl serve &
.venv/bin/python demo/screens/take.py http://localhost:8477
"""

from __future__ import annotations

import subprocess
import sys
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, sync_playwright

from bradawl.demo.phone import visit_of
from bradawl.demo.scenario import read

HERE = Path(__file__).parent
#: The visit that was amended after it was signed: it has most to show.
VISIT = next(visit_of(one) for one in read(HERE.parent) if one.amendments)


def shrink(picture: bytes, name: str) -> None:
    """Few colors and no more: these are drawings and text."""
    with tempfile.NamedTemporaryFile(suffix=".png") as file:
        file.write(picture)
        file.flush()
        image = Image.open(file.name).convert("RGB")
        image.quantize(96).save(HERE / name, optimize=True)


def phone(page: Page, origin: str) -> None:
    page.goto(f"{origin}/app/")
    page.locator('[data-region="us"]').click(timeout=60_000)
    page.locator(f'[data-visit="{VISIT}"]').click(timeout=60_000)
    page.locator("ol.rows a").first.wait_for(timeout=60_000)
    page.wait_for_timeout(2_000)
    shrink(page.screenshot(), "phone-walk.png")
    page.goto(f"{origin}/app/#/visit/{VISIT}/area/brakes/brakes.front-discs")
    page.locator('[data-item="brakes.front-discs"]').scroll_into_view_if_needed()
    page.wait_for_timeout(1_500)
    shrink(page.screenshot(), "phone-card.png")
    page.goto(f"{origin}/app/#/visit/{VISIT}/kerb")
    page.wait_for_timeout(3_000)
    shrink(page.screenshot(), "phone-decide.png")


def main(origin: str) -> None:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox"]
        )
        small = browser.new_context(
            viewport={"width": 390, "height": 844},
            has_touch=True,
            locale="en-US",
            timezone_id="America/Chicago",
        )
        phone(small.new_page(), origin)
        wide = browser.new_context(viewport={"width": 1280, "height": 900}, locale="en-US")
        page = wide.new_page()
        page.goto(f"{origin}/desk/visits/{VISIT}")
        shrink(page.screenshot(), "desk-visit.png")
        report = wide.request.get(f"{origin}/desk/visits/{VISIT}/report.pdf").body()
    with tempfile.TemporaryDirectory() as folder:
        pdf = Path(folder) / "report.pdf"
        pdf.write_bytes(report)
        subprocess.run(
            ["pdftoppm", "-r", "80", "-l", "1", "-png", "-singlefile", pdf, Path(folder) / "page"],
            check=True,
        )
        shrink((Path(folder) / "page.png").read_bytes(), "report-page-1.png")


if __name__ == "__main__":
    main(sys.argv[1])
