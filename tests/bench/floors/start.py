"""`python -m tests.bench.floors.start DATA PORT`: a bare ASGI application under uvicorn."""

from __future__ import annotations

import sys
from typing import Any

import uvicorn


async def app(scope: Any, _receive: Any, send: Any) -> None:
    if scope["type"] == "http":
        await send({"type": "http.response.start", "status": 200, "headers": []})
        await send({"type": "http.response.body", "body": b"{}"})


if __name__ == "__main__":
    uvicorn.run(app, host="127.0.0.1", port=int(sys.argv[2]), log_level="error")
