"""The list of visits and the page of one visit say what is in the record, and only that."""

from __future__ import annotations

import hashlib
import re
import threading
from types import SimpleNamespace
from typing import Any
from xml.etree import ElementTree

from fastapi.testclient import TestClient

from bradawl.common.reading import ReaderOfRequest
from bradawl.desk.model.findings import not_inspected
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import canonical
from bradawl.language.checklist_texts import MARK
from tests.checkout import checklist_bundle
from tests.desk.conftest import OTHER_PHONE, PHONE, VISIT, Workshop
from tests.imaging.files import webp_head


def test_an_empty_desk_says_how_to_begin(workshop: Workshop) -> None:
    page = workshop.client.get("/desk/")
    assert page.status_code == 200
    assert "/app/" in page.text


def test_the_list_shows_car_grade_coverage_seal_and_arrival(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write(
        [
            ("items/brakes.pads/grade", {"grade": "dangerous"}),
            ("items/rust.sill/grade", {"grade": "none"}),
            (f"items/rust.sill/photos/{'f' * 64}", {"caption": "Sill"}),
        ]
    )
    page = workshop.client.get("/desk/").text
    for expected in (
        "Testmobil One (1991)",
        "Nov 25, 2026, 9:20 AM (UTC+1)",
        "Unsafe",
        "40%",
        "Not signed",
        "1 of 1 photos and recordings still on the phone",
    ):
        assert expected in page
    workshop.seal()
    assert ">Signed<" in workshop.client.get("/desk/").text


def test_a_visit_is_judged_again_only_when_it_changed(workshop: Workshop) -> None:
    workshop.begin()
    workshop.client.get("/desk/")
    workshop.client.get("/desk/")
    assert workshop.gathered == 1
    workshop.write([("items/rust.sill/grade", {"grade": "major"})])
    assert "Needs fixing" in workshop.client.get("/desk/").text
    assert workshop.gathered == 2


def test_a_visit_that_cannot_be_judged_does_not_take_the_list_away(workshop: Workshop) -> None:
    workshop.begin()
    other = "b" * 32
    workshop.write([("about/bundle", workshop.bundle["hash"])], visit=other)
    gather = workshop.snapshot

    def snapshot(visit: str):  # type: ignore[no-untyped-def]
        if visit == other:
            raise RuntimeError("artificial")
        return gather(visit)

    workshop.snapshot = snapshot  # type: ignore[method-assign]
    client = TestClient(workshop.site())
    page = client.get("/desk/").text
    assert "Testmobil" in page
    assert "be read." in page


def test_what_a_person_wrote_is_never_markup(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write(
        [
            ("items/rust.sill/grade", {"grade": "major"}),
            ("items/rust.sill/note", "<script>alert(1)</script>"),
        ]
    )
    for address in ("/desk/", f"/desk/visits/{VISIT}"):
        page = workshop.client.get(address).text
        assert "<script>alert" not in page
        assert "Ada &lt;b&gt;Tester" in page


def test_no_page_carries_inline_style_or_script(workshop: Workshop) -> None:
    workshop.begin()
    workshop.seal()
    for address in ("/desk/", f"/desk/visits/{VISIT}", "/desk/verify", "/desk/visits/none"):
        page = workshop.client.get(address).text
        assert not re.search(r"<script(?![^>]*\bsrc=)|\bstyle=|<style|\bon[a-z]+=\"", page), address


def test_the_visit_page_has_findings_readings_limits_and_what_was_not_inspected(
    workshop: Workshop,
) -> None:
    workshop.begin()
    workshop.write(
        [
            ("items/brakes.pads/readings/pad/front-left", {"typed": "2,5", "unit": "mm"}),
            ("items/brakes.pads/grade", {"grade": "minor"}),
            ("items/brakes.hoses/grade", {"grade": "uninspected"}),
            ("items/brakes.hoses/why", {"term": "chip-not-dark"}),
        ]
    )
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    for expected in (
        "Because of the tests.",
        "State and local law decide",
        "Pad thickness, front left",
        "0.098 in (read as 2.5 mm)",
        "An invented law, 4 (b) (from memory)",
        "too dark",
        "not reached",
        "Not signed yet",
        "report.pdf?edition=condition",
        "report.pdf?edition=partner",
    ):
        assert expected in page, expected


def test_both_values_of_a_conflict_are_shown_with_author_and_time(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write([("items/rust.sill/grade", {"grade": "minor"})], device=PHONE)
    workshop.write([("items/rust.sill/grade", {"grade": "major"})], device=OTHER_PHONE)
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    assert "First phone" in page
    assert "Second phone" in page
    assert "counts now" in page
    # the times are those of the visit's own zone, +01:00
    assert re.search(r"Second phone · Nov 25, 2025, \d+:\d\d [AP]M \(UTC\+1\)", page)


def test_an_entry_after_the_seal_is_shown_beside_what_was_sealed(workshop: Workshop) -> None:
    workshop.begin()
    (stamp,) = workshop.write([("items/rust.sill/grade", {"grade": "minor"})])
    workshop.seal()
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    assert "Checks out:" in page
    assert "Changed since signing" not in page
    path = "items/rust.sill/grade"
    after = [(path, {"grade": "major"}), ("items/rust.sill/why", "probed")]
    workshop.write(after, over={path: [stamp]})
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    assert "Checks out:" in page
    assert "Changed since signing" in page
    assert ">Needs fixing<" in page
    assert ">probed<" in page


def test_a_verdict_that_was_signed_stays_beside_the_one_of_today(workshop: Workshop) -> None:
    workshop.begin()
    signed = {"buy": "up_to", "drive": "trailer", "top_price": 2900, "currency": "USD"}
    workshop.write([("verdict/signed", signed)])
    workshop.seal()
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    assert "Trailer it. Buy it up to $2,900." in page
    assert "Today, with what was added since and today&#39;s rules: Haven&#39;t seen enough" in page


def test_an_unknown_visit_gets_a_page_that_says_so(workshop: Workshop) -> None:
    page = workshop.client.get("/desk/visits/" + "e" * 32)
    assert page.status_code == 404
    assert "no such car on this computer" in page.text


def test_a_photo_is_served_by_its_hash_and_a_missing_one_is_said(workshop: Workshop) -> None:
    assert workshop.client.get("/desk/photos/" + "0" * 64).status_code == 404
    assert workshop.client.get("/desk/photos/..%2Flog.sqlite3").status_code == 404


def test_a_photo_that_cannot_be_shown_stands_as_a_picture_that_says_so(workshop: Workshop) -> None:
    workshop.begin()
    name = workshop.photo(webp_head(8_000, 6_250))
    path = f"items/rust.sill/photos/{name}"
    workshop.write([("items/rust.sill/grade", {"grade": "major"}), (path, {"caption": "Sill"})])
    assert f'src="/desk/photos/{name}"' in workshop.client.get(f"/desk/visits/{VISIT}").text
    answer = workshop.client.get(f"/desk/photos/{name}")
    assert answer.status_code == 422
    assert answer.headers["content-type"] == "image/svg+xml"
    text = " ".join(ElementTree.fromstring(answer.text).itertext())
    assert "This photo is kept as it came, but it can't be shown" in text
    assert answer.headers["cache-control"] == "no-store"  # a later server may show it


def test_a_dropped_pdf_is_verified_and_its_lines_are_shown(workshop: Workshop) -> None:
    workshop.verdict = SimpleNamespace(kind="changed", lines=["A byte was changed <here>."])
    page = workshop.client.post("/desk/verify", files={"pdf": ("report.pdf", b"%PDF-1.7 changed")})
    assert page.status_code == 200
    assert "trust it: “report.pdf”" in page.text
    assert "A byte was changed &lt;here&gt;." in page.text


def test_a_file_that_is_no_pdf_is_refused_with_a_sentence(workshop: Workshop) -> None:
    page = workshop.client.post("/desk/verify", files={"pdf": ("a.txt", b"hello")})
    assert page.status_code == 422
    assert "a PDF." in page.text


def test_the_style_sheet_needs_no_login_and_no_other_file_is_served(workshop: Workshop) -> None:
    assert (
        workshop.client.get("/desk/static/desk.css").headers["content-type"].startswith("text/css")
    )
    assert workshop.client.get("/desk/static/..%2Froutes.py").status_code == 404


def test_a_long_list_is_shown_in_pages_and_a_visit_is_found_by_words(workshop: Workshop) -> None:
    for n in range(103):
        workshop.write([("car/registration", f"REG {n:03d}")], visit=f"{n:032x}")
    page = workshop.client.get("/desk/").text
    assert "REG 102" in page
    assert "REG 002" not in page
    assert "Page 1 of 2" in page
    page = workshop.client.get("/desk/", params={"page": 2}).text
    assert "REG 002" in page
    assert "REG 102" not in page
    page = workshop.client.get("/desk/", params={"words": "reg 002"}).text
    assert page.count("/desk/visits/") == 1
    assert "No car has" in workshop.client.get("/desk/", params={"words": "nothing"}).text


def test_a_list_judges_only_the_visits_it_shows(workshop: Workshop) -> None:
    for n in range(105):
        workshop.write([("car/registration", f"REG {n:03d}")], visit=f"{n:032x}")
    workshop.client.get("/desk/")
    assert workshop.gathered <= 100


def test_a_page_waits_for_no_slow_visit_beyond_its_patience(workshop: Workshop) -> None:
    workshop.begin()
    free = threading.Event()
    quick = workshop.snapshot

    def stuck(visit: str) -> Snapshot:
        free.wait(120)
        return quick(visit)

    workshop.snapshot = stuck  # type: ignore[method-assign]
    workshop.patience_s = 0.05
    client = TestClient(workshop.site())
    assert "Still being read" in client.get("/desk/").text
    free.set()
    for _ in range(300):
        page = client.get("/desk/").text
        if "Still being read" not in page:
            break
    assert "Testmobil One (1991)" in page


def test_a_reading_in_doubt_is_asked_about_where_its_check_is_open(workshop: Workshop) -> None:
    workshop.write([("items/brakes.pads/grade", {"grade": "minor"})])
    snapshot = workshop.snapshot(VISIT)
    meanings = [
        {"number": figure, "unit": unit, "typed": "0.1875", "fixed": True}
        for figure, unit in (("3/16", "mm"), ("381/80", "in"))
    ]
    said = {
        "id": "judge-problem-doubt",
        "args": {"name": "Rack", "meanings": {"list": meanings, "last": "or"}},
    }
    doubt: Any = {"code": "doubt", "said": said, "path": "items/brakes.hoses/readings/slide/one"}
    snapshot.assessment["items"]["brakes.hoses"]["problems"] = [doubt]
    (row,) = [row for row in not_inspected(snapshot) if row["item"] == "brakes.hoses"]
    assert row["why"].startswith("Rack: 0.1875 mm or 0.1875 in?")


def test_an_answer_that_another_contradicts_is_asked_about_where_its_check_is_open(
    workshop: Workshop,
) -> None:
    workshop.write([("items/brakes.pads/grade", {"grade": "minor"})])
    snapshot = workshop.snapshot(VISIT)
    said = {"id": "judge-question", "args": {"question": "Dry, and low. Where did it go?"}}
    asked: Any = {"code": "contradiction", "said": said, "path": "items/brakes.hoses"}
    snapshot.assessment["items"]["brakes.hoses"]["problems"] = [asked]
    (row,) = [row for row in not_inspected(snapshot) if row["item"] == "brakes.hoses"]
    assert row["why"] == "Dry, and low. Where did it go?"


def test_a_checklists_texts_are_in_the_readers_language_and_the_record_keeps_its_own(
    workshop: Workshop,
) -> None:
    spanish = {"cautions/jacking/text": "Nunca se meta debajo.", "areas/brakes": "Frenos"}
    body = {key: part for key, part in workshop.bundle.items() if key != "hash"}
    body["locales"] = {"es-US": spanish}
    workshop.bundle = {**body, "hash": hashlib.sha256(canonical(body).encode()).hexdigest()}
    workshop.log.put_bundle(workshop.bundle)
    workshop.begin()
    for item in ("brakes.pads", "electrical.pigtails"):
        workshop.write([(f"items/{item}/grade", {"grade": "dangerous"})])
    client = TestClient(ReaderOfRequest(workshop.site(), region="us"))
    address = f"/desk/visits/{VISIT}"
    page = client.get(address, headers={"Accept-Language": "es-US"}).text
    # the page itself is English until somebody translates its words, and says so
    assert '<html lang="en-US">' in page
    assert '<p><span lang="es-US">Nunca se meta debajo.</span></p>' in page
    assert f">Electrical{MARK}<" in page
    assert '<span lang="es-US">Frenos</span>' in page
    plain = client.get(address).text
    assert "Nunca se meta debajo." not in plain
    assert MARK not in plain
    record = client.get(f"{address}/record.json", headers={"Accept-Language": "es-US"}).json()
    assert record["checklist"] == workshop.bundle


def test_beside_the_vin_stands_what_its_check_says(workshop: Workshop) -> None:
    """49 CFR 565.15(c): seventeen ones are their own check; with a 2 in position 12 it is 8."""
    workshop.bundle, workshop.real = checklist_bundle(), True
    workshop.log.put_bundle(workshop.bundle)
    workshop.begin()
    workshop.write([("car/vin", "1" * 17)])
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    assert "VIN check" in page
    assert "Check digit 1 is right." in page
    workshop.write([("items/papers.number-match/readings/vin/label",
                     {"typed": "11111111111211111", "unit": ""})])  # fmt: skip
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    assert "Digit 9 is 1 and should be 8." in page
    assert "Same VIN everywhere: no" in page
