"""The parts sheet: what is typed becomes events of single cells, and nobody's typing is lost.

Sums are worked out by hand beside each check.
"""

from __future__ import annotations

from typing import Any

import pytest
from fastapi.testclient import TestClient

from tests.desk.browse import form
from tests.desk.conftest import DESK, VISIT, Workshop

PARTS = f"/desk/visits/{VISIT}/parts"
HOSE, CAP = "a" * 12, "c" * 12
MEND = "electrical.pigtails/mend"


@pytest.fixture
def shop(workshop: Workshop) -> Workshop:
    workshop.begin()
    workshop.write(
        [
            ("about/currency", "USD"),
            ("items/brakes.pads/grade", {"grade": "dangerous"}),
            ("items/electrical.pigtails/grade", {"grade": "major"}),
        ]
    )
    return workshop


def send(shop: Workshop, *changes: tuple[str, str, str], since: str = "") -> dict[str, Any]:
    answer = shop.client.post(f"{PARTS}/changes", json={"changes": changes, "since": since})
    assert answer.status_code == 200, answer.text
    found: dict[str, Any] = answer.json()
    return found


def written(shop: Workshop) -> dict[str, Any]:
    """What the desk itself recorded, by path."""
    events = shop.log.events_of(VISIT)
    return {one["put"]: one["value"] for one in events if one["put"].startswith(("parts", "plan"))}


def test_a_cell_that_is_typed_becomes_one_event(shop: Workshop) -> None:
    before = len(shop.log.events_of(VISIT))
    answer = send(shop, (f"parts/{HOSE}/what", "", "Front brake hose"))
    assert answer["cells"] == {f"parts/{HOSE}/what": ["Front brake hose", "Front brake hose"]}
    events = shop.log.events_of(VISIT)[before:]
    assert [(one["put"], one["value"]) for one in events] == [
        (f"parts/{HOSE}/what", "Front brake hose")
    ]


# the ways an American writes them; the figures are what they mean
@pytest.mark.parametrize(
    ("typed", "recorded", "shown"),
    [
        ("47.83", {"quote_cents": 4783}, "$47.83"),
        ("$1,300", {"quote_cents": 130_000}, "$1,300"),
        ("1,300", {"quote_cents": 130_000}, "$1,300"),
        ("1.3k", {"quote_cents": 130_000}, "$1,300"),
        ("40-60", {"low_cents": 4000, "likely_cents": 5000, "high_cents": 6000}, "$40–$60"),
        ("$40 to $60", {"low_cents": 4000, "likely_cents": 5000, "high_cents": 6000}, "$40–$60"),
        ("40/55/80", {"low_cents": 4000, "likely_cents": 5500, "high_cents": 8000}, "$40–$80"),
        ("40.50–60.50", {"low_cents": 4050, "likely_cents": 5050, "high_cents": 6050}, None),
        ("~50", {"low_cents": 5000, "likely_cents": 5000, "high_cents": 5000}, "about $50"),
    ],
)
def test_one_cell_takes_a_firm_price_or_an_estimate(
    shop: Workshop, typed: str, recorded: dict[str, int], shown: str | None
) -> None:
    path = f"parts/{HOSE}/price"
    answer = send(shop, (path, "", typed))
    held = {name.rpartition("/")[2]: value for name, value in written(shop).items()}
    assert held == recorded
    raw, said = answer["cells"][path]
    assert said == (shown or said)
    # what a cell is typed as means the same when it is typed again
    assert send(shop, (path, raw, raw))["conflicts"] == {}
    assert {name.rpartition("/")[2]: value for name, value in written(shop).items()} == recorded


def test_a_firm_price_keeps_the_guess_beside_it_and_a_new_guess_takes_it_back(
    shop: Workshop,
) -> None:
    path = f"parts/{HOSE}/price"
    send(shop, (path, "", "40-60"))
    send(shop, (path, "40-60", "47.83"))
    assert written(shop)[f"parts/{HOSE}/low_cents"] == 4000
    assert written(shop)[f"parts/{HOSE}/quote_cents"] == 4783
    assert send(shop, (path, "47.83", "50-70"))["cells"][path] == ["50-70", "$50–$70"]
    assert written(shop)[f"parts/{HOSE}/quote_cents"] is None
    assert send(shop, (path, "50-70", ""))["cells"][path] == ["", ""]
    assert set(written(shop).values()) == {None}


@pytest.mark.parametrize(
    ("column", "typed", "part"),
    [
        ("price", "cheap", "isn't an amount"),
        ("price", "60-40", "out of order"),
        ("price", "1/2/3/4", "isn't a price"),
        ("price", "40-", "isn't a price"),
        ("quantity", "0", "isn't a quantity"),
        ("quantity", "some", "isn't a quantity"),
        ("due_on", "soon", "isn't a date"),
        ("hours_done", "long", "isn't a number of hours"),
        ("state", "lost", "isn't one of To find, Asked"),
        ("job", "nothing", "isn't a job"),
        ("what", "x" * 201, "too long"),
    ],
)
def test_what_cannot_be_read_is_said_and_the_rest_is_kept(
    shop: Workshop, column: str, typed: str, part: str
) -> None:
    path = f"parts/{HOSE}/{column}"
    stands = "To find" if column == "state" else ""
    answer = send(shop, (f"parts/{CAP}/what", "", "Cap"), (path, stands, typed))
    assert part in answer["problems"][path]
    assert list(written(shop)) == [f"parts/{CAP}/what"]


def test_dates_counts_and_choices_are_read_as_an_american_types_them(shop: Workshop) -> None:
    answer = send(
        shop,
        (f"parts/{HOSE}/due_on", "", "11/25/2025"),
        (f"parts/{HOSE}/quantity", "", "2 1/2"),
        (f"parts/{HOSE}/state", "To find", "ordered"),
        (f"parts/{HOSE}/need", "Needed", "Wanted"),
        (f"parts/{HOSE}/hours_planned", "", "1.5"),
        (f"parts/{HOSE}/freight", "", "$9.50"),
        (f"parts/{HOSE}/job", "", "Replace the pads"),
    )
    assert answer["problems"] == {}
    assert answer["conflicts"] == {}
    name = f"parts/{HOSE}/"
    assert written(shop) == {
        name + "due_on": "2025-11-25",
        name + "quantity": "2.5",
        name + "state": "ordered",
        name + "need": False,
        name + "hours_planned": "1.5",
        name + "freight_cents": 950,
        name + "job": "brakes.pads/pads",
    }
    assert answer["cells"][name + "due_on"] == ["Nov 25, 2025", "Nov 25, 2025"]


def test_sums_are_those_that_a_pencil_gives(shop: Workshop) -> None:
    answer = send(
        shop,
        (f"parts/{HOSE}/job", "", MEND),
        (f"parts/{HOSE}/quantity", "", "2"),
        (f"parts/{HOSE}/price", "", "47.83"),
        (f"parts/{HOSE}/freight", "", "9.99"),
        (f"parts/{HOSE}/state", "To find", "Ordered"),
        (f"parts/{CAP}/job", "", MEND),
        (f"parts/{CAP}/price", "", "40/55/80"),
        (f"parts/{'d' * 12}/what", "", "Radio"),
        (f"parts/{'d' * 12}/need", "Needed", "Wanted"),
        (f"parts/{'e' * 12}/price", "", "10"),
        (f"parts/{'e' * 12}/state", "To find", "Returned"),
    )
    # 2 x 47.83 + 9.99 = 105.65; (40 + 4 x 55 + 80) / 6 = 56.67; together 162.32
    assert answer["sums"][f"parts/{HOSE}"] == "$105.65"
    assert answer["sums"][f"parts/{CAP}"] == "about $56.67"
    assert answer["sums"][f"job/{MEND}"] == "$162.32"
    assert answer["totals"] == {
        "needed": "$162.32",
        "wanted": "$0",
        "open": "$56.67",
        "committed": "$105.65",
        "unpriced": "1",
    }


def test_columns_that_two_people_change_merge_and_one_cell_is_shown(shop: Workshop) -> None:
    send(shop, (f"parts/{HOSE}/what", "", "Hose"), (f"parts/{HOSE}/price", "", "40"))
    send(shop, (f"parts/{HOSE}/price", "40", "52"))  # the first tab
    second = send(
        shop, (f"parts/{HOSE}/vendor", "", "Corner Parts"), (f"parts/{HOSE}/price", "40", "48")
    )
    assert second["cells"] == {f"parts/{HOSE}/vendor": ["Corner Parts", "Corner Parts"]}
    assert second["conflicts"] == {f"parts/{HOSE}/price": ["52", "$52"]}
    assert written(shop)[f"parts/{HOSE}/quote_cents"] == 5200
    # seen, and kept all the same
    third = send(shop, (f"parts/{HOSE}/price", "52", "48"))
    assert third["conflicts"] == {}
    assert written(shop)[f"parts/{HOSE}/quote_cents"] == 4800


def test_a_change_that_is_sent_twice_is_written_once(shop: Workshop) -> None:
    change = (f"parts/{HOSE}/what", "", "Hose")
    send(shop, change)
    before = len(shop.log.events_of(VISIT))
    answer = send(shop, change)
    assert answer["cells"][f"parts/{HOSE}/what"] == ["Hose", "Hose"]
    assert len(shop.log.events_of(VISIT)) == before


def test_a_page_learns_what_others_wrote(shop: Workshop) -> None:
    first = send(shop, (f"parts/{HOSE}/what", "", "Hose"))
    assert shop.client.get(f"{PARTS}/cells", params={"since": first["stamp"]}).json() == {
        "stamp": first["stamp"]
    }
    shop.log.append(DESK, VISIT, [(f"parts/{CAP}/what", "Cap")])
    later = shop.client.get(f"{PARTS}/cells", params={"since": first["stamp"]}).json()
    assert later["all"]["cells"][f"parts/{CAP}/what"] == ["Cap", "Cap"]
    # who writes without having looked gets it with the answer
    shop.log.append(DESK, VISIT, [(f"parts/{CAP}/number", "DC-77")])
    own = send(shop, (f"parts/{HOSE}/number", "", "BH-1"), since=later["stamp"])
    assert own["all"]["cells"][f"parts/{CAP}/number"] == ["DC-77", "DC-77"]
    assert "all" not in send(shop, (f"parts/{HOSE}/number", "BH-1", "BH-2"), since=own["stamp"])


def test_a_line_is_removed_and_brought_back(shop: Workshop) -> None:
    send(shop, (f"parts/{HOSE}/what", "", "Hose"))
    gone = send(shop, (f"parts/{HOSE}/removed", "", "1"))
    assert "Hose" not in shop.client.get(PARTS).text
    assert f"parts/{HOSE}" not in gone["sums"]
    send(shop, (f"parts/{HOSE}/removed", "1", ""))
    assert "Hose" in shop.client.get(PARTS).text


def test_a_job_takes_one_firm_price_or_a_range_in_its_row(shop: Workshop) -> None:
    assert send(shop, (f"job/{MEND}/price", "10/15/30", "47.40"))["problems"] == {}
    assert written(shop)[f"plan/remedies/{MEND}"]["parts"] == [47, 47, 47]
    send(shop, (f"job/{MEND}/price", "47", "40-60"), (f"job/{MEND}/hours_planned", "0.5/1/2", "3"))
    held = written(shop)[f"plan/remedies/{MEND}"]
    assert (held["parts"], held["hours"]) == ([40, 50, 60], ["3", "3", "3"])
    late = send(shop, (f"job/{MEND}/price", "47", "99"))
    assert late["conflicts"] == {f"job/{MEND}/price": ["40/50/60", "$40–$60"]}
    none = send(shop, ("job/none/price", "", "9"), (f"job/{MEND}/vendor", "", "x"))
    assert set(none["problems"]) == {"job/none/price", f"job/{MEND}/vendor"}


def test_a_quantity_is_what_was_counted_at_the_car(shop: Workshop) -> None:
    quick = shop.snapshot

    def counted(visit: str) -> Any:
        found = quick(visit)
        remedy: Any = found.rules["items"]["electrical.pigtails"]["remedies"][0]
        remedy["per"] = "wires"
        fact: Any = {"value": "5", "unit": "1"}
        found.assessment["items"]["electrical.pigtails"]["facts"]["wires_all"] = fact
        return found

    shop.snapshot = counted  # type: ignore[method-assign]
    shop.client = TestClient(shop.site())
    _, fields = fields_of(shop, f"{PARTS}/line/new?job={MEND}")
    assert (fields["quantity"], fields["job"]) == ("5", MEND)
    assert f'data-row="job/{MEND}" data-count="5"' in shop.client.get(PARTS).text


def fields_of(shop: Workshop, address: str) -> tuple[str, dict[str, str]]:
    """Where the form of a line is sent to, and what stands in it."""
    text = shop.client.get(address).text
    action = text.partition('<form method="post" action="')[2].partition('"')[0]
    return action, dict(form(text, action))


def test_without_scripts_one_line_is_changed_at_a_time(shop: Workshop) -> None:
    action, fields = fields_of(shop, f"{PARTS}/line/new")
    answer = shop.client.post(action, data={**fields, "what": "Hose", "price": "47.83"})
    assert answer.status_code == 200
    assert "Hose" in answer.text
    assert {name.rpartition("/")[2]: value for name, value in written(shop).items()} == {
        "what": "Hose",
        "quote_cents": 4783,
    }


def test_a_form_writes_only_what_was_changed_and_shows_what_another_wrote(shop: Workshop) -> None:
    send(shop, (f"parts/{HOSE}/what", "", "Hose"), (f"parts/{HOSE}/price", "", "40"))
    address = f"{PARTS}/line/{HOSE}"
    fields = dict(form(shop.client.get(address).text, address))
    send(shop, (f"parts/{HOSE}/price", "40", "52"), (f"parts/{HOSE}/vendor", "", "Yard"))
    shop.client.post(address, data={**fields, "number": "BH-1"})
    held = written(shop)
    assert held[f"parts/{HOSE}/quote_cents"] == 5200
    assert held[f"parts/{HOSE}/vendor"] == "Yard"
    assert held[f"parts/{HOSE}/number"] == "BH-1"
    refused = shop.client.post(address, data={**fields, "price": "48"})
    assert refused.status_code == 422
    assert "somebody else changed this to $52" in refused.text
    assert written(shop)[f"parts/{HOSE}/quote_cents"] == 5200
    # it came back with what was typed, made from what stands by now
    again = dict(form(refused.text, address))
    assert again["price"] == "48"
    assert shop.client.post(address, data=again).status_code == 200
    assert written(shop)[f"parts/{HOSE}/quote_cents"] == 4800


def test_nothing_that_a_record_may_hold_breaks_the_sheet(shop: Workshop) -> None:
    columns = ("what", "job", "quantity", "quote_cents", "low_cents", "due_on", "state", "need")
    for odd in ([], {"a": 1}, -5, "x" * 300, True, "\u202e", 10**15):
        shop.write([(f"parts/{HOSE}/{name}", odd) for name in columns])
        assert shop.client.get(PARTS).status_code == 200
        assert shop.client.get(f"{PARTS}/cells").status_code == 200
        assert shop.client.get(f"{PARTS}/line/{HOSE}").status_code == 200
