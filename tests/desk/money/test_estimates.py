"""Estimates learn: what finished jobs came to, from ten on shifting low, likely and high.

The figures are computed by hand beside each check; expected is (low + 4 likely + high) / 6, the
PERT mean (common practice, no source).
"""

from __future__ import annotations

import re
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from bradawl.desk.model.money.learning import expected, experience_of
from bradawl.desk.model.money.lessons import Lesson, lessons_of
from bradawl.desk.model.plan.build import base_of, plan_of
from bradawl.inspection.learned import shifted
from bradawl.inspection.snapshot import gather
from bradawl.judge.record.entry_kinds import entry_kind
from tests.desk.browse import form
from tests.desk.conftest import VISIT, Workshop

JOB = "brakes.pads/pads"
PAGE = "/desk/estimates"
BASE = Lesson(
    job=JOB,
    title="",
    area="brakes",
    date="2025-11-01",
    currency="USD",
    said_cents=(2_000, 4_000, 9_000),
    base_cents=(2_000, 4_000, 9_000),
    said_hours=(50, 100, 200),
    base_hours=(50, 100, 200),
    paid_cents=4_500,
    hours=0,
    is_left_out=False,
)  # expected (2000 + 16000 + 9000) / 6 = 4500 cents

three = st.lists(st.integers(1, 900_000), min_size=3, max_size=3).map(
    lambda found: (*sorted(found),)
)


@st.composite
def lessons(draw: Any) -> Lesson:
    cents, hours = draw(three), draw(three)
    return replace(
        BASE,
        job=draw(st.sampled_from([JOB, "trim.seats/cover"])),
        currency=draw(st.sampled_from(["USD", "EUR"])),
        said_cents=cents,
        base_cents=cents,
        said_hours=hours,
        base_hours=hours,
        paid_cents=draw(st.integers(0, 5_000_000)),
        hours=draw(st.integers(0, 900_000)),
        is_left_out=draw(st.booleans()),
    )


many = st.lists(lessons(), max_size=40)


@given(many)
def test_fewer_than_ten_jobs_shift_nothing(found: list[Lesson]) -> None:
    known = experience_of(found)
    for currency in ("USD", "EUR"):
        for job, shift in known.shifts(currency).items():
            counted = [
                one
                for one in found
                if (one.job, one.currency, one.is_left_out) == (job, currency, False)
            ]
            if sum(one.paid_cents > 0 for one in counted) < 10:
                assert shift["parts"] == 100
            if sum(one.hours > 0 for one in counted) < 10:
                assert shift["hours"] == 100
            assert 50 <= shift["parts"] <= 200
            assert 50 <= shift["hours"] <= 200
    assert experience_of(found[:9]).digest == ""


@given(many)
def test_to_leave_one_out_is_as_if_it_had_never_been(found: list[Lesson]) -> None:
    assert experience_of(found) == experience_of([one for one in found if not one.is_left_out])


@given(many, st.randoms())
def test_the_order_of_jobs_changes_nothing(found: list[Lesson], chance: Any) -> None:
    other = found.copy()
    chance.shuffle(other)
    assert experience_of(other) == experience_of(found)
    assert experience_of(other).digest == experience_of(found).digest


@given(three, three, st.integers(50, 200), st.integers(50, 200))
def test_a_shift_keeps_low_likely_and_high_in_order(
    parts: Any, hours: Any, percent: int, of_hours: int
) -> None:
    typed = [f"{hour // 100}.{hour % 100:02d}" for hour in hours]
    low, taken = shifted(list(parts), typed, {"parts": percent, "hours": of_hours})
    assert low == sorted(low)
    figures = [Fraction(hour) for hour in taken]
    assert figures == sorted(figures)


def test_ten_jobs_worked_out_by_hand() -> None:
    # paid 45, 45, 54, 54, 63, 72, 81, 90, 180, 450 dollars of 45 expected: 1, 1, 1.2, 1.2, 1.4,
    # 1.6, 1.8, 2, 4, 10; the median of ten is (1.4 + 1.6) / 2 = 1.5
    paid = [4_500, 4_500, 5_400, 5_400, 6_300, 7_200, 8_100, 9_000, 18_000, 45_000]
    found = [replace(BASE, paid_cents=cents) for cents in paid]
    assert expected(BASE.base_cents) == 4_500
    kind = experience_of(found).of("USD")[JOB]
    assert (kind.cash.jobs, kind.cash.expected, kind.cash.came_to) == (10, 4_500, 6_750)
    assert (kind.cash.within, kind.cash.within_percent, kind.cash.ratio_percent) == (8, 80, 150)
    assert experience_of(found).shifts("USD") == {JOB: {"parts": 150, "hours": 100}}
    assert experience_of(found, is_on=False).shifts("USD") == {}
    assert experience_of(found[1:]).shifts("USD") == {}
    dear = experience_of([replace(BASE, paid_cents=45_000)] * 10)
    cheap = experience_of([replace(BASE, paid_cents=450)] * 10)
    assert dear.shifts("USD")[JOB]["parts"] == 200
    assert cheap.shifts("USD")[JOB]["parts"] == 50
    # 20, 40, 90 at 150 %: 30, 60, 135; 0.5 h at 125 % is 0.625, half up 0.63
    assert shifted([20, 40, 90], ["0.5", "1", "2"], {"parts": 150, "hours": 125}) == (
        [30, 60, 135], ["0.63", "1.25", "2.50"],
    )  # fmt: skip


def test_what_is_learned_is_held_against_the_estimate_and_not_against_its_shift() -> None:
    # a page that said 67.50 already, of an estimate of 45, was right when 67.50 was paid
    shifted_once = replace(BASE, said_cents=(3_000, 6_000, 13_500), paid_cents=6_750)
    kind = experience_of([shifted_once] * 10).of("USD")[JOB]
    assert (kind.cash.ratio_percent, kind.cash.within_percent) == (150, 100)


def car(n: int) -> str:
    return f"{n:032x}"


def finished(cents: int, **more: Any) -> list[tuple[str, Any]]:
    """A finished job with its guess, what was paid, a bill for labor and my own hours."""
    guess = {"parts": [20, 40, 90], "hours": ["0.5", "1", "2"]}
    told = {"jobs": [JOB], "date": "2025-11-20"}
    return [
        ("about/currency", "USD"),
        ("items/brakes.pads/grade", {"grade": "dangerous"}),
        (
            f"work/{JOB}/done/{'1' * 12}",
            {"guess": guess, "title": "", "items": [], "date": "2025-11-20", "by": "Ada"} | more,
        ),
        (f"ledger/{'2' * 12}", told | {"kind": "part", "amount_cents": cents + 1_000}),
        (f"ledger/{'3' * 12}", told | {"kind": "refund", "amount_cents": 1_000}),
        (f"ledger/{'4' * 12}", told | {"kind": "labor_paid", "amount_cents": 9_900, "hours": "2"}),
        (f"ledger/{'5' * 12}", told | {"kind": "labor_mine", "hours": "1.5"}),
    ]


@pytest.fixture
def learned(workshop: Workshop) -> Workshop:
    """Nine cars whose pads cost 67.50 in place of 45, and one that still needs them."""
    workshop.begin()
    workshop.write([("about/currency", "USD"), ("items/brakes.pads/grade", {"grade": "dangerous"})])
    for n in range(1, 10):
        workshop.begin(car(n))
        workshop.write(finished(6_750), visit=car(n))
    return workshop


def read(shop: Workshop, address: str = PAGE) -> str:
    """The page once every car is read."""
    while 'data-left="0"' not in (page := shop.client.get(address).text):
        pass
    return page


def parts_of(shop: Workshop) -> str:
    """The pads' parts, low, likely and high, as the repairs sheet of the first car has them."""
    page = shop.client.get(f"/desk/visits/{VISIT}/plan").text
    fields = form(page, f"/desk/visits/{VISIT}/plan")
    return " ".join(fields[f"{JOB}:parts-{one}"] for one in ("low", "likely", "high"))


def test_a_lesson_is_a_finished_job_with_a_guess_and_a_cost(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write(finished(6_750))
    (lesson,) = lessons_of(workshop.snapshot(VISIT))
    assert (lesson.paid_cents, lesson.hours) == (6_750, 150)  # the bill for labor apart
    assert (lesson.base_cents, lesson.base_hours) == ((2_000, 4_000, 9_000), (50, 100, 200))
    path = f"work/{JOB}/done/{'1' * 12}"
    for unfinished in (None, {"finished": False, "guess": {"parts": [1, 2, 3]}}, {"by": "Ada"}, 7):
        workshop.write([(path, unfinished)])
        assert lessons_of(workshop.snapshot(VISIT)) == ()


def test_what_a_job_cost_before_there_was_a_ledger_counts_too(workshop: Workshop) -> None:
    workshop.begin()
    guess = {"parts": [20, 40, 90], "hours": ["0.5", "1", "2"]}
    workshop.write([(f"work/{JOB}/done", {"guess": guess, "by": "Ada", "cost_cents": 5_000})])
    (lesson,) = lessons_of(workshop.snapshot(VISIT))
    assert lesson.paid_cents == 5_000


def test_the_tenth_job_shifts_the_plan_and_leaving_it_out_shifts_it_back(learned: Workshop) -> None:
    read(learned)
    assert parts_of(learned) == "20 40 90"
    page = learned.client.get(f"/desk/visits/{VISIT}/plan").text
    assert "guessed $45, paid $67.50, 9 jobs" in page
    learned.begin(car(10))
    learned.write(finished(6_750), visit=car(10))
    read(learned)
    assert parts_of(learned) == "30 60 135"  # 20, 40 and 90 at 150 %
    for tab in ("plan", "order"):
        page = learned.client.get(f"/desk/visits/{VISIT}/{tab}").text
        assert "paid $67.50, 10 jobs" in page, tab
        assert "Follows what such jobs came to" in page, tab
    # a person's own figure stays
    own = {"parts": [1, 2, 3], "hours": ["1", "1", "1"], "title": "", "kind": "part", "need": True}
    learned.write([(f"plan/remedies/{JOB}", own)])
    assert parts_of(learned) == "1 2 3"
    learned.write([(f"plan/remedies/{JOB}", None)])
    typed = {"visit": car(10), "job": JOB, "counts": "no"}
    assert learned.client.post(f"{PAGE}/count", data=typed).status_code == 200
    page = read(learned)
    assert "Take back in" in page
    assert parts_of(learned) == "20 40 90"
    learned.client.post(f"{PAGE}/count", data=typed | {"counts": "yes"})
    assert "Take back in" not in read(learned)
    assert parts_of(learned) == "30 60 135"


def test_the_shop_may_switch_it_off(learned: Workshop) -> None:
    learned.begin(car(10))
    learned.write(finished(6_750), visit=car(10))
    read(learned)
    assert parts_of(learned) == "30 60 135"
    page = learned.client.post(f"{PAGE}/shift", data={"shift": "off"}).text
    assert "Estimates stay as the checklist has them." in page
    assert parts_of(learned) == "20 40 90"
    assert "paid $67.50, 10 jobs" in learned.client.get(f"/desk/visits/{VISIT}/plan").text
    learned.client.post(f"{PAGE}/shift", data={"shift": "on"})
    assert parts_of(learned) == "30 60 135"


def test_a_quote_is_not_shifted_and_the_report_keeps_the_checklist(learned: Workshop) -> None:
    learned.begin(car(10))
    learned.write(finished(6_750), visit=car(10))
    read(learned)
    desk = learned.desk()
    while desk.summaries.lessons()[1]:
        pass
    job = plan_of(desk.snapshot(VISIT)).remedies[JOB]
    assert job.parts == [30, 60, 135]
    assert plan_of(learned.snapshot(VISIT)).remedies[JOB].parts == [20, 40, 90]
    learned.write([(f"parts/{'9' * 12}/quote_cents", 7_700), (f"parts/{'9' * 12}/job", JOB)])
    quoted = plan_of(desk.snapshot(VISIT)).remedies[JOB]
    assert quoted.parts == [77, 77, 77]
    base = base_of(desk.snapshot(VISIT), JOB)
    assert base is not None
    assert base["parts"] == [20, 40, 90]


def test_the_page_says_how_good_they_were(learned: Workshop) -> None:
    learned.begin(car(10))
    learned.write(finished(9_500), visit=car(10))  # beyond high
    page = read(learned, f"{PAGE}?kind={JOB}")
    text = re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page))
    assert "Replace the pads" in text
    assert "90% of 10 jobs" in text  # nine of ten within 20 to 90
    assert "150%" in text
    misses = re.sub(r" +", " ", text.partition("Largest misses")[2])
    assert misses.index("$95") < misses.index("$67.50")
    gone = learned.client.post(f"{PAGE}/count", data={"visit": VISIT, "job": JOB})
    assert gone.status_code == 409
    assert f'href="{PAGE}"' in learned.client.get("/desk/money").text


def test_what_is_left_out_is_the_buyers_own_business() -> None:
    assert entry_kind(f"plan/uncounted/{JOB}") == "plan"


def test_the_price_at_the_desk_follows_too(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write([("items/brakes.pads/grade", {"grade": "dangerous"}), ("brief/hourly_rate", 40)])
    dear = gather(
        workshop.log,
        VISIT,
        today=workshop.today,
        current_bundle=lambda: workshop.bundle,
        learned=lambda currency: {JOB: {"parts": 150, "hours": 100}} if currency == "EUR" else {},
    )
    workshop.real = True
    plain = workshop.snapshot(VISIT)
    costs = [
        {line["id"]: line["cost"] for line in one.assessment["money"]["lines"]}[JOB]
        for one in (plain, dear)
    ]
    # parts 20, 40, 90 and at 150 % 30, 60, 135; 0.5, 1 and 2 hours at 40
    assert costs == [[40, 80, 170], [50, 100, 215]]
    assert "learned" not in dear.bundle["rules"]
