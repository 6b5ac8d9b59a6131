"""The check page for strangers: the built template with what this shop knows written into it.

One HTML file that works without a network, from anywhere: reader, judge, checklist, words and the
shop's keys. `/check` serves it to anybody; `bradawl check-page FILE` writes it to be handed along.
"""

from __future__ import annotations

import base64
import functools
import html
import json
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from fastapi import APIRouter, Response

from bradawl.common.display_text import for_file_name
from bradawl.language import current, text
from bradawl.language.sources import sources
from bradawl.report.letterhead import Letterhead
from bradawl.serving.build_cache import Document

__all__ = ["MOST_BYTES", "CheckPage", "ShopSigner", "router"]

TEMPLATE = "check.html"
#: What one page may have, so that it can be sent along with a report.
MOST_BYTES = 1_500_000
WORDS = ("check", "judge", "shared")
#: Of other files of the catalogue: what the page says as `bradawl verify` does.
ALSO = ("report-verify-",)

_PLACE = re.compile(r"%%([a-z-]+)%%")
_POLICY = re.compile(r'http-equiv="Content-Security-Policy" content="([^"]+)"')


@dataclass(frozen=True)
class ShopSigner:
    """A key as the page knows it: `own`, `met`, `replaced` or `lost`; `until` a day or "".

    `fingerprint` is the SHA-256 of the certificate in lower hex.
    """

    fingerprint: str
    name: str
    standing: str
    until: str = ""


class CheckPage:
    """The page of one shop. What is handed in is asked for whenever a page is made.

    `checklist` gives the bundle of new visits, `confusables` the letters that look like others.
    """

    def __init__(
        self,
        folder: Path,
        judge: Document,
        *,
        checklist: Callable[[], Document],
        letterhead: Callable[[], Letterhead],
        signers: Callable[[], Sequence[ShopSigner]],
        confusables: Callable[[], Mapping[str, str]],
        today: Callable[[], str],
    ) -> None:
        self._template = folder / TEMPLATE
        self._judge = judge
        self._checklist = checklist
        self._letterhead = letterhead
        self._signers = signers
        self._confusables = confusables
        self._today = today

    def html(self) -> str:
        """The whole page, in the language of whoever reads. Raises OSError without a template."""
        shop = {
            "letterhead": asdict(self._letterhead()),
            "signers": [asdict(signer) for signer in self._signers()],
            "made": self._today(),
            "locale": current().locale,
            "judge": self._judge.hash,
            "confusables": self._confusables(),
        }
        words = sources(current().locale, WORDS, ALSO)
        return _filled(
            self._template.read_text(encoding="utf-8"),
            {
                "title": html.escape(text("check-title")),
                "no-script": html.escape(text("check-no-script")),
                "shop": _data(shop),
                "words": _data(words),
                "judge": _packed(_without(self._judge, "trouble")),
                "checklist": _packed(_without(self._checklist(), "symptoms")),
            },
        )


def _filled(template: str, values: Mapping[str, str]) -> str:
    """The template with its places filled, in one pass: a value that looks like a place stays."""
    return _PLACE.sub(lambda place: values.get(place[1], place[0]), template)


def _data(value: Any) -> str:
    """JSON that may stand in a script element: nothing in it ends or opens one."""
    written = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return written.replace("<", "\\u003c")


@functools.lru_cache(maxsize=4)
def _without(document: Document, part: str) -> Document:
    """The same without what no report is checked by."""
    value = document.shared_value
    return Document.of(document.hash, {key: value[key] for key in value if key != part})


@functools.lru_cache(maxsize=4)
def _packed(document: Document) -> str:
    return base64.b64encode(document.packed).decode()


def policy_of(page: str) -> str:
    """The page's own content policy, which names the hash of its script, for its answer's head."""
    found = _POLICY.search(page)
    if found is None:
        raise ValueError("The check page has no content policy.")
    return f"{html.unescape(found[1])}; frame-ancestors 'none'"


def router(page: CheckPage) -> APIRouter:
    """`/check`, which needs no sign-in: it holds nothing that anybody recorded of a car."""
    routes = APIRouter(include_in_schema=False)

    @routes.get("/check")
    def check(*, download: bool = False) -> Response:
        made = page.html()
        headers = {"Content-Security-Policy": policy_of(made), "Cache-Control": "no-cache"}
        if download:
            name = for_file_name(text("check-file-name"), ".html")
            headers["Content-Disposition"] = f'attachment; filename="{name}"'  # not shown
        return Response(made, media_type="text/html", headers=headers)

    return routes
