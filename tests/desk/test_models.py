"""Models that the shop remembers, at the desk: kept, begun from a car, taken, written and read."""

from __future__ import annotations

import json
from typing import Any

import pytest

from bradawl.desk.model.profiles import shop_models as models
from tests.desk.conftest import VISIT, Workshop

LIST = "/desk/models"
FORM = {
    "make": "Brasthorn",
    "model": "Killdeer",
    "from": "1992",
    "to": "1996",
    "notes": "Rots behind the rear wheels.",
    "circuits": "dual",
    "pad_least_front": "3",
    "pad_least_front:unit": "mm",
    "pad_least_front:from": "manual",
    "look-0:item": "sensor plugs",
    "look-0:chance": "often",
    "look-0:note": "Chewed.",
}
VALUE = {
    "make": "Brasthorn",
    "model": "Killdeer",
    "from": 1992,
    "to": 1996,
    "notes": "Rots behind the rear wheels.",
    "facts": {
        "circuits": "dual",
        "pad_least_front": {"typed": "3", "unit": "mm", "from": "manual"},
    },
    "look": [{"item": "electrical.pigtails", "chance": "often", "note": "Chewed."}],
}


def standing(shop: Workshop) -> list[dict[str, Any]]:
    return [models.plain(model) for model in models.models_of(shop.log).values()]


def keep(shop: Workshop, **more: str) -> str:
    answer = shop.client.post(f"{LIST}/new", data={**FORM, **more}, follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, LIST), answer.text
    return next(iter(models.models_of(shop.log)))


def test_a_model_is_kept_edited_and_forgotten(workshop: Workshop) -> None:
    name = keep(workshop)
    assert standing(workshop) == [VALUE]
    assert "Brasthorn Killdeer 1992–1996" in workshop.client.get(LIST).text
    page = workshop.client.get(f"{LIST}/{name}").text
    assert 'value="Sensor plugs"' in page
    assert '<option value="manual" selected>' in page
    workshop.client.post(f"{LIST}/{name}", data={**FORM, "to": "1997", "circuits": ""})
    [edited] = standing(workshop)
    assert (edited["to"], list(edited["facts"])) == (1997, ["pad_least_front"])
    workshop.client.post(f"{LIST}/{name}/remove")
    assert standing(workshop) == []
    assert workshop.client.get(f"{LIST}/{name}").status_code == 404


def test_a_wrong_form_keeps_nothing_and_loses_nothing(workshop: Workshop) -> None:
    wrong = {**FORM, "make": "", "from": "92", "look-0:item": "Nothing such"}
    answer = workshop.client.post(f"{LIST}/new", data=wrong)
    assert answer.status_code == 422
    for text in ("Make: type what", "First year", "“Nothing such” is no check", 'value="Killdeer"'):
        assert text in answer.text
    assert standing(workshop) == []
    backwards = workshop.client.post(f"{LIST}/new", data={**FORM, "to": "1990"})
    assert (backwards.status_code, standing(workshop)) == (422, [])


def begin(shop: Workshop) -> None:
    shop.begin()
    names = [("car/make", "BRASTHORN"), ("car/model", "kill deer"), ("car/year", 1994)]
    shop.write([*names, ("car/gearbox", "manual"), ("car/vin", "123")])


def test_a_model_begins_with_what_a_car_has(workshop: Workshop) -> None:
    begin(workshop)
    kept = {"typed": "2", "unit": "mm", "from": "part", "model": "Another"}
    workshop.write([("car/pad_least_rear", kept)])
    page = workshop.client.get(f"{LIST}/new?visit={VISIT}").text
    assert 'value="BRASTHORN"' in page
    form = {
        "visit": VISIT,
        "make": "Brasthorn",
        "model": "Killdeer",
        "from": "1994",
        "pad_least_rear": "2",
        "pad_least_rear:unit": "mm",
        "pad_least_rear:from": "part",
    }
    workshop.client.post(f"{LIST}/new", data=form)
    [model] = standing(workshop)
    assert model["facts"] == {
        "gearbox": "manual",
        "pad_least_rear": {"typed": "2", "unit": "mm", "from": "part"},
    }


def test_a_car_takes_its_models_figures_and_keeps_its_own(workshop: Workshop) -> None:
    keep(workshop)
    begin(workshop)
    workshop.write([("car/circuits", "single")])
    page = f"/desk/visits/{VISIT}/profile"
    assert "The shop remembers Brasthorn Killdeer 1992–1996." in workshop.client.get(page).text
    workshop.client.post(f"{page}/take")
    cells = workshop.snapshot(VISIT).cells
    assert cells["car/circuits"]["value"] == "single"
    assert cells["car/pad_least_front"]["value"] == {
        **VALUE["facts"]["pad_least_front"],
        "model": "Brasthorn Killdeer 1992–1996",
    }
    assert cells["car/look_first"]["value"] == VALUE["look"]
    assert "Began with the shop&#39;s figures" in workshop.client.get(page).text


def read_in(shop: Workshop, data: str | bytes) -> Any:
    body = data if isinstance(data, bytes) else data.encode()
    return shop.client.post(
        f"{LIST}/import", files={"file": ("m.json", body)}, follow_redirects=False
    )


def test_a_file_read_in_again_changes_nothing(workshop: Workshop) -> None:
    name = keep(workshop)
    keep(workshop, model="Adze", **{"look-0:note": "“Ä”"})
    written = workshop.client.get(f"{LIST}/export").text
    before = standing(workshop)
    count = len(workshop.log.events_in("shop"))
    assert read_in(workshop, written).status_code == 303
    assert (standing(workshop), len(workshop.log.events_in("shop"))) == (before, count)
    for known in models.models_of(workshop.log):
        workshop.client.post(f"{LIST}/{known}/remove")
    assert read_in(workshop, "\ufeff" + written).status_code == 303
    assert standing(workshop) == before
    assert name not in models.models_of(workshop.log)


def file(**change: Any) -> str:
    return json.dumps({"format": "bradawl-models", "version": 1, "models": [VALUE], **change})


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"\xff\xfe", "m.json is no JSON file."),
        ("[" * 100_000, "m.json is no JSON file."),
        ("[]", "m.json is no file of models."),
        (file(format="else"), "m.json is no file of models."),
        (file(version=2), "m.json was written by a newer Bradawl."),
        (file(models=[{**VALUE, "make": ""}]), "Killdeer, make: empty."),
        (file(models=[{**VALUE, "color": 1}]), "Brasthorn Killdeer, color: no such field."),
        (file(models=[VALUE, {"make": "A"}]), "A None, model: missing."),
        (file(models=[{**VALUE, "from": "1992"}]), "Brasthorn Killdeer, from: not what belongs"),
        (
            file(models=[{**VALUE, "to": 1990}]),
            "The last year comes before the first. Correct one of them. Brasthorn Killdeer",
        ),
        (
            file(models=[{**VALUE, "look": [{"item": "a.b"}]}]),
            "Brasthorn Killdeer, look, 0: say how often by a word or by a percent",
        ),
    ],
)
def test_a_file_that_is_wrong_says_so_and_nothing_is_taken(
    data: str | bytes, sentence: str, workshop: Workshop
) -> None:
    keep(workshop)
    answer = read_in(workshop, data)
    assert answer.status_code == 422
    assert sentence in answer.text
    assert "what the shop has is as it was" in answer.text
    assert standing(workshop) == [VALUE]


def test_the_menu_of_every_page_leads_to_the_models(workshop: Workshop) -> None:
    menu = workshop.client.get("/desk/").text.split("</nav>")[0]
    assert f'<a href="{LIST}">Models</a>' in menu
    assert f'<a href="{LIST}" aria-current="page">Models</a>' in workshop.client.get(LIST).text
