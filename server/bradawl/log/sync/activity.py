"""What the log tells the operational log: who sent and fetched how much, never what."""

from __future__ import annotations

import logging

from bradawl.log.format.events import Batch
from bradawl.log.sync.pulls import PullResult
from bradawl.operations import note

logger = logging.getLogger(__name__)


def pushed(batch: Batch, new: int, held: int) -> None:
    """A batch was kept; its last `new` events were not held before. `chain` is whose they are."""
    # A phone that says again what is held is counted: it may do so as often as it likes.
    same = () if new else ("device_id", "chain", "new")
    note(logger, "sync.push", same=same, chain=batch.device, new=new, held=held)
    for event in batch.events[len(batch.events) - new :]:
        if event.put.startswith("seal/"):
            note(logger, "seal.arrived", chain=batch.device, scope=event.scope, seal=event.put)


def taken_aside(origin: str, chain: str, new: int, *, signed: bool) -> None:
    """Events that part from what is held of the chain `origin` were kept as `chain`.

    `new` counts those that were not yet, the first of the new chain among them.
    """
    same = () if new else ("chain",)
    note(
        logger, "sync.aside", level=logging.WARNING, same=same, origin=origin, chain=chain,
        new=new, signed=signed,
    )  # fmt: skip


def pulled(result: PullResult) -> None:
    """Events were given to whoever asks."""
    given = sum(batch.count for batch in result.found.batches)
    same = () if given else ("device_id", "given")
    note(logger, "sync.pull", same=same, given=given, more=result.found.more)


def blob_kept(sha256: str, type_: str, size_bytes: int, *, new: bool) -> None:
    """A photo's or recording's bytes and row are on the disk."""
    same = () if new else ("device_id", "who", "new")
    note(logger, "blob.kept", same=same, sha256=sha256, type=type_, size_bytes=size_bytes, new=new)
