"""A push as it arrives: its envelope read strictly, its events chained, its signature verified."""

from __future__ import annotations

import re
from typing import NoReturn

import msgspec

from bradawl.common import device_keys
from bradawl.common.errors import ApiError
from bradawl.language import Message, message
from bradawl.log.format.events import INTEGER_LIMIT, Batch, Written, check, is_hash, is_id, refuse

PROTOCOL = 2
MAX_EVENTS = 2_000  # in one batch
MAX_BODY_BYTES = 8_000_000  # of one batch, unpacked


class _Head(msgspec.Struct):
    protocol: int


class _Envelope(msgspec.Struct, forbid_unknown_fields=True):
    protocol: int
    device: str
    key: str
    from_seq: int
    prev: str
    events: list[Written]
    head: str
    signature: str


_decode_envelope = msgspec.json.Decoder(_Envelope).decode
_decode_head = msgspec.json.Decoder(_Head).decode
_WHERE = re.compile(r" - at `\$(?:\.events\[(\d+)\])?\.?(.*)`$")


def head_text(device: str, seq: int, head: str) -> str:
    """What a device signs of its chain: that event `seq` has the hash `head`."""
    return f"bradawl-head-2\n{device}\n{seq}\n{head}"


def read_batch(body: bytes) -> Batch:
    """A push as it arrived, checked field by field, along its own chain and by its signature.

    Raises ApiError: 426 "app_too_old", 422 "server_too_old", "event", "chain" or "signature",
    400 "batch", 413 "too_large".
    """
    if len(body) > MAX_BODY_BYTES:
        raise ApiError(
            "too_large",
            message("server-batch-bytes", most=MAX_BODY_BYTES),
            413,
        )
    envelope = _parse(body)
    if not is_id(envelope.device):
        _refuse_batch(message("server-batch-device"))
    if not 1 <= envelope.from_seq < INTEGER_LIMIT - MAX_EVENTS:
        _refuse_batch(message("server-batch-from"))
    if not envelope.events:
        _refuse_batch(message("server-batch-empty"))
    if len(envelope.events) > MAX_EVENTS:
        raise ApiError(
            "too_large",
            message("server-batch-events", most=MAX_EVENTS, count=len(envelope.events)),
            413,
        )
    if (envelope.prev != "") if envelope.from_seq == 1 else not is_hash(envelope.prev):
        _refuse_batch(message("server-batch-prev"))
    batch = check(
        envelope.device,
        envelope.from_seq,
        envelope.prev,
        envelope.events,
        envelope.key,
        envelope.signature,
    )
    if batch.head != envelope.head:
        raise ApiError(
            "chain",
            message("server-batch-head"),
            422,
            head=batch.head,
        )
    require_signature(batch)
    return batch


def require_signature(batch: Batch) -> None:
    """Raises ApiError "signature" unless the batch's device has signed its head."""
    try:
        device = device_keys.device_of(batch.key)
    except device_keys.KeyFaultError as error:
        raise ApiError("signature", message("server-batch-key", why=error.args[0]), 422) from error
    if device != batch.device:
        raise ApiError(
            "signature",
            message("server-batch-other-key"),
            422,
        )
    if not device_keys.verifies(
        batch.key, head_text(batch.device, batch.to_seq, batch.head), batch.signature
    ):
        raise ApiError(
            "signature",
            message("server-batch-unsigned"),
            422,
        )


def _refuse_batch(what: Message | str) -> NoReturn:
    raise ApiError("batch", message("server-batch", what=what), 400)


def require_protocol(protocol: int) -> None:
    """Raises ApiError "app_too_old" or "server_too_old" for another protocol than this one."""
    if protocol < PROTOCOL:
        raise ApiError(
            "app_too_old",
            message("server-app-old"),
            426,
            protocol=PROTOCOL,
        )
    if protocol > PROTOCOL:
        raise ApiError(
            "server_too_old",
            message("server-older"),
            422,
            protocol=PROTOCOL,
        )


def require_protocol_of(body: bytes) -> None:
    """As `require_protocol`, of a body whose other fields may be of a form that is yet to come.

    Raises msgspec's errors where it is no JSON object with a protocol.
    """
    require_protocol(_decode_head(body).protocol)


def _parse(body: bytes) -> _Envelope:
    try:
        require_protocol_of(body)
        return _decode_envelope(body)
    except msgspec.ValidationError as error:
        sentence = str(error)
        where = _WHERE.search(sentence)
        what = sentence[: where.start()] if where else sentence
        field = f" ({where[2]})" if where and where[2] else ""
        if where and where[1]:
            refuse(int(where[1]), f"{what}{field}.")
        _refuse_batch(f"{what}{field}.")
    except (msgspec.DecodeError, UnicodeDecodeError) as error:
        _refuse_batch(message("server-batch-json", why=str(error)))
    except RecursionError:
        _refuse_batch(message("server-batch-nested"))
