"""One year of one invented car: bought, mended, a partner, wrong parts, refunds, and sold again.

Each step says what was recorded; beside it stands what the money page must then say, added by hand.
"""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.desk.model.money.car import money_of
from bradawl.desk.model.money.summary import money_line
from bradawl.desk.model.visits.candidates import candidate_of
from tests.desk.conftest import VISIT, Workshop

PADS, MEND, SEATS = "brakes.pads/pads", "electrical.pigtails/mend", "wants/seats"
KIT, WRONG, COVER = "a" * 12, "b" * 12, "c" * 12
OTHERS = ["b" * 32, "c" * 32]


def entry(name: int, day: str, kind: str, cents: int = 0, **more: Any) -> tuple[str, Any]:
    told = {"date": day, "kind": kind, "amount_cents": cents, **more}
    return f"ledger/{name:012x}", told


def line(name: str, **columns: Any) -> list[tuple[str, Any]]:
    return [(f"parts/{name}/{column}", value) for column, value in columns.items()]


ORDER = {"id": "o1", "total_cents": 10_000, "cars": [VISIT, *OTHERS]}
#: (what happened, what was recorded, spent, committed, still expected, left to spend) in cents.
#: The budget is $3,000.00. Still expected of the plan, at the beginning:
#:   pads    parts 20, 40, 90:    (2000 + 4 x 4000 + 9000) / 6 = 4500
#:   pigtail parts 10, 15, 30:    (1000 + 4 x 1500 + 3000) / 6 = 1666.67, so 1667
#:   seats   parts 200 each time:                               20000
#:                                                       sum   26167
YEAR: list[tuple[str, list[tuple[str, Any]], int, int, int, int]] = [
    ("looked at", [], 0, 0, 26_167, 300_000),
    # 300000 - 120000
    ("bought for $1,200", [
        ("life/state", {"state": "bought", "date": "2025-12-05", "price_cents": 120_000}),
    ], 0, 0, 26_167, 180_000),
    # the kit 6250 + freight 995 + deposit 1500 = 8745 instead of 4500: 26167 - 4500 + 8745
    ("a firm quote for the pads", line(
        KIT, job=PADS, what="Pad kit", quote_cents=6_250, freight_cents=995, core_cents=1_500,
        state="quoted",
    ), 0, 0, 30_412, 180_000),
    # what is ordered is no longer expected: 30412 - 8745; left 180000 - 8745
    ("ordered", line(KIT, state="ordered"), 0, 8_745, 21_667, 171_255),
    ("paid on arrival", [
        *line(KIT, state="arrived"),
        entry(1, "2026-01-28", "part", 8_745, jobs=[PADS], line=KIT, vendor="Harbor Parts",
              freight_cents=995, core_cents=1_500),
    ], 8_745, 0, 21_667, 171_255),
    # hoses of no estimate, ordered: 2410 more; the pads' lines are now 8745 + 2410 = 11155,
    # spent 8745, committed 2410, nothing still: 21667 stays
    ("more parts for the same job", line(
        WRONG, job=PADS, what="Hoses", quote_cents=2_410, state="ordered",
    ), 8_745, 2_410, 21_667, 168_845),
    ("paid", [entry(2, "2026-02-02", "part", 2_410, jobs=[PADS], line=WRONG)],
     11_155, 0, 21_667, 168_845),
    # the wrong ones go back, less $4.00 restocking: 11155 - 2010 = 9145. Without them 8745 is
    # expected of the pads, 9145 is spent: nothing still
    ("wrong parts, refunded", [
        *line(WRONG, state="returned"),
        entry(3, "2026-02-09", "refund", 2_010, jobs=[PADS], line=WRONG),
    ], 9_145, 0, 21_667, 170_855),
    # 9145 - 1500 = 7645; expected is 8745 - 1500 = 7245
    ("the deposit comes back", [
        entry(4, "2026-02-10", "refund", 1_500, jobs=[PADS], line=KIT, core_cents=1_500),
    ], 7_645, 0, 21_667, 172_355),
    # a second and a third receipt: 7645 + 1149 + 1875 = 10669
    ("fluid, and hardware that Quill paid", [
        entry(5, "2026-02-15", "part", 1_149, jobs=[PADS], what="Fluid"),
        entry(6, "2026-02-15", "part", 1_875, jobs=[PADS], what="Hardware", paid_by="Quill"),
        entry(7, "2026-02-15", "labor_mine", hours="1.5", jobs=[PADS]),
    ], 10_669, 0, 21_667, 169_331),
    # 10669 - 1149 + 1249 = 10769
    ("the fluid was $12.49", [
        entry(8, "2026-02-15", "part", 1_249, jobs=[PADS], what="Fluid",
              replaces=f"{5:012x}"),
    ], 10_769, 0, 21_667, 169_231),
    # finished: the pads were done with, nothing was still expected of them
    ("the pads are done, with proof", [
        *line(KIT, state="fitted"),
        (f"work/{PADS}/done/{9:012x}", {"title": "", "items": ["brakes.pads"], "by": "Ada",
                                       "date": "2026-03-01"}),
        (f"work/{PADS}/photos/{'1' * 64}", {"caption": "Pads"}),
        (f"work/{PADS}/after/brakes.pads/grade", {"grade": "none"}),
        entry(9, "2026-03-01", "labor_mine", hours="0.75", jobs=[PADS]),
    ], 10_769, 0, 21_667, 169_231),
    # a third of $100.00, the odd cent here: 10769 + 3334
    ("clips for three cars in one order", [
        entry(10, "2026-04-02", "part", 3_334, order=ORDER, what="Clips"),
    ], 14_103, 0, 21_667, 165_897),
    # 14103 + 14000, and no estimate pays for it
    ("a tow", [entry(11, "2026-05-06", "transport", 14_000, vendor="Fennel Towing")],
     28_103, 0, 21_667, 151_897),
    # 28103 + 5000, taken back again
    ("a receipt of another car", [entry(12, "2026-05-07", "part", 5_000)],
     33_103, 0, 21_667, 146_897),
    ("taken back", [entry(13, "2026-05-07", "part", replaces=f"{12:012x}", withdrawn=True)],
     28_103, 0, 21_667, 151_897),
    # covers at 2 x 9900 = 19800 instead of 20000, ordered; the pigtail's 1667 stays
    ("seat covers are ordered", line(
        COVER, job=SEATS, what="Cover", quantity="2", quote_cents=9_900, state="ordered",
    ), 28_103, 19_800, 1_667, 132_097),
    # 28103 + 10000 by Quill; 19800 - 10000 = 9800 to pay
    ("half of it paid by Quill", [
        entry(14, "2026-06-20", "part", 10_000, jobs=[SEATS], line=COVER, paid_by="Quill"),
    ], 38_103, 9_800, 1_667, 132_097),
    # 38103 + 9800 + 12000 for the upholsterer: the seats come to 31800 of 19800 expected
    ("the rest, and an upholsterer", [
        *line(COVER, state="arrived"),
        entry(15, "2026-07-01", "part", 9_800, jobs=[SEATS], line=COVER),
        entry(16, "2026-07-03", "labor_paid", 12_000, jobs=[SEATS], hours="2"),
    ], 59_903, 0, 1_667, 120_097),
    # 59903 + 1420 of 1667 expected: 247 still, until it is finished
    ("the pigtail", [
        entry(17, "2026-10-01", "part", 1_420, jobs=[MEND]),
        entry(18, "2026-10-01", "labor_mine", hours="1", jobs=[MEND]),
    ], 61_323, 0, 247, 118_677),
    ("all is done", [
        (f"work/{MEND}/done/{1:012x}", {"title": "", "items": [], "by": "Ada",
                                       "date": "2026-10-01"}),
        (f"work/{SEATS}/done/{2:012x}", {"title": "Seats", "items": [], "by": "Ada",
                                        "date": "2026-10-02"}),
    ], 61_323, 0, 0, 118_677),
    ("sold", [
        ("life/state", {"state": "for_sale", "date": "2026-10-10", "price_cents": 260_000}),
        ("life/state", {"state": "sold", "date": "2026-11-20", "price_cents": 240_000}),
    ], 61_323, 0, 0, 118_677),
]  # fmt: skip


@pytest.fixture
def car(workshop: Workshop) -> Workshop:
    workshop.begin()
    workshop.write([
        ("about/currency", "USD"),
        ("about/asking_price", 1_400),
        ("brief/budget", 3_000),
        ("brief/value_good", 6_000),
        ("brief/hourly_rate", 50),
        ("items/brakes.pads/grade", {"grade": "dangerous"}),
        ("items/electrical.pigtails/grade", {"grade": "major"}),
        ("plan/pick/electrical.pigtails", MEND),
        ("plan/wants/seats", {"title": "Seats", "parts": [200] * 3, "hours": ["4", "4", "4"]}),
    ])  # fmt: skip
    return workshop


def test_every_total_of_the_year_is_what_was_added_by_hand(car: Workshop) -> None:
    for what, puts, spent, committed, still, left in YEAR:
        if puts:
            car.write(puts)
        sums = money_of(car.snapshot(VISIT)).sums
        found = (sums["spent_cents"], sums["committed_cents"], sums["still_cents"])
        assert found == (spent, committed, still), what
        price = 0 if what == "looked at" else 120_000
        assert sums["left_cents"] == left == 300_000 - price - spent - committed, what
        assert sums["total_cents"] == price + spent + committed + still, what


def test_how_the_year_ended(car: Workshop) -> None:
    for _, puts, *_ in YEAR:
        car.write(puts or [("about/place", "Lindrach")])
    money = money_of(car.snapshot(VISIT))
    jobs = {row["job"]: row["spent_cents"] for row in money.rows}
    # pads 8745 + 2410 - 2010 - 1500 + 1249 + 1875; seats 10000 + 9800 + 12000; clips and tow
    assert jobs == {PADS: 10_769, SEATS: 31_800, MEND: 1_420, "": 17_334}
    assert (money.sums["partner_cents"], money.sums["mine_cents"]) == (11_875, 49_448)
    assert money.sums["hours_done"] == 325  # 1.5 + 0.75 + 1
    assert money.deposits_cents == 0
    assert money.outcome is not None
    # 2400.00 - 1200.00 - 613.23 = 586.77; 3.25 h at $50.00 = 162.50: 424.27
    assert money.outcome.without_hours == 58_677
    assert money.outcome.with_hours == 42_427
    summary = money_line(car.snapshot(VISIT))
    assert (summary.state, summary.sold_cents, summary.total_cents) == ("sold", 240_000, 181_323)
    assert summary.orders == (("o1", 10_000, 3_334, 3),)


def test_nothing_that_was_spent_or_done_made_the_car_look_cheaper(car: Workshop) -> None:
    car.real = True
    before: Any = None
    for what, puts, *_ in YEAR:
        if puts:
            car.write(puts)
        now = candidate_of(car.snapshot(VISIT))
        if what == "bought for $1,200":
            before = now
            assert (now.asking, now.is_bought) == (1_200, True)
        if before is not None:
            # as it stood at the purchase, with the price that was paid
            frozen = (now.walk_away, now.worth, now.expected, now.reserve, now.headroom, now.asking)
            assert frozen == (
                before.walk_away, before.worth, before.expected, before.reserve, before.headroom,
                before.asking,
            ), what  # fmt: skip
            assert now.all_in is not None
            assert now.all_in >= before.all_in, what


def test_work_before_the_purchase_makes_no_car_cheaper_either(car: Workshop) -> None:
    car.real = True
    before = candidate_of(car.snapshot(VISIT))
    assert before.walk_away is not None
    done = {"title": "", "items": ["brakes.pads"], "by": "Ada", "date": "2025-12-01"}
    car.write([
        (f"work/{PADS}/done/{1:012x}", done),
        (f"work/{PADS}/photos/{'1' * 64}", {"caption": "Pads"}),
        (f"work/{PADS}/after/brakes.pads/grade", {"grade": "none"}),
        entry(1, "2025-12-01", "part", 9_500, jobs=[PADS]),
    ])  # fmt: skip
    now = candidate_of(car.snapshot(VISIT))
    assert (now.walk_away, now.headroom) == (before.walk_away, before.headroom)
    assert now.all_in is not None
    assert before.all_in is not None
    assert now.all_in >= before.all_in
