"""Recordings: sound and film of the car, known by their container's first bytes.

Nothing is decoded here. The container says what may be inside; whether it is heard or seen is
what its sender declared. Signatures: RFC 9559 (Matroska and WebM), RFC 3533 (Ogg), RFC 9639
(FLAC), ISO/IEC 14496-12 (the `ftyp` box of MP4 and QuickTime; from memory), RIFF WAVE and MPEG
audio (from memory).
"""

from __future__ import annotations

_MP4 = frozenset({"audio/mp4", "audio/x-m4a", "video/mp4", "video/quicktime"})
_WEBM = frozenset({"audio/webm", "video/webm"})

RECORDING_TYPES = _MP4 | _WEBM | {"audio/ogg", "audio/wav", "audio/mpeg", "audio/flac"}


def recording_type(head: bytes, declared: str) -> str | None:
    """The media type of a file with these first 16 bytes that was sent as `declared`.

    None where the bytes are of another container than `declared` names, or of none.
    """
    fitting = _container(head)
    return declared if declared in fitting else None


def _container(head: bytes) -> frozenset[str]:
    if head[4:8] == b"ftyp":
        return _MP4
    if head.startswith(b"\x1a\x45\xdf\xa3"):
        return _WEBM
    if head.startswith(b"OggS"):
        return frozenset({"audio/ogg"})
    if head.startswith(b"RIFF") and head[8:12] == b"WAVE":
        return frozenset({"audio/wav"})
    if head.startswith(b"fLaC"):
        return frozenset({"audio/flac"})
    # an ID3 tag, or a frame of MPEG audio: eleven bits set, and a layer that is not reserved
    if head.startswith(b"ID3") or (
        len(head) > 1 and head[0] == 0xFF and head[1] & 0xE0 == 0xE0 and head[1] & 0x06
    ):
        return frozenset({"audio/mpeg"})
    return frozenset()
