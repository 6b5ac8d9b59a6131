"""One browser, one server and one phone for each file here; a visit of its own for each test.

The phone was used before: its app is kept, its judge runs already. The server may be stopped by a
test; the next one finds it running. A test that changes settings, looks at what is met for the
first time, counts what the phone holds, or puts another data folder under the server is marked
`new_phone`: phone and server are its own.

Not one browser for the whole run: while it is open its event loop runs in this process, and no
other test that shares the process could run one.
"""

from __future__ import annotations

import functools
import http.server
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests import browsing
from tests.browsing import CAMERA_ALLOWED, FAKE_CAMERA, launched
from tests.phone.phone import Phone
from tests.phone.server import Server

ROOT = Path(__file__).parents[2]


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    with launched(FAKE_CAMERA, CAMERA_ALLOWED) as browser:
        yield browser


@contextmanager
def started(data: Path) -> Iterator[Server]:
    server = Server(data)
    server.start()
    yield server
    server.kill()


@pytest.fixture(scope="module")
def standing_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """One a module, as it lets only so many phones ask."""
    with started(tmp_path_factory.mktemp("standing")) as server:
        yield server


@pytest.fixture
def server(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Server]:
    """For tests that stop or kill it."""
    if request.node.get_closest_marker("new_phone"):
        with started(tmp_path / "data") as server:
            yield server
    else:
        yield _running(request)


def _running(request: pytest.FixtureRequest) -> Server:
    """The standing server, started again where the test before left it dead."""
    server: Server = request.getfixturevalue("standing_server")
    if not server.running:
        server.start()
    return server


@contextmanager
def paired(browser: Browser, server: Server) -> Iterator[Phone]:
    phone = Phone(browser, server.origin)
    phone.open()
    phone.wait_for_sync("server")
    yield phone
    phone.throw_away()


@pytest.fixture(scope="module")
def phone_in_use(browser: Browser, standing_server: Server) -> Iterator[Phone]:
    with paired(browser, standing_server) as phone:
        yield phone


@pytest.fixture
def phone(browser: Browser, request: pytest.FixtureRequest) -> Iterator[Phone]:
    """A phone, paired, at its list of cars."""
    if request.node.get_closest_marker("new_phone"):
        own = "server" if "server" in request.fixturenames else "standing_server"
        with paired(browser, request.getfixturevalue(own)) as phone:
            yield phone
    else:
        _running(request)
        phone = request.getfixturevalue("phone_in_use")
        phone.put_down()
        yield phone
        assert not phone.errors, phone.errors


@pytest.fixture(scope="module")
def examples(browser: Browser, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """The page of component examples, built for this run and served to nobody else."""
    # a folder of its own: two workers may build at the same time
    built = tmp_path_factory.mktemp("examples")
    build = ["npx", "vite", "build", "--config", "examples/vite.config.ts"]
    subprocess.run(
        [*build, "--logLevel", "warn", "--outDir", str(built), "--emptyOutDir"],
        cwd=ROOT / "web",
        check=True,
    )
    handler = functools.partial(Examples, directory=str(built))
    with http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler) as httpd:
        threading.Thread(target=httpd.serve_forever, daemon=True).start()
        context = browsing.opened(
            browser,
            viewport={"width": 390, "height": 844},
            base_url=f"http://127.0.0.1:{httpd.server_port}",
        )
        yield context.new_page()
        context.close()
        httpd.shutdown()


class Examples(http.server.SimpleHTTPRequestHandler):
    """The built examples, and the typeface from where the app has it."""

    def translate_path(self, path: str) -> str:
        if path.startswith("/app/fonts/"):
            return str(ROOT / "server/bradawl/bundled/web/fonts" / Path(path).name)
        return super().translate_path(path)

    def log_message(self, *_args: object) -> None:
        pass
