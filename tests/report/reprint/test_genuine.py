"""A genuine report is printed again page for page, whatever its edition, language, paper, record.

The measure is the file itself, which another run made; nothing here may ever call one changed.
"""

from __future__ import annotations

import random
import time
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from bradawl.common.display_text import for_line
from bradawl.demo.phone import visit_of
from bradawl.inspection.snapshot import Snapshot, gather
from bradawl.language import reading_as
from bradawl.report import reprint
from bradawl.report.issue import write_report
from bradawl.report.letterhead import Letterhead
from bradawl.report.model.editions.edition import EDITIONS, Choice, Edition
from bradawl.report.pdf import faces
from bradawl.report.printing import Printing
from bradawl.report.signing.keys import Signer
from bradawl.serving.reports.plan_for_report import workplan_of
from tests.amount import amount
from tests.checkout import checklist_bundle
from tests.nasty.visits import spiked
from tests.report.full_visit import TODAY, demo
from tests.report.reprint.judged import PEDAL, again, compared, recorded, visit_with
from tests.report.tools import build
from tests.report.visits import jpeg

SAME = "report-verify-pages-again"
NOTE = f"items/{PEDAL}/note"
GRADE = f"items/{PEDAL}/grade"


def issued(visit: Snapshot, edition: Edition, signer: Signer, **more: Any) -> bytes:
    """A report as the shop makes it, with its plan."""
    printing = more.pop("printing", Printing.of())
    with reading_as(printing.reader):
        plan = workplan_of(visit) if edition == "partner" else None
    return build(visit, edition, signer, today=TODAY, printing=printing, plan=plan, **more)


def said_of(pdf: bytes, signer: Signer, **more: Any) -> set[str]:
    """The ids of what is said of a report by a checker who knows the signer, and never a fault."""
    verdict = compared(pdf, {signer.fingerprint: signer.name}, **more)
    assert verdict.kind == "genuine", verdict.lines
    return {said.id for said in verdict.notes}


@pytest.mark.parametrize("edition", EDITIONS)
def test_every_demo_report_in_every_language_and_on_every_paper(
    edition: Edition, shop: Signer
) -> None:
    """In `make test` each car's in one edition, in `make proof` in every one."""
    source = demo()
    editions = len(EDITIONS)
    for at, scenario in enumerate(source.scenarios):
        if (at + EDITIONS.index(edition)) % editions >= amount(editions, short=1):
            continue
        visit = gather(
            source, visit_of(scenario), today=TODAY, current_bundle=lambda: source.checklist
        )
        kinds = (
            Printing.of("es-US", "metric", "a4" if at % 2 else "letter"),
            Printing.of("en-US", "us" if at % 2 else "metric", "a4" if at % 3 else "letter"),
        )
        for printing in kinds[at % 2 :][: amount(2, short=1)]:
            pdf = issued(visit, edition, shop, printing=printing)
            said = said_of(pdf, shop)
            assert SAME in said
            assert said.isdisjoint({"report-verify-unproven", "report-verify-not-judged"})


def test_it_takes_seconds(shop: Signer) -> None:
    source = demo()
    visit = gather(
        source, visit_of(source.scenarios[-1]), today=TODAY, current_bundle=lambda: source.checklist
    )
    pdf = issued(visit, "partner", shop)
    began = time.process_time()
    said_of(pdf, shop)
    assert time.process_time() - began < 10


def _fenced(events: list[Any]) -> None:
    next(event for event in events if event["put"] == "car/year")["fenced"] = True


def _erased(events: list[Any]) -> None:
    event = next(event for event in events if event["put"] == "about/place")
    event |= {"erased": True, "value": None, "text": None}
    event.pop("salt")


def _amendment_erased(events: list[Any]) -> None:
    event = [event for event in events if event["put"] == "about/place"][-1]
    event |= {"erased": True, "value": None, "text": None}
    event.pop("salt")


def _clock_corrected(events: list[Any]) -> None:
    for event in events[3:9]:
        event["rank"] = f"{int(event['at'].partition('-')[0]) + 7_200_000}-{event['at'][14:]}"


def _conflict(events: list[Any]) -> None:
    note = next(event for event in events if event["put"] == GRADE)
    other = {**note, "at": note["at"].replace(note["device"], "ee" * 16), "device": "ee" * 16}
    events.insert(4, {**other, "value": {"grade": "minor"}, "text": '{"grade":"minor"}',
                      "commit": "another"})  # fmt: skip


PHOTOS = [jpeg(1), jpeg(2, 2400, 1800)]
PRICED = (NOTE, "Rufus said 900 dollars would do it.")
PADS = "items/brakes.front-pads"
#: A thin pad that is called fine, for a reason that goes out to nobody who sees no price.
OVERRULED = (
    (f"{PADS}/readings/pad/front-left", {"typed": "1.5", "unit": "in/32"}),
    (f"{PADS}/grade", {"grade": "minor"}),
    (f"{PADS}/why", "Rufus paid 900 dollars for new ones, they are in the trunk."),
)
VISITS: dict[str, Snapshot] = {}


def visits() -> dict[str, Snapshot]:
    """Records of every kind that an edition treats in a way of its own."""
    if not VISITS:
        later = [(GRADE, {"grade": "major"}), ("about/place", "Elsewhere"), ("brief/notes", "x")]
        VISITS.update(
            {
                "unsigned": visit_with(recorded(), sealed=False),
                "photos": visit_with(recorded(photos=PHOTOS), photos=PHOTOS),
                "a photo missing": visit_with(recorded(photos=PHOTOS), photos=PHOTOS[:1]),
                "a photo damaged": replace(
                    visit_with(recorded(photos=PHOTOS)), photo=lambda _: b"\xff\xd8\xff no photo"
                ),
                "a note that may give away": visit_with(recorded(PRICED)),
                "a reason that may give away": visit_with(recorded(*OVERRULED)),
                "amended": visit_with(recorded(), amendments=later),
                "a seal that does not hold": visit_with(recorded(), seal={"leaves": "0" * 64}),
                "half a character": visit_with(recorded((NOTE, "\ud83d odd"))),
                "fenced": visit_with(recorded(), change=_fenced),
                "erased": visit_with(recorded(), change=_erased),
                "an amendment erased": visit_with(
                    recorded(), amendments=later, change=_amendment_erased
                ),
                "a clock corrected": visit_with(recorded(), change=_clock_corrected),
                "a conflict": visit_with(recorded(), sealed=False, change=_conflict),
            }
        )
    return VISITS


CHOICES = [
    Choice(),
    Choice(place=False, seller=True, photos=False),
    Choice(amendments=False),
]


@pytest.mark.parametrize("kind", [
    "unsigned", "photos", "a photo missing", "a photo damaged", "a note that may give away",
    "a reason that may give away",
    "amended", "half a character", "fenced", "erased", "a clock corrected",
    "a conflict",
])  # fmt: skip
def test_whatever_is_left_out_erased_amended_or_missing(kind: str, shop: Signer) -> None:
    visit = visits()[kind]
    at = sorted(visits()).index(kind)
    # each kind in another edition, with another choice; in the long form each with all
    for number in range(amount(9, short=1)):
        edition = EDITIONS[(at + number) % 3]
        choice = CHOICES[(at // 3 + number + number // 3) % 3]
        said = said_of(issued(visit, edition, shop, choice=choice), shop)
        assert SAME in said or (
            edition == "partner" and "report-verify-not-compared-left-out" in said
        ), (edition, choice, said)


def test_an_amendment_that_was_erased_says_so_again(shop: Signer) -> None:
    """The edition for a partner lists amendments with what they said."""
    assert SAME in said_of(issued(visits()["an amendment erased"], "partner", shop), shop)


def test_a_seal_that_does_not_hold_is_what_is_wrong(shop: Signer) -> None:
    pdf = issued(visits()["a seal that does not hold"], "condition", shop)
    verdict = compared(pdf, {shop.fingerprint: shop.name})
    assert [said.id for said in verdict.problems] == ["report-verify-seal-record"]


def test_values_that_the_record_does_not_prove_are_named(shop: Signer) -> None:
    """An amendment that is shown and not listed: the pages rest on the issuer's word."""
    visit = visits()["amended"]
    listed = issued(visit, "condition", shop)
    assert "report-verify-unproven" not in said_of(listed, shop)
    unlisted = issued(visit, "condition", shop, choice=Choice(amendments=False))
    assert "report-verify-unproven" in said_of(unlisted, shop)


def test_photos_of_the_file_or_of_the_shop(shop: Signer) -> None:
    visit = visits()["photos"]
    pdf = issued(visit, "condition", shop)
    assert {SAME, "report-verify-photos-reduced"} <= said_of(pdf, shop)
    at_the_shop = said_of(pdf, shop, photo=visit.photo)
    assert SAME in at_the_shop
    assert "report-verify-photos-reduced" not in at_the_shop


def test_letterhead_check_page_and_a_report_that_replaces_another(
    shop: Signer, tmp_path: Path
) -> None:
    from bradawl.report.signing.ledger import Ledger

    ledger = Ledger(tmp_path / "reports.jsonl")
    head = Letterhead("Hollow Oak Garage", "12 Mill Lane", "555-0100", "oak.example",
                      "https://oak.example/check")  # fmt: skip
    for visit in (visits()["unsigned"], visits()["a note that may give away"]):
        pdf = issued(visit, "condition", shop, letterhead=head, ledger=ledger)
        assert SAME in said_of(pdf, shop)


def test_a_letterhead_that_needs_fonts_of_the_machine(
    shop: Signer, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where they are not, other pages would come out: so nothing is compared."""
    head = Letterhead("\u6a3d\u6728\u81ea\u52d5\u8eca")
    pdf = issued(visits()["unsigned"], "condition", shop, letterhead=head)
    assert SAME in said_of(pdf, shop)
    gone = {name: one._replace(file=tmp_path / "none") for name, one in faces._INSTALLED.items()}
    monkeypatch.setattr(faces, "_INSTALLED", gone)
    for kept in (faces._coverage, faces._face):
        kept.cache_clear()
    try:
        assert "report-verify-not-compared-printer" in said_of(pdf, shop)
    finally:
        monkeypatch.undo()
        for kept in (faces._coverage, faces._face):
            kept.cache_clear()


@pytest.mark.parametrize("seed", range(amount(60, short=3)))
def test_records_that_hold_anything(seed: int, shop: Signer) -> None:
    chance = random.Random(seed)
    visit = visit_with(spiked(checklist_bundle(), chance))
    for edition in chance.sample(EDITIONS, amount(3, short=1)):
        pdf = issued(visit, edition, shop, choice=chance.choice(CHOICES))
        said = said_of(pdf, shop)
        assert said & {SAME, "report-verify-not-compared-left-out"}, said


def _differs(patch: pytest.MonkeyPatch) -> None:
    """A fault of the program's: what is printed again has another letterhead."""
    patch.setattr(reprint, "for_line", lambda said, most: for_line(said, most) + ".")


def test_a_fault_of_the_programs_never_makes_a_genuine_report_a_changed_one(
    shop: Signer, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    head = Letterhead("Hollow Oak Garage", "12 Mill Lane", "555-0100", "oak.example")
    visit, known = visits()["photos"], {shop.fingerprint: shop.name}
    _differs(monkeypatch)
    unnoted = issued(visit, "condition", shop, letterhead=head)
    assert compared(unnoted, known).kind == "changed"  # what a checker would have said
    noted = issued(visit, "condition", shop, letterhead=head, again=again())
    assert said_of(noted, shop) >= {"report-verify-not-compared-issuer"}
    assert [one.__dict__["entry"].event for one in caplog.records] == ["report.prints_otherwise"]
    monkeypatch.undo()
    assert said_of(noted, shop) >= {"report-verify-not-compared-issuer"}


def test_a_report_that_prints_alike_is_compared_as_before(
    shop: Signer, caplog: pytest.LogCaptureFixture
) -> None:
    for at, kind in enumerate(("photos", "amended", "a clock corrected")):
        visit = visits()[kind]
        for edition in (EDITIONS * 2)[at:][: amount(3, short=1)]:
            said = said_of(issued(visit, edition, shop, again=again()), shop)
            assert "report-verify-not-compared-issuer" not in said
            assert said & {SAME, "report-verify-not-compared-left-out"}
    assert caplog.records == []


def test_the_shop_hears_of_a_report_that_prints_otherwise(
    shop: Signer, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    _differs(monkeypatch)
    made = write_report(
        visits()["photos"], tmp_path / "report.pdf", "condition", shop, today=TODAY,
        letterhead=Letterhead("Hollow Oak Garage"), again=again(),
    )  # fmt: skip
    assert "report-prints-otherwise" in [one.id for one in made.notes]
    assert made.size_bytes == (tmp_path / "report.pdf").stat().st_size


def test_what_would_fill_the_memory_is_not_printed_again(
    shop: Signer, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    _differs(monkeypatch)
    head = Letterhead("Hollow Oak Garage")
    small = issued(visits()["photos"], "condition", shop, letterhead=head)
    for most, noted in ((len(small) // 2, 0), (2 * len(small), 1)):
        caplog.clear()
        monkeypatch.setattr(reprint, "_MOST_BYTES", most)
        issued(visits()["photos"], "condition", shop, letterhead=head, again=again())
        assert len(caplog.records) == noted
