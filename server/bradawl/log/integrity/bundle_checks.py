"""Whether every checklist bundle is what its name says: the hash of its content."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator

import msgspec
from sqlalchemy import Connection, select

from bradawl.judge import CanonicalError, canonical
from bradawl.language import message
from bradawl.log.format.tables import BUNDLES
from bradawl.log.integrity.faults import RESTORE, Finding


def examine_bundles(connection: Connection) -> Iterator[Finding]:
    """Read every bundle again. By one that was changed a visit would be judged otherwise."""
    for name, body in connection.execute(select(BUNDLES.c.hash, BUNDLES.c.body)):
        if _hash_of(body) != name:
            yield Finding("bundle", message("server-fault-checklist", name=str(name)[:12]), RESTORE)


def _hash_of(body: str) -> str:
    """The name that a bundle's text earns; "" for a text that is none."""
    try:
        bundle = msgspec.json.decode(body)
        rest = {key: value for key, value in bundle.items() if key != "hash"}
        return hashlib.sha256(canonical(rest).encode()).hexdigest()
    except (msgspec.MsgspecError, CanonicalError, AttributeError, ValueError, RecursionError):
        return ""
