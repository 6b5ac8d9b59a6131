"""The page of a car's own figures: what is typed there stands as the phone writes it."""

from __future__ import annotations

from typing import Any

from bradawl.desk.model.labels import label
from tests.desk.conftest import VISIT, Workshop

PAGE = f"/desk/visits/{VISIT}/profile"


def cells(workshop: Workshop) -> dict[str, Any]:
    return {
        path: cell["value"]
        for path, cell in workshop.snapshot(VISIT).cells.items()
        if path.startswith("car/") and cell["value"] is not None
    }


def test_figures_are_kept_with_unit_and_where_they_were_read(workshop: Workshop) -> None:
    workshop.begin()
    before = cells(workshop)
    form = {
        "circuits": "single",
        "firing_order": "1-3-4-2",
        "pad_least_front": "3/32",
        "pad_least_front:unit": "in",
        "pad_least_front:from": "manual",
    }
    answer = workshop.client.post(PAGE, data=form, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, PAGE)
    assert cells(workshop) == before | {
        "car/circuits": "single",
        "car/firing_order": "1-3-4-2",
        "car/pad_least_front": {"typed": "3/32", "unit": "in", "from": "manual"},
    }
    page = workshop.client.get(PAGE).text
    assert 'value="3/32"' in page
    assert '<option value="manual" selected>' in page
    assert "3 of 4" in page


def test_what_is_left_alone_is_written_no_second_time(workshop: Workshop) -> None:
    workshop.begin()
    kept = {"typed": "2", "unit": "mm", "from": "part", "model": "Sedan", "sure": True}
    workshop.write([("car/pad_least_rear", kept), ("car/firing_order", "1-2")])
    count = len(workshop.log.events_of(VISIT))
    form = {
        "pad_least_rear": "2",
        "pad_least_rear:unit": "mm",
        "pad_least_rear:from": "part",
        "firing_order": "1-2",
    }
    workshop.client.post(PAGE, data=form)
    assert len(workshop.log.events_of(VISIT)) == count
    workshop.client.post(PAGE, data={**form, "pad_least_rear": ""})
    assert "car/pad_least_rear" not in cells(workshop)


def test_what_is_wrong_is_said_and_loses_nothing(workshop: Workshop) -> None:
    workshop.begin()
    form = {
        "circuits": "three",
        "pad_least_front": "thick",
        "pad_least_front:unit": "mm",
        "firing_order": "1-3-4-2",
    }
    answer = workshop.client.post(PAGE, data=form)
    assert answer.status_code == 422
    assert "Brake circuits: pick one of those listed." in answer.text
    assert 'value="thick"' in answer.text
    assert 'value="1-3-4-2"' in answer.text
    assert "car/firing_order" not in cells(workshop)


def test_the_history_calls_a_figure_by_its_title(workshop: Workshop) -> None:
    bundle = workshop.bundle
    assert label("car/pad_least_front", bundle) == "Least pad, front"
    assert label("car/firing_order", bundle) == "Firing order"
    assert label("car/look_first", bundle) == "Look here first"
