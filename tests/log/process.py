"""`python -m tests.log.process DATA PORT`: log and access behind uvicorn, without the other parts.

`/desk` stands for the desk.
Starts several times faster than the whole of Bradawl, which a loop of many kills needs. With
BRADAWL_DATABASE_URL and BRADAWL_PHOTO_STORE it runs on another database and store.
"""

import json
import os
import sys
from collections.abc import Sequence
from pathlib import Path

import uvicorn
from anyio import to_thread
from fastapi import FastAPI, Request

from bradawl.access.routes import router
from bradawl.access.web.auth import Access
from bradawl.common import errors, settings
from bradawl.database.connection import open_engine
from bradawl.listening.requests import BoundedRequests
from bradawl.log.chains.own_keys import OwnKeys
from bradawl.log.event_log import Log
from bradawl.log.photos.storage import open_photo_store
from bradawl.log.routes import router as log_router
from tests.fresh import migrated

DESK = "de" * 16


def app_at(chosen: settings.Settings) -> FastAPI:
    engine = open_engine(chosen.database_url)
    migrated(engine)
    access = Access(engine)
    app = FastAPI()
    errors.install(app)
    app.include_router(router(access))
    log = Log(
        engine,
        open_photo_store(chosen.photo_store, chosen.data / "incoming"),
        keys=OwnKeys(chosen.chain_keys, chosen.chain_notes),
        registered=access.is_paired,
    )
    app.include_router(log_router(log, access.device))
    access.install(app)

    @app.post("/desk")
    async def desk(request: Request) -> int:
        """What somebody at the desk records: [[scope, path, value], …]."""
        puts = [tuple(put) for put in json.loads(await request.body())]
        return await to_thread.run_sync(log.append_in, DESK, puts)

    return app


def main(arguments: Sequence[str]) -> int:
    data, port = arguments
    chosen = settings.at(
        Path(data),
        database_url=os.environ.get("BRADAWL_DATABASE_URL", ""),
        photo_store=os.environ.get("BRADAWL_PHOTO_STORE", ""),
    )
    uvicorn.run(
        app_at(chosen),
        host="127.0.0.1",
        port=int(port),
        http=BoundedRequests,
        log_level="error",
    )
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
