"""What the log's routes take and give, for the OpenAPI description.

The routes read their bodies themselves (packed, counted, streamed), so the framework cannot know.
"""

from __future__ import annotations

from typing import Any

from bradawl.log.photos.recordings import RECORDING_TYPES

_ID = {"type": "string", "pattern": "^[0-9a-f]{32}$"}
_HASH = {"type": "string", "pattern": "^[0-9a-f]{64}$"}
_STAMP = {"type": "string", "pattern": "^[0-8][0-9]{14}-[0-9]{5}-[0-9a-f]{32}$"}
_SEQ = {"type": "integer", "minimum": 0, "maximum": 2**53 - 1}
_PROTOCOL = {"type": "integer", "enum": [2]}
_BASE64 = {"type": "string", "pattern": "^[A-Za-z0-9_-]+$"}
_SCOPE = {"type": "string", "pattern": "^(shop|(inspection|car)/[0-9a-f]{32})$"}
_NAMED = {"type": "string", "pattern": "^[0-8][0-9]{14}-[0-9]{5}-[0-9a-f]{32}~[A-Za-z0-9_-]{43}$"}
_EVENT = {
    "type": "object",
    "required": ["at", "scope", "put", "over"],
    "properties": {
        "at": _STAMP,
        "scope": _SCOPE,
        "put": {"type": "string", "pattern": "^[a-z0-9._-]+(/[a-z0-9._-]+)*$", "maxLength": 200},
        "value": {
            "type": "string",
            "description": "canonical JSON, 16 deep; null takes back",  # API: not shown
        },
        "salt": _BASE64,
        "commit": _BASE64,
        "over": {"type": "array", "items": _NAMED},
    },
}
_HELD = {"type": "object", "additionalProperties": _SEQ}
_HAVE = {
    "type": "object",
    "additionalProperties": {
        "type": "array",
        "prefixItems": [_SEQ, _HASH],
        "items": False,
        "minItems": 2,
    },
}


def _object(**properties: Any) -> dict[str, Any]:
    return {"type": "object", "required": list(properties), "properties": properties}


def _takes(schema: dict[str, Any], example: Any) -> dict[str, Any]:
    content = {"application/json": {"schema": schema, "example": example}}
    return {"requestBody": {"required": True, "content": content}}


def gives(schema: dict[str, Any], what: str) -> dict[str, Any]:
    """A success answer in JSON for `responses=`."""
    return {"description": what, "content": {"application/json": {"schema": schema}}}


_EMPTY_BATCH = {
    "protocol": 2,
    "device": "0" * 32,
    "key": "",
    "from_seq": 1,
    "prev": "",
    "events": [],
    "head": "",
    "signature": "",
}
PUSH = _takes(
    _object(
        protocol=_PROTOCOL,
        device=_ID,
        key=_BASE64,
        from_seq={**_SEQ, "minimum": 1},
        prev={"type": "string", "pattern": "^([0-9a-f]{64})?$"},
        events={"type": "array", "items": _EVENT, "minItems": 1, "maxItems": 2000},
        head=_HASH,
        signature=_BASE64,
    ),
    _EMPTY_BATCH,
)
PUSHED = gives(
    _object(held=_SEQ, head={"type": "string"}, server_ms={"type": "integer"}),
    "The log holds the device's events up to `held`.",  # API: not shown
)
ASIDE = gives(_object(device=_ID), "The events lie on a side chain of this id.")  # API: not shown
PULL = _takes(_object(protocol=_PROTOCOL, have=_HAVE), {"protocol": 2, "have": {}})
PULLED = gives(
    _object(
        batches={"type": "array", "items": {"type": "object"}},
        more={"type": "boolean"},
        held=_HELD,
        shop={"type": "array", "items": _ID},
        want=_HELD,
        forked={"type": "object"},
        run={"type": "string"},
        server_ms={"type": "integer"},
    ),
    "What the asker lacks, or the first part of it.",  # API: not shown
)
MISSING = _takes(
    _object(sha256={"type": "array", "items": _HASH, "maxItems": 1000}), {"sha256": []}
)
MISSED = gives(
    _object(missing={"type": "array", "items": _HASH}),
    "The hashes of blobs that are not held.",  # API: not shown
)
PHOTO = {
    "requestBody": {
        "required": True,
        "content": {
            kind: {"schema": {"type": "string", "format": "binary"}}
            for kind in (
                "image/jpeg",
                "image/png",
                "image/webp",
                "image/heic",
                *sorted(RECORDING_TYPES),
            )
        },
    },
}
KEPT = gives(
    _object(sha256=_HASH, stored={"type": "boolean"}),
    "The blob is held.",  # API: not shown
)
PICTURE = {
    "description": "The copy that is shown.",  # API: not shown
    "content": {"image/jpeg": {"schema": {"type": "string", "format": "binary"}}},
}
