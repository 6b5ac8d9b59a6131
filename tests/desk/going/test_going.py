"""Before somebody goes, at the desk, in the whole server: a call, look-ups, their papers.

The car and the people are invented; the oracle is what was sent. What to ask, and that a look-up is
good for 30 days, is common practice, no source.
"""

from __future__ import annotations

import html
import io
import re
from collections.abc import Iterator
from typing import Any

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from tests.desk.conftest import PHONE
from tests.desk.whole_server import browser_of, standing, whole_server

VISIT = "d" * 32
GOING = f"/desk/visits/{VISIT}/going"


@pytest.fixture(scope="module")
def core(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with whole_server(tmp_path_factory.mktemp("data")) as core:
        core.log.append(
            PHONE,
            VISIT,
            [
                ("about/bundle", core.checklists.hash),
                ("about/started", {"date": "2026-11-25", "time": "09:20", "zone": "+01:00"}),
                ("about/region", "us"),
                ("car/make", "Tarn"),
                ("car/vin", "TARN1968WAGON0001"),
            ],
        )
        yield core


@pytest.fixture
def client(core: Any) -> TestClient:
    return browser_of(core)


def sheet(client: TestClient, query: str = "") -> dict[str, Any]:
    """The call sheet's form as a browser would send it back untouched."""
    page = client.get(GOING + query).text
    form = page[page.index('class="call-sheet"') : page.index("Keep the call")]
    sent: dict[str, Any] = {}
    for tag in re.findall(r"<input [^>]+>", form):
        name, value = (re.search(rf' {key}="([^"]*)"', tag) for key in ("name", "value"))
        if name is None or ("type=" in tag and "hidden" not in tag and "checked" not in tag):
            continue
        sent.setdefault(name[1], []).append(html.unescape(value[1] if value else ""))
    sent["who"] = re.findall(r'<option value="(\w+)" selected', form)
    return sent


def a_photo(color: str) -> tuple[str, bytes, str]:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), color).save(out, "JPEG")
    return ("result.jpg", out.getvalue(), "image/jpeg")


def test_a_call_is_claims_where_a_check_can_tell_and_notes_where_none_can(
    client: TestClient, core: Any
) -> None:
    # nothing asked: nothing kept
    refused = client.post(f"{GOING}/call", data=sheet(client))
    assert refused.status_code == 422
    assert "Tick an answer" in refused.text
    form = sheet(client)
    form |= {"q-title": ["in-name"], "q-lien": ["owed"], "q-done": ["brakes", "tires", "nothing"]}
    form |= {"words-done": ["last spring"], "name": ["Ed Quill"], "called-on": ["2026-11-20"]}
    assert client.post(f"{GOING}/call", data=form).status_code == 303
    kinds = [v for p, v in standing(core, VISIT, "claims/").items() if p.endswith("/kind")]
    assert sorted(kinds) == ["new-brakes", "new-tires", "title-in-name"]
    whos = [v for p, v in standing(core, VISIT, "claims/").items() if p.endswith("/who")]
    assert whos == [{"role": "seller", "name": "Ed Quill"}] * 3
    words = {v for p, v in standing(core, VISIT, "claims/").items() if p.endswith("/words")}
    assert words == {"last spring"}
    notes = {
        p.split("/")[-1]: v for p, v in standing(core, VISIT, "calls/").items() if p.count("/") == 2
    }
    assert notes == {
        "lien": {"answers": ["owed"], "words": ""},
        "done": {"answers": ["nothing"], "words": "last spring"},
    }
    page = client.get(GOING).text
    assert "Speaks against driving there" in page
    assert (
        "Title in hand, in the seller&#39;s name" in client.get(f"/desk/visits/{VISIT}/claims").text
    )
    # what is sent back untouched changes nothing, another answer takes the claim back
    before = standing(core, VISIT, "")
    assert client.post(f"{GOING}/call", data=sheet(client)).status_code == 303
    assert standing(core, VISIT, "") == before
    form = {**sheet(client), "q-title": ["lost"], "q-done": ["brakes"]}
    assert client.post(f"{GOING}/call", data=form).status_code == 303
    kinds = [v for p, v in standing(core, VISIT, "claims/").items() if p.endswith("/kind")]
    assert kinds == ["new-brakes"]
    # a second call stands beside the first; the paper has what was said
    form = {**sheet(client, "?call=new"), "q-cold": ["yes"], "who": ["shop"], "name": [""]}
    assert client.post(f"{GOING}/call", data=form).status_code == 303
    assert len([p for p in standing(core, VISIT, "calls/") if p.count("/") == 1]) == 2
    paper = client.get(f"{GOING}/paper/calls").text
    assert paper.count('class="paper-row"') == 13
    assert "<b>Yes, it&#39;ll be cold</b>" in paper


def test_somebody_elses_answer_is_not_overwritten_by_an_old_page(
    client: TestClient, core: Any
) -> None:
    form = sheet(client, "?call=new")
    form |= {"q-keys": ["one"], "called-on": ["2026-11-29"]}
    assert client.post(f"{GOING}/call", data=form).status_code == 303
    old = sheet(client)
    call = old["call"][0]
    noted = {"answers": ["none"], "words": ""}
    core.log.append(PHONE, VISIT, [(f"calls/{call}/keys", noted)])
    answer = client.post(f"{GOING}/call", data={**old, "q-keys": ["all"]})
    assert answer.status_code == 422
    assert standing(core, VISIT, f"calls/{call}/keys") == {f"calls/{call}/keys": noted}


def test_look_ups_are_kept_with_their_proof_and_a_bad_one_stands_in_the_decision(
    client: TestClient, core: Any
) -> None:
    assert "TARN1968WAGON0001" in client.get(GOING).text
    looked = f"{GOING}/lookup"
    for wrong in ({"kind": "none"}, {"kind": "lien"}, {"kind": "lien", "result": "fine"}):
        assert client.post(looked, data=wrong).status_code == 422
    bad = {"kind": "lien", "result": "bad", "looked-on": "2025-11-20", "note": "Bank of nowhere"}
    # a refused one keeps what was typed
    refused = client.post(looked, data={**bad, "looked-on": "x"})
    assert refused.status_code == 422
    assert "Bank of nowhere" in refused.text
    proof = {"photo": a_photo("red")}
    assert client.post(looked, data=bad, files=proof).status_code == 303
    (kind,) = [p for p in standing(core, VISIT, "lookups/") if p.endswith("/kind")]
    name = kind.split("/")[1]
    assert any("/photos/" in path for path in standing(core, VISIT, f"lookups/{name}/"))
    page = client.get(GOING).text
    assert 'data-result="bad"' in page
    assert "look again" in page
    decision = client.get(f"/desk/visits/{VISIT}").text
    assert "Clear it up before you pay anything" in decision
    # a later one stands in its place, and the first is kept
    good = {"kind": "lien", "result": "good"}
    assert client.post(looked, data=good).status_code == 303
    assert "Clear it up before you pay" not in client.get(f"/desk/visits/{VISIT}").text
    change = f"{looked}/change"
    more = {"photo": a_photo("blue")}
    assert client.post(change, data={"lookup": name}, files=more).status_code == 303
    assert len([p for p in standing(core, VISIT, f"lookups/{name}/") if "/photos/" in p]) == 2
    assert client.post(change, data={"lookup": name, "remove": "1"}).status_code == 303
    assert standing(core, VISIT, f"lookups/{name}/") == {}
    assert client.post(change, data={"lookup": name, "remove": "1"}).status_code == 409


def test_what_is_left_at_home_marks_its_checks_and_a_haul_plan_says_what_is_over(
    client: TestClient, core: Any
) -> None:
    page = client.get(GOING).text
    assert 'data-load="jump-pack"' in page
    assert client.post(f"{GOING}/load", data={"load-chocks": "left"}).status_code == 303
    assert standing(core, VISIT, "load/") == {"load/chocks": "left"}
    page = client.get(GOING).text
    assert "checks can&#39;t be done without it" in page
    assert "Left at home" in client.get(f"{GOING}/paper/load").text
    # the demo of a plan: 5,600 lb behind a truck rated for 5,000
    assert 'data-answer="missing"' in page
    weights = {
        "car": "3,400", "gear": "200", "trailer": "2000", "trailer_rating": "7000",
        "tow_rating": "5000", "hitch_rating": "7000", "tongue": "700", "tongue_rating": "900",
        "strap_limit": "3333",
    }  # fmt: skip
    plan = {**weights, **{f"{name}-unit": "lb" for name in weights}, "straps": "4"}
    plan |= dict.fromkeys(("rolls", "steers", "stops", "brakes", "insured"), "yes")
    plan |= {"way": "trailer", "daylight": "16:40", "weather": "dry"}
    refused = client.post(f"{GOING}/haul", data={**plan, "car": "heavy", "straps": "many"})
    assert refused.status_code == 422
    assert 'value="heavy"' in refused.text
    assert standing(core, VISIT, "haul/") == {}
    assert client.post(f"{GOING}/haul", data=plan).status_code == 303
    page = client.get(GOING).text
    assert 'data-answer="over"' in page
    assert "the truck is rated for" in page
    assert client.post(f"{GOING}/haul", data={**plan, "tow_rating": "6000"}).status_code == 303
    assert 'data-answer="fine"' in client.get(GOING).text
    assert "It fits" in client.get(f"{GOING}/paper/load").text
