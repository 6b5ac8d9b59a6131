"""The three verdicts in Chromium, on files as they were signed and on changed ones."""

from __future__ import annotations

import datetime as dt
import io
import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect
from pyhanko.pdf_utils.generic import pdf_string
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.sign import signers
from pyhanko.sign.fields import SigSeedSubFilter

from bradawl.report.checking.verification import verify
from bradawl.report.signing import keys as signing_keys
from bradawl.report.signing.keys import Signer, open_signer
from bradawl.report.signing.signatures import countersign
from bradawl.serving.check_page import ShopSigner
from tests.browsing import opened
from tests.report.check_page.conftest import check, check_flipped
from tests.report.tampering.keys import signer
from tests.report.tools import apart, build
from tests.report.visits import TODAY, snapshot


def _ids(found: dict[str, object]) -> list[str]:
    return [sentence["id"] for sentence in found["sentences"]]  # type: ignore[attr-defined]


def _countersigned(file: io.BytesIO, signer: Signer) -> None:
    apart(lambda: countersign(file, signer))


@pytest.fixture(scope="module")
def stranger(tmp_path_factory: pytest.TempPathFactory) -> Signer:
    return open_signer(tmp_path_factory.mktemp("stranger"), name="Hollow Oak Garage")


def test_a_report_is_genuine_by_a_key_in_the_page_with_one_two_and_three_signatures(
    page: Page, condition: Path, keys: Path
) -> None:
    file = io.BytesIO(condition.read_bytes())
    for name in ("", "Ada Buyer", "Ben Seller"):
        if name:
            _countersigned(file, open_signer(keys, name=name))
        found = check(page, file.getvalue())
        assert found["verdict"] == "genuine", found


def _signed_with_pyhanko(
    pdf: bytes, change: Callable[[IncrementalPdfFileWriter], None] = lambda _writer: None
) -> bytes:
    """By a buyer's own program, as PAdES: it writes metadata and catalog anew."""
    buyer = signers.PdfSigner(
        signers.PdfSignatureMetadata(
            field_name="Second-signature",
            reason="I have received this report.",
            subfilter=SigSeedSubFilter.PADES,
        ),
        signer("Zofia Brzek"),
    )

    def sign() -> bytes:
        writer = IncrementalPdfFileWriter(io.BytesIO(pdf))
        change(writer)
        return bytes(buyer.sign_pdf(writer).getvalue())

    return apart(sign)


def _other_title(writer: IncrementalPdfFileWriter) -> None:
    writer.document_meta.title = "Sold as new"


def _other_author(writer: IncrementalPdfFileWriter) -> None:
    writer.document_meta.author = "Somebody else"


def _other_language(writer: IncrementalPdfFileWriter) -> None:
    writer.root["/Lang"] = pdf_string("es-US")
    writer.update_root()


def test_a_buyer_who_signs_with_a_program_of_their_own_changes_nothing(
    page: Page, condition: Path
) -> None:
    twice = _signed_with_pyhanko(condition.read_bytes())
    verdict = apart(lambda: verify(twice))
    assert verdict.unchanged, verdict.lines
    found = check(page, twice)
    assert found["verdict"] == "genuine", found


@pytest.mark.parametrize("change", [_other_title, _other_author, _other_language])
def test_who_signs_and_says_something_else_of_the_file_changes_it(
    page: Page, condition: Path, change: Callable[[IncrementalPdfFileWriter], None]
) -> None:
    pdf = _signed_with_pyhanko(condition.read_bytes(), change)
    assert not apart(lambda: verify(pdf)).unchanged
    assert check(page, pdf)["verdict"] == "changed"


def test_a_key_that_nobody_knows_is_never_green_unless_its_digits_were_typed(
    page: Page, stranger: Signer
) -> None:
    pdf = build(snapshot(photos=[]), "condition", stranger, today=TODAY)
    assert check(page, pdf)["verdict"] == "unknown"
    digits = stranger.fingerprint
    assert check(page, pdf, digits[:31])["verdict"] == "unknown"
    assert check(page, pdf, digits[1:33])["verdict"] == "unknown"
    assert _ids(check(page, pdf, digits[:32].upper())) == ["check-genuine-typed"]


@pytest.mark.parametrize("change", ["\u0430", "A", "  ", "\u200b", ""])
def test_a_name_that_looks_like_a_known_one_is_no_name(
    page: Page, shop: Signer, tmp_path: Path, change: str
) -> None:
    assert "a" in shop.name
    name = shop.name.replace("a", change, 1) if change in ("\u0430", "A") else shop.name + change
    forger = open_signer(tmp_path, name=name)
    found = check(page, build(snapshot(photos=[]), "condition", forger, today=TODAY))
    assert found["verdict"] == "changed", name
    assert _ids(found)[0] in ("report-verify-lookalike", "report-verify-borrowed-name")


def test_a_fingerprint_from_a_link_is_shown_and_believed_by_nobody(
    browser: Browser, shop_page: Path, stranger: Signer, tmp_path: Path
) -> None:
    pdf = tmp_path / "theirs.pdf"
    pdf.write_bytes(build(snapshot(photos=[]), "condition", stranger, today=TODAY))
    context = opened(browser, offline=True)
    theirs = context.new_page()
    theirs.goto(f"{shop_page.as_uri()}#{stranger.fingerprint}")
    theirs.set_input_files("#file", pdf)
    expect(theirs.locator("[data-verdict]")).to_have_attribute("data-verdict", "unknown")
    expect(theirs.get_by_text("A link proves nothing")).to_be_visible()
    digits = theirs.get_by_label("Fingerprint that you got from the shop itself")
    digits.fill("ab" * 16)
    expect(theirs.get_by_text("This report is signed with another key.")).to_be_visible()
    # the same digits, typed as the shop itself gave them
    digits.fill(stranger.fingerprint[:32])
    expect(theirs.locator("[data-verdict]")).to_have_attribute("data-verdict", "genuine")
    # nobody is asked for digits that could not help
    changed = tmp_path / "changed.pdf"
    changed.write_bytes(pdf.read_bytes() + b"\n")
    theirs.set_input_files("#file", changed)
    expect(theirs.locator("[data-verdict]")).to_have_attribute("data-verdict", "changed")
    expect(digits).to_have_count(0)
    context.close()


def test_lost_and_replaced_keys_and_times_of_certificates(
    browser: Browser,
    make_page: Callable[..., str],
    condition: Path,
    shop: Signer,
    tmp_path: Path,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    day = dt.timedelta(days=1)
    today = dt.datetime.now(dt.UTC).date()
    standings = {
        ("lost", today - day): ("changed", "report-verify-lost"),
        ("lost", today + day): ("unknown", "report-verify-lost-perhaps"),
        ("replaced", today + day): ("genuine", "check-retired"),
        ("replaced", today - 3 * day): ("changed", "report-verify-retired"),
    }
    context = opened(browser, offline=True)
    page = context.new_page()
    file = tmp_path / "check.html"
    for (standing, until), (verdict, said) in standings.items():
        signer = ShopSigner(shop.fingerprint, shop.name, standing, until.isoformat())
        file.write_text(make_page(signer), encoding="utf-8")
        page.goto(file.as_uri())
        found = check(page, condition.read_bytes())
        assert found["verdict"] == verdict, standing
        assert said in _ids(found)
    # good for the hour before it was made, which makes up for clocks that lag
    monkeypatch.setattr(signing_keys, "_VALID_DAYS", -1 / 1440)
    ended = open_signer(tmp_path / "ended", name="Ended")
    pdf = build(snapshot(photos=[]), "condition", ended, today=TODAY)
    found = check(page, pdf, ended.fingerprint)
    assert found["verdict"] == "changed"
    assert _ids(found) == ["report-verify-outside-validity"]
    context.close()


def _flips(pdf: bytes, sample: int) -> list[int]:
    """Offsets over the whole file, and over the signature's own digits that are no padding."""
    (match,) = re.finditer(rb"/Contents <([0-9A-F]+)>", pdf)
    digits = match[1].rstrip(b"0")
    inside = range(match.start(1), match.start(1) + len(digits), max(1, len(digits) // sample))
    return [*range(3, len(pdf), len(pdf) // sample), *inside, match.end(1) - 1]


def test_any_flipped_bit_is_a_change(page: Page, condition: Path) -> None:
    pdf = condition.read_bytes()
    places = [(at, number % 8) for number, at in enumerate(_flips(pdf, 100))]
    verdicts = check_flipped(page, pdf, places)
    assert [at for at, verdict in zip(places, verdicts, strict=True) if verdict != "changed"] == []


def test_whatever_is_added_taken_away_or_no_report_is_a_change(
    page: Page, condition: Path, keys: Path
) -> None:
    pdf = condition.read_bytes()
    twice = io.BytesIO(pdf)
    _countersigned(twice, open_signer(keys, name="Ada Buyer"))
    files = {
        "nothing": b"",
        "text": b"A report",
        "only a head": pdf[:9],
        "cut off": pdf[:-1],
        "half": pdf[: len(pdf) // 2],
        "a line end": pdf + b"\n",
        "a comment": pdf + b"% more\n",
        "before": b"\n" + pdf,
        "cut after the first signature": twice.getvalue()[: len(pdf) + 400],
        "lower case digits": re.sub(
            rb"(?<=/Contents <)[0-9A-F]+", lambda hexed: hexed[0].lower(), pdf
        ),
    }
    for name, file in files.items():
        assert check(page, file)["verdict"] == "changed", name
