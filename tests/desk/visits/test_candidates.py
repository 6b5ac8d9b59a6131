"""Candidates: their order, and the one check or price that changes it.

The figures are hand calculations on invented amounts.
"""

from __future__ import annotations

import re
import threading
from dataclasses import replace

from fastapi.testclient import TestClient
from hypothesis import given, settings
from hypothesis import strategies as st

from bradawl.desk.model.visits.candidates import (
    Candidate,
    Unseen,
    Wanted,
    candidate_of,
    edits_of,
    flips,
)
from bradawl.inspection.snapshot import Snapshot
from tests.desk.browse import form
from tests.desk.conftest import VISIT, Workshop

CAR = Candidate(
    visit="a",
    car="First",
    currency="EUR",
    tally=dict.fromkeys(("dangerous", "major", "minor", "none", "uninspected"), 0),
    answer="drive",
    coverage_percent=90,
    low=100,
    expected=500,
    p50=400,
    p80=650,
    high=900,
    reserve=200,
    unseen=(),
    value=4400,
    worth=4000,
    margin=300,
    walk_away=3000,
    asking=2500,
    uses=("everyday",),
    budget=None,
    wants=(),
)


def test_headroom_is_the_top_price_less_what_is_asked() -> None:
    # 4000 − 500 − 200 − 300 − 2500 = 500; all in 2500 + 500 + 200 = 3200
    assert CAR.headroom == 500
    assert CAR.all_in == 3200
    assert CAR.walk_away is not None
    assert CAR.headroom == CAR.walk_away - 2500
    assert replace(CAR, asking=None).headroom is None
    assert replace(CAR, walk_away=None).headroom is None  # too little seen, or a stopped deal
    # worth nothing at any price, it still says by how much
    assert replace(CAR, walk_away=0, expected=4100).headroom == -3100


def test_a_car_that_misses_a_must_have_comes_last_and_no_price_changes_that() -> None:
    lacking = replace(
        CAR, visit="b", car="Second", asking=1, wants=(Wanted("must", "Tow bar", "against"),)
    )
    assert sorted([lacking, CAR], key=lambda car: car.rank) == [CAR, lacking]
    assert "have: Tow bar" in flips(CAR, lacking)[0]


def test_a_reason_to_leave_that_came_true_comes_after_all_and_the_unknown_before_the_lacking() -> (
    None
):
    def car(visit: str, *wants: Wanted) -> Candidate:
        return replace(CAR, visit=visit, car=visit, asking=1, wants=wants)

    met = car("d", Wanted("must", "Tow bar", "fine"), Wanted("leave", "Rot", "open"))
    unknown = car("c", Wanted("must", "Tow bar", "open"))
    lacking = car("b", Wanted("must", "Tow bar", "against"))
    rotten = car("a", Wanted("must", "Tow bar", "fine"), Wanted("leave", "Rot", "against"))
    cars = [rotten, lacking, unknown, met]
    assert sorted(cars, key=lambda one: one.rank) == [met, unknown, lacking, rotten]
    assert "came true: Rot" in flips(met, rotten)[0]
    assert "nobody knows yet: Tow bar" in flips(met, unknown)[0]


STANDING = st.builds(
    Wanted,
    st.sampled_from(["must", "leave"]),
    st.sampled_from(["Tow bar", "Rot"]),
    st.sampled_from(["fine", "against", "open"]),
)
CARS = st.builds(
    lambda visit, asking, worth, wanted: replace(
        CAR, visit=visit, asking=asking, worth=worth, wants=tuple(wanted)
    ),
    st.sampled_from("abcd"),
    st.none() | st.integers(0, 9000),
    st.none() | st.integers(0, 9000),
    st.lists(STANDING, max_size=6),
)


@given(CARS, CARS, CARS)
@settings(max_examples=300, deadline=None, derandomize=True)
def test_the_order_of_cars_is_total(one: Candidate, other: Candidate, third: Candidate) -> None:
    """A total order: exactly one of less, equal, more; transitive; alike only as the same visit."""
    assert (one.rank < other.rank) + (one.rank == other.rank) + (one.rank > other.rank) == 1
    if one.rank <= other.rank <= third.rank:
        assert one.rank <= third.rank
    if one.rank == other.rank:
        assert one.visit == other.visit
    # no money makes up for what is wanted
    if one.rank[0][:3] < other.rank[0][:3]:
        assert replace(other, asking=0, worth=90_000).rank > one.rank


def test_the_price_and_the_check_that_flip_the_order() -> None:
    ahead = replace(
        CAR,
        unseen=(
            Unseen("Timing belt", 0.5, 600, 300, 300),
            Unseen("Gearbox", 0.2, 900, 180, 180),
            Unseen("Wipers", 0.9, 50, 45, 45),
        ),
    )
    behind = replace(
        CAR,
        visit="b",
        car="Second",
        asking=2800,
        unseen=(
            Unseen("Clutch", 0.6, 700, 420, 420),
            # two checks see the same leak: one of them, sound, frees next to nothing
            Unseen("Oil leaks", 0.1, 700, 430, 10),
        ),
    )
    # the lead is 300: the belt, bad, adds 600 − 300 = 300, which only draws level; the gearbox
    # adds 720; the clutch, sound, frees 420
    text = " ".join(flips(ahead, behind))
    assert "Second takes the lead at €2,499 or less" in text
    assert "First falls behind at €2,801 or more" in text
    assert "Check on First: Gearbox" in text
    assert "Timing belt" not in text
    assert "Check on Second: Clutch. If it's good" in text


def test_when_no_check_matters_that_is_said() -> None:
    assert flips(CAR, replace(CAR, visit="b", asking=3900))[-1].startswith("No single check")


@given(st.integers(0, 9000), st.integers(0, 9000), st.integers(0, 4000), st.integers(0, 4000))
@settings(max_examples=200, deadline=None, derandomize=True)
def test_the_named_price_does_flip_the_order(a: int, b: int, work: int, other: int) -> None:
    cars = sorted(
        (
            replace(CAR, visit="a", asking=a, expected=work),
            replace(CAR, visit="b", asking=b, expected=other),
        ),
        key=lambda car: car.rank,
    )
    ahead, behind = cars
    assert ahead.headroom is not None
    assert behind.headroom is not None
    assert behind.asking is not None
    target = behind.asking - (ahead.headroom - behind.headroom) - 1
    cheaper = replace(behind, asking=target)
    assert cheaper.rank < ahead.rank
    level = replace(behind, asking=target + 1)
    assert level.headroom == ahead.headroom


def test_the_page_compares_the_chosen_cars(workshop: Workshop) -> None:
    other = "b" * 32
    workshop.begin()
    workshop.begin(other)
    workshop.write([("car/make", "Second <i>car</i>"), ("brief/uses", ["track"])], visit=other)
    page = workshop.client.get("/desk/compare")
    assert page.status_code == 200
    assert "Testmobil One" in page.text
    assert "Second &lt;i&gt;car" in page.text
    assert "for the same thing" in page.text
    assert '<svg class="chart"' in page.text
    page = workshop.client.get("/desk/compare", params={"visit": [VISIT]})
    assert "for the same thing" not in page.text


def test_remedies_edited_at_the_desk_count_and_are_named(workshop: Workshop) -> None:
    """By hand: pads 40 + 1 h at 60 = 100 likely; edited to 1 200 + 0 = 1 200, P80 with it."""
    other = "b" * 32
    workshop.real = True
    for visit in (VISIT, other):
        workshop.begin(visit)
        workshop.write(
            [
                ("items/brakes.pads/grade", {"grade": "major"}),
                ("brief/value_good", 5000),
                ("brief/margin", 0),
            ],
            visit=visit,
        )
    client = workshop.client
    cars = [candidate_of(workshop.snapshot(visit)) for visit in (VISIT, other)]
    assert cars[0].headroom == cars[1].headroom
    assert "priced by a plan" not in client.get("/desk/compare").text
    plan = f"/desk/visits/{VISIT}/plan"
    cells = dict.fromkeys(("parts-low", "parts-likely", "parts-high"), "1 200")
    cells |= dict.fromkeys(("hours-low", "hours-likely", "hours-high"), "0")
    sheet = form(client.get(plan).text, plan)
    client.post(plan, data=sheet | {f"brakes.pads/pads:{key}": one for key, one in cells.items()})
    edited, plain = (candidate_of(workshop.snapshot(visit)) for visit in (VISIT, other))
    assert (edited.low, edited.p50, edited.p80, edited.high) == (1200,) * 4
    # 5000 − 1200 − 2400 asked
    assert edited.headroom == 1400 - edited.reserve
    assert (edited.edits, plain.edits) == ((("edited", 1),), ())
    assert plain.headroom == cars[1].headroom
    page = client.get("/desk/compare").text
    assert "your repairs list" in page
    assert "1 repair edited" in page
    assert "Priced by your own repairs list: Testmobil One (1991)" in page
    # the price that would flip them follows the edited figures
    assert plain.rank < edited.rank
    assert plain.headroom is not None
    lead = plain.headroom - edited.headroom
    assert f"€{2400 - lead - 1:,} or less" in page


def test_everything_decided_at_the_desk_is_named(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write(
        [
            ("items/brakes.pads/grade", {"grade": "major"}),
            ("items/electrical.pigtails/grade", {"grade": "major"}),
            ("plan/remedies/brakes.pads/pads", {"loss": 5}),
            ("plan/remedies/brakes.pads/own-1", {"parts": [1, 1, 1]}),
            ("plan/pick/electrical.pigtails", "electrical.pigtails/harness"),
            (f"work/brakes.pads/pads/photos/{'1' * 64}", {"caption": "Pads"}),
            ("work/brakes.pads/pads/after/brakes.pads/grade", {"grade": "none"}),
            ("plan/remedies/rust.sill/own-1", {"parts": [9, 9, 9]}),  # no finding any more
        ]
    )
    assert edits_of(workshop.snapshot(VISIT)) == (
        ("edited", 2),
        ("picked", 1),
        ("done", 1),
    )


def kept_waiting(workshop: Workshop) -> threading.Event:
    """From now on no visit is judged before the event is set."""
    free, quick = threading.Event(), workshop.snapshot

    def stuck(visit: str) -> Snapshot:
        free.wait(120)
        return quick(visit)

    workshop.snapshot = stuck  # type: ignore[method-assign]
    workshop.patience_s = 0.05
    return free


def columns_of(page: str) -> list[str]:
    """The visits that have a column, by the links in the table's head."""
    head = page.partition("<thead>")[2].partition("</thead>")[0]
    return re.findall(r'/desk/visits/([0-9a-f]{32})"', head)


def test_a_car_that_is_not_read_yet_has_its_column_and_fills_in(workshop: Workshop) -> None:
    workshop.begin()
    free = kept_waiting(workshop)
    client = TestClient(workshop.site())
    page = client.get("/desk/compare").text
    assert "1 car is still being read" in page
    assert "Look again" in page
    assert columns_of(page) == [VISIT]
    assert "Still being read" in page
    assert client.get("/desk/reading", params={"visit": [VISIT]}).json() == {
        "unread": [VISIT],
        "left": 1,
    }
    free.set()
    while client.get("/desk/reading", params={"visit": [VISIT]}).json()["left"]:
        pass
    page = client.get("/desk/compare").text
    assert "Testmobil One (1991)" in page
    assert "till being read" not in page


def test_of_300_cars_none_of_the_chosen_is_left_out(workshop: Workshop) -> None:
    visits = [f"{n:032x}" for n in range(300)]
    for visit in visits:
        workshop.write([("car/make", f"Car {int(visit, 16)}")], visit=visit)
    free = kept_waiting(workshop)
    client = TestClient(workshop.site())
    chosen = [visits[0], visits[150], visits[299]]  # the first two are older than the newest 100
    seen = [client.get("/desk/compare", params={"visit": chosen}).text]
    assert set(columns_of(seen[0])) == set(chosen)
    # each car can be picked, also one that nobody has read
    assert seen[0].count('name="visit"') == 102
    listed = client.get("/desk/").text
    assert listed.count("Still being read") == 100
    assert "100 cars are still being read" in listed
    free.set()
    while client.get("/desk/reading", params={"visit": chosen}).json()["left"]:
        seen.append(client.get("/desk/compare", params={"visit": chosen}).text)
    seen.append(client.get("/desk/compare", params={"visit": chosen}).text)
    assert [set(columns_of(page)) for page in seen] == [set(chosen)] * len(seen)
    assert all(f"Car {n}<" in seen[-1].partition("<thead>")[2] for n in (0, 150, 299))


def test_a_car_that_cannot_be_read_has_its_column_and_says_so(workshop: Workshop) -> None:
    other = "b" * 32
    workshop.begin()
    workshop.begin(other)
    quick = workshop.snapshot

    def failing(visit: str) -> Snapshot:
        if visit == other:
            raise RuntimeError("cannot be judged")
        return quick(visit)

    workshop.snapshot = failing  # type: ignore[method-assign]
    client = TestClient(workshop.site())
    page = client.get("/desk/compare").text
    assert set(columns_of(page)) == {VISIT, other}
    assert re.search("This one can.{1,5}t be read", page)
    assert "still being read" not in page
    asked = client.get("/desk/reading", params={"visit": [VISIT, other]}).json()
    assert asked == {"unread": [], "left": 0}


def test_a_chosen_car_that_is_gone_is_said(workshop: Workshop) -> None:
    workshop.begin()
    page = workshop.client.get("/desk/compare", params={"visit": [VISIT, "9" * 32]}).text
    assert "1 car you picked isn" in page


def test_every_car_can_be_chosen_by_pages_and_by_search(workshop: Workshop) -> None:
    old = "c" * 32
    workshop.begin(old)
    workshop.write([("car/registration", "OLD 1")], visit=old)
    for number in range(102):
        workshop.begin(f"{number:032x}")
    for page in (1, 2):
        workshop.client.get(f"/desk/?page={page}")  # waits until they are read

    def ticked(page: str) -> list[str]:
        return re.findall(r'name="visit" value="([0-9a-f]{32})" checked', page)

    def offered(page: str) -> set[str]:
        return set(re.findall(r'name="visit" value="([0-9a-f]{32})"', page))

    first = workshop.client.get("/desk/compare").text
    chosen = ticked(first)
    assert len(chosen) == 4
    assert old not in offered(first)
    assert '<button type="submit" class="second" name="page" value="2">' in first
    # what the form sends when the button of the next page is pressed
    second = workshop.client.get("/desk/compare", params={"visit": chosen, "page": 2}).text
    assert old in offered(second)
    assert len(offered(first) | offered(second)) == 103
    assert sorted(ticked(second)) == sorted(chosen)
    sought = workshop.client.get("/desk/compare", params={"visit": chosen, "words": "old 1"}).text
    assert offered(sought) == {*chosen, old}
    assert sorted(ticked(sought)) == sorted(chosen)
    both = workshop.client.get("/desk/compare", params={"visit": [*chosen, old]}).text
    assert f'<th scope="col"><a href="/desk/visits/{old}">' in both
    nobody = workshop.client.get("/desk/compare", params={"words": "nobody"}).text
    assert offered(nobody) == set()
