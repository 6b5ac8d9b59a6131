"""What a person reads of an answer of the judge: its sentences, said."""

from __future__ import annotations

from typing import Any

from bradawl.language import Reader, reading_as, say


def said(sentence: Any, rules: Any, region: str = "eu") -> str:
    """One sentence to a reader of that region; most vectors are typed in metric units."""
    with reading_as(Reader(region=region)):
        return say(sentence, rules)


def unsaid(text: str) -> dict[str, Any]:
    """A sentence that says just this: for answers of the judge that a test makes by hand."""
    return {"id": "judge-reason-combination", "args": {"reason": text}}
