"""A file that a passphrase closes: what leaves this machine with its private keys in it.

| bytes | what |
| --- | --- |
| line 1 | `bradawl-move`, and the number of the format |
| line 2 | JSON: the version of Bradawl, when it was made, salt, what tells a wrong passphrase |
| line 3 | SHA-256 of both lines, hex: damage there is told from a wrong passphrase |
| the rest | pieces of 1 MiB, the last one shorter, each followed by its tag |

The key is scrypt's (RFC 7914); pieces are AES-256-GCM (NIST SP 800-38D) with their number as nonce
and, in its last byte, whether it is the last: pieces that were changed, moved, left out or cut off
are refused (the STREAM construction, Hoang, Reyhanitabar, Rogaway and Vizár, CRYPTO 2015).
"""

from __future__ import annotations

import base64
import hashlib
import io
import secrets
from collections.abc import Iterator
from typing import IO

import msgspec
from cryptography.exceptions import InvalidTag
from cryptography.hazmat.primitives.ciphers.aead import AESGCM
from cryptography.hazmat.primitives.kdf.scrypt import Scrypt

from bradawl.backup.archive import BackupError
from bradawl.language import message

__all__ = ["FORMAT", "Head", "Sealing", "head_of", "opened_pieces"]

FORMAT = 1
NAME = b"bradawl-move"
PIECE_BYTES = 1024 * 1024
TAG_BYTES = 16
_MOST_LINE_BYTES = 2000
#: 128 MB and about half a second: the passphrase is all that protects the keys.
COST = 2**17


class Head(msgspec.Struct, frozen=True, kw_only=True):
    """What stands in the clear: `bradawl` the version that wrote it, `made` an ISO time in UTC."""

    bradawl: str
    made: str
    salt: str
    check: str


class Sealing(io.RawIOBase):
    """Writes a sealed file to `out`: what is written to it, in pieces, closed by `finish`."""

    def __init__(self, out: IO[bytes], passphrase: str, *, version: str, made: str) -> None:
        super().__init__()
        salt = secrets.token_bytes(16)
        key, check = _derived(passphrase, salt)
        head = Head(bradawl=version, made=made, salt=base64.b64encode(salt).decode(), check=check)
        lines = NAME + b" %d\n" % FORMAT + msgspec.json.encode(head) + b"\n"
        self._digest = hashlib.sha256(lines).digest()
        out.write(lines + self._digest.hex().encode() + b"\n")
        self._out, self._cipher = out, AESGCM(key)
        self._waiting = bytearray()
        self._number = 0

    def writable(self) -> bool:
        return True

    def write(self, data: bytes) -> int:  # type: ignore[override]
        """Raises OSError."""
        self._waiting += data
        while len(self._waiting) > PIECE_BYTES:
            self._put(bytes(self._waiting[:PIECE_BYTES]), last=False)
            del self._waiting[:PIECE_BYTES]
        return len(data)

    def finish(self) -> None:
        """Write the last piece. Raises OSError."""
        self._put(bytes(self._waiting), last=True)
        self._waiting.clear()

    def _put(self, piece: bytes, *, last: bool) -> None:
        nonce = _nonce(self._number, last=last)
        self._out.write(self._cipher.encrypt(nonce, piece, self._digest))
        self._number += 1


def head_of(file: IO[bytes], name: str) -> tuple[Head, bytes]:
    """The head of a sealed file, called `name`, and the digest that its pieces rest on.

    Raises BackupError for any other file, one of a newer format, and a damaged head.
    """
    first = file.readline(_MOST_LINE_BYTES)
    kind, _, number = first.rstrip(b"\n").partition(b" ")
    if kind != NAME or not number.isdigit():
        raise BackupError(message("server-move-foreign", file=name))
    if int(number[:9]) > FORMAT:
        raise BackupError(message("server-move-newer", file=name))
    second, third = file.readline(_MOST_LINE_BYTES), file.readline(_MOST_LINE_BYTES)
    digest = hashlib.sha256(first + second).digest()
    if third.strip() != digest.hex().encode():
        raise BackupError(message("server-move-damaged", file=name))
    try:
        return msgspec.json.decode(second, type=Head), digest
    except msgspec.MsgspecError as error:
        raise BackupError(message("server-move-damaged", file=name)) from error


def opened_pieces(file: IO[bytes], passphrase: str, name: str) -> Iterator[bytes]:
    """What was sealed, piece by piece, each of them whole.

    Raises BackupError for a wrong passphrase, and for the first piece that is damaged or missing.
    """
    head, digest = head_of(file, name)
    key, check = _derived(passphrase, base64.b64decode(head.salt))
    if not secrets.compare_digest(check, head.check):
        raise BackupError(message("server-move-passphrase", file=name))
    cipher = AESGCM(key)
    piece = file.read(PIECE_BYTES + TAG_BYTES)
    number = 0
    while piece:
        following = file.read(PIECE_BYTES + TAG_BYTES)
        try:
            yield cipher.decrypt(_nonce(number, last=not following), piece, digest)
        except InvalidTag as error:
            raise BackupError(message("server-move-damaged", file=name)) from error
        piece, number = following, number + 1
    if not number:
        raise BackupError(message("server-move-damaged", file=name))


def _nonce(number: int, *, last: bool) -> bytes:
    return number.to_bytes(11, "big") + bytes([last])


def _derived(passphrase: str, salt: bytes) -> tuple[bytes, str]:
    """The key, and what tells a wrong passphrase without saying anything about the key."""
    made = Scrypt(salt=salt, length=64, n=COST, r=8, p=1).derive(passphrase.encode())
    return made[:32], made[32:].hex()
