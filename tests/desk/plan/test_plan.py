"""The plan's pages: what is typed becomes events, and the figures follow from the record."""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.desk.model.plan.assemblies import assembly_rows
from bradawl.desk.model.plan.build import plan_of
from bradawl.desk.model.typed_values import FieldError, amount
from bradawl.language import Reader, catalogue, reading_as
from bradawl.language.pseudo import marked
from tests.desk.browse import form
from tests.desk.conftest import VISIT, Workshop

PLAN = f"/desk/visits/{VISIT}/plan"
TIP = f"/desk/visits/{VISIT}/tip-over"
ORDER = f"/desk/visits/{VISIT}/order"
MEND = "electrical.pigtails/mend"
PADS_AND_PLUG = ("brakes.pads/pads", MEND)
HARNESS = "electrical.pigtails/harness"


@pytest.fixture
def faults(workshop: Workshop) -> Workshop:
    workshop.begin()
    workshop.write(
        [
            ("brief/hourly_rate", 50),
            ("brief/labor_paid", True),
            ("items/brakes.pads/grade", {"grade": "dangerous"}),
            ("items/electrical.pigtails/grade", {"grade": "major"}),
            ("items/rust.sill/grade", {"grade": "minor"}),
            ("items/brakes.hoses/grade", {"grade": "none"}),
            ("items/trim.seats/grade", {"grade": "none"}),
        ]
    )
    return workshop


def events(workshop: Workshop) -> list[tuple[str, Any]]:
    return [(event["put"], event["value"]) for event in workshop.log.events_of(VISIT)]


def test_the_cheapest_remedies_are_chosen_and_added_up(faults: Workshop) -> None:
    plan = plan_of(faults.snapshot(VISIT))
    assert plan.chosen == ["brakes.pads/pads", MEND]
    # by hand, at 50 an hour: pads 20+25, 40+50, 90+100; plug 10+25, 15+50, 30+100
    assert plan.remedies["brakes.pads/pads"].cost == [45, 90, 190]
    assert plan.remedies[MEND].cost == [35, 65, 130]
    # (80 + 4·155 + 320) / 6 = 170
    assert plan.total(need=True) == {
        "jobs": 2,
        "low": 80,
        "likely": 155,
        "high": 320,
        "expected": 170,
    }
    assert plan.uncovered == ["rust.sill"]


def test_hours_of_ones_own_are_hours_and_no_cash(faults: Workshop) -> None:
    faults.write([("brief/labor_paid", None)])
    plan = plan_of(faults.snapshot(VISIT))
    pads, plug = (next(job for job in plan.jobs if job.id == name) for name in PADS_AND_PLUG)
    # parts alone: pads (20 + 4·40 + 90) / 6 = 45, plug (10 + 4·15 + 30) / 6 = 16.67
    assert (pads.paid, plug.paid, plan.paid) == (45, 17, 62)  # (30 + 4·55 + 120) / 6 = 61.67
    # hours: pads (0.5 + 4·1 + 2) / 6 = 1.08, plug (0.5 + 4·1 + 2) / 6 = 1.08
    assert plan.hours_hundredths == 216
    # what weighs in the choice is as before
    assert plan.total(need=True)["expected"] == 170
    assert "1 h" in faults.client.get(ORDER).text


def test_saving_an_unchanged_sheet_records_nothing(faults: Workshop) -> None:
    before = events(faults)
    sheet = form(faults.client.get(PLAN).text, PLAN)
    assert faults.client.post(PLAN, data=sheet, follow_redirects=False).status_code == 303
    assert events(faults) == before


def test_an_edited_remedy_is_an_event_and_can_go_back_to_the_checklist(faults: Workshop) -> None:
    sheet = form(faults.client.get(PLAN).text, PLAN)
    sheet |= {
        f"{MEND}:parts-low": "100",
        f"{MEND}:parts-likely": "1 200",
        f"{MEND}:parts-high": "1 500",
    }
    faults.client.post(PLAN, data=sheet)
    plan = plan_of(faults.snapshot(VISIT))
    assert plan.remedies[MEND].parts == [100, 1200, 1500]
    assert plan.remedies[MEND].origin == "edited"
    assert HARNESS in plan.chosen
    sheet = form(faults.client.get(PLAN).text, PLAN) | {f"{MEND}:drop": "1"}
    faults.client.post(PLAN, data=sheet)
    assert plan_of(faults.snapshot(VISIT)).remedies[MEND].parts == [10, 15, 30]


def test_a_repair_is_called_as_its_reader_calls_it_unless_somebody_named_it(
    faults: Workshop,
) -> None:
    """Who edits a figure in another language leaves the title to each reader's own."""
    title = plan_of(faults.snapshot(VISIT)).remedies[MEND].title
    pseudo = Reader(catalogue.PSEUDO)
    with reading_as(pseudo):
        plan = plan_of(faults.snapshot(VISIT))
        assert marked(title) in [job.title for job in plan.jobs]
        sheet = form(faults.client.get(PLAN).text, PLAN)
        assert sheet[f"{MEND}:title"] == marked(title)
        faults.client.post(PLAN, data=sheet | {f"{MEND}:parts-high": "99"})
    assert plan_of(faults.snapshot(VISIT)).remedies[MEND].parts[2] == 99
    assert plan_of(faults.snapshot(VISIT)).remedies[MEND].title == title
    sheet = form(faults.client.get(PLAN).text, PLAN)
    faults.client.post(PLAN, data=sheet | {f"{MEND}:title": "My own way"})
    with reading_as(pseudo):
        assert plan_of(faults.snapshot(VISIT)).remedies[MEND].title == "My own way"


def test_a_person_may_decide_against_the_cheapest(faults: Workshop) -> None:
    sheet = form(faults.client.get(PLAN).text, PLAN) | {"pick:electrical.pigtails": HARNESS}
    faults.client.post(PLAN, data=sheet)
    assert HARNESS in plan_of(faults.snapshot(VISIT)).chosen
    sheet = form(faults.client.get(PLAN).text, PLAN) | {"pick:electrical.pigtails": "cheapest"}
    faults.client.post(PLAN, data=sheet)
    assert HARNESS not in plan_of(faults.snapshot(VISIT)).chosen


def test_what_is_dangerous_stays_a_need(faults: Workshop) -> None:
    sheet = form(faults.client.get(PLAN).text, PLAN)
    del sheet["brakes.pads/pads:need"]
    faults.client.post(PLAN, data=sheet)
    plan = plan_of(faults.snapshot(VISIT))
    assert [job.need for job in plan.jobs if job.grade == "dangerous"] == [True]


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        (f"{MEND}:parts-low", "cheap", "an amount. Enter it like $2,400"),
        (f"{MEND}:parts-high", "1", "are out of order"),
        (f"{MEND}:hours-low", "-2", "a number of hours"),
        (f"{MEND}:title", " ", "give the repair a name"),
    ],
)
def test_a_wrong_cell_is_named_and_nothing_typed_is_lost(
    faults: Workshop, field: str, typed: str, sentence: str
) -> None:
    before = events(faults)
    sheet = form(faults.client.get(PLAN).text, PLAN)
    sheet |= {field: typed, "brakes.pads/pads:parts-high": "777"}
    page = faults.client.post(PLAN, data=sheet)
    assert page.status_code == 422
    assert sentence in page.text
    assert form(page.text, PLAN)["brakes.pads/pads:parts-high"] == "777"
    assert events(faults) == before


def test_a_sheet_older_than_the_plan_overwrites_nothing(faults: Workshop) -> None:
    old = form(faults.client.get(PLAN).text, PLAN)
    faults.client.post(PLAN, data=old | {"pick:electrical.pigtails": HARNESS})
    page = faults.client.post(PLAN, data=old | {f"{MEND}:loss": "5"})
    assert page.status_code == 200
    cells = faults.snapshot(VISIT).cells
    assert cells["plan/pick/electrical.pigtails"]["value"] == HARNESS
    assert plan_of(faults.snapshot(VISIT)).remedies[MEND].loss == 5


def test_a_remedy_of_ones_own_covers_what_it_names(faults: Workshop) -> None:
    faults.client.post(
        f"{PLAN}/remedy",
        data={
            "new:item": "rust.sill",
            "new:title": "Weld and rewire <at once>",
            "new:kind": "mend",
            "new:parts-likely": "10",
            "new:hours-likely": "0.5",
            "new:need": "1",
            "new:also": ["electrical.pigtails", "brakes.pads"],
        },
    )
    plan = plan_of(faults.snapshot(VISIT))
    own = plan.remedies["rust.sill/own-1"]
    assert own.covers == ["brakes.pads", "electrical.pigtails", "rust.sill"]
    assert own.cost == [35, 35, 35]
    assert plan.chosen == ["rust.sill/own-1"]
    assert "&lt;at once&gt;" in faults.client.get(PLAN).text


def test_a_wish_is_a_want_and_says_what_it_serves(faults: Workshop) -> None:
    faults.client.post(
        f"{PLAN}/remedy",
        data={
            "new:item": "wish",
            "new:title": "A radio",
            "new:parts-likely": "80",
            "new:class": "comfort",
            "new:use-long_trips": "1",
        },
    )
    plan = plan_of(faults.snapshot(VISIT))
    assert plan.total(need=False)["expected"] == 80
    assert plan.jobs[-1].uses == ["long_trips"]
    assert "Long trips" in faults.client.get(PLAN).text


def test_tip_over_shows_the_point_and_keeps_the_pieces(faults: Workshop) -> None:
    pieces = form(faults.client.get(TIP).text, TIP)
    pieces |= {
        "piece-0:title": "injector plugs",
        "piece-0:count": "8",
        "piece-0:cost-likely": "110",
        "piece-0:chance": "25",
    }
    faults.client.post(TIP, data=pieces)
    page = faults.client.get(TIP).text
    # harness 500, 700, 1100 → 733; plug 35, 65, 130 → 71; gap 662.5 = 6.02 × 110
    assert "€733" in page
    assert '<svg class="chart"' in page
    snapshot = faults.snapshot(VISIT)
    tip = assembly_rows(snapshot, plan_of(snapshot))[0]["tip"]
    assert (tip["gap"], tip["failures_at_least"], tip["chance_percent"]) == (663, 7, "75.3")


def test_a_piece_without_a_cost_is_refused(faults: Workshop) -> None:
    pieces = form(faults.client.get(TIP).text, TIP) | {"piece-0:title": "plugs"}
    page = faults.client.post(TIP, data=pieces)
    assert page.status_code == 422
    assert "enter what fixing one costs" in page.text


def test_danger_comes_first_and_periods_are_kept(faults: Workshop) -> None:
    page = form(faults.client.get(ORDER).text, ORDER)
    page |= {"period-0:name": "December", "period-0:budget": "150", "period-1:budget": "50"}
    faults.client.post(ORDER, data=page)
    plan = plan_of(faults.snapshot(VISIT))
    assert [job.id for job in plan.jobs] == ["brakes.pads/pads", MEND]
    assert plan.periods == [
        {"name": "December", "budget": 150},
        {"name": "Month 2", "budget": 50},
    ]
    # a name that nobody typed is said to each reader, never recorded
    recorded = faults.snapshot(VISIT).cells["plan/periods"]["value"]
    assert [period["name"] for period in recorded] == ["December", ""]
    page = form(faults.client.get(ORDER).text, ORDER)
    faults.client.post(ORDER, data=page | {"period-1:budget": "50"})
    assert faults.snapshot(VISIT).cells["plan/periods"]["value"] == recorded
    # pads (45 + 360 + 190) / 6 = 99 in December; plug 71 needs what is left of both
    assert plan.spread["period"] == {"brakes.pads/pads": 0, MEND: 1}
    assert plan.before["road"] == "off"
    assert [step["road"] for step in plan.steps] == ["open", "open"]


def test_budget_and_date_of_the_brief_stand_beside_the_plan(faults: Workshop) -> None:
    faults.write([("brief/budget", 2500), ("brief/deadline", "2027-04-01")])
    page = faults.client.get(PLAN).text
    # 2500 less 2400 asked leaves 100; the work of 170 is 70 more
    assert "short of the repairs" in page
    assert "€100" in page
    page = form(faults.client.get(ORDER).text, ORDER)
    faults.client.post(ORDER, data=page | {"period-0:budget": "300"})
    page = faults.client.get(ORDER).text
    assert "Ready by Apr 1, 2027" in page
    assert "€200 over budget" in page


def test_lost_originality_weighs_in_the_choice_and_is_not_paid_from_the_budget(
    faults: Workshop,
) -> None:
    faults.write(
        [
            ("brief/budget", 2580),
            ("brief/originality", 50),
            ("plan/remedies/brakes.pads/pads", {"loss": 41}),
            ("plan/periods", [{"name": "Dec", "budget": 170}]),
        ]
    )
    plan = plan_of(faults.snapshot(VISIT))
    pads = next(job for job in plan.jobs if job.id == "brakes.pads/pads")
    # half of 41, half up, on top of the 99 that pads come to
    assert (pads.cost, pads.expected, pads.paid) == ([66, 111, 211], 120, 99)
    assert (plan.total()["expected"], plan.paid) == (191, 170)
    # December pays for both, and the budget of 2580 less 2400 asked leaves 10
    assert plan.spread["spent"] == [170]
    page = faults.client.get(PLAN).text
    assert "€10 left after repairs" in page
    assert "€21 for originality lost" in page


def test_a_job_can_wait_for_another_without_dragging(faults: Workshop) -> None:
    page = form(faults.client.get(ORDER).text, ORDER) | {"after:brakes.pads": MEND}
    faults.client.post(ORDER, data=page)
    plan = plan_of(faults.snapshot(VISIT))
    assert [job.id for job in plan.jobs] == [MEND, "brakes.pads/pads"]
    assert plan.order["pulled"] == {MEND: "brakes.pads/pads"}
    page = form(faults.client.get(ORDER).text, ORDER) | {
        "after:electrical.pigtails": "brakes.pads/pads"
    }
    faults.client.post(ORDER, data=page)
    assert "wait on each other" in faults.client.get(ORDER).text


@pytest.mark.parametrize(
    ("typed", "value"),
    [
        *[("2 400", 2400), ("2\u202f400", 2400), ("12.00", 12), ("0", 0)],
        *[("1,300", 1300), ("$12,000", 12000), ("12000.50", 12001), ("12000.49", 12000)],
    ],
)
def test_amounts_are_read_as_people_type_them(typed: str, value: int) -> None:
    assert amount(typed, "It") == value


@pytest.mark.parametrize("typed", ["1.234,567", "1.234,50", "-5", "٣", "1e3", "", "9" * 12])
def test_what_is_no_amount_is_refused(typed: str) -> None:
    with pytest.raises(FieldError):
        amount(typed, "It")


def test_wishes_are_cells_of_the_sheet_too(faults: Workshop) -> None:
    faults.write(
        [("plan/wants/wish-1", {"title": "Radio", "parts": [5, 8, 9], "hours": ["1", "1", "2"]})]
    )
    sheet = form(faults.client.get(PLAN).text, PLAN)
    before = len(events(faults))
    faults.client.post(PLAN, data=sheet)
    assert len(events(faults)) == before
    faults.client.post(
        PLAN, data=sheet | {"wants/wish-1:parts-high": "90", "wants/wish-1:need": "1"}
    )
    job = next(job for job in plan_of(faults.snapshot(VISIT)).jobs if job.own)
    assert (job.parts, job.need) == ([5, 8, 90], True)
    wrong = form(faults.client.get(PLAN).text, PLAN) | {"wants/wish-1:parts-high": "1"}
    page = faults.client.post(PLAN, data=wrong)
    assert page.status_code == 422
    assert "are out of order" in page.text
    faults.client.post(
        PLAN, data=form(faults.client.get(PLAN).text, PLAN) | {"wants/wish-1:drop": "1"}
    )
    assert not [job for job in plan_of(faults.snapshot(VISIT)).jobs if job.own]


def test_a_finding_says_which_other_job_puts_it_right(faults: Workshop) -> None:
    faults.write(
        [
            (
                "plan/remedies/rust.sill/own-1",
                {"title": "Both at once", "parts": [1, 1, 1], "also": ["electrical.pigtails"]},
            )
        ]
    )
    page = faults.client.get(PLAN).text
    assert "fixed by “Both at once”" in page


def test_the_uses_after_each_job_are_shown_for_the_case_that_the_unseen_is_sound(
    faults: Workshop,
) -> None:
    faults.write([("items/brakes.hoses/grade", {"grade": "uninspected"})])
    faults.write([("items/brakes.hoses/why", "no light")])
    plan = plan_of(faults.snapshot(VISIT))
    assert [step["road"] for step in plan.steps] == ["off", "off"]
    assert [step["road"] for step in plan.sound] == ["open", "open"]
    assert "checked is good: On the road" in faults.client.get(ORDER).text


def test_the_checklist_suggests_pieces_that_an_assembly_would_put_right_too(
    faults: Workshop,
) -> None:
    """The chance of an item that nobody inspected is the checklist's; of a sound one nobody's."""
    (pigtails,) = [rule for rule in faults.bundle["items"] if rule["id"] == "electrical.pigtails"]
    (harness,) = [remedy for remedy in pigtails["remedies"] if remedy["id"] == "harness"]
    harness["also"] = ["trim.seats", "brakes.hoses", "none.such"]
    pieces = {rule["id"]: rule for rule in faults.bundle["items"]}
    mend = {"id": "m", "title": "M", "kind": "mend", "parts": [2, 3, 4], "hours": ["0"] * 3}
    dear = {**mend, "id": "d", "parts": [9, 9, 9]}
    pieces["trim.seats"]["remedies"] = [{**dear, "for": ["minor"]}, {**mend, "for": ["minor"]}]
    pieces["brakes.hoses"]["remedies"] = [{**mend, "for": ["minor"]}]
    pieces["brakes.hoses"]["unseen"] = {"chance": "0.35", "cost": [1, 2, 3]}
    faults.bundle["hash"] = "f" * 64
    faults.log.put_bundle({**faults.bundle, "hash": faults.bundle["hash"]})
    faults.write([("about/bundle", "f" * 64), ("items/brakes.hoses/grade", None)])
    snapshot = faults.snapshot(VISIT)
    (row,) = assembly_rows(snapshot, plan_of(snapshot))
    assert row["suggested"] == [
        {
            "item": "trim.seats",
            "title": "Seats",
            "cost": [2, 3, 4],
            "count": 1,
            "chance_percent": "",
        },
        {
            "item": "brakes.hoses",
            "title": "Brake hoses",
            "cost": [2, 3, 4],
            "count": 1,
            "chance_percent": 35,
        },
    ]
    page = faults.client.get(TIP).text
    assert "The first 2 lines are the checklist" in page
    faults.client.post(TIP, data=form(page, TIP))
    snapshot = faults.snapshot(VISIT)
    (row,) = assembly_rows(snapshot, plan_of(snapshot))
    assert (row["suggested"], [piece["chance_percent"] for piece in row["further"]]) == (
        [],
        [0, 35],
    )
    assert [piece["item"] for piece in row["further"]] == ["trim.seats", "brakes.hoses"]


def test_two_tabs_change_the_order_and_both_changes_stand(faults: Workshop) -> None:
    faults.write([("plan/periods", [{"name": "May", "budget": 300}])])
    first = form(faults.client.get(ORDER).text, ORDER)
    second = dict(first)
    faults.client.post(ORDER, data=first | {"period-0:budget": "900"})
    faults.client.post(ORDER, data=second | {"class:electrical.pigtails": "looks"})
    cells = faults.snapshot(VISIT).cells
    assert cells["plan/periods"]["value"] == [{"name": "May", "budget": 900}]
    assert cells["plan/class/electrical.pigtails"]["value"] == "looks"
    # the first tab, still as it was loaded, takes nothing back
    faults.client.post(ORDER, data=first)
    cells = faults.snapshot(VISIT).cells
    assert cells["plan/class/electrical.pigtails"]["value"] == "looks"
    refused = faults.client.post(ORDER, data=first | {"period-0:budget": "1"})
    assert refused.status_code == 422
    assert "somebody else changed this" in refused.text


def test_two_tabs_change_two_figures_of_one_repair(faults: Workshop) -> None:
    first = form(faults.client.get(PLAN).text, PLAN)
    second = dict(first)
    faults.client.post(PLAN, data=first | {f"{MEND}:parts-high": "99"})
    answer = faults.client.post(PLAN, data=second | {f"{MEND}:hours-high": "7"})
    assert answer.status_code == 200
    remedy = plan_of(faults.snapshot(VISIT)).remedies[MEND]
    assert (remedy.parts[2], remedy.hours[2]) == (99, "7")
    refused = faults.client.post(PLAN, data=second | {f"{MEND}:parts-high": "50"})
    assert refused.status_code == 422
    assert plan_of(faults.snapshot(VISIT)).remedies[MEND].parts[2] == 99
    again = form(refused.text, PLAN)
    assert again[f"{MEND}:parts-high"] == "50"
