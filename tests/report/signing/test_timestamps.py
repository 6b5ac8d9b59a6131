"""PAdES B-T against a local RFC 3161 server whose answers OpenSSL makes."""

from __future__ import annotations

import socket
import subprocess
import threading
from collections.abc import Iterator
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path

import pytest

from bradawl.report.checking.verification import verify
from bradawl.report.issue import write_report
from bradawl.report.signing.keys import open_signer
from tests.report.tools import pdfsig
from tests.report.visits import TODAY, snapshot

CONFIG = """
[req]
distinguished_name = name
x509_extensions = stamping
prompt = no
[name]
CN = Clock in the next room
[stamping]
basicConstraints = critical, CA:false
keyUsage = critical, digitalSignature
extendedKeyUsage = critical, timeStamping
[tsa]
default_tsa = here
[here]
serial = {folder}/serial
crypto_device = builtin
signer_cert = {folder}/tsa.pem
signer_key = {folder}/tsa.key
signer_digest = sha256
default_policy = 1.2.3.4.1
digests = sha256, sha384, sha512
accuracy = secs:1
"""


@pytest.fixture(scope="module")
def clock(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a time-stamp server on this machine."""
    folder = tmp_path_factory.mktemp("tsa")
    (folder / "tsa.cnf").write_text(CONFIG.format(folder=folder))
    (folder / "serial").write_text("01\n")
    subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "30", "-keyout",
         folder / "tsa.key", "-out", folder / "tsa.pem", "-config", folder / "tsa.cnf"],
        check=True, capture_output=True, timeout=60,
    )  # fmt: skip

    class Stamping(BaseHTTPRequestHandler):
        def do_POST(self) -> None:
            query = self.rfile.read(int(self.headers["Content-Length"]))
            (folder / "query.tsq").write_bytes(query)
            subprocess.run(
                ["openssl", "ts", "-reply", "-config", folder / "tsa.cnf", "-queryfile",
                 folder / "query.tsq", "-out", folder / "reply.tsr"],
                check=True, capture_output=True, timeout=60,
            )  # fmt: skip
            self.send_response(200)
            self.send_header("Content-Type", "application/timestamp-reply")
            self.end_headers()
            self.wfile.write((folder / "reply.tsr").read_bytes())

        def log_message(self, *_: object) -> None:
            pass

    server = HTTPServer(("127.0.0.1", 0), Stamping)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    thread.join()
    server.server_close()


def test_a_report_carries_the_time_of_a_stamp_server(
    clock: str, keys: Path, store: Path, tmp_path: Path
) -> None:
    file = tmp_path / "stamped.pdf"
    signer = open_signer(keys, timestamp_url=clock)
    issued = write_report(snapshot(), file, "condition", signer, today=TODAY)
    assert issued.notes == ()
    verdict = verify(file.read_bytes())
    assert verdict.unchanged
    assert "Clock in the next room" in verdict.signatures[0].stamp_server
    assert "by the clock of that computer" in verdict.lines[2]
    assert "Time-stamped on" in verdict.lines[3]
    assert "Signature is Valid." in pdfsig(file, store)


def test_a_damaged_time_stamp_is_said(clock: str, keys: Path, tmp_path: Path) -> None:
    file = tmp_path / "stamped.pdf"
    write_report(snapshot(), file, "condition", open_signer(keys, timestamp_url=clock), today=TODAY)
    data = bytearray(file.read_bytes())
    start = data.rindex(b"/Contents <") + len(b"/Contents <")
    content = bytes.fromhex(data[start : data.index(b">", start)].decode())
    name = content.rindex(b"Clock in the next room")
    changed = content[:name] + b"Block" + content[name + 5 :]
    data[start : start + 2 * len(changed)] = changed.hex().encode()
    assert not verify(bytes(data)).unchanged


def test_without_an_answer_the_report_is_signed_and_says_what_is_missing(
    keys: Path, tmp_path: Path
) -> None:
    with socket.socket() as taken:
        taken.bind(("127.0.0.1", 0))
        dead = f"http://127.0.0.1:{taken.getsockname()[1]}/"
        file = tmp_path / "unstamped.pdf"
        signer = open_signer(keys, timestamp_url=dead)
        issued = write_report(snapshot(), file, "condition", signer, today=TODAY)
    assert "time-stamp server did not answer" in " ".join(str(note) for note in issued.notes)
    verdict = verify(file.read_bytes())
    assert verdict.unchanged
    assert verdict.signatures[0].stamped is None
