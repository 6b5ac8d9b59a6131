"""Keys of devices: P-256, and the id that a key gives its device.

A device's id is the beginning of the SHA-256 of its public key, so nobody can take over an id,
replace the key behind it, or continue a chain of events without the private key.
Public keys travel as the uncompressed point (65 bytes), signatures as r and s (64 bytes, ECDSA
with SHA-256, as WebCrypto makes them), both in base64url without padding.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from bradawl.language import message

if TYPE_CHECKING:  # slow to load: only whoever signs or checks waits for it
    from cryptography.hazmat.primitives.asymmetric import ec

POINT_BYTES = 65
SIGNATURE_BYTES = 64


@cache
def _algorithm() -> ec.ECDSA:
    """ECDSA with SHA-256, signing after RFC 6979: it needs no chance, and no bad chance can give
    the key away.
    """
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec

    return ec.ECDSA(hashes.SHA256(), deterministic_signing=True)


class KeyFaultError(ValueError):
    """A text that is no public key of a device."""


def encoded(data: bytes) -> str:
    """Base64url without padding."""
    return base64.urlsafe_b64encode(data).rstrip(b"=").decode()


def decoded(text: str, size_bytes: int) -> bytes | None:
    """The bytes behind base64url without padding; None unless they are `size_bytes` many."""
    try:
        data = base64.urlsafe_b64decode(text + "=" * (-len(text) % 4))
    except (ValueError, binascii.Error):
        return None
    return data if len(data) == size_bytes and encoded(data) == text else None


def device_of(key: str) -> str:
    """The id of the device with this public key: 32 lower-case hex characters.

    Raises KeyFaultError.
    """
    point = decoded(key, POINT_BYTES)
    if point is None:
        raise KeyFaultError(message("server-device-key"))
    return hashlib.sha256(point).hexdigest()[:32]


def is_key_of(key: str, device: str) -> bool:
    """Whether `key` is the public key of the device with this id."""
    try:
        return device_of(key) == device
    except KeyFaultError:
        return False


def verifies(key: str, text: str, signature: str) -> bool:
    """Whether `signature` over `text` was made with the private half of `key`."""
    point, raw = decoded(key, POINT_BYTES), decoded(signature, SIGNATURE_BYTES)
    if point is None or raw is None:
        return False
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.hazmat.primitives.asymmetric.utils import encode_dss_signature

    r, s = int.from_bytes(raw[:32], "big"), int.from_bytes(raw[32:], "big")
    try:
        public = ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), point)
        public.verify(encode_dss_signature(r, s), text.encode(), _algorithm())
    except (ValueError, InvalidSignature):
        return False
    return True


class DeviceKey:
    """The private key of a device."""

    def __init__(self, private: ec.EllipticCurvePrivateKey) -> None:
        from cryptography.hazmat.primitives import serialization

        self._private = private
        point = private.public_key().public_bytes(
            serialization.Encoding.X962, serialization.PublicFormat.UncompressedPoint
        )
        self.public = encoded(point)
        self.device = device_of(self.public)

    @classmethod
    def create(cls) -> DeviceKey:
        """A new key."""
        from cryptography.hazmat.primitives.asymmetric import ec

        return cls(ec.generate_private_key(ec.SECP256R1()))

    @classmethod
    def derived(cls, secret: bytes) -> DeviceKey:
        """The key that follows from a secret: for the demo and for tests, the same every time."""
        from cryptography.hazmat.primitives.asymmetric import ec

        number = int.from_bytes(hashlib.sha512(b"bradawl device key\0" + secret).digest(), "big")
        order = 0xFFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551  # FIPS 186-4
        return cls(ec.derive_private_key(number % (order - 1) + 1, ec.SECP256R1()))

    @classmethod
    def read(cls, path: Path) -> DeviceKey:
        """The key in a PEM file. Raises OSError, ValueError."""
        from cryptography.hazmat.primitives import serialization
        from cryptography.hazmat.primitives.asymmetric import ec

        private = serialization.load_pem_private_key(path.read_bytes(), password=None)
        if not isinstance(private, ec.EllipticCurvePrivateKey):
            raise ValueError(f"{path} holds another kind of key than P-256.")
        return cls(private)

    def pem(self) -> bytes:
        """The private key as PEM (PKCS #8, not encrypted)."""
        from cryptography.hazmat.primitives import serialization

        return self._private.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )

    def sign(self, text: str) -> str:
        """The signature over `text`, the same every time."""
        from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature

        r, s = decode_dss_signature(self._private.sign(text.encode(), _algorithm()))
        return encoded(r.to_bytes(32, "big") + s.to_bytes(32, "big"))
