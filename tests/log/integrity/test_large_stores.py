"""PostgreSQL and S3: the same suite, and four servers that share them while eight phones push."""

from __future__ import annotations

import asyncio
import os
import random
import re
import subprocess
import sys
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from sqlalchemy import Engine, text

from bradawl.common.device_keys import DeviceKey
from bradawl.database.connection import open_engine
from bradawl.judge import canonical, fold
from bradawl.log.event_log import Log
from bradawl.log.integrity.doctor import examine
from bradawl.log.photos.storage import open_photo_store
from tests.amount import amount
from tests.log.integrity.kill_loop import Server, noise_photo
from tests.log.photos.pictures import encoded, sha256
from tests.log.server import DESK, DEVICE, MS, VISIT, new_log
from tests.log.stores import BUCKET, database_for, postgres, s3
from tests.log.sync.reference import hash_of
from tests.log.writer import Writer
from tests.world.disk import Disk
from tests.world.phone import Phone
from tests.writing import plain

pytestmark = pytest.mark.xdist_group("large stores")
TESTS = Path(__file__).resolve().parents[2]
#: What stands on the database or the store and asks for neither by name, and how many at least:
#: in `make test` one file for each kind of table and of statement, all of them in `make proof`.
ACCESS = (
    "audit device_pages known_phones links lockout pairing people_pages rate_limits sessions "
    "sign_in"
)
LONG = {
    "log": (150, "sync chains orders side_chains photos missing protocol_vectors scopes"),
    "access": (180, ACCESS),
}
SHORT = {
    "log": (60, "sync photos missing"),
    "access": (30, "rate_limits links"),
}
SUITES = LONG if amount(1, short=0) else SHORT


def file_of(part: str, name: str) -> Path:
    """The one test file of that name below a part's folder."""
    (file,) = (TESTS / part).rglob(f"test_{name}.py")
    return file


@pytest.fixture(scope="module")
def stores() -> Iterator[Mapping[str, str]]:
    with postgres() as cluster, s3() as environment:
        yield {**environment, "BRADAWL_TEST_CLUSTER": cluster, "BRADAWL_TEST_BUCKET": BUCKET}


def test_the_same_tests_pass_on_postgresql_and_s3(stores: Mapping[str, str]) -> None:
    files = [file_of(part, name) for part, (_, names) in SUITES.items() for name in names.split()]
    ended = subprocess.run(
        [
            *(sys.executable, "-m", "pytest", "-v", "-x", "-p", "no:xdist"),
            *("-k", "not in_a_folder"),
            *map(str, files),
        ],
        env={**os.environ, **stores},
        cwd=TESTS.parent,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.returncode == 0, ended.stdout[-4000:]
    for part, (least, _) in SUITES.items():
        passed = re.findall(rf"^tests/{part}/\S.* PASSED", ended.stdout, re.MULTILINE)
        assert len(passed) >= least, part


def test_four_servers_behind_one_database_take_eight_phones_at_once(
    stores: Mapping[str, str], tmp_path: Path
) -> None:
    url = database_for(stores["BRADAWL_TEST_CLUSTER"], tmp_path)
    place = f"s3://{BUCKET}/four"
    environment = {**stores, "BRADAWL_DATABASE_URL": url, "BRADAWL_PHOTO_STORE": place}
    servers = [Server(tmp_path / str(n), whole=False, environment=environment) for n in range(4)]
    try:
        for server in servers:
            server.launch()
        for server in servers:
            server.wait_until_it_listens()
        phones = use(servers)
    finally:
        for server in servers:
            server.kill()
            server.buried()
    log = Log(open_engine(url), open_photo_store(place))
    stored = log.events_of(VISIT)
    for phone in phones:
        theirs = [event for event in stored if event["device"] == phone.disk.device]
        assert [hash_of(event) for event in theirs] == [hash_of(event) for event in phone.own]
        for name, (_, data) in phone.disk.photos.items():
            assert log.photo_original(name) == data
        everything = [one for events in phone.disk.events.values() for one in events]
        everything = [plain(one) for one in everything if one["scope"] == f"inspection/{VISIT}"]
        assert canonical(fold(everything)) == canonical(fold(stored))
    health = examine(log)
    assert health.findings == []
    assert health.events == len(stored) == sum(len(phone.own) for phone in phones)
    log.close()


def use(servers: list[Server]) -> list[Phone]:
    """Eight phones in as many threads, each request to any of the servers."""

    def live(number: int) -> Phone:
        chance = random.Random(number)
        key = DeviceKey.derived(f"phone {number}".encode())
        first = servers[number % len(servers)]
        cookie = first.pair(key)

        async def send(
            method: str, path: str, headers: Mapping[str, str], body: bytes
        ) -> tuple[int, bytes]:
            server = chance.choice(servers)
            return await server.send(method, path, {**headers, "Cookie": cookie}, body)

        phone = Phone(Disk(key), send, lambda: 1_764_052_703_000, batch=15)
        for _ in range(6):
            for _ in range(chance.randrange(5, 40)):
                phone.record(VISIT, f"items/rust.sill{chance.randrange(9)}/note", "x" * 60)
            phone.photograph(VISIT, "rust.sills", "image/jpeg", noise_photo(chance))
            asyncio.run(phone.round())
            assert phone.trouble is None, phone.trouble
        return phone

    with ThreadPoolExecutor(8) as pool:
        phones = list(pool.map(live, range(8)))
    for phone in phones:  # what the others sent after its own last round
        asyncio.run(phone.round())
        assert phone.on_server
    return phones


def test_what_is_erased_is_in_no_row_page_or_object(
    stores: Mapping[str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    name, photo = "Zéphyrine Q. Ombrage", encoded()
    for setting, value in stores.items():
        monkeypatch.setenv(setting, value)
    log = new_log(tmp_path)
    writer = Writer()
    writer.put("about/seller", name)
    writer.put(f"items/rust.sills/photos/{sha256(photo)}", {"caption": name})
    log.push(writer.batch(), received_ms=MS)
    with log.photos.arriving(sha256(photo)) as arrival:
        arrival.add(photo)
        log.photos.keep(arrival, DEVICE)
    log.photos.finish()
    assert _is_in_pages(log.engine, name), "so the search can find it"
    assert _objects(tmp_path.name) == 2
    assert log.erasures.erase(DESK, VISIT, [(DEVICE, 1), (DEVICE, 2)]) == 2
    assert not _is_in_pages(log.engine, name)
    assert _objects(tmp_path.name) == 0
    assert [event["value"] for event in log.events_of(VISIT)] == [None, None]
    assert examine(log).findings == []
    log.close()


def _is_in_pages(engine: Engine, sought: str) -> bool:
    """Whether the table's own files hold it: also in dead rows, which no query sees."""
    with engine.connect() as connection:
        connection.execution_options(isolation_level="AUTOCOMMIT").execute(text("CHECKPOINT"))
        files = connection.execute(
            text(
                "SELECT pg_relation_filepath(c.oid) FROM pg_class c JOIN pg_namespace n "
                "ON n.oid = c.relnamespace WHERE n.nspname = 'public' AND c.relkind = 'r'"
            )
        ).scalars()
        return any(
            sought.encode()
            in connection.execute(
                text("SELECT pg_read_binary_file(:path)"), {"path": path}
            ).scalar_one()
            for path in files.all()
        )


def _objects(prefix: str) -> int:
    import boto3  # half a second of every worker, were it above

    client = boto3.client("s3")
    listed = client.list_objects_v2(Bucket=BUCKET, Prefix=f"{prefix}/")
    return len(listed.get("Contents", []))
