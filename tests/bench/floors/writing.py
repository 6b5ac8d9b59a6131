"""`python -m tests.bench.floors.writing DATA PORT`: the least a server can do for this work.

A bare ASGI application under uvicorn. POST /events: parse, one executemany transaction, WAL,
synchronous=FULL. GET /events: read them, answer them as JSON.
"""

from __future__ import annotations

import sqlite3
import sys
from pathlib import Path
from typing import Any

import msgspec
import uvicorn


class Event(msgspec.Struct):
    at: str
    visit: str
    put: str
    value: msgspec.Raw
    over: msgspec.Raw


class Push(msgspec.Struct):
    device: str
    events: list[Event]


class Floor:
    def __init__(self, data: Path) -> None:
        self.database = sqlite3.connect(
            data / "floor.db", isolation_level=None, check_same_thread=False
        )
        self.database.execute("PRAGMA journal_mode=WAL")
        self.database.execute("PRAGMA synchronous=FULL")
        self.database.execute(
            "CREATE TABLE event (device TEXT, seq INTEGER, at TEXT, visit TEXT, put TEXT,"
            " value TEXT, over TEXT, PRIMARY KEY (device, seq)) WITHOUT ROWID"
        )

    async def __call__(self, scope: Any, receive: Any, send: Any) -> None:
        if scope["type"] != "http":
            return
        if scope["method"] == "POST":
            parts = []
            while True:
                message = await receive()
                parts.append(message.get("body", b""))
                if not message.get("more_body"):
                    break
            answer = self.push(b"".join(parts))
        elif scope["path"] == "/events":
            answer = self.pull(scope["query_string"].decode())
        else:
            answer = b"{}"
        await send(
            {
                "type": "http.response.start",
                "status": 200,
                "headers": [(b"content-length", str(len(answer)).encode())],
            }
        )
        await send({"type": "http.response.body", "body": answer})

    def push(self, body: bytes) -> bytes:
        push = msgspec.json.decode(body, type=Push)
        self.database.execute("BEGIN IMMEDIATE")
        self.database.executemany(
            "INSERT INTO event VALUES (?, ?, ?, ?, ?, ?, ?)",
            [
                (push.device, seq, one.at, one.visit, one.put, bytes(one.value), bytes(one.over))
                for seq, one in enumerate(push.events, 1)
            ],
        )
        self.database.execute("COMMIT")
        return b"{}"

    def pull(self, device: str) -> bytes:
        rows = self.database.execute(
            "SELECT at, visit, put, value, over FROM event WHERE device = ? ORDER BY seq", (device,)
        )
        return msgspec.json.encode(
            [
                Event(at, visit, put, msgspec.Raw(value), msgspec.Raw(over))
                for at, visit, put, value, over in rows
            ]
        )


if __name__ == "__main__":
    uvicorn.run(
        Floor(Path(sys.argv[1])), host="127.0.0.1", port=int(sys.argv[2]), log_level="error"
    )
