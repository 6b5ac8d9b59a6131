"""Counts of what a server keeps, each with its noun, as parts of a sentence."""

from __future__ import annotations

from bradawl.language import text


def counts(**numbers: int) -> dict[str, str]:
    """`events=1, photos=3` as `{"events": "1 entry", "photos": "3 photos"}`; also `devices`."""
    return {kind: text("server-count-" + kind, count=count) for kind, count in numbers.items()}
