"""A car's ad and claims at the desk, in the whole server: kept as they were, settled with proof.

The ad is invented. Its oracle is what was sent; no receipt, not done: common practice, no source.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.testclient import TestClient
from PIL import Image

from tests.desk.conftest import PHONE
from tests.desk.whole_server import browser_of, standing, whole_server
from tests.report.tools import build, flowing

VISIT = "d" * 32
CLAIMS = f"/desk/visits/{VISIT}/claims"
AD = "1968 Tarn wagon.  New brakes!\r\nNeeds new tires. Clean title in hand, $4,200."


def car(core: Any) -> list[tuple[str, Any]]:
    """What a visit begins with."""
    return [
        ("about/bundle", core.checklists.hash),
        ("about/started", {"date": "2026-11-25", "time": "09:20", "zone": "+01:00"}),
        ("about/currency", "USD"),
        ("about/region", "us"),
        ("car/make", "Tarn"),
    ]


@pytest.fixture(scope="module")
def core(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with whole_server(tmp_path_factory.mktemp("data")) as core:
        core.log.append(PHONE, VISIT, car(core))
        yield core


@pytest.fixture
def client(core: Any) -> TestClient:
    return browser_of(core)


def sent(client: TestClient, form: str, **data: Any) -> Any:
    files = data.pop("files", None)
    return client.post(f"{CLAIMS}/{form}", data=data, files=files)


def a_photo(color: str) -> tuple[str, bytes, str]:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), color).save(out, "JPEG")
    return ("receipt.jpg", out.getvalue(), "image/jpeg")


def test_from_the_ad_to_a_false_claim(client: TestClient, core: Any) -> None:
    assert sent(client, "ad", text="").status_code == 422
    answer = sent(
        client, "ad", text=AD, source="Board", price="4200", files={"photo": a_photo("red")}
    )
    assert answer.status_code == 303
    page = client.get(CLAIMS).text
    assert "Clean title in hand, $4,200." in page
    assert page.count('name="kind"') == 2  # new brakes, clean title; not the tires it wants
    (ad,) = [path for path in standing(core, VISIT, "ads/") if path.count("/") == 1]
    assert standing(core, VISIT, ad)[ad]["text"].split() == AD.split()
    assert any("/photos/" in path for path in standing(core, VISIT, ad))
    # a new price overwrites none
    assert sent(client, "price", ad=ad.removeprefix("ads/"), price="3,700").status_code == 303
    assert sent(client, "price", ad="none", price="1").status_code == 409
    prices = [value["amount"] for value in standing(core, VISIT, f"{ad}/prices/").values()]
    assert sorted(prices) == [3700, 4200]
    assert standing(core, VISIT, "about/asking_price") == {"about/asking_price": 3700}
    # a tap notes a claim; words of the seller count as what they say
    assert sent(client, "note", kind="new-brakes", words="New brakes!", who="ad").status_code == 303
    told = {"who": "seller", "name": "Ed Quill"}
    assert sent(client, "note", words="always garaged", **told).status_code == 303
    assert sent(client, "note", words="It was a good car", **told).status_code == 303
    kinds = sorted(v for p, v in standing(core, VISIT, "claims/").items() if p.endswith("/kind"))
    assert kinds == ["always-garaged", "new-brakes"]
    brakes = next(
        path.split("/")[1]
        for path, v in standing(core, VISIT, "claims/").items()
        if v == "new-brakes"
    )
    # no receipt, not proven
    refused = sent(client, "settle", claim=brakes, state="proven")
    assert refused.status_code == 422
    assert "Without one it isn" in refused.text
    core.log.append(
        PHONE,
        VISIT,
        [
            ("items/brakes.front-pads/readings/pad/front-left", {"typed": "1", "unit": "mm"}),
            ("items/brakes.front-pads/readings/pad/front-right", {"typed": "1", "unit": "mm"}),
        ],
    )
    page = client.get(CLAIMS).text
    assert "Mark as false" in page
    assert "Front brake pads:" in page
    assert sent(client, "settle", claim=brakes, state="false").status_code == 303
    assert "You were told" in client.get(f"/desk/visits/{VISIT}").text
    # with a receipt another one is proven; and one is taken back, whole
    other = next(
        path.split("/")[1]
        for path, v in standing(core, VISIT, "claims/").items()
        if v == "always-garaged"
    )
    proof = {"photo": a_photo("blue")}
    assert sent(client, "settle", claim=other, state="proven", files=proof).status_code == 303
    assert 'data-standing="proven"' in client.get(CLAIMS).text
    assert sent(client, "settle", claim=other, remove="1").status_code == 303
    assert standing(core, VISIT, f"claims/{other}") == {}


def test_the_report_says_what_became_of_each_and_only_a_partners_who_said_it(
    core: Any, tmp_path: Path
) -> None:
    visit, claim = "e" * 32, f"claims/{'1' * 32}"
    core.log.append(
        PHONE,
        visit,
        [
            *car(core),
            (f"{claim}/kind", "new-brakes"),
            (f"{claim}/words", "New brakes!"),
            (f"{claim}/who", {"role": "seller", "name": "Ed Quill"}),
            (f"{claim}/date", "2026-11-25"),
            (f"{claim}/state", {"state": "false"}),
        ],
    )
    texts = []
    for name in ("partner", "condition"):
        file = tmp_path / f"{name}.pdf"
        file.write_bytes(build(core.snapshot(visit), name, None, today="2026-11-25"))
        texts.append(flowing(file))
    partner, condition = texts
    for said in (partner, condition):
        assert "What was said of it" in said
        assert "New brakes: False" in said
    assert "Ed Quill" in partner
    assert "Ed Quill" not in condition
    assert "Seller" in partner
