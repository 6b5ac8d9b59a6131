"""The cases that hold both readers of metadata to the same (metadata_vectors.json)."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path

__all__ = ["CASES", "ISSUED", "Case"]


@dataclass(frozen=True)
class Case:
    """Metadata, and whether they say the same as those of the report as it was issued."""

    name: str
    xmp: bytes
    is_same: bool


def _read() -> tuple[bytes, list[Case]]:
    vectors = json.loads(Path(__file__).with_suffix(".json").read_text(encoding="utf-8"))
    begin, end = vectors["frame"]

    def framed(inside: str) -> str:
        return f"{begin}{inside}{end}".replace("{blanks}", " " * 100_000)

    cases = [
        Case(
            case["name"],
            (case["whole"] if "whole" in case else framed(case["inside"])).encode(
                case.get("encoding", "utf-8")
            ),
            case["same"],
        )
        for case in vectors["cases"]
    ]
    return framed(vectors["issued"]).encode(), cases


ISSUED, CASES = _read()
