"""No value that the log takes makes a page, a file, a report or the judge fail.

The fast form of the sweep; `python -m tests.fuzz visits --seconds 600` is the long one.
"""

from __future__ import annotations

import csv
import io
import json
import random
import time
from collections.abc import Iterator
from typing import Any

import pikepdf
import pytest
from openpyxl import load_workbook

from bradawl.judge import ask, assess, fold
from tests.amount import amount
from tests.checkout import checklist_bundle
from tests.log.writer import Writer
from tests.nasty.site import KEY, Site, known_paths, pages_of, reports_of
from tests.nasty.values import OBJECTS, OTHERS, TEXTS, VALUES, handed_out
from tests.nasty.visits import STANDING, Puts, fit, spiked
from tests.writing import plain

#: Items that compute something, have remedies or take photos: one of each kind would do.
ITEMS = ("brakes.front-pads", "rust.sills", "engine.compression", "papers.oil-change")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    made = Site(tmp_path_factory.mktemp("data"))
    yield made
    made.close()


def items(site: Site) -> list[str]:
    known = {item["id"] for item in site.bundle["items"]}
    found = [one for one in ITEMS if one in known]
    return found or sorted(known)[:4]


def test_no_page_of_a_visit_is_left_out(site: Site) -> None:
    known = {one.partition("?")[0] for one in [*pages_of("{visit}"), *reports_of("{visit}")]}
    there = [one for one in site.addresses() if one.startswith("/desk/visits/{visit}")]
    assert len(there) > 10
    told = {"{name}": "rich", "{line}": "4a1b2c3d4e5f", "{form}": "bill"}
    shown = known | {f"{one}/parts/cells" for one in known}  # what changed since, for a script
    for word, said in told.items():
        there = [one.replace(word, said) for one in there]
    assert [one for one in there if one not in shown] == []


def test_every_page_without_a_name_in_it_is_shown_beside_odd_visits(site: Site) -> None:
    plain = [one for one in site.addresses() if "{" not in one]
    assert "/desk/" in plain
    for address in plain:
        site.ask(address)


def test_a_visit_of_nothing_but_odd_values_is_shown(site: Site) -> None:
    """Every value stands at some path, and every path holds some value."""
    paths = known_paths(site.bundle, items(site))
    names = sorted(VALUES)
    chance = random.Random(1)
    chance.shuffle(paths)
    puts = [
        (path, VALUES[names[number % len(names)]])
        for number, path in enumerate(paths)
        if path != "about/bundle"
    ]
    assert len(puts) > len(names)
    visit = site.record([("about/bundle", site.bundle["hash"]), *STANDING, *puts])
    for address in [*pages_of(visit), *reports_of(visit)]:
        assert site.ask(address).status_code == 200, address


@pytest.mark.parametrize("seed", range(amount(8, short=1)))
def test_a_visit_with_some_odd_values_is_shown(site: Site, seed: int) -> None:
    visit = site.record(spiked(site.bundle, random.Random(seed)))
    for address in [*pages_of(visit), *reports_of(visit)]:
        assert site.ask(address).status_code == 200, address


def test_a_report_that_is_made_in_the_background_is_made(site: Site) -> None:
    visit = site.record(spiked(site.bundle, random.Random(7)))
    offered = {"edition": "partner", "photos": "on", "seller": "on", "rest": "leave"}
    begun = site.post(f"/desk/visits/{visit}/report", data=offered)
    assert begun.status_code == 303
    job = begun.headers["location"]
    while (answer := site.ask(f"{job}/file")).status_code == 409:
        assert "could not be made" not in site.ask(job).text
        time.sleep(0.05)
    assert answer.content.startswith(b"%PDF-")


@pytest.mark.parametrize(
    "name", [one for one in VALUES if one.startswith("seal")] + ["zero", "null"]
)
def test_a_seal_of_anything_is_shown_as_one_that_does_not_match(site: Site, name: str) -> None:
    puts = [("car/make", "Testmobil"), ("items/rust.sills/grade", {"grade": "major"})]
    visit = site.record([*puts, ("seal/1", VALUES[name]), ("seal/2", VALUES[name])])
    page = site.ask(f"/desk/visits/{visit}").text
    sealed = isinstance(VALUES[name], dict)
    assert ("match its signature" in page) == sealed
    assert ("Not signed yet" in page) != sealed
    assert site.ask(reports_of(visit)[0]).status_code == 200


def test_a_visit_of_a_checklist_that_never_was_is_shown(site: Site) -> None:
    for name in ("null character", "list of everything", "null"):
        visit = site.record([("about/bundle", VALUES[name]), ("car/make", "Testmobil")])
        assert site.ask(f"/desk/visits/{visit}").status_code == 200, name


def test_what_was_recorded_leaves_in_the_record_as_it_was(site: Site) -> None:
    puts = [(f"items/rust.sills/readings/r{n}/one", value) for n, value in enumerate(
        [*TEXTS.values(), *OTHERS.values(), *OBJECTS.values()]
    )]  # fmt: skip
    visit = site.record(puts)
    record = json.loads(site.ask(f"/desk/visits/{visit}/record.json").content)
    # a value leaves as the text that was recorded
    assert [(one["put"], json.loads(one["value"])) for one in record["events"]] == puts


def test_odd_texts_stand_in_every_file_as_far_as_it_can_hold_them(site: Site) -> None:
    plain = "a remedy"
    titles = [plain, *(text for text in TEXTS.values() if text.strip())]
    puts = fit(site.bundle, random.Random(2), 5)
    puts += [
        (
            f"plan/wants/wish-{n}",
            {"title": title, "parts": [1, 2, 3], "hours": ["1", "2", "3"], "uses": ["x\0y"]},
        )
        for n, title in enumerate(titles)
    ]
    visit = site.record(puts)
    car = f"/desk/visits/{visit}"
    book = load_workbook(io.BytesIO(site.ask(f"{car}/plan.xlsx").content))
    for sheet in ("Repairs", "Jobs"):
        cells = [str(cell.value) for row in book[sheet].iter_rows() for cell in row if cell.value]
        assert plain in cells
        assert max(len(cell) for cell in cells) <= 32_767
    rows = list(csv.DictReader(io.StringIO(site.ask(f"{car}/plan.csv").text)))
    assert len([row for row in rows if row["Id"].startswith("wants/")]) == len(titles)
    page = site.ask(f"{car}/plan").text
    assert plain in page
    for odd in ("\0", "\x1b", "\x0b", "\uffff", "\u202e", "\x9b"):
        assert odd not in page
    for address in reports_of(visit):
        with pikepdf.open(io.BytesIO(site.ask(address).content)) as pdf:
            assert len(pdf.pages) > 1


@pytest.mark.parametrize(
    ("letter", "length"),
    [("m", 130), ("W", 4_000), ("rust ", 60_000), ("\u202eא", 900), ("車 ", 260)],
)
def test_long_names_overflow_neither_paper_nor_list(site: Site, letter: str, length: int) -> None:
    text = (letter * length)[:length]
    names = ("car/make", "car/model", "about/place", "about/inspector", "about/seller", "car/vin")
    puts = [*fit(site.bundle, random.Random(3), 10), *((path, text) for path in names)]
    visit = site.record(puts)
    for address in (*reports_of(visit), "/desk/"):
        answer = site.ask(address)
        assert answer.status_code == 200, address
        assert len(answer.headers.get("content-disposition", "")) < 120


def folded(puts: Puts) -> dict[str, Any]:
    """The cells of a visit, its values as the log hands them out."""
    writer = Writer(KEY)
    for path, value in puts:
        writer.put(path, handed_out(value))
    cells: dict[str, Any] = fold([plain(event) for event in writer.events])
    return cells


def test_the_judge_takes_what_the_log_takes() -> None:
    held = checklist_bundle()
    for seed in range(4):
        cells = folded(spiked(held, random.Random(seed), 0.5))
        judged = assess({"visit": "v", "cells": cells}, held["rules"], "2026-11-25")
        asked = {item for item in judged["items"] if ".own-" not in item}
        assert asked == set(held["rules"]["items"])
        json.dumps(judged, allow_nan=False)
    answer = json.loads(ask(json.dumps({"ask": "load", "bundle": "b", "rules": held["rules"]})))
    assert answer["items"] == len(held["rules"]["items"])
    question = {"ask": "assess", "bundle": "b", "visit": "v", "cells": cells, "today": "2026-11-25"}
    assert json.loads(ask(json.dumps(question)))["assessment"] == judged


def test_both_engines_judge_odd_values_alike() -> None:
    """The phone's judge is asked about the same cells, of items with few readings."""
    from tests.judge.engines.micropython import MicroPython

    held = checklist_bundle()
    some = sorted(held["rules"]["items"])[::40]
    rules = {**held["rules"], "items": {name: held["rules"]["items"][name] for name in some}}
    short = [name for name, value in VALUES.items() if len(json.dumps(value)) < 1_500]
    paths = known_paths(held, some)[:400]
    with MicroPython() as phone:
        loading = {"ask": "load", "bundle": "b", "rules": rules, "start": True}
        assert phone.ask(loading) == json.loads(ask(json.dumps(loading))) == {"items": len(some)}
        for turn in range(6):
            cells = folded(
                [(path, VALUES[short[(n * 7 + turn) % len(short)]]) for n, path in enumerate(paths)]
            )
            question = {"ask": "assess", "bundle": "b", "visit": "v", "cells": cells,
                        "today": "2026-11-25"}  # fmt: skip
            here = json.loads(ask(json.dumps(question, ensure_ascii=False)))
            assert "assessment" in here
            assert phone.ask(question) == here
