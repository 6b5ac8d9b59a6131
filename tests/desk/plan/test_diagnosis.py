"""The tables of symptoms are sound and say what the trade says; results become entries.

Facts of the trade: common practice, no source.
"""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient
from httpx import Response

from bradawl.checklists.overlays import tables as tables_of
from bradawl.common import resources
from bradawl.common.reading import ReaderOfRequest
from bradawl.desk.model.diagnosis import symptoms
from bradawl.desk.model.diagnosis.causes import cause_found, results_of
from bradawl.desk.model.plan import work_order
from bradawl.desk.model.plan.build import plan_of
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import assess
from bradawl.judge.decisions import diagnosis
from bradawl.language import Reader, reading_as
from bradawl.language.checklist_texts import MARK, digest
from bradawl.language.pseudo import marked
from tests.checkout import checklist_bundle
from tests.desk.browse import form
from tests.desk.conftest import VISIT, Workshop

FOLDER = resources.path_of("checklists") / "symptoms"
PAGE = f"/desk/visits/{VISIT}/trouble"


@pytest.fixture(scope="module")
def tables() -> dict[str, symptoms.Symptom]:
    return symptoms.load(FOLDER)


def test_every_symptom_that_was_asked_for_has_a_table(
    tables: dict[str, symptoms.Symptom],
) -> None:
    assert set(tables) >= {
        "no-start",
        "hot-start",
        "rich",
        "lean",
        "stumbles",
        "rest-pressure",
        "overheats",
        "no-charge",
        "pulls-braking",
        "soft-pedal",
        "steers-late",
        "wanders",
        "clunks",
        "vibrates",
        "smoke-blue",
        "smoke-black",
        "smoke-white",
        "fuel-smell",
        "drains",
    }


def test_items_and_cautions_that_the_tables_name_are_in_the_checklist(
    tables: dict[str, symptoms.Symptom],
) -> None:
    checklist = checklist_bundle()
    items = {rule["id"]: rule for rule in checklist["items"]}
    for symptom in tables.values():
        for cause in symptom.causes.values():
            assert set(cause.item) <= set(items), (symptom.id, cause.item)
            for item in cause.item:
                assert items[item]["remedies"], f"{item} puts nothing into the plan"
            assert cause.item or cause.then or cause.harmless or symptom.id == "vibrates"
        for test in symptom.tests:
            assert set(test.cautions) <= set(checklist["cautions"]), (symptom.id, test.id)
            if test.takes:
                assert items[test.takes]["readings"], (symptom.id, test.id)


def test_tests_that_can_hurt_carry_their_caution(tables: dict[str, symptoms.Symptom]) -> None:
    for symptom in tables.values():
        for test in symptom.tests:
            words = f"{test.title} {test.how}".lower()
            if "on stands" in words or "car on stands" in words:
                assert "jacking" in test.cautions or "brakes" in test.cautions, test.id
            if "spark tester" in words:
                assert "ignition-voltage" in test.cautions, test.id
            if "gauge on the rail" in words or "clamp the soft" in words:
                assert "fuel-pressure" in test.cautions, test.id


@pytest.mark.parametrize(
    ("symptom", "results", "cause"),
    [
        # a rail that empties has a leaking regulator, pump valve or injector; clamping tells which
        ("rest-pressure", {"clamp-return": "holds"}, "regulator"),
        ("rest-pressure", {"clamp-return": "falls", "clamp-supply": "holds"}, "pump-valve"),
        (
            "rest-pressure",
            {"look": "dry", "clamp-return": "falls", "clamp-supply": "falls"},
            "injector",
        ),
        # an open sensor circuit reads cold and makes it rich; bridged reads hot and clears it
        ("rich", {"sensor-plug": "clears"}, "coolant-sensor"),
        # a rack that slides in its mounts steers late and then too much
        ("steers-late", {"rack": "slides"}, "rack-mount"),
        ("overheats", {"when": "standing", "fan": "still"}, "fan"),
        ("smoke-blue", {"when": "start"}, "stem-seals"),
        ("soft-pedal", {"level": "full", "hold": "sinks", "look": "dry"}, "master"),
    ],
)
def test_the_tables_point_where_the_trade_would(
    tables: dict[str, symptoms.Symptom], symptom: str, results: dict[str, str], cause: str
) -> None:
    assert diagnosis.rank(tables[symptom].table(), results)[0]["id"] == cause


def test_every_cause_can_be_brought_to_the_top(tables: dict[str, symptoms.Symptom]) -> None:
    # else it could never be found: for each cause take its own likeliest outcomes
    for symptom in tables.values():
        table = symptom.table()
        for cause in symptom.causes:
            results = {}
            for test in table["tests"]:
                row = test["likely"].get(cause, test["likely"].get("other"))
                results[test["id"]] = test["outcomes"][row.index(max(row))]["id"]
            first = diagnosis.rank(table, results)[0]
            assert first["id"] == cause, (symptom.id, cause, first)


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (("[90, 10]", "[90, 20]"), "add up to 100"),
        (("regulator: [90", "gremlin: [90"), "is no cause"),
        (("      other: [6, 94]\n", ""), "needs a row “other”"),
        (("often: 4", "often: sometimes"), "often"),
        (("symptoms:", "symptoms: ["), "this isn.t YAML"),
    ],
)
def test_a_wrong_table_is_named_with_its_file(
    tmp_path: Path, change: tuple[str, str], sentence: str
) -> None:
    text = """source: assumption
symptoms:
- id: drops
  title: Pressure drops
  says: The pressure drops at rest.
  causes:
    regulator: {title: Regulator, often: 4}
    pump: {title: Pump valve, often: 3}
  tests:
  - id: clamp
    title: Return clamped
    how: Clamp the hose and wait.
    minutes: "5"
    outcomes: {holds: Holds, off: Falls}
    likely:
      regulator: [90, 10]
      other: [6, 94]
  - id: second
    title: Supply clamped
    how: Clamp the hose and wait.
    minutes: "5"
    outcomes: {holds: Holds, off: Falls}
    likely: {regulator: [5, 95], pump: [95, 5]}
"""
    file = tmp_path / "one.yaml"
    file.write_text(text, encoding="utf-8")
    assert set(symptoms.load(tmp_path)["drops"].tests[0].outcomes) == {"holds", "off"}
    file.write_text(text.replace(*change), encoding="utf-8")
    with pytest.raises(symptoms.TableError, match=sentence) as caught:
        symptoms.load(tmp_path)
    assert "one.yaml" in str(caught.value)


def test_a_result_is_an_entry_the_ranking_follows_and_it_can_be_taken_back(
    workshop: Workshop,
) -> None:
    workshop.begin()
    assert "Loses fuel pressure at rest" in workshop.client.get(PAGE).text
    address = f"{PAGE}/rest-pressure"
    page = workshop.client.get(address).text
    assert "Caution." in page
    answer = workshop.client.post(
        address, data={"test": "clamp-return", "outcome": "holds"}, follow_redirects=False
    )
    assert answer.status_code == 303
    snapshot = workshop.snapshot(VISIT)
    path = "trouble/rest-pressure/tests/clamp-return"
    assert snapshot.cells[path]["value"] == {"outcome": "holds"}
    page = workshop.client.get(address).text
    # by hand: 40×92 of 40×92 + 35×6 + 20×6 + 5×6 = 3680 of 4040 is 91.1 %
    assert "91.1%" in page
    assert "× 92%" in page
    workshop.client.post(address, data={"test": "clamp-return", "back": "1"})
    assert results_of(workshop.snapshot(VISIT), "rest-pressure") == {}


def test_readings_of_a_test_go_into_the_record(workshop: Workshop) -> None:
    workshop.begin()
    address = f"{PAGE}/pulls-braking"
    # the artificial checklist does not have the test's own item, so it offers no readings
    page = workshop.client.get(address).text
    assert "Readings for the record" not in page
    checklist = dict(workshop.bundle)
    checklist["items"] = [
        {**rule, "id": "brakes.front-pads"} if rule["id"] == "brakes.pads" else rule
        for rule in checklist["items"]
    ]
    checklist["hash"] = "c" * 64
    workshop.log.put_bundle(checklist)
    workshop.write([("about/bundle", checklist["hash"])])
    workshop.client.post(
        address,
        data={
            "test": "linings",
            "outcome": "uneven",
            "items/brakes.front-pads/readings/pad/front-left": "2,5",
            "items/brakes.front-pads/readings/pad/front-left:unit": "mm",
        },
    )
    cell = workshop.snapshot(VISIT).cells["items/brakes.front-pads/readings/pad/front-left"]
    assert cell["value"] == {"typed": "2,5", "unit": "mm"}


def test_a_result_that_is_none_is_refused(workshop: Workshop) -> None:
    workshop.begin()
    page = workshop.client.post(f"{PAGE}/rich", data={"test": "filter", "outcome": "sideways"})
    assert page.status_code == 422
    assert "choose what you found" in page.text
    assert workshop.client.get(f"{PAGE}/nothing-like-it").status_code == 404


def in_table(workshop: Workshop, symptom: str, cause: str, **more: str) -> Response:
    return workshop.client.post(
        f"{PAGE}/{symptom}/cause", data={"cause": cause, "grade": "major", **more},
        follow_redirects=False,
    )  # fmt: skip


def test_a_cause_that_was_found_becomes_a_finding_with_its_remedies_in_one_step(
    workshop: Workshop, monkeypatch: pytest.MonkeyPatch
) -> None:
    workshop.begin()
    workshop.real = True
    table = symptoms.load(FOLDER)
    symptom = table["pulls-braking"]
    lining = symptom.causes["lining"].model_copy(update={"item": ["none.such", "brakes.pads"]})
    changed = symptom.model_copy(update={"causes": {**symptom.causes, "lining": lining}})
    monkeypatch.setattr(
        symptoms.SymptomTables, "symptoms", lambda self: {**table, "pulls-braking": changed}
    )
    workshop.client.post(f"{PAGE}/pulls-braking", data={"test": "linings", "outcome": "wet"})
    assert plan_of(workshop.snapshot(VISIT)).jobs == []
    answer = in_table(workshop, "pulls-braking", "lining")
    assert answer.status_code == 303
    assert answer.headers["location"] == f"/desk/visits/{VISIT}/plan#brakes-pads"
    snapshot = workshop.snapshot(VISIT)
    given = snapshot.cells["items/brakes.pads/grade"]["value"]
    assert given["grade"] == "major"
    why = snapshot.cells["items/brakes.pads/why"]["value"]
    # by ids, and what they are called in English: each reader gets a sentence of their own
    assert why["cause"] == ["pulls-braking", "lining"]
    assert why["titles"] == ["Pulls to one side under braking", "Oil or fluid on one lining"]
    assert why["tests"] == 1
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    assert "Pulls to one side under braking: Oil or fluid on one lining, " in page
    assert "% after 1 test at the desk" in page
    (job,) = plan_of(snapshot).jobs
    assert (job.id, job.items) == ("brakes.pads/pads", ["brakes.pads"])
    assert snapshot.assessment["money"]["totals"]["likely"] == sum(job.cost[1:2])
    page = workshop.client.get(f"{PAGE}/pulls-braking").text
    assert f'href="/desk/visits/{VISIT}/plan#brakes-pads">In the plan' in page
    assert 'id="brakes-pads"' in workshop.client.get(f"/desk/visits/{VISIT}/plan").text
    # pressed again on an old page it records nothing twice
    before = len(workshop.log.events_of(VISIT))
    in_table(workshop, "pulls-braking", "lining")
    assert len(workshop.log.events_of(VISIT)) == before


def test_a_cause_that_no_item_judges_becomes_a_needed_job_that_is_priced_and_done(
    workshop: Workshop,
) -> None:
    workshop.begin()
    workshop.real = True
    workshop.write([("brief/hourly_rate", 50)])
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
    app = workshop.app()
    app.add_middleware(ReaderOfRequest, region="us")
    client = TestClient(app)
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
    assert f'href="{PAGE}/rich">Go to' in page
    page = workshop.client.get(f"{PAGE}/smoke-white").text
    assert "nothing to fix" in page


def test_every_cause_of_every_table_leads_into_the_plan_or_says_why_not(
    tables: dict[str, symptoms.Symptom],
) -> None:
    """Of the real checklist, for a petrol car with discs: no button without an effect."""
    checklist = checklist_bundle()
    cells = {
        f"car/{name}": {"value": value, "at": "1", "others": []}
        for name, value in (("fuel", "petrol"), ("front_brakes", "disc"), ("rear_brakes", "drum"))
    }
    assessment = assess({"visit": "v", "cells": cells}, checklist["rules"], "2026-11-25")
    snapshot = Snapshot(
        visit="v", events=[], cells=cells, bundle=checklist, assessment=assessment, seals=[],
        amendments=[], sealed_cells=None, photo=lambda _: None,
    )  # fmt: skip
    for symptom in tables.values():
        for word, cause in symptom.causes.items():
            puts = cause_found(snapshot, symptom, word, "major", [symptom.title, cause.title])
            path, value = puts[0]
            if path.startswith("items/"):
                item = path.split("/")[1]
                assert item in cause.item
                assert [other for other, _ in puts] == [path, f"items/{item}/why"]
                more = {p: {"value": v, "at": "2", "others": []} for p, v in puts}
                graded = {**cells, **more}
                judged = assess({"visit": "v", "cells": graded}, checklist["rules"], "2026-11-25")
                assert judged["items"][item]["grade"] == "major", (symptom.id, word)
                assert judged["items"][item]["problems"] == [], (symptom.id, word)
                lines = [line["covers"] for line in judged["money"]["lines"]]
                wanted = judged["money"]["unpriced"]
                assert [item] in lines or item in wanted or any(item in line for line in lines)
            else:
                assert len(puts) == 1
                assert value["need"] is True


def test_an_unknown_cause_or_grade_is_refused(workshop: Workshop) -> None:
    workshop.begin()
    before = len(workshop.log.events_of(VISIT))
    assert in_table(workshop, "vibrates", "gremlin").status_code == 409
    assert in_table(workshop, "vibrates", "balance", grade="none").status_code == 409
    assert len(workshop.log.events_of(VISIT)) == before


def test_the_tables_are_read_in_the_readers_language_and_the_record_in_english(
    tmp_path: Path,
) -> None:
    """Their translations stand with the checklist's, by id and digest; a toy language, no code."""
    (tmp_path / "symptoms").mkdir()
    (tmp_path / "symptoms/brakes.yaml").write_text(
        (FOLDER / "brakes.yaml").read_text(encoding="utf-8"), encoding="utf-8"
    )
    written = tables_of(tmp_path)
    place = tmp_path / "locales/es-US"
    place.mkdir(parents=True)
    name = "symptoms/pulls-braking"
    said = {name + "/title": "Jala al frenar", name + "/tests/heat/outcomes/hot": "Una caliente"}
    rows = "".join(
        f"  {one}: {{of: {digest(written[one])}, text: {text}}}\n" for one, text in said.items()
    )
    # translated from a text that is another by now
    rows += f"  {name}/causes/hose: {{of: {'0' * 12}, text: Manguera}}\n"
    (place / "tables.yaml").write_text(f"locale: es-US\ntexts:\n{rows}", encoding="utf-8")
    held = symptoms.SymptomTables(tmp_path / "symptoms")
    with reading_as(Reader("es-US")):
        symptom = held.symptom("pulls-braking")
    assert symptom.title == "Jala al frenar"
    assert {test.id: test.outcomes for test in symptom.tests}["heat"]["hot"] == "Una caliente"
    assert symptom.causes["hose"].title == "Brake hose collapsed inside" + MARK
    assert held.symptom("pulls-braking").title == "Pulls to one side under braking"
    with reading_as(Reader("en-XA")):
        marks = held.symptoms()["pulls-braking"]
        assert held.english("pulls-braking", "hose") == [
            "Pulls to one side under braking",
            "Brake hose collapsed inside",
        ]
    assert marks.says == marked(written[name + "/says"])
    assert [test.how for test in marks.tests] == [
        marked(written[f"{name}/tests/{test.id}/how"]) for test in marks.tests
    ]


def test_what_a_locale_lacks_of_the_tables_is_counted(tables: dict[str, symptoms.Symptom]) -> None:
    written = tables_of(resources.path_of("checklists"))
    asked: dict[str, str] = {}

    def say(name: str, english: str) -> str:
        asked[name] = english
        return english

    for symptom in tables.values():
        assert symptom.said(say) == symptom
    for rule in work_order.rules():
        say(f"order/{rule.id}", rule.why)
    assert asked == written
