"""A log as the tests use it: the real code, a device named by a header instead of a token."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from fastapi import FastAPI, Request
from starlette.testclient import TestClient

from bradawl.common.clock import now_ms
from bradawl.common.device_keys import DeviceKey
from bradawl.common.errors import ApiError, install
from bradawl.database.connection import open_engine
from bradawl.log.chains.own_keys import OwnKeys
from bradawl.log.event_log import Log
from bradawl.log.photos.storage import open_photo_store
from bradawl.log.routes import router
from tests.fresh import migrated
from tests.log.stores import database_for

KEY, OTHER_KEY = DeviceKey.derived(b"test phone 1"), DeviceKey.derived(b"test phone 2")
DEVICE, OTHER = KEY.device, OTHER_KEY.device
DESK = "de" * 16
VISIT = "a1" * 16
MS = 1_764_052_703_000


@dataclass(frozen=True)
class Paired:
    id: str


def new_log(
    folder: Path,
    clock: Callable[[], int] = now_ms,
    registered: Callable[[str], bool] = lambda _device: True,
    new_key: Callable[[], DeviceKey] = DeviceKey.create,
) -> Log:
    """A log at `folder`, migrated; the same folder opens the same log again.

    BRADAWL_TEST_CLUSTER and BRADAWL_TEST_BUCKET put it on PostgreSQL and S3 instead: see
    test_large_stores.py, which runs this suite once more.
    """
    cluster = os.environ.get("BRADAWL_TEST_CLUSTER")
    bucket = os.environ.get("BRADAWL_TEST_BUCKET")
    url = database_for(cluster, folder) if cluster else f"sqlite:///{folder}/log.db"
    place = f"s3://{bucket}/{folder.name}" if bucket else str(folder / "photos")
    engine = open_engine(url)
    migrated(engine)
    keys = OwnKeys(folder / "keys", folder.parent / f"{folder.name}-chain-notes", new_key)
    store = open_photo_store(place)
    erased = folder.parent / f"{folder.name}-erased.jsonl"
    return Log(engine, store, clock=clock, keys=keys, registered=registered, erased=erased)


def app_of(log: Log) -> FastAPI:
    """The log's routes; the header `device` says who asks, none means not paired."""

    def who(request: Request) -> Paired:
        device = request.headers.get("device", "")
        if not device:
            raise ApiError("pair_again", "This phone is no longer paired. Pair it again.", 401)
        return Paired(device)

    app = FastAPI()
    install(app)
    app.include_router(router(log, who))
    return app


def client_of(log: Log, device: str = DEVICE) -> TestClient:
    return TestClient(app_of(log), headers={"device": device}, raise_server_exceptions=False)
