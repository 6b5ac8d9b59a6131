"""Prices by region: whatever costs money has one where it can be wanted, and nothing else has.

That prices stand apart from the items and that a visit takes those of its region are this project's
rules; every figure itself is an assumption that its file says is one.
"""

from __future__ import annotations

import re
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
import yaml

from bradawl.checklists.files import Checklist, ChecklistError
from bradawl.checklists.loader import load
from bradawl.judge.record.regions import CURRENCIES, REGIONS
from tests.checklists.judging import assessed
from tests.checklists.loading.test_loader import AREA, fault_of, write

REMEDY = "    remedies:\n      - {id: pads, title: New pads, kind: part, for: [minor]}\n"
WITH_REMEDY = AREA.replace("    needs: []\n", REMEDY)
PRICES = """\
prices: REGION
currency: MONEY
year: 2026
hourly_rate: {amount: 100, source: assumption}
margin: {amount: 300, source: assumption}
work:
  brakes.front-pads/pads: {parts: [20, 40, 90], hours: ["1", "1", "2"], source: assumption}
"""


def priced(folder: Path, area: str = WITH_REMEDY, **files: str) -> Path:
    """A folder with a remedy and its price in each region, and what is said otherwise."""
    write(folder, area)
    (folder / "prices").mkdir(exist_ok=True)
    for region in REGIONS:
        text = PRICES.replace("REGION", region).replace("MONEY", CURRENCIES[region])
        text = files.get(region, text)
        (folder / "prices" / f"{region}.yaml").write_text(text, encoding="utf-8")
    return folder


def us(old: str, new: str) -> str:
    text = PRICES.replace("REGION", "us").replace("MONEY", "USD")
    assert old in text
    return text.replace(old, new)


def test_a_remedy_with_a_price_in_every_region_loads(tmp_path: Path) -> None:
    assert sorted(load(priced(tmp_path)).prices) == ["eu", "us"]


def test_a_remedy_without_a_price_is_named_with_its_region(tmp_path: Path) -> None:
    priced(tmp_path, us=us("front-pads/pads", "rear-pads/pads"))
    with pytest.raises(ChecklistError) as caught:
        load(tmp_path)
    missing, unknown = map(str, caught.value.faults)
    assert missing == (
        "brakes.yaml:19: brakes.front-pads/pads has no price in region us; "
        "add it under `work` in prices/us.yaml"
    )
    assert unknown == (
        "prices/us.yaml:7: nothing called 'brakes.rear-pads/pads' has a price in `work`; "
        "did you mean 'brakes.front-pads/pads'?"
    )


def test_what_one_region_alone_has_needs_a_price_there_alone(tmp_path: Path) -> None:
    only = WITH_REMEDY.replace("    remedies:", "    applies: {region: [eu]}\n    remedies:")
    load(priced(tmp_path, only, us=us("work:", "work: {}").partition("  brakes")[0]))


FAULTS = {
    "another region's currency": ("currency: USD", "currency: EUR", 2, ["EUR", "USD"]),
    "a price from practice": (
        "amount: 100, source: assumption", "amount: 100, source: practice", 4, ["practice"],
    ),
    "a price from law": (
        'hours: ["1", "1", "2"], source: assumption', 'hours: ["1", "1", "2"], source: law-here',
        7, ["law-here", "was read"],
    ),
    "figures that fall": ("[20, 40, 90]", "[20, 10, 90]", 7, ["don't go up"]),
    "a part of a dollar": ("[20, 40, 90]", '["20.50", 40, 90]', 7, ["20.50", "whole number"]),
    "no year": ("year: 2026\n", "", 1, ["`year` is missing"]),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTS)
def test_a_fault_in_a_price_names_file_line_and_remedy(name: str, tmp_path: Path) -> None:
    old, new, line, words = FAULTS[name]
    said = fault_of(priced(tmp_path, us=us(old, new)))
    assert f"prices/us.yaml:{line}: " in said, said
    for word in words:
        assert word in said, said


def test_money_beside_an_item_is_shown_the_way(tmp_path: Path) -> None:
    bare = WITH_REMEDY.replace("kind: part,", "kind: part, parts: [1, 2, 3],")
    said = fault_of(priced(tmp_path, bare))
    assert "brakes.yaml:19: pads, parts: `parts` belongs in the price files" in said


def test_two_files_of_one_region_are_one_too_many(tmp_path: Path) -> None:
    again = PRICES.replace("REGION", "us").replace("MONEY", "USD")
    (priced(tmp_path) / "prices" / "us-2.yaml").write_text(again, encoding="utf-8")
    assert "region us has prices in prices/us-2.yaml too" in fault_of(tmp_path)


# --- the real files -----------------------------------------------------------------------------


def test_no_item_holds_money(folder: Path) -> None:
    for path in folder.glob("*.yaml"):
        text = path.read_text(encoding="utf-8")
        assert not re.search(r"\b(parts|hours|cost|loss|hourly_rate|margin): [\[{\d]", text), path


def test_every_figure_says_what_it_rests_on(checklist: Checklist, folder: Path) -> None:
    for region in REGIONS:
        raw = yaml.safe_load((folder / "prices" / f"{region}.yaml").read_text(encoding="utf-8"))
        for table in ("unseen", "work", "upkeep"):
            for name, row in raw[table].items():
                status = checklist.sources[row["source"]].status
                assert status in ("read", "read-secondary", "assumption"), name
        assert raw["year"] == checklist.prices[region].year


def test_a_visit_is_priced_where_it_is(bundled: dict[str, Any], checklist: Checklist) -> None:
    knocks = {"items/engine.noise/choice": "knock"}
    for region in REGIONS:
        money = assessed(bundled, {**knocks, "about/region": region})["money"]
        prices = checklist.prices[region]
        assert (money["currency"], money["rate"]) == (CURRENCIES[region], prices.hourly_rate.amount)
        (line,) = [one for one in money["lines"] if one["item"] == "engine.noise"]
        job = prices.work[line["id"]]
        work = Decimal(job.hours[1]) * prices.hourly_rate.amount
        assert line["cost"][1] == job.parts[1] + work + job.loss
        unseen = {row["item"]: row["cost"] for row in money["reserve"]["items"]}
        assert unseen["body.panels"] == list(prices.unseen["body.panels"].cost)
    assert assessed(bundled, knocks)["money"]["currency"] == "USD"


def test_a_shops_own_figures_stand_above_the_price_file(bundled: dict[str, Any]) -> None:
    own = {
        "items/road.temperature/choice": "climbs",
        "plan/remedies/road.temperature/thermostat": {"parts": [7, 8, 9]},
        "brief/hourly_rate": 0,
        "about/currency": "CAD",
    }
    money = assessed(bundled, own)["money"]
    costs = [one["cost"] for one in money["lines"] if one["item"] == "road.temperature"]
    assert [7, 8, 9] in costs
    assert money["currency"] == "CAD"
