"""The diagnosis pages: what the judge makes of a complaint, and what becomes of it in the plan.

Facts of the trade: common practice, no source.
"""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from bradawl.common.reading import ReaderOfRequest
from bradawl.desk.model.diagnosis import tables
from bradawl.desk.model.plan.build import plan_of
from bradawl.language import Reader, reading_as
from bradawl.language.checklist_texts import MARK, digest
from bradawl.language.pseudo import marked
from tests.checkout import checklist_bundle
from tests.desk.browse import form
from tests.desk.conftest import VISIT, Workshop

PAGE = f"/desk/visits/{VISIT}/trouble"


def begun(workshop: Workshop, checklist: dict[str, Any] | None = None) -> Workshop:
    """A visit with the checklist of this checkout, judged by the real judge."""
    bundle = checklist or checklist_bundle()
    workshop.bundle, workshop.real = bundle, True
    workshop.log.put_bundle(bundle)
    workshop.begin()
    workshop.write([("about/bundle", bundle["hash"]), ("car/fuel", "petrol")])
    workshop.write([("car/fuelling", "injection"), ("about/region", "us")])
    return workshop


def test_the_list_is_ordered_by_what_a_complaint_is_about(workshop: Workshop) -> None:
    workshop.begin()
    page = workshop.client.get(PAGE).text
    assert page.index("Starting</h2>") < page.index("Brakes</h2>") < page.index("Smells</h2>")
    assert "Begun on this car" not in page
    path = "trouble/rest-pressure/tests/clamp-return"
    workshop.write([(path, {"outcome": "holds"})])
    page = workshop.client.get(PAGE).text
    assert "Likely: Regulator leaks back into the return" in page.partition("Starting</h2>")[0]


def test_a_result_is_an_entry_the_ranking_follows_and_it_can_be_taken_back(
    workshop: Workshop,
) -> None:
    workshop.begin()
    address = f"{PAGE}/rest-pressure"
    page = workshop.client.get(address).text
    assert "Caution." in page
    assert "Checks for: Regulator leaks back into the return." in page
    answer = workshop.client.post(
        address, data={"test": "clamp-return", "outcome": "holds"}, follow_redirects=False
    )
    assert answer.status_code == 303
    path = "trouble/rest-pressure/tests/clamp-return"
    assert workshop.snapshot(VISIT).cells[path]["value"] == {"outcome": "holds"}
    page = workshop.client.get(address).text
    # the words first; the figures are behind "How it got there"
    shown, _, working = page.partition("How it got there")
    assert "<strong>Likely</strong>" in shown
    assert "91.1%" not in shown
    # by hand: 40×92 of 40×92 + 35×6 + 20×6 + 5×6 = 3680 of 4040 is 91.1 %
    assert "91.1%" in working
    assert "× 92%" in working
    assert "bit" not in shown.replace("bites", "")
    assert "Tested by Desk" in page
    workshop.client.post(address, data={"test": "clamp-return", "back": "1"})
    assert workshop.snapshot(VISIT).cells[path]["value"] is None


def test_what_was_measured_is_evidence_with_who_and_when(workshop: Workshop) -> None:
    begun(workshop)
    readings = {"hold_start": "36", "hold_end": "20", "clamp_return": "35"}
    start = "items/fuel.pressure-hold/readings"
    puts: list[tuple[str, Any]] = [(f"{start}/hold_time/one", {"typed": "5", "unit": "min"})]
    for name, typed in readings.items():
        puts.append((f"{start}/{name}/one", {"typed": typed, "unit": "psi"}))
    workshop.write(puts)
    page = workshop.client.get(f"{PAGE}/rest-pressure").text
    known = page.partition('id="known"')[2]
    assert "Return clamped at key-off: Holds" in known
    assert "Fuel pressure after key-off: " in known
    assert "First phone" in known
    workshop.client.post(f"{PAGE}/rest-pressure", data={"test": "clamp-return", "outcome": "falls"})
    page = workshop.client.get(f"{PAGE}/rest-pressure").text
    assert "The record says otherwise (Holds)." in page


def test_readings_of_a_test_go_into_the_record(workshop: Workshop) -> None:
    begun(workshop)
    name = "items/brakes.front-pads/readings/pad/front-left"
    answer = workshop.client.post(
        f"{PAGE}/pulls-braking",
        data={"test": "linings", "outcome": "uneven", name: "2.5", f"{name}:unit": "mm"},
        follow_redirects=False,
    )
    assert answer.status_code == 303
    assert workshop.snapshot(VISIT).cells[name]["value"] == {"typed": "2.5", "unit": "mm"}


def test_a_result_that_is_none_is_refused(workshop: Workshop) -> None:
    workshop.begin()
    page = workshop.client.post(f"{PAGE}/rich", data={"test": "filter", "outcome": "sideways"})
    assert page.status_code == 422
    assert "choose what you found" in page.text
    assert workshop.client.get(f"{PAGE}/nothing-like-it").status_code == 404


def standing(workshop: Workshop, symptom: str, **data: str) -> Response:
    return workshop.client.post(f"{PAGE}/{symptom}/standing", data=data, follow_redirects=False)


def test_a_cause_is_ruled_out_with_a_reason_and_brought_back(workshop: Workshop) -> None:
    workshop.begin()
    assert standing(workshop, "rest-pressure", out="regulator").status_code == 422
    assert standing(workshop, "rest-pressure", out="gremlin", why="x").status_code == 422
    assert standing(workshop, "rest-pressure", out="regulator", why="New").status_code == 303
    page = workshop.client.get(f"{PAGE}/rest-pressure").text
    out = page.partition('id="out"')[2]
    assert "Regulator leaks back into the return" in out
    assert "New (Desk, " in out
    standing(workshop, "rest-pressure", out="regulator", back="1")
    assert 'id="out"' not in workshop.client.get(f"{PAGE}/rest-pressure").text


def test_a_tool_that_is_not_there_and_a_test_that_is_skipped(workshop: Workshop) -> None:
    workshop.begin()
    assert standing(workshop, "rest-pressure", lack="fuel-gauge").status_code == 303
    assert standing(workshop, "rest-pressure", skip="plugs").status_code == 303
    assert standing(workshop, "rest-pressure", lack="wand").status_code == 422
    passed = workshop.client.get(f"{PAGE}/rest-pressure").text.partition('id="passed"')[2]
    assert "Needs: fuel pressure gauge." in passed
    assert "You skipped it." in passed
    standing(workshop, "rest-pressure", lack="fuel-gauge", back="1")
    page = workshop.client.get(f"{PAGE}/rest-pressure").text
    assert "Needs: fuel pressure gauge." not in page


def in_table(workshop: Workshop, symptom: str, cause: str, **more: str) -> Response:
    return workshop.client.post(
        f"{PAGE}/{symptom}/cause", data={"cause": cause, "grade": "major", **more},
        follow_redirects=False,
    )  # fmt: skip


def test_a_cause_that_was_found_becomes_a_finding_with_its_repair_in_one_step(
    workshop: Workshop,
) -> None:
    begun(workshop)
    workshop.client.post(f"{PAGE}/rest-pressure", data={"test": "clamp-supply", "outcome": "holds"})
    assert "fuel.pressure-hold" not in workshop.snapshot(VISIT).assessment["findings"]
    answer = in_table(workshop, "rest-pressure", "pump-valve")
    assert answer.status_code == 303
    assert answer.headers["location"] == f"/desk/visits/{VISIT}/plan#fuel-pressure-hold"
    snapshot = workshop.snapshot(VISIT)
    assert snapshot.cells["items/fuel.pressure-hold/grade"]["value"] == {"grade": "major"}
    why = snapshot.cells["items/fuel.pressure-hold/why"]["value"]
    # by ids, and what they are called in English: each reader gets a sentence of their own
    assert why == {
        "cause": ["rest-pressure", "pump-valve"],
        "titles": ["Loses fuel pressure at rest", "Check valve in the pump"],
        "tests": 1,
    }
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    assert "Loses fuel pressure at rest: Check valve in the pump, found after 1 test" in page
    jobs = [job for job in plan_of(snapshot).jobs if "fuel.pressure-hold" in job.items]
    assert [job.id for job in jobs] == ["fuel.pressure-hold/pump"]
    lines = {line["id"]: line["cost"] for line in snapshot.assessment["money"]["lines"]}
    assert lines["fuel.pressure-hold/pump"] == jobs[0].cost
    page = workshop.client.get(f"{PAGE}/rest-pressure").text
    assert f'href="/desk/visits/{VISIT}/plan#fuel-pressure-hold">In the plan' in page
    assert "<strong>Found</strong>" in page
    # pressed again on an old page it records nothing twice; it can be taken back
    before = len(workshop.log.events_of(VISIT))
    in_table(workshop, "rest-pressure", "pump-valve")
    assert len(workshop.log.events_of(VISIT)) == before
    in_table(workshop, "rest-pressure", "pump-valve", back="1")
    snapshot = workshop.snapshot(VISIT)
    assert snapshot.cells["plan/pick/fuel.pressure-hold"]["value"] is None
    assert "fuel.pressure-hold" not in snapshot.assessment["findings"]


def test_a_cause_that_no_item_judges_becomes_a_needed_job_that_is_priced_and_done(
    workshop: Workshop,
) -> None:
    workshop.begin()
    workshop.real = True
    workshop.write([("brief/hourly_rate", 50)])
    # the artificial checklist has no item for it
    in_table(workshop, "vibrates", "balance")
    plan = f"/desk/visits/{VISIT}/plan"
    name = "wants/vibrates-balance"
    sheet = form(workshop.client.get(plan).text, plan)
    assert sheet[f"{name}:need"] == "1"
    sheet |= dict.fromkeys((f"{name}:parts-low", f"{name}:parts-likely"), "20")
    sheet |= {f"{name}:parts-high": "30", f"{name}:hours-high": "1"}
    workshop.client.post(plan, data=sheet)
    snapshot = workshop.snapshot(VISIT)
    (job,) = plan_of(snapshot).jobs
    # by hand: 20, 20, 30 + 1 h × 50
    assert (job.id, job.need, job.cost) == (name, True, [20, 20, 80])
    assert job.title == "Wheels out of balance (Vibrates)"
    totals = snapshot.assessment["money"]["totals"]
    assert (totals["low"], totals["high"]) == (20, 80)
    assert "1 repair edited" not in workshop.client.get("/desk/compare").text
    assert snapshot.cells[f"plan/{name}"]["value"]["title"] == ""  # said to each reader by its ids
    workshop.client.post(f"/desk/visits/{VISIT}/work", data={"job": name, "by": "Ada"})
    snapshot = workshop.snapshot(VISIT)
    assert job.title in workshop.client.get(f"/desk/visits/{VISIT}/work").text
    assert plan_of(snapshot).jobs == []
    assert snapshot.assessment["money"]["totals"]["high"] == 0


def test_a_cause_is_read_in_the_language_of_whoever_reads_it(workshop: Workshop) -> None:
    """Kept by id with its English beside it; said as the locale's table says it today."""
    workshop.begin()
    in_table(workshop, "vibrates", "balance")
    (job,) = [path for path in workshop.snapshot(VISIT).cells if path.startswith("plan/wants/")]
    assert workshop.snapshot(VISIT).cells[job]["value"]["titles"] == [
        "Vibrates",
        "Wheels out of balance",
    ]
    named = {"symptoms/vibrates/title": {"Vibrates": "Vibra"}}
    # translated after the visit began: the visit's own checklist knows nothing of it
    workshop.bundle = {**workshop.bundle, "hash": "0" * 64, "recorded": {"es-US": named}}
    client = TestClient(ReaderOfRequest(workshop.site(), region="us"))
    plan, spanish = f"/desk/visits/{VISIT}/plan", {"Accept-Language": "es-US"}
    page = client.get(plan, headers=spanish).text
    assert 'value="Wheels out of balance [en] (Vibra)"' in page
    order = client.get(f"/desk/visits/{VISIT}/order", headers=spanish).text
    assert 'Wheels out of balance [en] (<span lang="es-US">Vibra</span>)' in order
    assert "Wheels out of balance (Vibrates)" in client.get(f"/desk/visits/{VISIT}/order").text
    # the plan as that reader sees it, saved, renames nothing in the record
    before = len(workshop.log.events_of(VISIT))
    assert client.post(plan, data=form(page, plan), headers=spanish).status_code == 200
    assert len(workshop.log.events_of(VISIT)) == before


def test_a_cause_that_another_table_goes_on_with_leads_there(workshop: Workshop) -> None:
    workshop.begin()
    page = workshop.client.get(f"{PAGE}/smoke-black").text
    assert f'href="{PAGE}/rich">Go on with' in page
    page = workshop.client.get(f"{PAGE}/smoke-white").text
    assert "Nothing to fix" in page


def test_an_unknown_cause_or_grade_is_refused(workshop: Workshop) -> None:
    workshop.begin()
    before = len(workshop.log.events_of(VISIT))
    assert in_table(workshop, "vibrates", "gremlin").status_code == 409
    assert in_table(workshop, "vibrates", "balance", grade="none").status_code == 409
    assert len(workshop.log.events_of(VISIT)) == before


def test_a_visit_of_before_there_were_tables_takes_those_of_today(workshop: Workshop) -> None:
    old = {key: part for key, part in workshop.bundle.items() if key != "symptoms"}
    workshop.log.put_bundle({**old, "hash": "e" * 64})
    workshop.begin()
    workshop.write([("about/bundle", "e" * 64)])
    assert "symptoms" not in workshop.snapshot(VISIT).bundle
    assert "Loses fuel pressure at rest" in workshop.client.get(f"{PAGE}/rest-pressure").text


@pytest.mark.parametrize("locale", ["es-US", "en-XA"])
def test_the_tables_are_read_in_the_readers_language_and_the_record_in_english(
    workshop: Workshop, locale: str
) -> None:
    """Their translations stand with the checklist's, by id and digest."""
    name = "symptoms/pulls-braking"
    said = {f"{name}/title": "Jala al frenar", f"{name}/tests/heat/outcomes/hot": "Una caliente"}
    workshop.begin()
    workshop.bundle = {**workshop.bundle, "hash": "0" * 64, "locales": {"es-US": said}}
    workshop.log.put_bundle(workshop.bundle)
    workshop.write([("about/bundle", "0" * 64)])
    snapshot = workshop.snapshot(VISIT)
    with reading_as(Reader(locale)):
        table: Any = tables.symptoms_in_words(snapshot)["pulls-braking"]
    hot = next(row for test in table["tests"] if test["id"] == "heat" for row in test["outcomes"])
    if locale == "en-XA":
        assert table["title"] == marked("Pulls to one side under braking")
    else:
        assert table["title"] == "Jala al frenar"
        assert table["causes"][1]["title"] == "Brake hose collapsed inside" + MARK
        assert hot["title"].endswith(MARK)
    assert tables.symptom(snapshot, "pulls-braking")["title"] == "Pulls to one side under braking"
    assert len(digest("x")) == 12


def taken(workshop: Workshop, **data: str) -> Response:
    return workshop.client.post(
        f"{PAGE}/rest-pressure/reading",
        data={"test": "clamp-supply", "reading": "rail", "unit": "psi", **data},
        follow_redirects=False,
    )


def test_readings_before_and_after_the_fix_stand_on_one_plot(workshop: Workshop) -> None:
    begun(workshop)
    hot = {"condition-engine": "hot", "condition-hose": "off"}
    assert taken(workshop, typed="36", minute="0", **hot).status_code == 303
    assert taken(workshop, typed="20", minute="10", **hot).status_code == 303
    assert taken(workshop, typed="35", minute="10", phase="after").status_code == 303
    assert taken(workshop, typed="much").status_code == 422
    assert taken(workshop, typed="3", unit="km").status_code == 422
    start = "trouble/rest-pressure/readings/clamp-supply/rail/"
    held = {p: c["value"] for p, c in workshop.snapshot(VISIT).cells.items() if p.startswith(start)}
    assert [value["phase"] for value in held.values()] == ["before", "before", "after"]
    assert next(iter(held.values()))["conditions"] == {"engine": "hot", "hose": "off"}
    page = workshop.client.get(f"{PAGE}/rest-pressure").text
    drawn = page.partition('data-measure="clamp-supply/rail"')[2].partition("</svg>")[0]
    # by hand: 36 psi at minute 0 lies at the top left, 20 and 35 psi at the right edge
    assert 'points="64.0,12.0 306.0,62.7 "' in drawn
    assert '<g class="plot-after"><polyline points="306.0,15.2 "' in drawn
    assert "before 36 psi · 0 min · Engine hot · Vacuum hose off" in drawn
    first = next(iter(held))
    taken(workshop, back=first)
    assert workshop.snapshot(VISIT).cells[first]["value"] is None


def test_a_test_is_done_again_once_the_cause_is_found(workshop: Workshop) -> None:
    begun(workshop)
    address = f"{PAGE}/rest-pressure"
    workshop.client.post(address, data={"test": "clamp-supply", "outcome": "holds"})
    assert 'id="again"' not in workshop.client.get(address).text
    in_table(workshop, "rest-pressure", "pump-valve")
    assert "Before the fix: Holds" in workshop.client.get(address).text
    answer = workshop.client.post(
        f"{address}/reading", data={"test": "clamp-supply", "after": "sideways"}
    )
    assert answer.status_code == 422
    workshop.client.post(f"{address}/reading", data={"test": "clamp-supply", "after": "falls"})
    path = "trouble/rest-pressure/after/clamp-supply"
    assert workshop.snapshot(VISIT).cells[path]["value"] == {"outcome": "falls"}


def test_what_it_turned_out_to_be_is_asked_with_the_repair_and_counted_by_model(
    workshop: Workshop,
) -> None:
    begun(workshop)
    workshop.write([("car/make", "Tarn"), ("car/model", "Nine")])
    in_table(workshop, "rest-pressure", "pump-valve")
    work = f"/desk/visits/{VISIT}/work"
    page = workshop.client.get(work).text
    asked = page.partition("What did it turn out to be?")[2].partition("</select>")[0]
    assert '<option value="pump-valve" selected>' in asked
    done = {"job": "fuel.pressure-hold/pump", "by": "Ada"}
    workshop.client.post(work, data={**done, "turned-out:rest-pressure": "regulator"})
    kept = workshop.snapshot(VISIT).cells["trouble/rest-pressure/turned-out"]["value"]
    assert kept == {
        "cause": "regulator",
        "titles": ["Loses fuel pressure at rest", "Regulator leaks back into the return"],
        "job": "fuel.pressure-hold/pump",
    }
    other = "b" * 32
    path = "trouble/rest-pressure/turned-out"
    value = {"cause": "pump-valve", "titles": ["x", "y"], "job": "x"}
    for visit, model in ((other, "Nine"), ("c" * 32, "Ten")):
        workshop.write([("about/started", "2026-11-25T10:00:00Z"), (path, value)], visit=visit)
        workshop.write([("car/make", "tarn"), ("car/model", model)], visit=visit)
    workshop.client.get("/desk")  # the list has all of them read
    page = workshop.client.get(f"{PAGE}/rest-pressure").text
    line = page.partition('class="turned-out">')[2].partition("</p>")[0]
    everywhere, _, alike = line.partition("<br>")
    assert "Check valve in the pump 2" in everywhere
    assert "Regulator leaks back into the return 1" in everywhere
    assert "On Tarn Nine: " in alike
    assert "Check valve in the pump 1" in alike
    # the counts are shown, and move no chance
    working = page.partition("How it got there")[2]
    assert working == "" or "40%" in working
