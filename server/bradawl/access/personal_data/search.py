"""Where an inspection names its seller: a search in time that grows with the text and no faster.

What a seller's and a place's own entries say is certain. Elsewhere a full name, a street with its
number, a telephone number or e-mail address that the seller's entries have, and whatever the
person who searches has typed, is certain too. A single word that may be a name, and what looks
like a number or address of anybody, is for a person to decide.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any

SELLER, PLACE = "about/seller", "about/place"

_WORD = re.compile(r"[^\W_]+")
#: A run of digits as people group them; bounded, so that no text makes it look twice.
_DIGITS = re.compile(r"\+?\(?\d[\d ().\-/\u00a0\u202f]{4,24}\d")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}|\d{1,2}[./]\d{1,2}[./]\d{2,4}")
#: What stands around an @; looked for from the @ outwards.
_BEFORE_AT = re.compile(r"[A-Za-z0-9._%+\-]{1,64}\Z")
_AFTER_AT = re.compile(r"[A-Za-z0-9\-]{1,63}(?:\.[A-Za-z0-9\-]{1,63}){1,4}")
#: A telephone number by its looks: international, with a leading zero, or as North America writes
#: it (NANP: three, three, four). Seven digits alone only with the dash.
_TELEPHONE = re.compile(
    r"\+\d|0\d|\(?[2-9]\d{2}\)?[ .\-\u00a0/]?\d{3}[ .\-\u00a0]?\d{4}\Z|\d{3}-\d{4}\Z"
)
LEAST_DIGITS, TELEPHONE_DIGITS = 6, 7

# words around names and addresses that name nobody
_SAYS_NOTHING = frozenset({
    "a", "an", "and", "are", "as", "at", "auction", "barn", "behind", "between", "brother",
    "business", "by", "call", "car", "cell", "company", "corp", "daughter", "dealer", "did",
    "dr", "email", "estate", "family", "farm", "father", "first", "for", "friend", "from",
    "garage", "had", "has", "he", "her", "his", "house", "husband", "in", "inc", "is", "it",
    "its", "lady", "left", "llc", "llp", "ltd", "mail", "man", "miss", "mother", "mr", "mrs",
    "ms", "near", "of", "off", "on", "or", "original", "owned", "owner", "phone", "private",
    "right", "said", "second", "seller", "she", "sister", "sold", "son", "tel", "telephone",
    "that", "the", "their", "them", "they", "third", "to", "trade", "uncle", "was", "widow",
    "wife", "with", "woman",
})  # fmt: skip
_STREET_WORDS = frozenset({
    "alley", "apartment", "apt", "ave", "avenue", "bend", "blvd", "boulevard", "box", "center",
    "circle", "city", "close", "corner", "county", "court", "creek", "crossing", "ct", "dr",
    "drive", "east", "expressway", "fl", "floor", "great", "green", "grove", "harbor",
    "heights", "highway", "hill", "hills", "hwy", "junction", "lane", "little", "ln", "loop",
    "lower", "mill", "mount", "new", "north", "old", "park", "parkway", "pass", "pike", "pl",
    "place", "plaza", "po", "point", "pond", "port", "ramp", "rd", "ridge", "river", "road",
    "room", "route", "rt", "saint", "shop", "south", "sq", "square", "st", "stage", "station",
    "storage", "street", "suite", "terrace", "top", "town", "township", "trail", "turnpike",
    "unit", "upper", "valley", "view", "village", "walk", "way", "west", "wood", "woods",
    "yard", "zip",
})  # fmt: skip


@dataclass(frozen=True)
class Found:
    """A path whose value names somebody, or may.

    `events` are (device, seq) of the versions that do, all of them where the path is theirs.
    `what` says why by a word, `access-found-…` in the catalogue.
    `text` is what the last of these says. Not `certain`: a person has to decide. Not `erasable`:
    the record rests on it, and it stays.
    """

    put: str
    what: str
    text: str
    certain: bool
    erasable: bool
    events: tuple[tuple[str, int], ...]

    @property
    def is_photo(self) -> bool:
        """Whether it is what was written about a photo or recording."""
        parts = self.put.split("/")
        return len(parts) > 1 and parts[-2] in ("photos", "media")


@dataclass
class Terms:
    """What is looked for. Words are folded: no case, no accents."""

    names: set[str] = field(default_factory=set)
    full_names: set[str] = field(default_factory=set)
    streets: set[tuple[str, str]] = field(default_factory=set)
    places: set[str] = field(default_factory=set)
    numbers: set[str] = field(default_factory=set)
    addresses: set[str] = field(default_factory=set)
    typed: list[tuple[str, ...]] = field(default_factory=list)


def search(
    events: Sequence[Mapping[str, Any]],
    may_be_erased: Callable[[str], bool],
    typed: Iterable[str] = (),
) -> list[Found]:
    """Everything in an inspection's events that names its seller, or somebody who was `typed`.

    Certain ones first. What was erased already is not found.
    """
    terms = _terms(events, typed)
    hits: dict[str, list[tuple[Mapping[str, Any], str, bool, str]]] = {}
    for event in events:
        if event.get("erased") or event["value"] is None:
            continue
        text = "\n".join(texts_in(event["value"]))
        for what, certain in _reasons(event["put"], text, terms):
            hits.setdefault(event["put"], []).append((event, what, certain, text))
            break
    values = []
    for put, rows in hits.items():
        sure = [row for row in rows if row[2]]
        _, what, _, text = (sure or rows)[-1]
        values.append(
            Found(
                put=put,
                what=what,
                text=text,
                certain=bool(sure),
                erasable=may_be_erased(put),
                events=tuple((row[0]["device"], row[0]["seq"]) for row in rows),
            )
        )
    return sorted(values, key=lambda value: (not value.erasable, not value.certain, value.put))


def _reasons(put: str, text: str, terms: Terms) -> Iterator[tuple[str, bool]]:
    """What is wrong with a text at a path, the surest first; nothing where it names nobody."""
    if not text.strip():
        return
    if _is_of(put, SELLER):
        yield "seller", True
    if _is_of(put, PLACE):
        yield "place", True
    words = list(_words(text))
    folded = [word for word, _ in words]
    if any(_holds(folded, phrase) for phrase in terms.typed):
        yield "typed", True
    numbers = set(_numbers(text))
    if any(number.endswith(known) for number in numbers for known in terms.numbers):
        yield "number", True
    mails = set(_mails(text))
    if mails & terms.addresses:
        yield "mail", True
    pairs = set(pairwise(folded))
    if any(_is_full_name(pair, terms) for pair in pairs):
        yield "name", True
    if pairs & terms.streets:
        yield "address", True
    if put == "about/inspector" or put.startswith(("seal/", "people/")):
        return  # it names whoever inspected; a shared word is no seller
    if terms.names & set(folded):
        yield "name-word", False
    if terms.places & {word for word, capital in words if capital}:
        yield "place-word", False
    if not put.startswith(("items/", "work/", "trouble/", "plan/", "media/", "notes/")):
        return
    if mails:
        yield "like-mail", False
    if "/readings/" not in put and any(_telephones(text)):
        yield "like-number", False


def _terms(events: Sequence[Mapping[str, Any]], typed: Iterable[str]) -> Terms:
    terms = Terms()
    for event in events:
        text = "\n".join(texts_in(event["value"]))
        if _is_of(event["put"], SELLER):
            terms.full_names |= _names(text)
            terms.names = terms.full_names - _STREET_WORDS
        elif not _is_of(event["put"], PLACE):
            continue
        terms.streets |= _streets(text)
        terms.places |= _places(text) if _is_of(event["put"], PLACE) else set()
        terms.numbers |= {_end(number) for number in _numbers(text)}
        terms.addresses |= set(_mails(text))
    for phrase in typed:
        words = tuple(word for word, _ in _words(phrase))
        digits = "".join(letter for letter in phrase if letter.isdigit())
        if len(digits) >= LEAST_DIGITS and not any(letter.isalpha() for letter in phrase):
            terms.numbers.add(_end(digits))
        elif words:
            terms.typed.append(words)
        terms.addresses |= set(_mails(phrase))
    return terms


def _is_full_name(pair: tuple[str, str], terms: Terms) -> bool:
    """Whether two neighbouring words are both of the seller's name; Lane alone makes no name."""
    words = set(pair)
    return len(words) == 2 and words <= terms.full_names and not words <= _STREET_WORDS


def _is_of(put: str, path: str) -> bool:
    return put == path or put.startswith(f"{path}/")


def _names(text: str) -> set[str]:
    """Words of a seller's entry that may be a name: written large, or all where none is."""
    words = [
        (word, capital)
        for word, capital in _words(text)
        if word not in _SAYS_NOTHING and _letters(word)
    ]
    large = {word for word, capital in words if capital and len(word) > 1}
    return large or {word for word, _ in words if len(word) > 2}


def _places(text: str) -> set[str]:
    """Words of a place's entry that may be its name."""
    return {
        word
        for word, capital in _words(text)
        if capital and _letters(word) and len(word) > 2
        and word not in _SAYS_NOTHING and word not in _STREET_WORDS
    }  # fmt: skip


def _streets(text: str) -> set[tuple[str, str]]:
    """Neighbouring words that make an address: a number and a word, or a word and a street word."""
    words = [word for word, _ in _words(text)]
    return {
        (word, other)
        for word, other in pairwise(words)
        if (word.isdigit() and _letters(other) and other not in _SAYS_NOTHING)
        or (other in _STREET_WORDS and _letters(word) and word not in _SAYS_NOTHING | _STREET_WORDS)
    }


def _words(text: str) -> Iterator[tuple[str, bool]]:
    """(word, whether it begins with a capital), folded: no case, no accents."""
    for match in _WORD.finditer(text):
        word = match[0]
        plain = word.casefold()
        if not plain.isascii():
            apart = unicodedata.normalize("NFKD", plain)
            plain = "".join(letter for letter in apart if not unicodedata.combining(letter))
        yield plain, word[:1].isupper()


def _letters(word: str) -> bool:
    return not any(letter.isdigit() for letter in word)


def _holds(words: Sequence[str], phrase: Sequence[str]) -> bool:
    """Whether the words of a phrase stand there one after the other."""
    first, size = phrase[0], len(phrase)
    return any(
        word == first and tuple(words[at : at + size]) == tuple(phrase)
        for at, word in enumerate(words)
    )


def _numbers(text: str) -> Iterator[str]:
    """The digits of everything that may be a telephone number, days left out."""
    for match in _DIGITS.finditer(text):
        digits = "".join(letter for letter in match[0] if letter.isdigit())
        if len(digits) >= LEAST_DIGITS and not _DAY.match(match[0]):
            yield digits


def _telephones(text: str) -> Iterator[str]:
    for match in _DIGITS.finditer(text):
        digits = sum(letter.isdigit() for letter in match[0])
        likely = TELEPHONE_DIGITS <= digits <= 15 and not _DAY.match(match[0])
        if likely and _TELEPHONE.match(match[0].strip()):
            yield match[0]


def _end(digits: str) -> str:
    """The end of a number by which it is known, whatever country code stands before it."""
    return digits[-TELEPHONE_DIGITS:]


def _mails(text: str) -> Iterator[str]:
    at = text.find("@")
    while at >= 0:
        before = _BEFORE_AT.search(text, max(0, at - 64), at)
        after = _AFTER_AT.match(text, at + 1)
        if before and after:
            yield f"{before[0]}@{after[0]}".casefold()
        at = text.find("@", at + 1)


def texts_in(value: Any) -> Iterator[str]:
    """Every text and number inside a value, in order."""
    if isinstance(value, str):
        if value:
            yield value
    elif isinstance(value, Mapping):
        for key in sorted(value):
            yield from texts_in(value[key])
    elif isinstance(value, (list, tuple)):
        for entry in value:
            yield from texts_in(entry)
    elif type(value) is int:
        yield str(value)
