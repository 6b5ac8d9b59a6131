"""The shop's certification as it is written here: pyHanko's says the same, OpenSSL verifies it."""

from __future__ import annotations

import io
import shutil
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from asn1crypto import cms
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric import rsa
from pyhanko.pdf_utils.reader import PdfFileReader

from bradawl.report.checking.pdf_syntax import Reference
from bradawl.report.checking.revisions import Document, revisions_of
from bradawl.report.checking.verification import verify
from bradawl.report.draft import Draft
from bradawl.report.issue import write_report
from bradawl.report.signing import signatures
from bradawl.report.signing.certifying import certified
from bradawl.report.signing.keys import Signer, open_signer
from bradawl.report.signing.signatures import SHOP_FIELD, certify
from tests.report.tools import apart, run
from tests.report.visits import TODAY, snapshot


@pytest.fixture(scope="module")
def unsigned(tmp_path_factory: pytest.TempPathFactory, shop: Signer) -> Path:
    """A report with its empty fields, as it is before it is signed."""
    out = tmp_path_factory.mktemp("unsigned") / "report.pdf"
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(Draft, "_certify", lambda *_: [])
        write_report(snapshot(), out, "condition", shop, today=TODAY)
    return out


def _signed(unsigned: Path, out: Path, shop: Signer) -> bytes:
    shutil.copyfile(unsigned, out)
    with out.open("r+b") as file:
        assert apart(lambda: certify(file, shop, reason="Made (so to say) \\ by us")) == []
    return out.read_bytes()


def _said(data: bytes) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any], Any]:
    """Catalog, the shop's field, its signature, the envelope."""
    document = Document(data, revisions_of(data))
    form = document.get(document.root["AcroForm"])
    field = document.dictionary(form["Fields"][0])
    signature = document.dictionary(field["V"])
    return document.root, field, signature, cms.ContentInfo.load(signature["Contents"])


def _alike(value: Any, number: int) -> Any:
    """A value in which the signature has that number, and texts are texts, however written."""
    if isinstance(value, Reference):
        return Reference(0, 0) if value.number == number else value
    if isinstance(value, dict):
        return {key: _alike(inner, number) for key, inner in value.items()}
    if isinstance(value, list):
        return [_alike(inner, number) for inner in value]
    if isinstance(value, bytes) and value[:2] == b"\xfe\xff":
        return value[2:].decode("utf-16-be").encode()
    return value


def test_it_says_what_pyhanko_says(
    unsigned: Path, shop: Signer, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ours = _signed(unsigned, tmp_path / "ours.pdf", shop)
    monkeypatch.setattr(signatures, "certified", lambda *_: False)
    theirs = _signed(unsigned, tmp_path / "theirs.pdf", shop)
    (*own, own_envelope), (*other, other_envelope) = _said(ours), _said(theirs)
    for mine, yours in zip(own, other, strict=True):
        a = _alike(mine, own[1]["V"].number)
        b = _alike(yours, other[1]["V"].number)
        if "ByteRange" in a:
            for differs in ("M", "Contents", "ByteRange"):
                assert type(a.pop(differs)) is type(b.pop(differs))
        assert a == b
    assert len(revisions_of(ours)) == len(revisions_of(theirs)) == 2
    mine, yours = own_envelope["content"], other_envelope["content"]
    assert mine["version"] == yours["version"]
    assert mine["digest_algorithms"].dump() == yours["digest_algorithms"].dump()
    assert {one.dump() for one in mine["certificates"]} == {
        one.dump() for one in yours["certificates"]
    }
    (us,), (them,) = mine["signer_infos"], yours["signer_infos"]
    for part in ("version", "sid", "digest_algorithm", "signature_algorithm", "unsigned_attrs"):
        assert us[part].dump() == them[part].dump(), part
    assert _attributes(us) == _attributes(them)


def _attributes(signer: Any) -> list[tuple[str, bytes]]:
    """The signed attributes in their order; of the file's digest, which differs, its size."""
    return [
        (one["type"].native, b"" if one["type"].native == "message_digest" else one.dump())
        for one in signer["signed_attrs"]
    ]


def test_openssl_verifies_it_as_cades(unsigned: Path, shop: Signer, tmp_path: Path) -> None:
    data = _signed(unsigned, tmp_path / "signed.pdf", shop)
    _, _, signature, _ = _said(data)
    _, begin, end, size = signature["ByteRange"]
    assert end + size == len(data)
    (tmp_path / "covered").write_bytes(data[:begin] + data[end:])
    (tmp_path / "envelope").write_bytes(signature["Contents"])
    (tmp_path / "shop.pem").write_bytes(shop.certificate_pem)
    arguments = (
        *("openssl", "cms", "-verify", "-cades", "-binary", "-inform", "DER"),
        *("-in", tmp_path / "envelope", "-content", tmp_path / "covered"),
        *("-CAfile", tmp_path / "shop.pem", "-purpose", "any", "-out", "/dev/null"),
    )
    assert "CAdES Verification successful" in run(*arguments)
    (tmp_path / "covered").write_bytes(data[:begin] + data[end:-1] + b"x")
    assert "CAdES Verification successful" not in run(*arguments)


@pytest.mark.parametrize(
    "name", ["Böhm ?? (Garage) \\ & Sons", "גרש מוסך", "1" * 64, "Garage 🔧", "🔧"]
)
def test_any_name_signs(name: str, tmp_path: Path) -> None:
    shop = open_signer(tmp_path / "keys", name=name)
    out = tmp_path / "report.pdf"
    write_report(snapshot(), out, "condition", shop, today=TODAY)
    verdict = apart(lambda: verify(out.read_bytes()))
    assert verdict.unchanged, verdict.lines
    _, _, signature, _ = _said(out.read_bytes())
    assert signature["Name"][2:].decode("utf-16-be") == shop.name


def test_another_form_or_key_is_left_to_pyhanko(
    unsigned: Path, shop: Signer, tmp_path: Path
) -> None:
    rewritten = tmp_path / "rewritten.pdf"
    with pikepdf.open(unsigned) as pdf:
        pdf.save(rewritten, object_stream_mode=pikepdf.ObjectStreamMode.generate)
    key = rsa.generate_private_key(public_exponent=65537, key_size=2048)
    der = key.private_bytes(
        serialization.Encoding.DER,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    signed = tmp_path / "signed.pdf"
    _signed(unsigned, signed, shop)
    for file, signer in (
        (rewritten, shop),
        (signed, shop),
        (unsigned, replace(shop, key_der=der)),
    ):
        before = file.read_bytes()
        with file.open("r+b") as opened:
            assert not certified(opened, signer, SHOP_FIELD, "reason")
        assert file.read_bytes() == before
    with rewritten.open("r+b") as opened:
        assert apart(lambda: certify(opened, shop, reason="reason")) == []
    assert (
        apart(lambda: len(PdfFileReader(io.BytesIO(rewritten.read_bytes())).embedded_signatures))
        == 1
    )


def test_a_report_is_issued_without_the_library_that_checks_it(tmp_path: Path) -> None:
    """It takes as long to import as a report to make."""
    code = (
        "import sys\n"
        "from pathlib import Path\n"
        "from bradawl.report.issue import write_report\n"
        "from bradawl.report.signing.keys import open_signer\n"
        "from tests.report.visits import TODAY, snapshot\n"
        f"folder = Path({str(tmp_path)!r})\n"
        "write_report(snapshot(), folder / 'r.pdf', 'condition', open_signer(folder / 'k'),"
        " today=TODAY)\n"
        "print([name for name in sys.modules if name.startswith('pyhanko')])\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=120)
    assert done.stdout.strip() == "[]", done.stdout + done.stderr
