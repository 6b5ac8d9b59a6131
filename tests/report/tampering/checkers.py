"""Everybody who may be asked whether a report is genuine: our command, desk and check page, and two
programs of others. Each is asked as a person asks it, and answers with a few words.

The shop is one with a log: it has the look-over that the report is about, and its own key.
"""

from __future__ import annotations

import io
import os
import re
from collections.abc import Callable
from pathlib import Path
from typing import Any

from asn1crypto import pem, x509
from playwright.sync_api import Browser, Page
from pyhanko.pdf_utils.reader import PdfFileReader
from pyhanko.sign.validation import validate_pdf_signature
from pyhanko_certvalidator import ValidationContext

from bradawl.report.printing import Printing
from bradawl.report.signing.keys import Signer, open_signer
from tests import forked
from tests.browsing import opened
from tests.nasty.site import KEY, Site
from tests.report.check_page.conftest import check
from tests.report.reprint.judged import recorded
from tests.report.tampering.table import SHOP
from tests.report.tools import apart
from tests.report.tools import pdfsig as pdfsig_said
from tests.report.visits import jpeg
from tests.writing import seal_value

__all__ = ["ACCEPTED", "GENUINE", "OTHERS", "OURS", "Shop", "check_page_in", "pdfsig", "pyhanko"]

#: By the names of our checkers, which answer with one of the three verdicts.
OURS = ("command", "desk", "check page")
OTHERS = ("pdfsig", "pyHanko")
GENUINE = "genuine"
#: What others say of a file in which they find nothing wrong.
ACCEPTED = "accepted"
_BY_EXIT_CODE = {0: GENUINE, 1: "changed", 3: "unknown"}
_DESK_VERDICT = re.compile(r'class="answer answer-report-(\w+)"')


class Shop:
    """A shop with one look-over and its signed report; `genuine` are the report's bytes."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self.data = folder / "shop"
        self.signer: Signer = open_signer(self.data / "keys", name=SHOP)
        self._site = Site(self.data)
        photo = jpeg(1)
        self._site.send(photo)
        visit = self._site.record(recorded(photos=[photo]))
        events = self._site.core.log.events_of(visit)
        self._site.record([("seal/1", seal_value(KEY, visit, events))], visit)
        snapshot = self._site.core.snapshot(visit)
        self.genuine: bytes = apart(
            lambda: self._site.core.report(snapshot, "condition", Printing.of())
        )

    def close(self) -> None:
        self._site.close()

    def command(self, pdf: bytes) -> str:
        """`bradawl verify` by its exit code, in a process of its own, over the shop's data."""
        file = self._folder / "asked.pdf"
        file.write_bytes(pdf)
        done = forked.run("verify", str(file), env={**os.environ, "BRADAWL_DATA": str(self.data)})
        return _BY_EXIT_CODE.get(done.returncode, f"exit code {done.returncode}")

    def desk(self, pdf: bytes) -> str:
        """The desk's page, to which the file is given."""
        answer = self._site.desk.post("/desk/verify", files={"pdf": ("report.pdf", pdf)})
        found = _DESK_VERDICT.search(answer.text)
        if found is not None:
            return found[1]
        return "changed" if answer.status_code == 422 else f"answer {answer.status_code}"

    def check_page(self) -> str:
        """The check page as this shop serves it."""
        page: str = self._site.desk.get("/check").text
        return page


def check_page_in(browser: Browser, shop: Shop, folder: Path) -> Callable[[bytes], str]:
    """The shop's check page from a file, in a browser without a network."""
    file = folder / "check.html"
    file.write_text(shop.check_page(), encoding="utf-8")
    page: Page = opened(browser, offline=True).new_page()
    page.goto(file.as_uri())
    page.wait_for_selector("h1")
    return lambda pdf: str(check(page, pdf)["verdict"])


def pdfsig(shop: Shop, folder: Path) -> Callable[[bytes], str]:
    """poppler's pdfsig. It cannot be told to trust a certificate that signed itself (tried with
    every kind of trust that its store knows), so it never says whose key it is.
    """
    assert shop.genuine
    file = folder / "asked.pdf"

    def ask(pdf: bytes) -> str:
        file.write_bytes(pdf)
        told = pdfsig_said(file, folder / "nss")
        blocks = re.split(r"(?m)^Signature #\d+:", told)[1:]
        signatures = [one for one in blocks if "is not signed" not in one]
        if not signatures:
            return "no signature" if blocks or "does not contain any" in told else "not read"
        if not all("Signature is Valid." in one for one in signatures):
            return "invalid"
        if not any("Total document signed" in one and "Not total" not in one for one in signatures):
            return "valid, not the whole file"
        return ACCEPTED

    return ask


def pyhanko(shop: Shop) -> Callable[[bytes], str]:
    """pyHanko's validator as its own command calls it, with the shop's certificate as root."""
    _, _, der = pem.unarmor(shop.signer.certificate_pem)
    root = x509.Certificate.load(der)

    def ask(pdf: bytes) -> str:
        try:
            signatures: list[Any] = list(PdfFileReader(io.BytesIO(pdf)).embedded_signatures)
            if not signatures:
                return "no signature"
            found = [
                validate_pdf_signature(one, ValidationContext([root], allow_fetching=False))
                for one in signatures
            ]
        except Exception:  # the library's ways to refuse a file are many
            return "not read"
        if not all(one.intact and one.valid for one in found):
            return "invalid"
        if not found[0].trusted:
            return "valid, not trusted"
        # the shop's own signature decides; of others nobody told it whom to trust
        return ACCEPTED if found[0].bottom_line else "valid, but changed since"

    return lambda pdf: apart(lambda: ask(pdf))
