"""The direction of every letter, and the order in which what stands on a line is seen (UAX 9)."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from typing import Any

_RIGHT_TO_LEFT = re.compile("[\u0590-\u08ff\ufb1d-\ufdff\ufe70-\ufeff\U00010800-\U00010fff"
                            "\U0001e800-\U0001efff]")  # fmt: skip
_ISOLATE, _END = "\u2068", "\u2069"
_ISOLATED = re.compile(f"{_ISOLATE}([^{_ISOLATE}{_END}]*){_END}")


def levels_of(said: str) -> tuple[int, list[int]]:
    """The direction of a paragraph (0 or 1) and the level of each of its letters."""
    if not _RIGHT_TO_LEFT.search(said):
        return 0, [0] * len(said)
    outer = _ISOLATED.sub("\ufffc", said)
    # a paragraph that is nothing but what was set apart runs as that does
    alone = _ISOLATED.search(said) if not any(map(str.isalpha, outer)) else None
    base, around = _resolved(outer, alone[1] if alone else outer)
    levels: list[int] = []
    at = 0
    for isolate in _ISOLATED.finditer(said):
        before = isolate.start() - at
        levels += around[:before]
        own = around[before]
        around, at = around[before + 1 :], isolate.end()
        inside, deep = _resolved(isolate[1], isolate[1])
        # the next deeper level that runs in the direction of what is inside (UAX 9, X5a and X5b)
        raised = own + 1 + (own + 1 - inside) % 2 - inside
        levels += [own, *(level + raised for level in deep), own]
    return base, levels + around


def _resolved(said: str, leading: str) -> tuple[int, list[int]]:
    """Direction, as the first strong letter of `leading` has it, and levels, without isolates."""
    from bidi import algorithm

    known = "".join(
        "\ufffc" if unicodedata.bidirectional(letter) in _NOT_RESOLVED else letter
        for letter in said
    )
    store = algorithm.get_empty_storage()
    base = store["base_level"] = algorithm.get_base_level(leading)
    store["base_dir"] = "LR"[base]
    algorithm.get_embedding_levels(known, store)
    algorithm.explicit_embed_and_overrides(store)
    algorithm.resolve_weak_types(store)
    _pair_brackets(store)
    algorithm.resolve_neutral_types(store, False)
    algorithm.resolve_implicit_levels(store, False)
    levels: list[int] = []
    found = iter([*store["chars"], {"ch": "", "level": base}])
    now = next(found)
    for letter in known:  # X9 takes marks of direction out: they count with what stands before
        if now["ch"] == letter:
            levels.append(now["level"])
            now = next(found)
        else:
            levels.append(levels[-1] if levels else base)
    return base, levels


#: Directions that the library does not know: of no character yet, and of isolates by themselves.
_NOT_RESOLVED = ("", "LRI", "RLI", "FSI", "PDI")
_BRACKETS = {"(": ")", "[": "]", "{": "}", "\u3008": "\u3009", "\u300c": "\u300d"}
_STRONG = {"L": "L", "R": "R", "EN": "R", "AN": "R"}


def _pair_brackets(store: dict[str, Any]) -> None:
    """Give both brackets of a pair one direction (UAX 9, N0), which the library leaves out."""
    for run in store["runs"]:
        chars = store["chars"][run["start"] : run["start"] + run["length"]]
        for first, last in _pairs(chars):
            own = "LR"[chars[first]["level"] & 1]
            inside = {_STRONG.get(char["type"]) for char in chars[first + 1 : last]} - {None}
            if not inside:
                continue
            before = (_STRONG[c["type"]] for c in reversed(chars[:first]) if c["type"] in _STRONG)
            direction = own if own in inside else next(before, run["sor"])
            chars[first]["type"] = chars[last]["type"] = direction


def _pairs(chars: Sequence[dict[str, Any]]) -> list[tuple[int, int]]:
    """Places of brackets that belong together (UAX 9, BD16), in the order of the first ones."""
    pairs: list[tuple[int, int]] = []
    opened: list[tuple[str, int]] = []
    for at, char in enumerate(chars):
        if char["type"] != "ON":
            continue
        if char["ch"] in _BRACKETS:
            opened.append((_BRACKETS[char["ch"]], at))
            continue
        for number in reversed(range(len(opened))):
            if opened[number][0] == char["ch"]:
                pairs.append((opened[number][1], at))
                del opened[number:]
                break
    return sorted(pairs)


def visual_order(levels: Sequence[int]) -> list[int]:
    """Where what stands on a line is seen: places in the order from left to right (UAX 9, L2)."""
    order = list(range(len(levels)))
    odd = [level for level in levels if level & 1]
    for level in range(max(levels, default=0), min(odd, default=1) - 1, -1):
        at = 0
        while at < len(order):
            end = at
            while end < len(order) and levels[order[end]] >= level:
                end += 1
            order[at:end] = order[at:end][::-1]
            at = end + 1
    return order
