"""What `bradawl verify` says of whole, changed and strange files; pdfsig beside it."""

from __future__ import annotations

import io
from pathlib import Path

import hypothesis
import hypothesis.strategies as st
import pikepdf
import pytest
from hypothesis import given

from bradawl.cli import main
from bradawl.report import Known, Signer, build, verify
from bradawl.report.verifying import with_whole_record
from tests.report.tools import pdfsig
from tests.report.visits import TODAY, VISIT, dossier, jpeg, puts


def test_a_whole_report_is_called_whole(condition: Path, shop: Signer) -> None:
    verdict = verify(condition.read_bytes(), Known(certificates={shop.fingerprint: "The workshop"}))
    assert verdict.whole
    assert verdict.known_signer
    assert verdict.visit == VISIT
    assert "whole" in verdict.lines[0]
    assert "The workshop" in verdict.lines[1]


def test_a_stranger_is_told_that_the_key_is_unknown(condition: Path) -> None:
    verdict = verify(condition.read_bytes())
    assert verdict.whole
    assert not verdict.known_signer
    said = " ".join(verdict.lines)
    assert "does not know" in said
    assert "cannot be held against the seal here" in said
    assert "states that the whole record matched the seal" in said


def test_a_stranger_recomputes_the_photos_digest_of_an_edition_with_entries_left_out(
    condition: Path, shop: Signer
) -> None:
    said = " ".join(verify(condition.read_bytes()).lines)
    assert "The photos are those that the seal names" in said
    photos = {"photos": {"count": 5, "hash": "0" * 64}}
    false = dossier(photos=[jpeg(n) for n in range(5)], seal=photos)
    verdict = verify(build(false, "condition", shop, today=TODAY))
    assert not verdict.whole
    assert "photos named in the record are not those that were sealed" in " ".join(verdict.lines)


def test_an_edition_without_money_is_held_against_the_one_that_leaves_nothing_out(
    condition: Path, partner: Path, shop: Signer, tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:  # fmt: skip
    assert main(["verify", str(condition), "--against", str(partner)]) == 0
    assert "all that is attached was sealed" in capsys.readouterr().out
    other = dossier(puts([jpeg(n) for n in range(5)])[:-1], photos=[jpeg(n) for n in range(5)])
    apart = tmp_path / "apart.pdf"
    apart.write_bytes(build(other, "partner", shop, today=TODAY))
    assert main(["verify", str(condition), "--against", str(apart)]) == 1
    assert "The seal is not one that apart.pdf’s record has" in capsys.readouterr().out
    assert main(["verify", str(partner), "--against", str(condition)]) == 1
    assert "leaves entries out itself" in capsys.readouterr().err


def test_a_cell_that_was_changed_before_issuing_shows_against_the_whole_record(
    partner: Path, shop: Signer
) -> None:
    """A workshop prints another grade than was sealed: its signature holds, the seal does not."""
    honest = dossier(photos=[jpeg(n) for n in range(5)])
    cells = {**(honest.sealed_cells or {})}
    path = "items/rust.sill-left/grade"
    cells[path] = {**cells[path], "value": {"grade": "none"}}
    object.__setattr__(honest, "sealed_cells", cells)
    forged = build(honest, "condition", shop, today=TODAY)
    assert verify(forged).whole  # nothing that a stranger alone could see
    known = with_whole_record(Known(), partner.read_bytes(), "partner.pdf")
    verdict = verify(forged, known)
    assert not verdict.whole
    assert "differs from partner.pdf’s sealed record" in " ".join(verdict.lines)


def test_a_whole_record_is_held_against_the_seal(partner: Path) -> None:
    verdict = verify(partner.read_bytes())
    assert verdict.record_matches is True
    assert "is what Ada Fenwick sealed" in " ".join(verdict.lines)


def test_an_unsigned_report_is_not_whole() -> None:
    verdict = verify(build(dossier(), "condition", None, today=TODAY))
    assert not verdict.whole
    assert "not signed" in verdict.lines[0]


@pytest.mark.parametrize(
    "content", [b"", b"Dear Sir", b"%PDF-1.7\n", b"%PDF-1.7\n%%EOF", b"\0" * 99]
)
def test_whatever_else_is_handed_in_gets_a_sentence(content: bytes) -> None:
    verdict = verify(content)
    assert not verdict.whole
    assert verdict.lines[0].endswith(".")


def test_a_truncated_report_is_not_whole(condition: Path) -> None:
    data = condition.read_bytes()
    for keep in (len(data) - 1, len(data) // 2, 2000):
        assert not verify(data[:keep]).whole


def test_the_command_says_it_in_words_and_by_its_exit_code(
    condition: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["verify", str(condition)]) == 0
    assert "whole" in capsys.readouterr().out
    changed = tmp_path / "changed.pdf"
    data = bytearray(condition.read_bytes())
    data[len(data) // 3] ^= 1
    changed.write_bytes(bytes(data))
    assert main(["verify", str(changed)]) == 1
    assert "changed" in capsys.readouterr().out
    assert main(["verify", str(tmp_path / "none.pdf")]) == 1
    assert "could not be read" in capsys.readouterr().err


def test_a_page_laid_over_is_told_from_a_second_signature(
    condition: Path, store: Path, tmp_path: Path
) -> None:
    """poppler still calls the signature valid here; the modification level does not."""
    file = tmp_path / "laid-over.pdf"
    file.write_bytes(condition.read_bytes())
    from pyhanko.pdf_utils.generic import StreamObject
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter

    with file.open("r+b") as opened:
        writer = IncrementalPdfFileWriter(opened)
        cover = writer.add_object(StreamObject(stream_data=b"1 1 1 rg 0 0 600 850 re f"))
        writer.add_stream_to_page(0, cover)
        writer.write_in_place()
    assert "Signature is Valid." in pdfsig(file, store)
    verdict = verify(file.read_bytes())
    assert not verdict.whole
    assert "laid over" in " ".join(verdict.lines)


def test_a_workshops_name_on_somebody_elses_key_is_told(
    condition: Path, shop: Signer, tmp_path: Path
) -> None:
    from bradawl.report.signing import certify, open_signer

    forged = io.BytesIO()
    with pikepdf.open(condition) as pdf:
        del pdf.Root.AcroForm
        for page in pdf.pages:
            page.obj.Annots = pikepdf.Array()
        pdf.save(forged)
    certify(forged, open_signer(tmp_path, name=shop.name), reason="Issued", later=[])
    assert verify(forged.getvalue()).whole  # a stranger can only compare the digits
    verdict = verify(forged.getvalue(), Known(certificates={shop.fingerprint: shop.name}))
    assert not verdict.whole
    assert "knows with another key" in " ".join(verdict.lines)


@hypothesis.settings(max_examples=30)
@given(
    st.lists(
        st.tuples(st.integers(0, 2**31), st.binary(min_size=1, max_size=40)), min_size=1, max_size=6
    )
)
def test_whatever_is_written_over_a_report_verify_answers_and_never_calls_it_whole(
    condition: Path, patches: list[tuple[int, bytes]]
) -> None:
    data = bytearray(condition.read_bytes())
    for at, patch in patches:
        place = at % (len(data) - len(patch))
        data[place : place + len(patch)] = patch
    hypothesis.assume(bytes(data) != condition.read_bytes())
    verdict = verify(bytes(data))
    assert not verdict.whole
    assert all(line.endswith(".") for line in verdict.lines)


def test_pages_exchanged_and_signed_by_someone_else_do_not_match_their_record(
    condition: Path, tmp_path: Path, keys: Path
) -> None:
    from bradawl.report.signing import certify, open_signer

    forged = io.BytesIO()
    with pikepdf.open(condition) as pdf:
        del pdf.Root.AcroForm
        for page in pdf.pages:
            page.obj.Annots = pikepdf.Array()
        pdf.pages[0].obj.Contents = pdf.make_stream(b"0 0 1 rg 0 0 600 850 re f")
        pdf.save(forged)
    certify(forged, open_signer(keys, name="Forger"), reason="Issued", later=[])
    verdict = verify(forged.getvalue())
    assert not verdict.whole
    assert verdict.record_matches is False
    assert "pages are not those" in " ".join(verdict.lines)
