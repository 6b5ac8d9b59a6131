"""After the seal: amendments as such, a new report that names the old one, and the shop's word."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

from bradawl.inspection.snapshot import Snapshot
from bradawl.report.checking.verification import verify
from bradawl.report.issue import write_report
from bradawl.report.printing import Printing
from bradawl.report.signing.keys import Signer
from bradawl.report.signing.ledger import Entry, Ledger
from bradawl.report.signing.trust import ledger_in, trust_for
from tests.report.tools import flowing, words
from tests.report.visits import PHONE, TODAY, VISIT, jpeg, sha256, snapshot

LATER: list[tuple[str, Any]] = [
    ("items/rust.boot-floor/grade", {"grade": "major"}),
    ("items/rust.boot-floor/why", "holed after all"),
    ("items/engine.mounts/note", "Looked at it again at home."),
    ("items/rodents.loom/grade", None),
    ("plan/pick/rust.boot-floor", "patch"),
]


def _snapshots(visit: Snapshot) -> Any:
    def find(wanted: str) -> Snapshot:
        if wanted != visit.visit:
            raise LookupError(wanted)
        return visit

    return find


def test_amendments_stand_as_such_with_date_author_and_what_was_there_before(
    tmp_path: Path, shop: Signer
) -> None:
    file = tmp_path / "amended.pdf"
    write_report(
        snapshot(amendments=LATER), file, "condition", shop, today=TODAY,
        devices={PHONE: "Ada’s phone"},
    )  # fmt: skip
    text = flowing(file)
    assert "4 entries were changed or added after signing" in text
    listed = text.rpartition("It was recorded later;")[2].partition("Cautions and scope")[0]
    # 1764052703 s since 1970 by GNU date: 2025-11-25 06:38:23 UTC
    # said in the visit's zone, an hour ahead
    assert "November 25," in listed
    assert "7:38 AM (UTC+1)" in listed
    assert listed.count("Ada’s phone") == 4
    assert "Boot floor: rating" in listed
    assert "holed after all" in listed
    assert "withdrawn" in listed
    assert "not recorded" in listed
    assert "patch" not in listed
    assert text.count("Changed after signing; see Changes after signing.") >= 2


def test_corrected_facts_of_the_car_are_called_by_their_names(tmp_path: Path, shop: Signer) -> None:
    file = tmp_path / "facts.pdf"
    later: list[tuple[str, Any]] = [
        ("car/make", "Corvanne"),
        ("car/fuel", "petrol"),
        ("car/odometer", {"typed": "164 000", "unit": "km"}),
        ("about/dark", True),
    ]
    write_report(snapshot(amendments=later), file, "condition", shop, today=TODAY)
    listed = flowing(file).rpartition("It was recorded later;")[2]
    assert "Make was Corvane, is Corvanne" in listed
    assert "Fuel was not recorded, is gasoline" in listed
    # 1 mi = 1.609344 km (international yard, 1959)
    assert "was 101,843 mi (read as 163,900 km), is 101,905 mi (read as 164,000 km)" in listed
    assert "Dark was not recorded, is yes" in listed


def test_verify_names_the_amendments(tmp_path: Path, shop: Signer) -> None:
    file = tmp_path / "amended.pdf"
    write_report(snapshot(amendments=LATER), file, "partner", shop, today=TODAY)
    verdict = verify(file.read_bytes())
    assert verdict.unchanged
    said = " ".join(verdict.lines)
    assert "Changed after signing, November 25, 2025, 6:38 AM (UTC): “Boot floor: rating”." in said


def test_the_attached_record_is_the_sealed_one_and_the_amendments_lie_beside_it(
    tmp_path: Path, shop: Signer
) -> None:
    import pikepdf

    file = tmp_path / "amended.pdf"
    write_report(snapshot(amendments=LATER), file, "partner", shop, today=TODAY)
    with pikepdf.open(file) as pdf:
        record = json.loads(pdf.attachments["record.json"].get_file().read_bytes())
    sealed = {path: text for path, at, salt, text in record["shown"]}
    assert sealed["items/rust.boot-floor/grade"] == '{"grade":"minor"}'
    assert "items/rust.boot-floor/why" not in sealed
    assert [event["put"] for event in record["amendments"]] == [put for put, _ in LATER[:4]]


def test_a_reissued_report_names_the_one_it_replaces_and_verify_says_so_of_the_old(
    tmp_path: Path, shop: Signer, keys: Path
) -> None:
    ledger = ledger_in(tmp_path)
    first, second = tmp_path / "first.pdf", tmp_path / "second.pdf"
    one = write_report(snapshot(), first, "condition", shop, today=TODAY, ledger=ledger)
    two = write_report(
        snapshot(amendments=LATER), second, "condition", shop, today="2026-12-01", ledger=ledger
    )
    assert one.number != two.number
    assert f"This report replaces report {one.number} of " in words(second)
    assert "This report replaces" not in words(first)
    known = trust_for(tmp_path, keys)
    old, new = verify(first.read_bytes(), known), verify(second.read_bytes(), known)
    assert old.unchanged
    assert f"A newer report replaces this one: {two.number}" in " ".join(old.lines)
    assert "newer" not in " ".join(new.lines)
    assert f"This report replaces report “{one.number}”." in " ".join(new.lines)


def test_printing_the_same_again_is_the_same_report(tmp_path: Path, shop: Signer) -> None:
    ledger = ledger_in(tmp_path)
    numbers = {
        write_report(
            snapshot(photos=[jpeg(1)]), tmp_path / "x.pdf", "condition", shop, today=day,
            printing=Printing.of(paper=page), ledger=ledger,
        ).number
        for day, page in ((TODAY, "a4"), ("2026-12-24", "letter"))
    }  # fmt: skip
    assert len(numbers) == 1
    assert len(list(ledger.entries())) == 1


def test_editions_are_numbered_apart(tmp_path: Path, shop: Signer) -> None:
    ledger = ledger_in(tmp_path)
    out = tmp_path / "x.pdf"
    write_report(snapshot(), out, "condition", shop, today=TODAY, ledger=ledger)
    write_report(snapshot(), out, "partner", shop, today=TODAY, ledger=ledger)
    assert [entry.replaces for entry in ledger.entries()] == ["", ""]


def test_a_ledger_line_cut_off_by_a_power_failure_loses_only_itself(tmp_path: Path) -> None:
    ledger = Ledger(tmp_path / "reports.jsonl")
    ledger.add(Entry("A", VISIT, "condition", TODAY, "d1", ""))
    with (tmp_path / "reports.jsonl").open("a") as file:
        file.write('{"number": "B", "vis')
    ledger.add(Entry("C", VISIT, "condition", TODAY, "d2", "A"))
    assert [entry.number for entry in ledger.entries()] == ["A", "C"]
    newer = ledger.newer("A")
    assert newer is not None
    assert newer.number == "C"


def test_the_shop_holds_a_condition_report_against_its_own_record(
    condition: Path, tmp_path: Path, keys: Path
) -> None:
    visit = snapshot(photos=[jpeg(n) for n in range(5)])
    verdict = verify(condition.read_bytes(), trust_for(tmp_path, keys, _snapshots(visit)))
    assert verdict.unchanged
    assert "own record of the look-over has the same signature" in " ".join(verdict.lines)


def test_the_shop_objects_when_its_own_record_says_otherwise(
    condition: Path, tmp_path: Path, keys: Path
) -> None:
    other = snapshot(photos=[jpeg(9)])
    verdict = verify(condition.read_bytes(), trust_for(tmp_path, keys, _snapshots(other)))
    assert not verdict.unchanged
    assert "not one that this shop's own record has" in " ".join(verdict.lines)


def test_a_report_on_an_earlier_seal_still_matches_when_the_visit_was_sealed_again(
    condition: Path, tmp_path: Path, keys: Path
) -> None:
    visit = snapshot(photos=[jpeg(n) for n in range(5)])
    newer = replace(visit.seals[0], n=2, value={**visit.seals[0].value, "leaves": "f" * 64})
    twice = replace(visit, seals=[*visit.seals, newer])
    verdict = verify(condition.read_bytes(), trust_for(tmp_path, keys, _snapshots(twice)))
    assert verdict.kind == "genuine"


WORK: list[tuple[str, Any]] = [
    (
        "work/brakes.front-pads/pads/done",
        {"title": "New front pads", "date": "2026-12-02", "by": "Oda Rell",
         "parts": "pads, 98,765 EUR",
         "odometer": {"typed": "163 960", "unit": "km"}, "cost": 87_654, "note": "Bedded in.",
         "items": ["brakes.front-pads"]},
    ),
    ("work/brakes.front-pads/pads/after/brakes.front-pads/grade", {"grade": "none"}),
    (
        "work/brakes.front-pads/pads/after/brakes.front-pads/readings/pad/front-left",
        {"typed": "11", "unit": "mm"},
    ),
    (f"work/brakes.front-pads/pads/photos/{sha256(jpeg(7))}", {"caption": "New pads, left"}),
]  # fmt: skip


def _after_work(visit: Snapshot) -> Snapshot:
    """The visit with its photos, and with what the judge says of the pads now."""
    now = {
        "mended": ["brakes.front-pads"],
        "dangerous": [],
        "grades": {"brakes.front-pads": "none"},
        "drive_home": visit.assessment["drive_home"],
    }
    stored = {sha256(one): one for one in (jpeg(1), jpeg(7))}
    judged: Any = {**visit.assessment, "now": now}
    return replace(visit, photo=stored.get, assessment=judged)


def test_the_next_report_shows_work_before_and_after_and_without_its_cost_to_strangers(
    tmp_path: Path, shop: Signer
) -> None:
    visit = _after_work(snapshot(photos=[jpeg(1)], amendments=WORK))
    file = tmp_path / "work.pdf"
    issued = write_report(visit, file, "condition", shop, today="2026-12-03")
    assert issued.photos == 2
    text = flowing(file)
    assert "One job was done since the look-over" in text
    assert "December 2, 2026, by Oda Rell, at 101,880 mi (read as 163,960 km)" in text
    assert "Front pad thickness: Unsafe, now OK. Pad thickness, front left:" in text
    assert "New pads, left" in text
    assert "98,765" not in text
    assert "87,654" not in text
    assert "changed or added after signing" not in text
    assert verify(file.read_bytes()).unchanged
    write_report(visit, file, "partner", shop, today="2026-12-03")
    assert "cost €87,654" in flowing(file)


def test_the_copy_after_repair_says_what_became_of_each_fault_with_its_proof(
    tmp_path: Path, shop: Signer
) -> None:
    more = [
        ("work/rust.sill-left/weld/done",
         {"title": "Sill welded", "date": "2026-12-02", "by": "Oda Rell",
          "items": ["rust.sill-left"]}),
        ("work/bushings.lower-arm-rear/new/done",
         {"title": "New bush", "date": "2026-12-01", "items": ["bushings.lower-arm-rear"]}),
        ("work/bushings.lower-arm-rear/new/after/bushings.lower-arm-rear/grade",
         {"grade": "minor"}),
    ]  # fmt: skip
    visit = _after_work(snapshot(photos=[jpeg(1)], amendments=[*WORK, *more]))
    file = tmp_path / "repaired.pdf"
    write_report(visit, file, "repaired", shop, today="2026-12-03")
    text = flowing(file)
    assert "Condition report after repair" in text
    assert (
        "Faults found: 5. Fixed and checked again: 1. Better: 1. Worked on and not checked again: "
        "1. Known and left alone: 2. As seen on December 3, 2026; this is no warranty."
    ) in text
    chapter = text.partition("only the shop vouches for it.")[2]
    fixed = chapter.partition("Fixed and checked again: 1")[2].partition("Better than")[0]
    assert "Front pad thickness, found Unsafe" in fixed
    assert fixed.lstrip().startswith("Fixed · ")
    # on the first page and at its heading too, and at no other finding
    assert text.count("Front pad thickness · Fixed.") == 1
    assert text.count("Fixed · What became of what was found") == 1
    assert "New front pads, December 2, 2026, by Oda Rell." in fixed
    assert "Proof: checked again: OK, Pad thickness, front left:" in fixed
    assert "one photo" in fixed
    left = chapter.partition("Known and left alone: 2")[2]
    assert "Boot floor, found Minor" in left
    assert (
        "No proof was kept." in chapter.partition("not checked again: 1")[2].partition("Known")[0]
    )
    for sum_of_money in ("98,765", "87,654", "987,654"):
        assert sum_of_money not in text
    assert verify(file.read_bytes()).kind == "unknown"  # nobody has vouched for the key here
