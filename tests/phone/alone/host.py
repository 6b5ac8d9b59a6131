"""A plain https host: Python's own file server behind TLS, which knows nothing of Bradawl.

It may go away, and later pass requests on to a server: then that one answers at the same name.
"""

from __future__ import annotations

import base64
import contextlib
import functools
import hashlib
import http.client
import http.server
import ipaddress
import ssl
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from bradawl.access.authority.lifecycle import ServerFiles, open_authority, server_files
from bradawl.access.authority.names import Place

#: Of an answer, what holds between two neighbors alone (RFC 9110, 7.6.1), or is written anew.
HOPS = {"connection", "keep-alive", "transfer-encoding", "content-length", "date", "server"}


class Host(http.server.ThreadingHTTPServer):
    daemon_threads = True

    def __init__(self, folder: Path, files: ServerFiles) -> None:
        super().__init__(("127.0.0.1", 0), functools.partial(_Answering, directory=str(folder)))
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(files.certificate, files.key)
        self.socket = context.wrap_socket(self.socket, server_side=True)
        self.origin = f"https://localhost:{self.server_port}"
        self.is_away = False
        #: Port of a Bradawl that answers in the place of the files.
        self.behind: int | None = None
        #: What was asked of the files, with the status of each answer.
        self.asked: list[tuple[str, str, int]] = []

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Browsers end connections when they like."""


class _Answering(http.server.SimpleHTTPRequestHandler):
    server: Host

    def log_message(self, *_args: object) -> None:
        pass

    def log_request(self, code: int | str = "-", size: int | str = "-") -> None:
        if self.server.behind is None:
            self.server.asked.append((self.command, self.path, int(code)))

    def handle_one_request(self) -> None:
        if self.server.is_away:
            self.close_connection = True
            return
        super().handle_one_request()

    def do_GET(self) -> None:
        if self.server.behind is None:
            super().do_GET()
        else:
            self._pass_on()

    def do_POST(self) -> None:
        if self.server.behind is None:
            self.send_error(501)
        else:
            self._pass_on()

    def do_PUT(self) -> None:
        self.do_POST()

    def _pass_on(self) -> None:
        assert self.server.behind is not None
        length = int(self.headers.get("content-length") or 0)
        onward = http.client.HTTPConnection("127.0.0.1", self.server.behind, timeout=120)
        with contextlib.closing(onward):
            headers = {n: v for n, v in self.headers.items() if n.lower() != "connection"}
            onward.request(self.command, self.path, self.rfile.read(length), headers)
            answer = onward.getresponse()
            content = answer.read()
            self.send_response_only(answer.status)
            for name, value in answer.getheaders():
                if name.lower() not in HOPS:
                    self.send_header(name, value)
            self.send_header("Content-Length", str(len(content)))
            self.end_headers()
            self.wfile.write(content)


def certificate_in(folder: Path) -> ServerFiles:
    """A certificate of the test's own, for this machine."""
    place = Place(("shop.local",), (ipaddress.ip_address("127.0.0.1"),))
    return server_files(folder, open_authority(folder, place), place)


def key_hash(files: ServerFiles) -> str:
    """What Chromium calls a certificate's key by: base64 of the SHA-256 of its SPKI."""
    certificate = x509.load_pem_x509_certificate(files.certificate.read_bytes())
    spki = certificate.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    return base64.b64encode(hashlib.sha256(spki).digest()).decode()


@contextlib.contextmanager
def hosted(folder: Path, files: ServerFiles) -> Iterator[Host]:
    """The files of a folder at an https origin."""
    with Host(folder, files) as host:
        thread = threading.Thread(target=host.serve_forever, daemon=True)
        thread.start()
        yield host
        host.shutdown()
        thread.join()
