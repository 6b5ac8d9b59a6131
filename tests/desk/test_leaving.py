"""The bargain at the desk, in the whole server: prices, passed, the same car again, and no leak.

Cars, names and prices are invented; the oracle is what was sent.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pikepdf
import pytest
from fastapi.testclient import TestClient
from PIL import Image

from tests.desk.conftest import PHONE
from tests.desk.whole_server import browser_of, standing, whole_server
from tests.report.tools import build, flowing, run

VISIT, LATER, OTHER, FORMED = "d" * 32, "e" * 32, "f" * 32, "c" * 32
PAGE = f"/desk/visits/{VISIT}/leaving"
#: What only the buyer may know.
SECRETS = ("2,617", "1,913", "Wants too much")


def car(core: Any, vin: str, time: str) -> list[tuple[str, Any]]:
    """What a visit begins with."""
    return [
        ("about/bundle", core.checklists.hash),
        ("about/started", {"date": "2026-11-01", "time": time, "zone": "-06:00"}),
        ("about/currency", "USD"),
        ("about/region", "us"),
        ("about/asking_price", 4200),
        ("car/make", "Granther"),
        ("car/vin", vin),
    ]


@pytest.fixture(scope="module")
def core(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Any]:
    with whole_server(tmp_path_factory.mktemp("data")) as core:
        core.log.append(PHONE, VISIT, car(core, "GT4-71-00912", "10:00"))
        core.log.append(PHONE, VISIT, [("items/brakes.cables/grade", {"grade": "major"})])
        yield core


@pytest.fixture
def client(core: Any) -> TestClient:
    return browser_of(core)


def sent(client: TestClient, form: str, **data: Any) -> Any:
    return client.post(f"{PAGE}/{form}", data=data)


def test_from_the_bargain_to_a_second_look(client: TestClient, core: Any, tmp_path: Path) -> None:
    page = client.get(PAGE).text
    assert "New parking brake cables" in page  # a reason to name
    # nothing wrong is kept, and all of it is said
    refused = sent(client, "bargain", **{"opening": "soon", "leave-by": "late"})
    assert refused.status_code == 422
    assert "Type a time, like 18:30." in refused.text
    assert standing(core, VISIT, "deal/") == {}
    reason = "brakes.cables/cable"
    answer = sent(client, "bargain", opening="$1,913", reason=reason, **{"leave-by": "18:30"})
    assert answer.status_code == 303
    deal = standing(core, VISIT, "deal/")
    assert deal["deal/opening"] == 1913
    assert deal["deal/reasons"] == [reason]
    assert deal["deal/leave_by"]["time"] == "18:30"
    # left alone, nothing of it is written anew
    cells = core.snapshot(VISIT).cells
    sent(client, "bargain", opening="1913", reason=reason, **{"leave-by": "18:30"})
    assert core.snapshot(VISIT).cells == cells
    # an offer is no asking price; what is asked is
    assert sent(client, "price", price="", side="asked").status_code == 422
    assert sent(client, "price", price="1,913", side="offered").status_code == 303
    assert standing(core, VISIT, "about/asking_price") == {"about/asking_price": 4200}
    assert sent(client, "price", price="3900", side="asked").status_code == 303
    assert standing(core, VISIT, "about/asking_price") == {"about/asking_price": 3900}
    page = client.get(PAGE).text
    assert page.index('data-side="offered"') < page.index('data-side="asked"')
    # passed, with what would bring one back; it stands so in the car's life
    assert sent(client, "pass", **{"pass-price": ""}).status_code == 422
    told = {"pass-price": "2617", "pass-why": "Wants too much", "pass-until": "2027-01-31"}
    assert sent(client, "pass", **told).status_code == 303
    assert standing(core, VISIT, "life/state")["life/state"]["state"] == "passed"
    assert "Call me at $2,617" in client.get(PAGE).text
    assert "Call me" not in client.get(f"/desk/visits/{VISIT}").text
    history = client.get(f"/desk/visits/{VISIT}/history").text
    assert "Bargain" in history
    assert "Wants too much" in history
    # later, the same number typed another way, and another car
    core.log.append(PHONE, LATER, car(core, "gt4 71 00912", "12:00"))
    core.log.append(
        PHONE,
        LATER,
        [("items/brakes.cables/grade", {"grade": "dangerous"}), ("about/asking_price", 2500)],
    )
    core.log.append(PHONE, OTHER, car(core, "GT4-71-00913", "13:00"))
    again = client.get(PAGE.replace(VISIT, LATER)).text
    assert f'data-earlier="{VISIT}"' in again
    assert "$1,400 less than then" in again
    assert "Call me at $2,617" in again
    assert "Worse now: Unsafe" in again
    assert "data-earlier" not in client.get(PAGE.replace(VISIT, OTHER)).text
    # nor is the later one shown in the earlier
    assert "data-earlier" not in client.get(PAGE).text
    leaves_no_trace(core, tmp_path)
    # and what is taken back twice is refused
    (path,) = standing(core, VISIT, "passed/")
    assert sent(client, "back", path=path).status_code == 303
    assert standing(core, VISIT, "life/state")["life/state"]["state"] == "looking"
    assert sent(client, "back", path=path).status_code == 409
    assert sent(client, "back", path="car/vin").status_code == 409


def a_photo() -> tuple[str, bytes, str]:
    out = io.BytesIO()
    Image.new("RGB", (40, 30), "red").save(out, "JPEG")
    return "paper.jpg", out.getvalue(), "image/jpeg"


def test_a_deposit_and_the_papers_with_their_photographs(client: TestClient, core: Any) -> None:
    wrong = {"deposit-amount": "much", "deposit-until": "soon"}
    assert sent(client, "deposit", **wrong).status_code == 422
    assert standing(core, VISIT, "deal/deposit/") == {}
    told = {
        "deposit-amount": "200",
        "deposit-date": "2026-12-01",
        "deposit-until": "2026-12-05",
        "deposit-refund": "The lien isn't released",
    }
    answer = client.post(f"{PAGE}/deposit", data=told, files={"photo": a_photo()})
    assert answer.status_code == 303
    kept = standing(core, VISIT, "deal/deposit/")
    assert (kept["deal/deposit/amount"], kept["deal/deposit/until"]) == (200, "2026-12-05")
    assert any("/photos/" in path for path in kept)
    page = client.get(PAGE).text
    assert "The lien isn" in page
    assert 'data-paper="odometer" data-state="open"' in page
    assert sent(client, "paper", paper="none", state="in_hand").status_code == 409
    answer = client.post(
        f"{PAGE}/paper",
        data={"paper": "title-back", "state": "in_hand", "note": "Signed at the table"},
        files={"photo": a_photo()},
    )
    assert answer.status_code == 303
    assert standing(core, VISIT, "papers/title-back/state") == {
        "papers/title-back/state": "in_hand"
    }
    page = client.get(PAGE).text
    assert 'data-paper="title-back" data-state="in_hand"' in page
    # by the law of 49 CFR 580.17 the year decides: 1993 is exempt since 2003
    core.log.append(PHONE, VISIT, [("car/year", 1993)])
    page = client.get(PAGE).text
    assert 'data-paper="odometer" data-state="not_needed"' in page
    assert "exempt by age since 2003" in page


def test_the_blank_forms_know_the_car_and_say_whose_they_are_not(
    client: TestClient, core: Any, tmp_path: Path
) -> None:
    """49 CFR 580.5(c): reading without tenths, date, names and addresses, identity of the vehicle.

    Read as a copy of the edition of 2002. What a bill of sale has is common practice, no source.
    """
    core.log.append(PHONE, FORMED, [*car(core, "GT4-71-00914", "13:00"), ("car/year", 1971)])
    wanted = {
        "bill": ("Bill of sale", "Price paid", "as is", "Known defects"),
        "odometer": ("no tenths", "Date of transfer", "actual mileage", "mechanical limits", "NOT"),
    }
    for form, told in wanted.items():
        answer = client.get(f"/desk/visits/{FORMED}/forms/{form}.pdf")
        assert answer.status_code == 200
        assert answer.headers["content-type"] == "application/pdf"
        file = tmp_path / f"{form}.pdf"
        file.write_bytes(answer.content)
        words = flowing(file)
        both = ("Check your state's form", "Printed name", "address", "Signature", "Body type")
        for one in (*told, *both, "1971", "Granther", "GT4-71-00914"):
            assert one in words, (form, one)
        # the price that is asked is nobody's price on a paper yet
        assert "4,200" not in words
        about = run("pdfinfo", file)
        assert "Tagged:          yes" in about
        assert "612 x 792 pts (letter)" in about
    assert client.get(f"/desk/visits/{FORMED}/forms/none.pdf").status_code == 404


def leaves_no_trace(core: Any, tmp_path: Path) -> None:
    """The edition for sellers and the public has nothing of the bargain, pages and record alike."""
    for edition in ("condition", "partner"):
        file = tmp_path / f"{edition}.pdf"
        file.write_bytes(build(core.snapshot(VISIT), edition, None, today="2026-12-01"))
        with pikepdf.open(file) as pdf:
            files = [spec.get_file().read_bytes() for spec in pdf.attachments.values()]
        attached = b"".join(files).decode("utf-8", "replace")
        words = flowing(file)
        for secret in (*SECRETS, "2617", "1913"):
            assert secret not in words, edition
            if edition == "condition":
                assert secret not in attached
