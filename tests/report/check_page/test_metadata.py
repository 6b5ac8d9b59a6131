"""The check page's reader of metadata, in a browser's XML, held to the library's cases."""

from __future__ import annotations

import base64
import json
import subprocess
from pathlib import Path

from playwright.sync_api import Browser

from tests.browsing import opened
from tests.report.checking.metadata_vectors import CASES, ISSUED
from tests.report.checking.test_metadata import said

WEB = Path(__file__).parents[3] / "web"
#: The module as browsers run it, its types taken out.
_COMPILE = """
import { readFileSync } from "node:fs";
import { transformWithOxc } from "vite";
const file = "src/check/signature/metadata.ts";
process.stdout.write((await transformWithOxc(readFileSync(file, "utf8"), file)).code);
"""


def _base64(data: bytes) -> str:
    return base64.b64encode(data).decode()


def test_library_and_check_page_read_the_same_statements(browser: Browser) -> None:
    module = subprocess.run(
        ["node", "--input-type=module", "-e", _COMPILE],
        cwd=WEB, check=True, capture_output=True, text=True, timeout=120,
    ).stdout  # fmt: skip
    texts = [ISSUED, *(case.xmp for case in CASES)]
    context = opened(browser, offline=True)
    found = context.new_page().evaluate(
        """async ([module, texts]) => {
            const { statements } = await import("data:text/javascript;base64," + module);
            const bytes = (text) => Uint8Array.from(atob(text), (letter) => letter.charCodeAt(0));
            return texts.map((text) => statements(bytes(text)));
        }""",
        [_base64(module.encode()), [_base64(text) for text in texts]],
    )
    context.close()
    issued, *others = [None if one is None else dict(json.loads(one)) for one in found]
    expected = {case.name: case.is_same for case in CASES}
    assert {case.name: one == issued for case, one in zip(CASES, others, strict=True)} == expected
    for case, one in zip(CASES, others, strict=True):
        library = said(case.xmp)
        plain = None if library is None else {key: [*values] for key, values in library.items()}
        assert one == plain, case.name
