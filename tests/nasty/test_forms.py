"""No form, address or file that is sent to the desk makes it fail, whatever is in it."""

from __future__ import annotations

import io
import json
import random
import zipfile
from collections.abc import Iterator
from typing import Any
from urllib.parse import quote

import pytest

from tests.amount import amount
from tests.desk.browse import forms_of
from tests.log.writer import Writer
from tests.nasty.site import Site, pages_of
from tests.nasty.values import TEXTS, handed_out
from tests.nasty.visits import fit
from tests.writing import key_of

#: No browser sends half a character.
SHORT = {name: handed_out(text) for name, text in TEXTS.items() if len(text) < 2_000}
#: What forms send is percent-encoded bytes, of any kind.
RAW = (b"\xff\xfe", b"\xed\xa0\x80", b"%00", b"\0", b"a=b&c", b"\xc3")


@pytest.fixture(scope="module")
def site(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Site]:
    made = Site(tmp_path_factory.mktemp("data"))
    yield made
    made.close()


@pytest.fixture(scope="module")
def visit(site: Site) -> str:
    return site.record(fit(site.bundle, random.Random(5), 25))


ADDRESSES = (
    "/desk/?page={}",
    "/desk/?words={}",
    "/desk/compare?visit={}",
    "/desk/visits/{}",
    "/desk/visits/{}/plan",
    "/desk/visits/{}/report.pdf",
    "/desk/visits/{}/record.json",
    "/desk/visits/{}/share",
    "/desk/visits/{}/forget",
    "/desk/visits/VISIT/report?edition={}",
    "/desk/visits/VISIT/report.pdf?edition={}",
    "/desk/visits/VISIT/report.pdf?language={}",
    "/desk/visits/VISIT/report.pdf?units={}",
    "/desk/visits/VISIT/report.pdf?paper={}",
    "/desk/visits/VISIT/trouble/{}",
    "/desk/photos/{}",
    "/desk/reports/{}",
    "/desk/reports/{}/file",
    "/desk/static/{}",
    "/desk/access/{}",
    "/desk/checklists/{}",
    "/desk/checklists/{}/try?visit={}",
    "/desk/checklists/own/{}",
    "/desk/keys/certificates/{}.pem",
    "/desk/audit?before={}",
    "/desk/confirm?to={}",
    "/desk/first?x={}",
    "/r/{}",
    "/hello/{}",
    "/api/v1/blobs/{}",
    "/api/v1/checklists/{}.json",
    "/api/v1/checklists/{}/{}.json",
    "/api/v1/judge/{}.json",
    "/app/{}",
    "/{}",
)


def test_no_address_makes_the_server_fail(site: Site, visit: str) -> None:
    odd = [quote(text, safe="") for text in SHORT.values()]
    odd += ["".join(f"%{byte:02x}" for byte in raw) for raw in RAW]
    odd += ["-1", "0", "99999999999999999999", "1e9", "x" * 3_000, "..%2f..%2fetc%2fpasswd", "%"]
    chance = random.Random(1)
    for address in ADDRESSES:
        for text in chance.sample(odd, 5):
            site.ask(address.replace("VISIT", visit).replace("{}", text))


def test_no_field_of_a_form_makes_the_desk_fail(site: Site, visit: str) -> None:
    """Every form of every page: as it is, with odd texts, without fields (of these ways three, in
    `make proof` all), with files."""
    chance = random.Random(2)
    sent = 0
    for page in [*pages_of(visit), "/desk/import", "/desk/checklists", "/desk/verify"]:
        answer = site.ask(page)
        if not answer.headers["content-type"].startswith("text/html"):
            continue
        seen: dict[str, int] = {}
        for action, fields in forms_of(answer.text):
            address = action or page
            seen[address] = seen.get(address, 0) + 1
            # a page of many jobs has a form for each, all alike
            if not address.startswith("/desk/") or "forget" in address or seen[address] > 2:
                continue
            names = sorted({name for name, _ in fields})
            ways = list(_spoilt(dict(fields), names, chance))
            for spoilt in chance.sample(ways, amount(len(ways), short=3)):
                site.post(address, data=spoilt)
                sent += 1
            site.post(
                address, files=dict.fromkeys(names[:5] or ["x"], ("\x00\x1b.pdf", b"\xff\x00"))
            )
            site.post(address, content=b"\xff\0%%%=&&&;", headers=_URLENCODED)
    assert sent > 60


_URLENCODED = {"content-type": "application/x-www-form-urlencoded"}


def _spoilt(
    fields: dict[str, str], names: list[str], chance: random.Random
) -> Iterator[dict[str, Any]]:
    """The fields as a browser would send them, then with something wrong in each way."""
    yield fields
    yield {name: chance.choice(list(SHORT.values())) for name in names}
    some = set(chance.sample(names, (len(names) + 1) // 2))
    yield {name: text for name, text in fields.items() if name not in some}
    yield {name: chance.choice(["-1", "9" * 30, "1e9", "nan", "0,5"]) for name in names}
    yield {}


def _packed(name: str, data: bytes) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as folder:
        folder.writestr(name, data)
    return out.getvalue()


FILES = {
    "nothing": b"",
    "zeros": bytes(1_000),
    "text": b"hello",
    "not UTF-8": b"\xff\xfe\xff",
    "PDF": b"%PDF-1.7\n1 0 obj<<>>endobj trailer<</Root 1 0 R>>",
    "cut workbook": b"PK\x03\x04" + bytes(30),
    "archive": _packed("x.txt", b"hello"),
    "hollow workbook": _packed("xl/workbook.xml", b"<x/>"),
    "picture": b"\x89PNG\r\n\x1a\n" + bytes(60),
    "CSV of other columns": b"a,b\n1,2\n",
    "CSV of controls": b"Id,Remedy\n\0,\x1b\n",
    "JSON null": b"null",
    "JSON list": b"[]",
    "deep JSON": b"[" * 200_000,
    "huge number": b"9" * 5_000,
    "half a character": b'{"format": "\\ud800", "version": "\\ud800"}',
    "unknown version": b'{"format": "bradawl-record", "version": "\\ud800\\u0000"}',
    "record of nothing": b'{"format": "bradawl-record", "version": 1}',
    "unsent of nothing": b'{"format": "bradawl-unsent", "version": 2, "batches": []}',
    "unsent of an earlier one": (
        b'{"format": "bradawl-unsent", "version": 1, "batch": {"events": []}}'
    ),
}


FILE_NAMES = ("a.xlsx", "\0\x1b[2J\u202e.json", "é" * 300, "../../x")


@pytest.mark.parametrize("name", FILES)
def test_no_file_makes_the_desk_fail(site: Site, visit: str, name: str) -> None:
    data = FILES[name]
    filename = FILE_NAMES[sorted(FILES).index(name) % len(FILE_NAMES)]
    for address, field in (
        ("/desk/import", "file"),
        (f"/desk/visits/{visit}/exports", "sheet"),
        ("/desk/verify", "pdf"),
        ("/desk/verify/sign", "pdf"),
    ):
        answer = site.post(address, data={"name": "Ada"}, files={field: (filename, data)})
        assert answer.status_code in (200, 303, 400, 422), address
        assert "\x1b" not in answer.text


ODD = (None, -1, 10**30, 0.5, "\ud800", "\0", {}, [[]], "x" * 5_000)


def _some(chance: random.Random) -> list[Any]:
    return chance.sample(ODD, amount(len(ODD), short=4))


def _variants(whole: dict[str, Any], events: list[dict[str, Any]]) -> Iterator[dict[str, Any]]:
    """A file with one thing wrong in it; `events` are those inside, changed in turn."""
    chance = random.Random(3)
    for key in list(whole):
        for odd in _some(chance):
            yield {**whole, key: odd}
    for key, held in list(events[0].items()):
        for odd in _some(chance):
            events[0][key] = odd
            yield whole
        events[0][key] = held


def read_in(site: Site, made: dict[str, Any]) -> None:
    """Bring a file to the desk; one that waits for the owner is looked at and taken in."""
    data = json.dumps(made).encode()
    answer = site.post("/desk/import", files={"file": ("file.json", data)})
    assert answer.status_code in (200, 303, 422)
    if answer.status_code == 303:
        waits = answer.headers["location"]
        assert site.ask(waits).status_code == 200
        assert site.post(waits, data={"decision": "take"}).status_code in (200, 422)


def test_no_record_that_is_read_in_makes_the_desk_fail(site: Site) -> None:
    small = site.record([("car/make", "Testmobil"), ("about/seller", "Rufus")])
    record = json.loads(site.ask(f"/desk/visits/{small}/record.json").content)
    record["checklist"] = {"hash": "0" * 64, "items": []}
    for made in _variants(record, record["events"]):
        read_in(site, made)


def test_no_unsent_file_makes_the_desk_fail(site: Site) -> None:
    writer = Writer(key_of("that could not send"))
    writer.put("car/make", "Testmobil")
    batch = writer.batch()
    whole = {"format": "bradawl-unsent", "version": 2, "batches": [batch], "photos": []}
    for made in _variants(whole, batch["events"]):
        read_in(site, made)
    chance = random.Random(4)
    for key, held in list(batch.items()):
        for odd in _some(chance):
            batch[key] = odd
            read_in(site, whole)
        batch[key] = held
    for photos in ([{}], [{"base64": "?"}], [{"base64": "AAAA"}], [{"base64": 5, "type": []}]):
        read_in(site, {**whole, "photos": photos})
