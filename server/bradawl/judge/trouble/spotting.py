"""From an ad's words to the claims that it seems to make; a person says whether it makes them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from ..values.ascii_text import DIGITS, lower, trimmed

if TYPE_CHECKING:
    from ..values.types import Rules, SpottedClaim

_LETTERS = "abcdefghijklmnopqrstuvwxyz'" + DIGITS
_SHOWN = 6  # words of its sentence on either side of what was spotted
_END = "|"
_ENDS = ".!?;"  # no word behind one turns around what stands before it
_MOST = 20000  # letters of an ad that are read


def spotted(text: str, rules: Rules) -> list[SpottedClaim]:
    """The claims that an ad seems to make, each kind once, with the words around it.

    A phrase counts as whole words, whatever stands between them; not where a word right before or
    behind turns it around. A person says whether it is one.
    """
    text = text[:_MOST]
    words, places = _words(text)
    spaced = " " + " ".join(words) + " "
    turned: Any = rules.get("turned") or {}
    found: list[SpottedClaim] = []
    for row in rules.get("claims") or []:
        for phrase in sorted(row["words"]):
            parts = _words(phrase)[0]
            at = _stated(spaced, " ".join(parts), turned)
            if at >= 0:
                first = spaced[:at].count(" ")
                last = first + len(parts) - 1
                shown = _sentence(first, last, words)
                begin, end = places[shown[0]], places[shown[1]] + len(words[shown[1]])
                found.append({"kind": row["id"], "words": trimmed(text[begin:end])})
                break
    return found


def _sentence(first: int, last: int, words: list[str]) -> tuple[int, int]:
    """From which word to which a sentence goes around these, or as far as there is room."""
    begin, end = first, last
    while begin > max(0, first - _SHOWN) and words[begin - 1] != _END:
        begin -= 1
    while end < min(len(words) - 1, last + _SHOWN) and words[end + 1] != _END:
        end += 1
    return begin, end


def _words(text: str) -> tuple[list[str], list[int]]:
    """The words of a text in small letters, and where each begins; the end of a sentence is one."""
    small = lower(text)
    words: list[str] = []
    places: list[int] = []
    word, begin = "", 0
    for n in range(len(small) + 1):
        letter = small[n] if n < len(small) else " "
        if letter == "\u2019":
            letter = "'"
        if letter in _LETTERS or letter > "\x7f":
            if not word:
                begin = n
            word += letter
        elif word:
            words.append(word)
            places.append(begin)
            word = ""
        if letter in _ENDS and (n + 1 >= len(small) or small[n + 1] in " \n\r"):
            words.append(_END)
            places.append(n)
    return words, places


def _stated(spaced: str, phrase: str, turned: Any) -> int:
    """Where a phrase stands that nothing beside it turns around; -1 for nowhere."""
    at = spaced.find(" " + phrase + " ")
    while at >= 0:
        before, behind = spaced[: at + 1], spaced[at + len(phrase) + 1 :]
        is_turned = [1 for one in turned.get("before") or [] if before.endswith(" " + one + " ")]
        is_turned += [1 for one in turned.get("behind") or [] if behind.startswith(" " + one + " ")]
        if not is_turned:
            return at
        at = spaced.find(" " + phrase + " ", at + 1)
    return -1
