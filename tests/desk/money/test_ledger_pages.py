"""The money of a car: entries are added, corrected and taken back, and none is ever overwritten."""

from __future__ import annotations

import re
from dataclasses import replace
from typing import Any

import pytest

from bradawl.desk.model.money.car import money_of
from bradawl.desk.model.visits.board import board_line
from bradawl.judge.ledger import entries as ledger
from tests.desk.browse import form
from tests.desk.conftest import VISIT, Workshop
from tests.desk.plan.test_work_log import a_photo

MONEY = f"/desk/visits/{VISIT}/money"
ENTRY = f"{MONEY}/entry"
JOB = "brakes.pads/pads"
OTHER_CAR = "b" * 32


@pytest.fixture
def worn(workshop: Workshop) -> Workshop:
    workshop.begin()
    workshop.write([
        ("items/brakes.pads/grade", {"grade": "dangerous"}),
        ("brief/budget", 3_000),
        ("brief/hourly_rate", 40),
        ("about/region", "us"),
        ("about/currency", "USD"),
    ])  # fmt: skip
    return workshop


def add(shop: Workshop, expect: int = 303, **typed: Any) -> Any:
    fields = form(shop.client.get(MONEY).text, MONEY) | {"what": "Pads"}
    fields |= {name.replace("_id", ""): value for name, value in typed.items()}
    answer = shop.client.post(MONEY, data=fields, follow_redirects=False)
    assert answer.status_code == expect, answer.text[:2000]
    return answer


def shop_page(shop: Workshop) -> str:
    """The shop's page once every car is read."""
    while 'data-left="0"' not in (page := shop.client.get("/desk/money").text):
        pass
    return page


def entries(shop: Workshop) -> list[Any]:
    return ledger.entries(shop.snapshot(VISIT).cells)


def test_an_american_types_an_entry(worn: Workshop) -> None:
    add(worn, date="11/20/2025", amount="$1,300", freight="$12.50", core="100", job=JOB,
        vendor="Harbor Parts", part_number="BP-7", quantity="2", paid_by="Quill")  # fmt: skip
    (entry,) = entries(worn)
    assert (entry["date"], entry["amount_cents"], entry["freight_cents"], entry["core_cents"]) == (
        "2025-11-20", 130_000, 1_250, 10_000,
    )  # fmt: skip
    assert (entry["jobs"], entry["paid_by"], entry["quantity"]) == ([JOB], "Quill", "2")
    page = worn.client.get(MONEY).text
    for said in ("$1,300", "Harbor Parts", "no. BP-7", "core charge $100", "paid by Quill"):
        assert said in page, said


def test_many_entries_of_one_job_all_count(worn: Workshop) -> None:
    for amount in ("80", "30", "47.83"):
        add(worn, amount=amount, job=JOB)
    money = money_of(worn.snapshot(VISIT))
    assert money.sums["spent_cents"] == 8_000 + 3_000 + 4_783
    assert money.sums["left_cents"] == 300_000 - 15_783
    page = worn.client.get(MONEY).text
    assert "$157.83" in page
    assert "$2,842.17" in page


def test_a_correction_is_an_entry_that_shows_what_it_replaced(worn: Workshop) -> None:
    add(worn, amount="80", job=JOB)
    (first,) = entries(worn)
    page = f"{ENTRY}?entry={first['id']}"
    typed = form(worn.client.get(page).text, ENTRY) | {"amount": "85.50"}
    answer = worn.client.post(ENTRY, data=typed, follow_redirects=False)
    assert answer.status_code == 303, answer.text[:2000]
    assert worn.snapshot(VISIT).cells[f"ledger/{first['id']}"]["value"]["amount_cents"] == 8_000
    assert money_of(worn.snapshot(VISIT)).sums["spent_cents"] == 8_550
    shown = worn.client.get(MONEY).text
    assert "$85.50" in shown
    assert re.search(r"Replaced one entry.*?<s>Pads \$80</s>", shown, re.DOTALL)


def test_an_entry_is_taken_back_and_put_back(worn: Workshop) -> None:
    add(worn, amount="80", job=JOB)
    (first,) = entries(worn)
    page = worn.client.get(f"{ENTRY}?entry={first['id']}").text
    typed = {k: v for k, v in form(page, ENTRY).items() if k in ("new", "entry", "seen")}
    assert worn.client.post(ENTRY, data=typed | {"withdraw": "1"}).status_code == 200
    assert money_of(worn.snapshot(VISIT)).sums["spent_cents"] == 0
    assert "taken back" in worn.client.get(MONEY).text
    typed = form(worn.client.get(f"{ENTRY}?entry={first['id']}").text, ENTRY)
    assert typed["amount"] == "80"
    worn.client.post(ENTRY, data=typed)
    assert money_of(worn.snapshot(VISIT)).sums["spent_cents"] == 8_000
    assert len(entries(worn)) == 3


def test_who_corrects_what_was_corrected_meanwhile_is_told_and_sees_both(worn: Workshop) -> None:
    add(worn, amount="80", job=JOB)
    (first,) = entries(worn)
    page = worn.client.get(f"{ENTRY}?entry={first['id']}").text
    mine, theirs = (
        form(page, ENTRY),
        form(worn.client.get(f"{ENTRY}?entry={first['id']}").text, ENTRY),
    )
    worn.client.post(ENTRY, data=theirs | {"amount": "90"})
    refused = worn.client.post(ENTRY, data=mine | {"amount": "70"})
    assert refused.status_code == 422
    assert "Somebody corrected this entry" in refused.text
    assert "$90" in refused.text
    again = form(refused.text, ENTRY)
    assert again["amount"] == "70"  # nothing typed is lost
    assert money_of(worn.snapshot(VISIT)).sums["spent_cents"] == 9_000
    worn.client.post(ENTRY, data=again)
    assert money_of(worn.snapshot(VISIT)).sums["spent_cents"] == 7_000


def test_corrections_of_two_devices_written_unseen_stand_together_until_settled(
    worn: Workshop,
) -> None:
    add(worn, amount="80", job=JOB)
    (first,) = entries(worn)
    base = {"kind": "part", "date": "2025-11-20", "what": "Pads", "replaces": first["id"]}
    worn.write([
        ("ledger/" + "1" * 12, {**base, "amount_cents": 9_000}),
        ("ledger/" + "2" * 12, {**base, "amount_cents": 7_000}),
    ])  # fmt: skip
    page = worn.client.get(MONEY).text
    assert "Another correction was written at the same time" in page
    typed = form(worn.client.get(f"{ENTRY}?entry={first['id']}").text, ENTRY)
    worn.client.post(ENTRY, data=typed | {"amount": "90"})
    assert "at the same time" not in worn.client.get(MONEY).text
    assert money_of(worn.snapshot(VISIT)).sums["spent_cents"] == 9_000


def test_a_form_sent_twice_is_one_entry(worn: Workshop) -> None:
    fields = form(worn.client.get(MONEY).text, MONEY) | {"what": "Pads", "amount": "80"}
    for _ in range(2):
        worn.client.post(MONEY, data=fields)
    assert len(entries(worn)) == 1


def test_the_receipt_is_kept_with_its_entry(worn: Workshop) -> None:
    fields = form(worn.client.get(MONEY).text, MONEY) | {"what": "Pads", "amount": "80"}
    worn.client.post(MONEY, data=fields, files={"photo": ("r.jpg", a_photo(), "image/jpeg")})
    (entry,) = entries(worn)
    assert worn.client.get(f"/desk/photos/{entry['receipt']}").status_code == 200
    assert f"/desk/photos/{entry['receipt']}" in worn.client.get(MONEY).text


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"amount": "a lot"}, "a lot"), ({"amount": ""}, "Enter the amount"),
        ({"kind": "labor_mine", "amount": ""}, "Enter the hours"),
        ({"amount": "10", "core": "11"}, "more than it"),
        ({"amount": "10", "date": "2031-01-01"}, "come yet"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_and_nothing_typed_is_lost(
    worn: Workshop, typed: dict[str, str], sentence: str
) -> None:
    answer = add(worn, 422, **typed, vendor="Harbor Parts")
    assert sentence in answer.text
    assert form(answer.text, MONEY)["vendor"] == "Harbor Parts"
    assert entries(worn) == []


def test_my_hours_stand_beside_the_money(worn: Workshop) -> None:
    add(worn, kind="labor_mine", hours="2.5", amount="", job=JOB)
    money = money_of(worn.snapshot(VISIT))
    assert (money.sums["spent_cents"], money.sums["hours_done"]) == (0, 250)
    assert "2.5 h" in worn.client.get(MONEY).text


def test_an_order_is_split_over_cars_to_the_cent(worn: Workshop) -> None:
    worn.begin(OTHER_CAR)
    worn.write([("about/currency", "USD")], visit=OTHER_CAR)
    add(worn, amount="100.01", job=JOB, **{f"split:{OTHER_CAR}": "1"})
    (here,) = entries(worn)
    (there,) = ledger.entries(worn.snapshot(OTHER_CAR).cells)
    assert (here["amount_cents"], there["amount_cents"]) == (5_001, 5_000)
    assert here["order"] == there["order"]
    assert here["order"]["total_cents"] == 10_001
    assert (here["jobs"], there["jobs"]) == ([JOB], [])
    shop = shop_page(worn)
    assert "$100.01" in shop
    short = add(worn, 422, amount="100", **{
        f"split:{OTHER_CAR}": "1", f"share:{OTHER_CAR}": "30", f"share:{VISIT}": "60",
    })  # fmt: skip
    assert "$10 of the order of $100 to nobody" in short.text


def test_a_share_names_the_jobs_of_its_own_car_at_once_and_later(worn: Workshop) -> None:
    worn.begin(OTHER_CAR)
    worn.write(
        [
            ("about/currency", "USD"),
            ("items/brakes.pads/grade", {"grade": "major"}),
            ("life/state", {"state": "bought", "date": "2025-11-01", "price_cents": 90_000}),
        ],
        visit=OTHER_CAR,
    )
    shop_page(worn)
    page = worn.client.get(MONEY).text
    offered = page.partition(f'name="job:{OTHER_CAR}"')[2].partition("</select>")[0]
    assert f'value="{JOB}"' in offered
    split = {f"split:{OTHER_CAR}": "1", f"share:{OTHER_CAR}": "30", f"job:{OTHER_CAR}": JOB}
    refused = add(worn, 422, amount="100", **{**split, f"job:{OTHER_CAR}": "none/such"})
    assert "jobs picked for another car" in refused.text
    assert 'value="100"' in refused.text
    assert ledger.entries(worn.snapshot(OTHER_CAR).cells) == []
    add(worn, amount="100", **split)
    (here,) = entries(worn)
    (there,) = ledger.entries(worn.snapshot(OTHER_CAR).cells)
    assert (here["jobs"], there["jobs"], there["amount_cents"]) == ([], [JOB], 3_000)
    spent = {row["job"]: row["spent_cents"] for row in money_of(worn.snapshot(OTHER_CAR)).rows}
    assert spent[JOB] == 3_000
    # the way from one share to the other, where its jobs are changed
    theirs = f"/desk/visits/{OTHER_CAR}/money/entry"
    page = worn.client.get(f"{ENTRY}?entry={here['id']}").text
    assert f'href="{theirs}?entry={there["id"]}"' in page
    typed = form(worn.client.get(f"{theirs}?entry={there['id']}").text, theirs)
    worn.client.post(theirs, data={**typed, "job": ""})
    *_, after = ledger.counted(ledger.entries(worn.snapshot(OTHER_CAR).cells))
    assert (after["jobs"], after["order"]) == ([], there["order"])


def test_a_car_that_nobody_bought_has_the_jobs_of_its_price(worn: Workshop) -> None:
    snapshot = worn.snapshot(VISIT)
    known = {**snapshot.assessment, "money": {"lines": [{"id": JOB, "title": "Replace the pads"}]}}
    priced = replace(snapshot, assessment=known)  # type: ignore[arg-type]
    assert board_line(priced).open_jobs == ((JOB, "Replace the pads"),)
    assert (board_line(priced).jobs, board_line(snapshot).open_jobs) == (0, ())


def test_a_split_order_that_no_longer_adds_up_is_named(worn: Workshop) -> None:
    worn.begin(OTHER_CAR)
    worn.write([("about/currency", "USD")], visit=OTHER_CAR)
    add(worn, amount="100", **{f"split:{OTHER_CAR}": "1", f"share:{OTHER_CAR}": "30"})
    (here,) = entries(worn)
    assert here["amount_cents"] == 7_000
    typed = form(worn.client.get(f"{ENTRY}?entry={here['id']}").text, ENTRY)
    worn.client.post(ENTRY, data=typed | {"amount": "75"})
    shop = shop_page(worn)
    assert "An order of $100 was split, but its shares now come to $105" in shop


def test_what_is_estimated_is_rounded_and_what_was_paid_or_quoted_is_not(worn: Workshop) -> None:
    """By hand: (20 + 4 x 41.00 + 90) / 6 = 45.67 expected; 12.34 paid; a quote of 129.95."""
    pads = {"title": "Pads", "parts": [20, 41, 90], "hours": ["1", "1.1", "1.4"]}
    worn.write([(f"plan/remedies/{JOB}", pads)])
    add(worn, amount="12.34", job=JOB)
    money = money_of(worn.snapshot(VISIT))
    assert (money.sums["still_cents"], money.sums["total_cents"]) == (3_333, 4_567)
    page = worn.client.get(MONEY).text
    assert "$33.33" not in page
    assert "$45.67" not in page
    for said in ("$12.34", "$35", "$45", "Estimates are rounded for reading", "$2,987.66"):
        assert said in page, said
    quote = {"job": JOB, "what": "Pads", "quote_cents": 12_995}
    worn.write([(f"parts/0a/{column}", value) for column, value in quote.items()])
    money = money_of(worn.snapshot(VISIT))
    assert money.sums["firm"]
    page = worn.client.get(MONEY).text
    assert "$117.61" in page  # 129.95 - 12.34
    assert "$129.95" in page


def test_entries_are_narrowed_by_kind_job_vendor_and_who_paid(worn: Workshop) -> None:
    add(worn, amount="80", job=JOB, vendor="Harbor Parts", what="Pads one")
    add(worn, amount="30", kind="fee", paid_by="Quill", what="Title two")
    for query, shown, hidden in (
        ("kind=fee", "Title two", "Pads one"), (f"job={JOB}", "Pads one", "Title two"),
        ("vendor=Harbor+Parts", "Pads one", "Title two"), ("who=Quill", "Title two", "Pads one"),
        ("who=me", "Pads one", "Title two"),
    ):  # fmt: skip
        page = worn.client.get(f"{MONEY}?{query}").text
        assert f">{shown}<" in page, query
        assert f">{hidden}<" not in page, query


def test_bought_and_sold(worn: Workshop) -> None:
    life = f"/desk/visits/{VISIT}/state"
    typed = form(worn.client.get(life).text, life)
    refused = worn.client.post(life, data=typed | {"state": "bought"})
    assert refused.status_code == 422
    worn.client.post(life, data=typed | {"state": "bought", "price": "$1,200"})
    add(worn, amount="305.84")
    add(worn, kind="labor_mine", hours="10", amount="")
    money = money_of(worn.snapshot(VISIT))
    assert money.sums["left_cents"] == 300_000 - 120_000 - 30_584
    worn.client.post(life, data=typed | {"state": "sold", "price": "1,900"})
    page = worn.client.get(MONEY).text
    # 1,900.00 - 1,200.00 - 305.84 = 394.16; less 10 h at $40 = -5.84
    assert "$394.16 after the car" in page
    assert "-$5.84" in page
    assert "$394.16" in shop_page(worn)


def test_a_sale_without_the_price_paid_claims_no_profit(worn: Workshop) -> None:
    worn.write([("life/state", {"state": "sold", "date": "2025-11-24", "price_cents": 190_000})])
    add(worn, amount="300")
    money = money_of(worn.snapshot(VISIT))
    assert money.outcome is None
    assert money.sums["still_cents"] == 0  # nobody will pay for what was not begun
    assert "after the car" not in worn.client.get(MONEY).text
