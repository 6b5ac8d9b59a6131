"""`python -m tests.bench.compare.yjs DATA PORT`: a Yjs document behind HTTP, each update on disk.

POST /push: an update; it is applied and stored with synchronous=FULL. POST /pull: a state vector;
the answer is what it lacks.
"""

from __future__ import annotations

import sqlite3
import sys
from pathlib import Path
from typing import Any

import uvicorn
from pycrdt import Array, Doc


class Server:
    def __init__(self, data: Path) -> None:
        self.document: Doc[Any] = Doc()
        self.document["events"] = Array()
        self.database = sqlite3.connect(data / "yjs.db", isolation_level=None)
        self.database.execute("PRAGMA journal_mode=WAL")
        self.database.execute("PRAGMA synchronous=FULL")
        self.database.execute("CREATE TABLE part (number INTEGER PRIMARY KEY, body BLOB)")

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        if scope["type"] != "http":
            return
        body = b""
        while True:
            message = await receive()
            body += message.get("body", b"")
            if not message.get("more_body"):
                break
        if scope["path"] == "/push":
            self.document.apply_update(body)
            self.database.execute("INSERT INTO part (body) VALUES (?)", (body,))
            answer = b"{}"
        else:
            answer = self.document.get_update(body)
        length = str(len(answer)).encode()
        await send(
            {"type": "http.response.start", "status": 200, "headers": [(b"content-length", length)]}
        )
        await send({"type": "http.response.body", "body": answer})


if __name__ == "__main__":
    uvicorn.run(
        Server(Path(sys.argv[1])), host="127.0.0.1", port=int(sys.argv[2]), log_level="error"
    )
