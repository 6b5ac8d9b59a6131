"""`python -m tests.bench.floors.libraries DATA PORT`: the server's libraries, and one empty route.

What any program costs that is made of FastAPI, SQLModel and uvicorn, before it does a thing.
"""

from __future__ import annotations

import sys

import fastapi
import sqlmodel
import uvicorn

app = fastapi.FastAPI(openapi_url=None)
sqlmodel.create_engine("sqlite://")


@app.get("/api/v1/offline")
def answer() -> dict[str, str]:
    return {}


if __name__ == "__main__":
    uvicorn.run(app, host="127.0.0.1", port=int(sys.argv[2]), log_level="error")
