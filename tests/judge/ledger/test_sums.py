"""Spent, committed, expected: the laws of the sums, and one car added up by hand.

The laws are this project's contract; every figure of the example is worked out beside it.
"""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.judge.ledger import entries as ledger
from bradawl.judge.ledger import life, parts_list, sums
from tests.judge.ledger.test_entries import cells

BRAKES, RADIATOR, SEAT = "brakes.hoses/new", "cooling.radiator/new", "wants/seat"


def estimate(
    job: str, parts: list[int], *, labor: int = 0, hours: int = 0, still: bool = True
) -> Any:
    return {
        "job": job, "area": job.partition(".")[0], "open": still, "parts_cents": parts,
        "labor_cents": [labor] * 3, "hours_hundredths": hours,
    }  # fmt: skip


def entry(name: int, amount: int, kind: str = "part", **more: Any) -> Any:
    told = {"kind": kind, "amount_cents": amount, "date": "2026-03-01", **more}
    return ledger.read(f"{name:012x}", f"{name:03d}", told)


def line(name: int, **columns: Any) -> Any:
    return parts_list.read(f"{name:012x}", columns)


def of(rows: Any, job: str) -> Any:
    return next(row for row in rows if row["job"] == job)


def test_a_car_added_up_by_hand() -> None:
    estimates = [
        estimate(BRAKES, [6_000, 9_000, 18_000], hours=300),  # (60 + 4 x 90 + 180) / 6 = $100.00
        estimate(RADIATOR, [10_000, 10_000, 10_000], hours=200),
        estimate("tires/new", [40_000] * 3, labor=4_000, hours=0),
    ]
    lines = [
        # 1 x $189.00 + $12.50 freight + $25.00 deposit = $226.50 instead of the plan's $100.00
        line(1, job=RADIATOR, state="ordered", quote_cents=18_900, freight_cents=1_250,
             core_cents=2_500),
        line(2, job=BRAKES, state="returned", quote_cents=7_700),
        line(3, state="quoted", quote_cents=499, quantity="12"),  # clips, of no job: $59.88
    ]  # fmt: skip
    entries = [
        entry(1, 4_783, jobs=[BRAKES], vendor="Harbor Parts"),
        entry(2, 7_700, jobs=[BRAKES], line=f"{2:012x}"),  # the wrong hoses
        entry(3, 6_900, "refund", jobs=[BRAKES], line=f"{2:012x}"),  # less $8.00 restocking
        entry(4, 20_000, line=f"{1:012x}", paid_by="Quill"),  # on account for the radiator
        entry(5, 0, "labor_mine", hours="2.25", jobs=[BRAKES, RADIATOR]),
        entry(6, 5_001, "fee", jobs=[]),  # the title office
    ]
    rows = sums.job_sums(estimates, entries, lines)
    # 47.83 + 77.00 - 69.00 = 55.83 spent; 100.00 - 55.83 = 44.17 still expected
    assert money_of(of(rows, BRAKES)) == (10_000, 5_583, 0, 4_417, 10_000)
    # 226.50 expected, 200.00 spent by the partner, 26.50 committed, nothing still to come
    assert money_of(of(rows, RADIATOR)) == (22_650, 20_000, 2_650, 0, 22_650)
    assert of(rows, RADIATOR)["partner_cents"] == 20_000
    # (400.00 + 40.00): nothing of it paid yet
    assert money_of(of(rows, "tires/new")) == (44_000, 0, 0, 44_000, 44_000)
    # the fee and the clips: 50.01 spent, 59.88 to come: the fee pays for no clip
    assert money_of(of(rows, "")) == (5_988, 5_001, 0, 5_988, 10_989)
    # 2.25 h between two jobs: 1.13 and 1.12; of 3 h and of 2 h planned
    assert [(r["hours_done"], r["hours_left"]) for r in rows if r["hours_planned"]] == [
        (113, 187), (112, 88),
    ]  # fmt: skip
    car = sums.together(rows, 120_000, 250_000)
    # spent 55.83 + 200.00 + 50.01 = 305.84, committed 26.50, still 44.17 + 440.00 + 59.88 = 544.05
    assert (car["spent_cents"], car["committed_cents"], car["still_cents"]) == (
        30_584, 2_650, 54_405,
    )  # fmt: skip
    assert car["total_cents"] == 120_000 + 30_584 + 2_650 + 54_405
    assert (car["mine_cents"], car["partner_cents"]) == (10_584, 20_000)
    # 2,500.00 - 1,200.00 - 305.84 - 26.50 = 967.66
    assert car["left_cents"] == 96_766


def money_of(row: Any) -> tuple[int, ...]:
    names = ("expected", "spent", "committed", "still", "total")
    return tuple(row[f"{name}_cents"] for name in names)


def test_a_deposit_counts_until_it_comes_back_and_is_then_owed_no_more() -> None:
    told = {"job": RADIATOR, "quote_cents": 18_900, "core_cents": 2_500}
    paid = entry(1, 21_400, line=f"{1:012x}", core_cents=2_500)
    back = entry(2, 2_500, "refund", line=f"{1:012x}", core_cents=2_500)
    estimates = [estimate(RADIATOR, [10_000] * 3)]
    for state in ("arrived", "fitted"):
        lines = [line(1, state=state, **told)]
        (row,) = sums.job_sums(estimates, [paid], lines)
        assert money_of(row) == (21_400, 21_400, 0, 0, 21_400)
        (row,) = sums.job_sums(estimates, [paid, back], lines)
        assert money_of(row) == (18_900, 18_900, 0, 0, 18_900)
    assert sums.deposits_out([paid]) == 2_500
    assert sums.deposits_out([paid, back]) == 0


def test_of_a_finished_job_nothing_is_expected_any_more() -> None:
    (row,) = sums.job_sums([estimate(BRAKES, [9_000] * 3, hours=300, still=False)],
                           [entry(1, 4_000, jobs=[BRAKES])], [])  # fmt: skip
    assert money_of(row) == (9_000, 4_000, 0, 0, 4_000)
    assert row["hours_left"] == 0


def test_one_firm_price_in_one_cell_replaces_the_plans_figure_for_the_parts() -> None:
    lines = [line(1, job=BRAKES, state="quoted", quote_cents=5_550)]
    estimates = [estimate(BRAKES, [1_000, 9_000, 80_000], labor=2_000)]
    (row,) = sums.job_sums(estimates, [], lines)
    assert row["expected_cents"] == 5_550 + 2_000
    (row,) = sums.job_sums(estimates, [], [{**lines[0], "removed": True}])
    assert row["expected_cents"] == (1_000 + 4 * 9_000 + 80_000) // 6 + 2_000


def test_a_wished_for_line_is_expected_by_nobody_until_it_is_ordered() -> None:
    told = {"job": BRAKES, "quote_cents": 5_000, "need": False}
    estimates = [estimate(BRAKES, [9_000] * 3)]
    (row,) = sums.job_sums(estimates, [], [line(1, state="quoted", **told)])
    assert money_of(row) == (9_000, 0, 0, 9_000, 9_000)
    (row,) = sums.job_sums(estimates, [], [line(1, state="ordered", **told)])
    assert money_of(row) == (9_000, 0, 5_000, 4_000, 9_000)


@pytest.mark.parametrize(
    ("total", "count", "parts"),
    [(100, 3, [34, 33, 33]), (2, 3, [1, 1, 0]), (0, 2, [0, 0]), (5, 1, [5]), (5, 0, [])],
)
def test_shares_of_an_order(total: int, count: int, parts: list[int]) -> None:
    assert sums.shares(total, count) == parts


@given(st.integers(0, 10**9), st.integers(1, 40))
def test_shares_come_to_the_order_to_the_cent(total: int, count: int) -> None:
    parts = sums.shares(total, count)
    assert sum(parts) == total
    assert max(parts) - min(parts) <= 1


JOBS = (BRAKES, RADIATOR, SEAT, "", "of/nobody")
cents = st.integers(0, 10**6)


@st.composite
def shops(draw: st.DrawFn) -> tuple[Any, Any, Any]:
    estimates = [
        estimate(job, sorted(draw(st.tuples(cents, cents, cents))), labor=draw(cents),
                 hours=draw(st.integers(0, 999)), still=draw(st.booleans()))
        for job in JOBS[: draw(st.integers(0, 3))]
    ]  # fmt: skip
    lines = [
        line(
            n,
            job=draw(st.sampled_from(JOBS)),
            state=draw(st.sampled_from(parts_list.STATES)),
            quote_cents=draw(st.none() | cents),
            likely_cents=draw(st.none() | cents),
            quantity=draw(st.sampled_from(("", "2", "1.5"))),
            core_cents=draw(st.none() | st.integers(0, 5000)),
            need=draw(st.booleans()),
            hours_planned=draw(st.sampled_from(("", "1.5"))),
        )
        for n in range(draw(st.integers(0, 4)))
    ]
    entries = [
        entry(
            n,
            draw(cents),
            draw(st.sampled_from(ledger.KINDS)),
            jobs=draw(st.lists(st.sampled_from(JOBS[:3]), unique=True, max_size=3)),
            line=draw(st.sampled_from(("", f"{0:012x}", f"{1:012x}", "x"))),
            paid_by=draw(st.sampled_from(("", "Quill"))),
            hours=draw(st.sampled_from(("", "0.5", "2"))),
            core_cents=draw(st.integers(0, 5000)),
        )
        for n in range(draw(st.integers(0, 6)))
    ]
    return estimates, entries, lines


@given(shops())
@settings(deadline=None)
def test_sums_hold_together(shop: Any) -> None:
    estimates, entries, lines = shop
    rows = sums.job_sums(estimates, entries, lines)
    car = sums.together(rows, 5_000, 90_000)
    # every cent of every entry is in exactly one job
    assert car["spent_cents"] == sum(ledger.paid(one) for one in entries)
    assert car["mine_cents"] + car["partner_cents"] == car["spent_cents"]
    mine = [one for one in entries if one["kind"] == "labor_mine"]
    assert car["hours_done"] == sum(one["hours_hundredths"] for one in mine)
    gone = car["spent_cents"] + car["committed_cents"]
    assert car["total_cents"] == 5_000 + gone + car["still_cents"]
    assert car["left_cents"] == 90_000 - 5_000 - gone
    # areas come to the car
    areas = sorted({row["area"] for row in rows})
    parts = [sums.together([row for row in rows if row["area"] == area]) for area in areas]
    assert sum(part["total_cents"] for part in parts) == car["total_cents"] - 5_000


@given(shops(), st.randoms(use_true_random=False))
@settings(deadline=None)
def test_no_order_of_entries_or_lines_changes_a_sum(shop: Any, dice: Any) -> None:
    estimates, entries, lines = shop
    before = sums.job_sums(estimates, entries, lines)
    mixed = [list(part) for part in shop]
    for part in mixed:
        dice.shuffle(part)
    assert sums.job_sums(*mixed) == before


@given(shops(), st.data())
@settings(deadline=None)
def test_to_spend_what_was_still_expected_changes_no_total(shop: Any, data: Any) -> None:
    estimates, entries, lines = shop
    rows = sums.job_sums(estimates, entries, lines)
    due = [
        row for row in rows if row["still_cents"] and row["job"] in [e["job"] for e in estimates]
    ]
    if not due:
        return
    row = data.draw(st.sampled_from(due))
    amount = data.draw(st.integers(0, row["still_cents"]))
    spent = sums.job_sums(estimates, [*entries, entry(99, amount, jobs=[row["job"]])], lines)
    assert of(spent, row["job"])["total_cents"] == row["total_cents"]
    assert sums.together(spent)["total_cents"] == sums.together(rows)["total_cents"]


@given(shops(), cents, st.sampled_from(JOBS), st.sampled_from(("part", "fee", "labor_paid")))
@settings(deadline=None)
def test_money_spent_never_makes_a_car_cheaper(shop: Any, amount: int, job: str, kind: str) -> None:
    estimates, entries, lines = shop
    before = sums.together(sums.job_sums(estimates, entries, lines))
    more = [*entries, entry(99, amount, kind, jobs=[job] if job else [])]
    after = sums.together(sums.job_sums(estimates, more, lines))
    assert after["total_cents"] >= before["total_cents"]


@given(shops(), st.integers(0, 3))
@settings(deadline=None)
def test_to_order_and_then_to_pay_what_was_quoted_changes_no_total(shop: Any, n: int) -> None:
    estimates, _, lines = shop
    quoted = line(77, job=BRAKES, state="quoted", quote_cents=4_783, quantity="2", core_cents=n)
    estimates = [estimate(BRAKES, [100, 200, 300], hours=50)]
    others = [one for one in lines if one["job"] != BRAKES]
    totals = []
    for state in ("quoted", "ordered", "arrived"):
        rows = sums.job_sums(estimates, [], [*others, {**quoted, "state": state}])
        totals.append(sums.together(rows)["total_cents"])
    paid = entry(5, 2 * 4_783 + n, jobs=[BRAKES], line=quoted["id"], core_cents=n)
    for state in ("arrived", "fitted"):
        rows = sums.job_sums(estimates, [paid], [*others, {**quoted, "state": state}])
        assert of(rows, BRAKES)["committed_cents"] == 0
        totals.append(sums.together(rows)["total_cents"])
    assert len(set(totals)) == 1


def step(state: str, at: int, price: int | None = None, date: str = "") -> Any:
    value = {"state": state, "price_cents": price, "date": date}
    return {"put": "life/state", "value": value, "at": f"{at:03d}", "commit": f"c{at}"}


def test_a_car_is_bought_and_sold() -> None:
    told = [
        step("for_sale", 4, 900_000), step("looking", 1), step("bought", 2, 440_000, "2026-01-05"),
        step("in_shop", 3), step("sold", 5, 850_000, "2026-11-20"),
    ]  # fmt: skip
    steps = life.steps(told)
    assert [one["state"] for one in steps] == ["looking", "bought", "in_shop", "for_sale", "sold"]
    bought, sold = life.bought(steps), life.sold(steps)
    assert bought is not None
    assert sold is not None
    assert (bought["price_cents"], bought["date"], bought["at"]) == (440_000, "2026-01-05", "002")
    assert (sold["price_cents"], sold["date"]) == (850_000, "2026-11-20")
    # 8,500.00 - 4,400.00 - 3,214.57 = 885.43; less 61.5 h at $20.00 = 1,230.00: a loss of 344.57
    assert sums.outcome(850_000, 440_000, 321_457, 6_150, 2_000) == (88_543, -34_457)


def test_the_price_paid_can_be_put_right_and_a_purchase_taken_back() -> None:
    told = [step("bought", 1, 440_000), step("in_shop", 2), step("bought", 3, 430_000)]
    bought = life.bought(life.steps(told))
    assert bought is not None
    assert (bought["price_cents"], bought["at"]) == (430_000, "001")
    assert life.bought(life.steps([*told, step("passed", 4)])) is None
    assert life.sold(life.steps([*told, step("sold", 5, 1), step("on_road", 6)])) is None


@pytest.mark.parametrize("value", [None, 5, [], {}, {"state": "stolen", "price_cents": -1}])
def test_a_car_of_which_nobody_said_anything_is_looked_at(value: Any) -> None:
    assert life.now(cells({"life/state": value})) == {
        "state": "looking", "date": "", "price_cents": None, "at": "000",
    }  # fmt: skip
    assert life.now({})["state"] == "looking"
