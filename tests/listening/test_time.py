"""Limits in time, over real sockets: whoever moves goes on, whoever does not is ended.

The limits are of a tenth of a second to a second here; what must hold at full size is held by
`test_flood.py` with a real server.
"""

from __future__ import annotations

import asyncio
import socket
import ssl
from collections.abc import Callable, Coroutine
from contextlib import suppress

import pytest

from bradawl.access.authority.lifecycle import open_authority, server_files
from bradawl.access.authority.names import Place
from bradawl.access.lan import tls_context
from bradawl.listening.limits import Limits
from tests.listening.talking import (
    HEAD,
    LIMIT_S,
    Listening,
    closed,
    end_of,
    listening,
    until,
)

PATIENT = 3_600.0
LIMITS = Limits(
    handshake_s=PATIENT,
    head_s=PATIENT,
    idle_s=PATIENT,
    progress_s=PATIENT,
    closing_s=PATIENT,
    look_every_s=0.05,
)


def limits(**changes: float) -> Limits:
    """Patient but for what is named."""
    values = {name: getattr(LIMITS, name) for name in LIMITS.__dataclass_fields__}
    return Limits(**{**values, **changes})


def run(
    wanted: Limits,
    scene: Callable[[Listening], Coroutine[None, None, None]],
    context: ssl.SSLContext | None = None,
) -> None:
    async def all_of_it() -> None:
        async with listening(wanted, context) as server:
            await scene(server)

    asyncio.run(all_of_it())


@pytest.fixture(scope="module")
def context(tmp_path_factory: pytest.TempPathFactory) -> ssl.SSLContext:
    keys = tmp_path_factory.mktemp("keys")
    place = Place(("shop.local",), ())
    return tls_context(server_files(keys, open_authority(keys, place), place))


def trusting() -> ssl.SSLContext:
    client = ssl.create_default_context()
    client.check_hostname, client.verify_mode = False, ssl.CERT_NONE
    return client


@pytest.mark.parametrize("begun", [b"", b"G", b"GET / HTTP/1.1\r\nHost: localhost\r\nX: "])
def test_a_head_that_does_not_end_in_time_is_ended(begun: bytes) -> None:
    async def scene(server: Listening) -> None:
        reader, writer = await server.connect()
        writer.write(begun)
        said = await end_of(reader)
        # RFC 9110 section 15.5.9; who said nothing is told nothing
        assert said[:12] == (b"HTTP/1.1 408" if begun else b"")
        await closed(writer)
        await until(lambda: len(server.admission) == 0)

    run(limits(head_s=0.3), scene)


def test_a_head_that_drips_has_the_same_time_in_all() -> None:
    async def scene(server: Listening) -> None:
        reader, writer = await server.connect()
        ended = asyncio.create_task(end_of(reader))
        began = asyncio.get_running_loop().time()
        writer.write(b"GET / HTTP/1.1\r\n")
        while not ended.done():
            writer.write(b"X: y\r\n")
            await asyncio.sleep(0.02)
            assert asyncio.get_running_loop().time() - began < LIMIT_S
        await closed(writer)

    run(limits(head_s=0.3), scene)


@pytest.mark.parametrize("begun", [b"", b"\x16", b"\x16\x03\x01\x02\x00\x01\x00"])
def test_a_handshake_that_does_not_end_in_time_is_ended(
    context: ssl.SSLContext, begun: bytes
) -> None:
    async def scene(server: Listening) -> None:
        reader, writer = await server.connect()
        writer.write(begun)
        assert await end_of(reader) == b""
        await closed(writer)
        await until(lambda: len(server.admission) == 0)

    run(limits(handshake_s=0.3), scene, context)


def test_after_the_handshake_the_head_has_its_own_time(context: ssl.SSLContext) -> None:
    async def scene(server: Listening) -> None:
        reader, writer = await server.connect(context=trusting())
        writer.write(HEAD[:9])
        assert (await end_of(reader))[:12] == b"HTTP/1.1 408"
        await closed(writer)

    run(limits(head_s=0.3), scene, context)


def test_a_request_in_the_same_breath_as_the_handshake_is_read(context: ssl.SSLContext) -> None:
    """TLS 1.3 lets a client send with its last message (RFC 8446 figure 1)."""

    async def scene(server: Listening) -> None:
        def at_once() -> bytes:
            plain = socket.create_connection(("127.0.0.1", server.port), LIMIT_S)
            into, out = ssl.MemoryBIO(), ssl.MemoryBIO()
            secure = trusting().wrap_bio(into, out)
            with plain:
                while True:
                    try:
                        secure.do_handshake()
                        break
                    except ssl.SSLWantReadError:
                        plain.sendall(out.read())
                        into.write(plain.recv(65_536))
                secure.write(HEAD)
                plain.sendall(out.read())  # both in one segment
                answer = b""
                while b"\r\n\r\n0" not in answer:
                    try:
                        answer += secure.read(65_536)
                    except ssl.SSLWantReadError:
                        into.write(plain.recv(65_536))
            return answer

        assert (await asyncio.to_thread(at_once))[:12] == b"HTTP/1.1 200"

    run(LIMITS, scene, context)


@pytest.mark.parametrize("between", [b"", b"\r\n"])
def test_a_connection_without_a_next_request_is_closed(between: bytes) -> None:
    async def scene(server: Listening) -> None:
        reader, writer = await server.connect()
        writer.write(HEAD)
        ended = asyncio.create_task(end_of(reader))
        while not ended.done():
            writer.write(between)  # an empty line begins no request (RFC 9112 section 2.2)
            await asyncio.sleep(0.02)
        assert ended.result().endswith(b"\r\n\r\n0")
        await closed(writer)

    run(limits(idle_s=0.3), scene)


def test_half_of_a_second_head_is_ended_as_the_first_would_be() -> None:
    async def scene(server: Listening) -> None:
        reader, writer = await server.connect()
        writer.write(HEAD + HEAD[:9])
        said = await end_of(reader)
        assert said.count(b"HTTP/1.1 200") == said.count(b"HTTP/1.1 408") == 1
        await closed(writer)

    run(limits(head_s=0.3), scene)


def body(size: int) -> bytes:
    return b"POST /body HTTP/1.1\r\nHost: localhost\r\nContent-Length: %d\r\n\r\n" % size


@pytest.mark.parametrize("drip", [b"", b"x"])
def test_a_body_that_does_not_move_is_ended_and_the_application_told(drip: bytes) -> None:
    async def scene(server: Listening) -> None:
        reader, writer = await server.connect()
        writer.write(body(100_000) + b"x" * 10_000)
        ended = asyncio.create_task(end_of(reader))
        while not ended.done():
            writer.write(drip)
            await asyncio.sleep(0.02)
        assert ended.result() == b""
        await closed(writer)
        await until(lambda: server.application.broken_off == 1)

    run(limits(progress_s=0.5, progress_bytes=4_096), scene)


def test_a_slow_body_that_moves_may_take_as_long_as_it_likes() -> None:
    """As a photo over bad Wi-Fi: many windows long, with pauses, and never cut."""

    async def scene(server: Listening) -> None:
        reader, writer = await server.connect()
        loop = asyncio.get_running_loop()
        parts = 30
        writer.write(body(parts * 1_000))
        began = loop.time()
        for _ in range(parts):
            writer.write(b"x" * 1_000)
            await asyncio.sleep(0.1)
        assert loop.time() - began > 5 * 0.5  # windows
        assert (await reader.read(12)) == b"HTTP/1.1 200"
        await closed(writer)

    # 5 kB come in a window of half a second: a machine five times slower still sends enough
    run(limits(progress_s=0.5, progress_bytes=500, head_s=0.5, idle_s=0.5), scene)


def test_work_of_ours_is_not_the_others_delay() -> None:
    async def scene(server: Listening) -> None:
        reader, writer = await server.connect()
        writer.write(HEAD.replace(b"/ ", b"/held "))
        await until(lambda: server.application.asked == ["/held"])
        await asyncio.sleep(1.5)  # several times every limit
        server.application.release.set()
        assert (await reader.read(12)) == b"HTTP/1.1 200"
        await closed(writer)

    run(limits(head_s=0.2, idle_s=0.2, progress_s=0.2, handshake_s=0.2), scene)


@pytest.mark.parametrize("secure", [False, True])
def test_an_answer_that_nobody_takes_is_given_up(context: ssl.SSLContext, secure: bool) -> None:
    async def scene(server: Listening) -> None:
        _, writer = await server.connect(context=trusting() if secure else None)
        writer.write(HEAD.replace(b"/ ", b"/large "))
        await until(lambda: server.application.asked == ["/large"])
        # the reader has a limit, so the rest stays where it is
        await until(lambda: len(server.admission) == 0)
        await closed(writer)

    wanted = limits(progress_s=0.5, progress_bytes=4_096, idle_s=0.2)
    run(wanted, scene, context if secure else None)


@pytest.mark.parametrize("secure", [False, True])
def test_an_answer_that_is_taken_slowly_is_not(context: ssl.SSLContext, secure: bool) -> None:
    async def scene(server: Listening) -> None:
        reader, writer = await server.connect(context=trusting() if secure else None)
        loop = asyncio.get_running_loop()
        writer.write(HEAD.replace(b"/ ", b"/large "))
        taken, began = 0, loop.time()
        while loop.time() - began < 3.0:
            taken += len(await reader.read(60_000))
            await asyncio.sleep(0.02)
        while part := await reader.read(1_000_000):
            taken += len(part)
            if taken > server.application.large_bytes:
                break
        assert taken > server.application.large_bytes
        await closed(writer)

    wanted = limits(progress_s=1.0, progress_bytes=1_000, idle_s=0.2)
    run(wanted, scene, context if secure else None)


def test_who_does_not_answer_our_goodbye_is_cut(context: ssl.SSLContext) -> None:
    """A TLS client that never sends its close_notify (RFC 8446 section 6.1) keeps no file."""

    async def scene(server: Listening) -> None:
        plain = socket.create_connection(("127.0.0.1", server.port))
        secure = await asyncio.to_thread(trusting().wrap_socket, plain)
        await asyncio.to_thread(secure.sendall, HEAD)
        await until(lambda: bool(server.application.asked))
        await until(lambda: len(server.admission) == 0)
        secure.close()

    run(limits(idle_s=0.2, closing_s=0.3), scene, context)


def test_the_end_of_the_server_waits_for_nobody_who_is_silent(context: ssl.SSLContext) -> None:
    kept = []

    async def scene(server: Listening) -> None:
        for begun in (b"", b"\x16") * 3:
            kept.append(socket.create_connection(("127.0.0.1", server.port), LIMIT_S))
            kept[-1].sendall(begun)
        await until(lambda: len(server.admission) == len(kept))

    run(LIMITS, scene, context)  # `listening` waits for the end
    for one in kept:
        with suppress(ConnectionResetError):  # what it had sent was never read
            assert one.recv(1) == b""
        one.close()


def test_nonsense_is_refused_and_said_once(capfd: pytest.CaptureFixture[str]) -> None:
    async def scene(server: Listening) -> None:
        for _ in range(30):
            reader, writer = await server.connect()
            writer.write(b"\x00\x01\x02 nonsense\r\n\r\n")
            assert (await end_of(reader))[:12] == b"HTTP/1.1 400"
            await closed(writer)

    run(LIMITS, scene)
    assert capfd.readouterr().err.count("Invalid HTTP request") <= 1
