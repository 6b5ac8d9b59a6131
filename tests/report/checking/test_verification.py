"""What `bradawl verify` says of whole, changed and strange files; pdfsig beside it."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import hypothesis
import hypothesis.strategies as st
import pikepdf
import pytest
from hypothesis import given

from bradawl.cli import main
from bradawl.inspection.snapshot import Erased, Snapshot
from bradawl.report.checking.verification import verify
from bradawl.report.model.editions.edition import Edition
from bradawl.report.signing.keys import Signer
from bradawl.report.signing.trust_store import KnownKey, TrustStore
from tests.log.server import KEY
from tests.log.sync import reference
from tests.report.tools import build, pdfsig
from tests.report.visits import PHONE, PHONE_KEY, START_MS, TODAY, VISIT, jpeg, snapshot
from tests.writing import seal_value


def test_a_whole_report_is_called_whole(condition: Path, shop: Signer) -> None:
    verdict = verify(
        condition.read_bytes(), TrustStore({shop.fingerprint: KnownKey("The workshop", own=True)})
    )
    assert verdict.kind == "genuine"
    assert verdict.visit == VISIT
    assert verdict.lines[0].startswith("Genuine")
    assert "The workshop" in verdict.lines[1]
    # its signer's clock says when, in the universal time that the signature holds
    when = datetime.now(UTC)
    (time,) = [line for line in verdict.lines if "by the clock of that computer" in line]
    assert str(when.year) in time
    assert "(UTC)" in time


def test_a_stranger_holds_every_edition_against_the_seal_with_nothing_of_the_workshop(
    condition: Path, partner: Path
) -> None:
    verdict = verify(condition.read_bytes())
    assert verdict.kind == "unknown"
    said = " ".join(verdict.lines)
    assert "nobody here knows the key" in said
    assert (
        "All 26 entries of the attached record are among the 31 that “Ada Fernack” signed" in said
    )
    assert "5 are left out." in said
    assert f"a phone that is not known here ({PHONE[:4].upper()} " in said
    said = " ".join(verify(partner.read_bytes()).lines)
    assert "is what “Ada Fernack” signed, and leaves nothing out" in said


def test_the_seals_phone_is_named_where_it_is_known(condition: Path) -> None:
    known = TrustStore(device=lambda device: "Ada’s phone" if device == PHONE else "")
    assert "“Ada’s phone”, a phone that this shop knows" in " ".join(
        verify(condition.read_bytes(), known).lines
    )


def _changed(put: str, **more: Any) -> Snapshot:
    """A visit of which one entry was changed after it was sealed."""
    honest = snapshot(photos=[jpeg(n) for n in range(5)])
    events = [{**event, **(more if event["put"] == put else {})} for event in honest.events]
    return replace(honest, events=events)


@pytest.mark.parametrize("edition", ["condition", "partner"])
def test_an_entry_that_was_changed_before_issuing_is_told(edition: Edition, shop: Signer) -> None:
    """A workshop prints another grade than was sealed: its signature holds, the seal does not."""
    grade = {"value": {"grade": "none"}, "text": '{"grade":"none"}'}
    forged = _changed("items/rust.sill-left/grade", **grade)
    verdict = verify(build(forged, edition, shop, today=TODAY))
    assert not verdict.unchanged
    assert "not what the inspector signed" in " ".join(verdict.lines)
    commit = reference.commit_of(b"\0" * 16, grade["text"])
    forged = _changed("items/rust.sill-left/grade", salt="A" * 22, commit=commit, **grade)
    verdict = verify(build(forged, edition, shop, today=TODAY))
    assert not verdict.unchanged
    assert "not what the inspector signed" in " ".join(verdict.lines)


@pytest.mark.parametrize(
    "wrong",
    [
        {"signature": KEY.sign("something else")},
        {"key": KEY.public},  # another phone's key, and its signature
        {"key": 7},
    ],
)
def test_a_seal_that_its_phone_did_not_sign_is_told(wrong: dict[str, Any], shop: Signer) -> None:
    verdict = verify(build(snapshot(seal=wrong), "condition", shop, today=TODAY))
    assert not verdict.unchanged
    assert "not signed with the key of the phone that it names" in " ".join(verdict.lines)


def test_a_seal_of_another_visit_does_not_hold_here(shop: Signer) -> None:
    events = [one for one in snapshot().events if one["put"] != "seal/1"]
    other = seal_value(PHONE_KEY, "f0" * 16, events)
    verdict = verify(build(snapshot(seal=other), "condition", shop, today=TODAY))
    assert not verdict.unchanged


def test_an_entry_left_out_of_leaves_and_pages_alike_is_told(shop: Signer) -> None:
    honest = snapshot()
    fewer = [one for one in honest.events if one["put"] != "items/rodents.loom/grade"]
    verdict = verify(build(replace(honest, events=fewer), "condition", shop, today=TODAY))
    assert not verdict.unchanged
    assert "not what the inspector signed" in " ".join(verdict.lines)


def test_a_shop_knows_its_own_seals(condition: Path, shop: Signer) -> None:
    data, keys = condition.read_bytes(), {shop.fingerprint: KnownKey(shop.name, own=True)}
    (own,) = (seal.value["leaves"] for seal in snapshot(photos=[jpeg(n) for n in range(5)]).seals)
    assert verify(data, TrustStore(keys, seals=lambda visit: {own})).unchanged
    verdict = verify(data, TrustStore(keys, seals=lambda visit: {"0" * 64}))
    assert not verdict.unchanged
    assert "not one that this shop's own record has" in " ".join(verdict.lines)
    assert verify(data, TrustStore(keys, seals=lambda visit: None)).unchanged


def test_what_was_erased_is_counted_with_its_day_and_the_seal_still_holds(shop: Signer) -> None:
    honest = snapshot()
    events = [
        {**event, "value": None, "text": "", "salt": "", "erased": True}
        if event["put"] in ("about/seller", "about/place")
        else event
        for event in honest.events
    ]
    stamp = f"{START_MS + 5 * 86_400_000:015d}-00000-{PHONE}"
    erased = tuple(Erased(put, stamp) for put in ("about/seller", "about/place"))
    pdf = build(replace(honest, events=events, erased=erased), "partner", shop, today=TODAY)
    verdict = verify(pdf)
    assert verdict.unchanged, verdict.lines
    assert "2 of them because they were erased on request" in " ".join(verdict.lines)
    with pikepdf.open(io.BytesIO(pdf)) as opened:
        record = json.loads(opened.attachments["record.json"].get_file().read_bytes())
    assert record["erased"] == {"2025-11-30": 2}
    assert record["left_out"] == {"erased": 2}


def test_an_unsigned_report_is_not_whole() -> None:
    verdict = verify(build(snapshot(), "condition", None, today=TODAY))
    assert not verdict.unchanged
    assert "not signed" in verdict.lines[1]


@pytest.mark.parametrize(
    "content", [b"", b"Dear Sir", b"%PDF-1.7\n", b"%PDF-1.7\n%%EOF", b"\0" * 99]
)
def test_whatever_else_is_handed_in_gets_a_sentence(content: bytes) -> None:
    verdict = verify(content)
    assert not verdict.unchanged
    assert verdict.lines[0].endswith(".")


def test_a_file_that_was_cut_off_is_told_from_a_damaged_one() -> None:
    assert "its structure cannot be read" in verify(b"%PDF-1.7\nnonsense\n%%EOF\n").lines[1]
    cut = verify(b"%PDF-1.7\nnonsense\n%%E").lines[1]
    assert "its structure" not in cut


def test_a_truncated_report_is_not_whole(condition: Path) -> None:
    data = condition.read_bytes()
    for keep in (len(data) - 1, len(data) // 2, 2000):
        assert not verify(data[:keep]).unchanged


def test_the_command_says_it_in_words_and_by_its_exit_code(
    condition: Path,
    keys: Path,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path / "nobody"))
    assert main(["verify", str(condition)]) == 3
    assert capsys.readouterr().out.startswith("Unknown signer")
    assert not (tmp_path / "nobody").exists()  # who only looks leaves nothing behind
    (tmp_path / "shop").mkdir()
    (tmp_path / "shop" / "keys").symlink_to(keys)
    monkeypatch.setenv("BRADAWL_DATA", str(tmp_path / "shop"))
    assert main(["verify", str(condition)]) == 0
    assert capsys.readouterr().out.startswith("Genuine")
    changed = tmp_path / "changed.pdf"
    data = bytearray(condition.read_bytes())
    data[len(data) // 3] ^= 1
    changed.write_bytes(bytes(data))
    assert main(["verify", str(changed)]) == 1
    assert "changed" in capsys.readouterr().out
    assert main(["verify", str(tmp_path / "none.pdf")]) == 2
    assert "could not be read" in capsys.readouterr().err
    with pytest.raises(SystemExit) as usage:
        main(["verify"])
    assert usage.value.code == 2


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
    assert not verdict.unchanged
    assert "laid over" in " ".join(verdict.lines)


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
    assert not verdict.unchanged
    assert all(line.endswith(".") for line in verdict.lines)
