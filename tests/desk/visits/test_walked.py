"""Two people walked one car: who did which stage, by the names they gave, which are invented."""

from __future__ import annotations

from bradawl.desk.model.visits.people import called, names_given
from bradawl.desk.model.visits.walked import Share, walked
from tests.desk.conftest import DESK, NAMES, OTHER_PHONE, PHONE, VISIT, Workshop


def rows(workshop: Workshop) -> list[tuple[str, str, int, tuple[Share, ...]]]:
    snapshot = workshop.snapshot(VISIT)
    name_of = called(snapshot.cells, lambda device: NAMES.get(device, device))
    found = walked(snapshot, name_of, workshop.log.own_devices)
    return [(row.title, row.taken_by, row.done, row.shares) for row in found]


def test_each_stage_says_who_took_it_and_whose_answers_it_has(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write(
        [(f"people/{PHONE}", {"name": "Ana"}), ("items/rust.sill/grade", {"grade": "minor"})]
    )
    assert rows(workshop) == []  # one phone: nothing of it shows
    workshop.write([("taken/underneath", True)], device=OTHER_PHONE)
    [(shown, taken_by, done, shares)] = rows(workshop)
    assert (shown, taken_by, done) == ("Under the car", "Second phone", 1)
    assert shares == (Share("Ana (First phone)", 1),)
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    assert 'id="walked"' in page
    assert "Ana (First phone): 1" in page
    history = workshop.client.get(f"/desk/visits/{VISIT}/history").text
    assert "Ana (First phone)" in history
    assert "Taken on: Under the car" in history


def test_a_conflict_names_the_people_and_a_phones_settling_needs_no_reason(
    workshop: Workshop,
) -> None:
    path = "items/rust.sill/grade"
    workshop.begin()
    (first,) = workshop.write([(path, {"grade": "minor"})])
    workshop.write([(f"people/{PHONE}", {"name": "Ana"})])
    (second,) = workshop.write([(path, {"grade": "major"})], device=OTHER_PHONE)
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    assert page.index('id="conflicts"') < page.index("Ana (First phone)")
    workshop.write(
        [(f"settled/{path}", {"why": ""}), (path, {"grade": "major"})],
        over={path: sorted([first, second])},
    )
    page = workshop.client.get(f"/desk/visits/{VISIT}").text
    assert "1 conflict settled" in page
    assert 'id="conflicts"' not in page
    assert page.index("1 conflict settled") < page.index("Ana (First phone)")


def test_a_phone_that_nobody_named_adds_nothing_to_its_persons_name(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write([(f"people/{PHONE}", {"name": "Ana"})])
    cells = workshop.snapshot(VISIT).cells
    assert called(cells, lambda _: "Phone")(PHONE) == "Ana"
    assert called(cells, lambda _: "Red phone")(PHONE) == "Ana (Red phone)"


def test_nobody_is_named_by_another_phone(workshop: Workshop) -> None:
    workshop.begin()
    workshop.write([(f"people/{PHONE}", {"name": "Not Ana"})], device=OTHER_PHONE)
    workshop.write([("people/short", {"name": "x"}), ("people", {"name": "y"})])
    cells = workshop.snapshot(VISIT).cells
    assert names_given(cells) == {}
    assert called(cells, lambda device: NAMES.get(device, ""))(DESK) == "Desk"
