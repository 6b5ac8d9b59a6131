"""Must-haves and reasons to leave at the desk: chosen, answered, moved, taken back, and refused.

Which checks tell is the real checklist's (common practice, no source); the oracle is what was sent.
"""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from fastapi.testclient import TestClient

from bradawl.report.model.editions.choice import EDITIONS
from tests.desk.conftest import PHONE
from tests.desk.whole_server import browser_of, standing, whole_server
from tests.report.tools import build, flowing

VISIT = "d" * 32
PAGE = f"/desk/visits/{VISIT}/purpose"


@pytest.fixture(scope="module")
def core(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with whole_server(tmp_path_factory.mktemp("data")) as core:
        yield core


@pytest.fixture
def client(core: Any) -> TestClient:
    """At a car of its own for each test: all wants of the one before are taken back."""
    cells = standing(core, VISIT, "wants/")
    begun = [
        ("about/bundle", core.checklists.hash),
        ("about/started", {"date": "2026-11-25", "time": "09:20", "zone": "+01:00"}),
        ("about/currency", "USD"),
        ("about/region", "us"),
        ("about/asking_price", 4200),
        ("brief/uses", ["show"]),
    ]
    core.log.append(PHONE, VISIT, [*begun, *((path, None) for path in cells)])
    return browser_of(core)


def test_from_the_list_to_what_the_judge_says_and_back(core: Any, client: TestClient) -> None:
    shown = client.get(PAGE).text
    # what fits what it is for stands first
    assert shown.index("Factory-correct") < shown.index("Others") < shown.index("Tows a trailer")
    client.post(f"{PAGE}/take", data={"want": ["factory-correct", "two-circuits", "rot"]})
    assert standing(core, VISIT, "wants/") == {
        "wants/factory-correct/must": 1, "wants/two-circuits/must": 2, "wants/rot/leave": True,
    }  # fmt: skip
    assert "the safer brakes aren" in client.get(PAGE).text
    client.post(f"{PAGE}/change", data={"want": "two-circuits", "up": "1"})
    assert standing(core, VISIT, "wants/")["wants/factory-correct/must"] == 2
    core.log.append(PHONE, VISIT, [("items/brakes.circuits/choice", "one")])
    assert 'data-want="two-circuits" data-standing="against"' in client.get(PAGE).text
    client.post(f"{PAGE}/change", data={"want": "two-circuits", "remove": "1"})
    assert "wants/two-circuits/must" not in standing(core, VISIT, "wants/")
    gone = client.post(f"{PAGE}/change", data={"want": "two-circuits", "remove": "1"})
    assert gone.status_code == 409
    assert "removed since" in gone.text


def test_the_shops_own_copy_tells_what_was_wanted_and_no_other_does(
    core: Any, client: TestClient, tmp_path: Path
) -> None:
    """Nothing of it stands in another edition: not on its pages, not in what is attached."""
    client.post(f"{PAGE}/take", data={"want": ["belts", "airbags-gone", "factory-correct"]})
    client.post(f"{PAGE}/own", data={"side": "must", "words": "Fits my garage"})
    core.log.append(PHONE, VISIT, [("items/interior.belts-rear/choice", "none")])
    told = ("Fits my garage", "A good belt for everyone", "An airbag is missing", "Must-have")
    editions = sorted(EDITIONS)
    assert "partner" in editions
    for name in editions:
        file = tmp_path / f"{name}.pdf"
        file.write_bytes(build(core.snapshot(VISIT), name, None, today="2026-11-25"))
        pages = flowing(file)
        assert ("What was wanted of it" in pages) == (name == "partner"), name
        with pikepdf.open(file) as pdf:
            attached = b" ".join(
                spec.get_file().read_bytes() for spec in pdf.attachments.values()
            ).decode(errors="replace")
        for words in told:
            assert (words in pages) == (name == "partner"), (name, words)
        if name == "partner":
            assert "Fits my garage" in attached
        else:
            assert "Fits my garage" not in attached
            assert "reason-want" not in attached
            assert '"wants/' not in attached


def test_lines_of_ones_own_hang_on_a_check_a_figure_or_a_word(
    core: Any, client: TestClient
) -> None:
    leave = {"side": "leave", "words": ""}
    client.post(f"{PAGE}/own", data={**leave, "tells": "asking", "most": "$4,000"})
    client.post(f"{PAGE}/own", data={**leave, "tells": "odometer", "most": "90,000", "unit": "mi"})
    check = {"tells": "check", "check": "body.bonnet-catch", "grade": "major"}
    client.post(f"{PAGE}/own", data={**leave, "words": "The hood", **check})
    client.post(f"{PAGE}/own", data={"side": "must", "words": "Fits my garage"})
    shown = client.get(PAGE).text
    assert '<b>Asks more than $4,000</b>: <span class="bad">Came true' in shown
    assert "<b>More than 90,000 mi on the odometer</b>: <span>Not known yet" in shown
    fits = next(
        path for path, value in standing(core, VISIT, "wants/").items() if value == 1
    ).split("/")[1]
    client.post(f"{PAGE}/change", data={"want": fits, "so": "yes"})
    assert standing(core, VISIT, "wants/")[f"wants/{fits}/so"] is True
    # what is wrong is said, and nothing recorded
    before = standing(core, VISIT, "wants/")
    for wrong, told in (
        ({**leave, "tells": "so"}, "Type it first"),
        ({**leave, "tells": "check", "check": "no.such", "grade": "major"}, "Choose the check"),
        ({**leave, "tells": "work", "most": "much"}, "Cost of work"),
    ):
        page = client.post(f"{PAGE}/own", data=wrong)
        assert page.status_code == 422
        assert told in page.text
    many = ["solid", "clean-paper", "reliable", "belts", "thrifty"]
    page = client.post(f"{PAGE}/take", data={"want": many})
    assert page.status_code == 422
    assert "Five must-haves are enough" in page.text
    assert standing(core, VISIT, "wants/") == before
