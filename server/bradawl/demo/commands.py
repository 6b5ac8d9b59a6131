"""`bradawl demo`."""

from __future__ import annotations

import argparse
import asyncio
import logging
import sys
from collections.abc import Callable, Coroutine
from typing import TYPE_CHECKING, Any

from bradawl.language import text
from bradawl.language.counts import counts
from bradawl.operations import note

if TYPE_CHECKING:
    import httpx

    from bradawl.demo.load import Loaded, Pair

logger = logging.getLogger(__name__)


def register(sub: argparse._SubParsersAction[argparse.ArgumentParser]) -> None:
    demo = sub.add_parser(
        "demo",
        help=text("cli-demo"),
        description=text("cli-demo-what"),
    )
    demo.add_argument("--server", metavar=text("cli-arg-address"), help=text("cli-demo-server"))
    demo.set_defaults(run=_demo)


def _demo(args: argparse.Namespace) -> int:
    import httpx

    from bradawl.common import resources
    from bradawl.demo.load import LoadError, load
    from bradawl.demo.scenario import ScenarioError, read

    def say(said: str) -> None:
        print(said, file=sys.stderr, flush=True)

    async def bring(client: httpx.AsyncClient, pair: Pair | None = None) -> Loaded:
        async with client:
            return await load(client, scenarios, folder / "pictures", pair)

    try:
        folder = resources.path_of("demo")
        scenarios = read(folder)
        loaded = asyncio.run(bring(_over_http(args.server)) if args.server else _into_folder(bring))
    except (ScenarioError, LoadError, FileNotFoundError) as error:
        say(str(error))
        return 1
    except httpx.TransportError as error:
        say(text("cli-demo-no-server", address=args.server, why=str(error)))
        return 1
    if loaded.older:
        say(text("cli-demo-older"))
    elif not loaded.fresh:
        say(text("cli-demo-there"))
    else:
        say(text("cli-demo-loaded", **counts(events=loaded.events, photos=loaded.photos)))
    note(
        logger, "demo.loaded", events=loaded.events, photos=loaded.photos, visits=len(loaded.visits)
    )
    for visit, car in loaded.visits:
        print(f"{visit}  {car}")
    return 0


async def _into_folder(
    bring: Callable[[httpx.AsyncClient, Pair], Coroutine[Any, Any, Loaded]],
) -> Loaded:
    """Through the whole web application, in this process, on this machine's data folder."""
    import httpx

    from bradawl.common.settings import from_environment
    from bradawl.demo.load import approving
    from bradawl.serving.app import create_app

    app = create_app(from_environment())
    try:
        transport = httpx.ASGITransport(app=app, client=("127.0.0.1", 1))
        client = httpx.AsyncClient(transport=transport, base_url="https://localhost")
        return await bring(client, approving(app.state.core.access))
    finally:
        app.state.core.close()


def _over_http(address: str) -> httpx.AsyncClient:
    import httpx

    return httpx.AsyncClient(base_url=address, timeout=60)
