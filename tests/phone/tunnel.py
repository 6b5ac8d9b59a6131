"""TLS in front of a server of this machine: `http://localhost` keeps no Secure cookie in WebKit."""

from __future__ import annotations

import asyncio
import contextlib
import subprocess
import sys
from collections.abc import Iterator

from bradawl.access.authority.lifecycle import ServerFiles
from bradawl.access.lan import tls_context


async def _pour(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
    with contextlib.suppress(OSError):
        while data := await reader.read(65_536):
            writer.write(data)
            await writer.drain()
    writer.close()


async def _serve(port: int, files: ServerFiles) -> None:
    async def serve_one(reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        try:
            onward = await asyncio.open_connection("127.0.0.1", port)
        except OSError:
            writer.close()
            return
        await asyncio.gather(_pour(reader, onward[1]), _pour(onward[0], writer))

    server = await asyncio.start_server(serve_one, "127.0.0.1", 0, ssl=tls_context(files))
    print(server.sockets[0].getsockname()[1], flush=True)
    await server.serve_forever()


@contextlib.contextmanager
def tunnel(port: int, files: ServerFiles) -> Iterator[str]:
    """An https origin that leads to a port; while nobody listens there, connections end at once."""
    command = [sys.executable, "-m", "tests.phone.tunnel"]
    paths = [str(port), str(files.certificate), str(files.key)]
    with subprocess.Popen([*command, *paths], stdout=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        try:
            yield f"https://localhost:{int(process.stdout.readline())}"
        finally:
            process.terminate()


if __name__ == "__main__":
    from datetime import UTC, datetime
    from pathlib import Path

    _, onto, certificate, key = sys.argv
    given = ServerFiles(Path(certificate), Path(key), datetime.now(UTC), renewed=False)
    with contextlib.suppress(KeyboardInterrupt):
        asyncio.run(_serve(int(onto), given))
