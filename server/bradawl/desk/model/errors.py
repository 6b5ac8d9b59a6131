"""The errors that the desk's models have in common; `common/errors.py` answers them."""

from __future__ import annotations

from bradawl.common.errors import ApiError
from bradawl.language import Message


def stale(said: Message) -> ApiError:
    """The page was older than the record: nothing is overwritten unseen."""
    return ApiError("stale", said, 409)
