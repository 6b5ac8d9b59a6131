"""The drive home on a car's page: its stops as they were recorded, and no plan for a car to haul.

The stops are invented; its oracle is what was recorded. That one stops after 5 and 20 miles and
every 50 is common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

import pytest

from tests.desk.conftest import PHONE
from tests.desk.whole_server import browser_of, whole_server

HUB = "brakes.own-drive-1-hub-front-left"
NUTS = "tyres.own-drive-0-nuts"
WHEN = {"date": "2026-11-25", "time": "14:05", "zone": "-06:00"}


@pytest.fixture(scope="module")
def core(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with whole_server(tmp_path_factory.mktemp("data")) as core:
        yield core


def page(core: Any, visit: str, puts: list[tuple[str, Any]]) -> str:
    """A car's page, of which all was looked at, and then what is given was recorded."""
    facts: dict[str, Any] = {
        "about/bundle": core.checklists.hash,
        "about/region": "us",
        "about/distance_home": {"typed": "40", "unit": "mi"},
        "car/odometer": {"typed": "142013", "unit": "mi"},
        **{f"about/{name}": False for name in ("dark", "wet", "motorway")},
    }
    fine = [
        (f"items/{item['id']}/grade", {"grade": "none"}) for item in core.checklists.value["items"]
    ]
    core.log.append(PHONE, visit, [*facts.items(), *fine])
    core.log.append(PHONE, visit, puts)
    client = browser_of(core, follow=True)
    answer = client.get(f"/desk/visits/{visit}")
    assert answer.status_code == 200, answer.text
    return re.sub(r"\s+", " ", answer.text)


def stop(text: str, name: str) -> str:
    found = re.search(rf'<li data-stop="{name}">(.*?)</li>', text)
    assert found is not None, text
    return re.sub(r"<[^>]*>", " ", found[1])


def test_the_stops_of_a_drive_stand_on_the_cars_page(core: Any) -> None:
    text = page(
        core,
        "d" * 32,
        [
            ("items/fluids.coolant-leak/grade", {"grade": "minor"}),
            ("drive/0/parked", WHEN),
            ("drive/0/nuts", {"answer": "bad"}),
            (f"items/{NUTS}/text", "Lug nuts: Loose or missing (before the drive home)"),
            (f"items/{NUTS}/grade", {"grade": "dangerous"}),
            (f"work/{NUTS}/mend/photos/{'a' * 64}", {"caption": ""}),
            (f"work/{NUTS}/mend/after/{NUTS}/grade", {"grade": "none"}),
            ("drive/0/lights", {"answer": "fine"}),
            ("drive/1/parked", WHEN),
            ("drive/1/odometer", {"typed": "142018", "unit": "mi"}),
            ("drive/1/oil", {"answer": "none"}),
            ("drive/1/hub/front-left", {"answer": "fine"}),
            ("drive/3/fuel", {"answer": "fine"}),
            ("drive/4/no-such-sign", {"answer": "fine"}),
            # no stop, no answer: passed over
            ("drive/x/fuel", {"answer": "bad"}),
            ("drive/007/fuel", {"answer": "bad"}),
            ("drive/5/fuel", "bad"),
            ("drive/home/parked", WHEN),
        ],
    )
    names = re.findall(r'<li data-stop="([^"]*)">', text)
    assert names == ["0", "1", "3", "4", "5", "home"]
    assert "Before it rolls" in stop(text, "0")
    assert "1 fine." in stop(text, "0")
    assert "Lug nuts: Loose or missing, fixed." in stop(text, "0")
    for words in ("After 5 mi", "142,018 mi", "1 fine.", "Oil pressure: No gauge."):
        assert words in stop(text, "1")
    assert "After 50 mi" in stop(text, "3")
    assert "After 100 mi" in stop(text, "4")
    assert "Nov 25, 2026" in stop(text, "home")
    # what was found makes the plan, each line with its why
    assert re.search(r"Two gallons of water <span[^>]*>Found: Coolant leaks", text)
    assert "Two quarts of oil" not in text


def test_a_hot_hub_leads_to_its_finding_and_leaves_no_plan(core: Any) -> None:
    text = page(
        core,
        "e" * 32,
        [
            ("drive/1/parked", WHEN),
            ("drive/1/hub/front-left", {"answer": "bad"}),
            (f"items/{HUB}/text", "Heat at the hub, front left: Hot (drive home, after 5 mi)"),
            (f"items/{HUB}/grade", {"grade": "dangerous"}),
        ],
    )
    anchor = "item-" + HUB.replace(".", "-")
    assert f'<a href="#{anchor}">Heat at the hub, front left: Hot.</a>' in text
    assert f'id="{anchor}"' in text
    assert "Trailer it." in text
    assert "In the trunk" not in text
