"""What somebody meant who wrote a name that does not exist."""

from __future__ import annotations

import difflib
from collections.abc import Iterable


def near(word: str, candidates: Iterable[str]) -> str:
    """The end of a sentence about an unknown name: the nearest known one, if any is near."""
    found = difflib.get_close_matches(word, list(candidates), n=1, cutoff=0.5)
    return f"did you mean '{found[0]}'?" if found else "add it there, or name another"
