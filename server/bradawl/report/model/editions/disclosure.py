"""Finds what people wrote that may give away a price, a name, a number or an address.

It looks for too much rather than too little: a person reads what it finds, before anything is
signed, and says of each text whether it may be shown (`EditionView`, `Choice.reviewed`). What the
judge computed and what was chosen from a list is never touched.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from bradawl.judge import entry_kind, event_id
from bradawl.judge.values import typed
from bradawl.judge.values.saying import recorded

if TYPE_CHECKING:
    from bradawl.judge.values.types import Event

__all__ = ["Clue", "Passage", "clues", "passages"]

#: What a passage may give away. `other`: it is in letters that this search cannot read.
Clue = Literal["price", "name", "number", "address", "other"]

_CURRENCY = (
    ""  # a pattern: not shown
    r"[$\u00a2-\u00a5\u20a0-\u20bf]|\b(?:EUR|USD|GBP|CHF|SEK|NOK|DKK|ISK|PLN|CZK|HUF|RON|BGN|UAH|"
    r"RUB|TRY|JPY|CNY|AUD|CAD|NZD|ZAR|INR|MXN|BRL)\b|\b(?:euros?|dollars?|d[oó]lares|pesos?|"
    r"francs?|quid|bucks?|grand|cash|pounds sterling)\b"
)
_DEAL = (
    ""  # a pattern: not shown
    r"\b(?:price[ds]?|asks?|asked|asking|costs?|cost me|worth|paid|pays?|pay|offer(?:s|ed)?|budget|"
    r"reserve|walk[- ]away|knock(?:ed)? off|haggled?|firm|obo|o\.b\.o|listed|lists?|negotiable|"
    r"takes?|took|sells?|sold|bought|refund|deposit|discount|half price|precio|vale|pide|cuesta)\b"
)
_COUNT = (
    ""  # a pattern: not shown
    r"(?:a|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|fifteen|twenty|thirty|forty|"
    r"fifty|sixty|seventy|eighty|ninety|half a|a couple(?: of)?|a few|several)"
)
_SPELLED = (
    ""  # a pattern: not shown
    rf"\b{_COUNT}(?:[- ]{_COUNT})?[- ](?:grand|hundred|thousand|k|bucks|dollars|large)\b"
    rf"|\b{_COUNT} and a half(?=\s*(?:[.,;!?]|$))"
    #: After a figure these say that it is a measure, a count or a date, and no sum. Words that also
    #: follow a sum ("3400 in it", "900 a piece") are not among them.
)
_MEASURE = (
    ""  # a pattern: not shown
    r"\s?(?:°|º|%|\"|'|/|x\s?\d|(?:st|nd|rd|th|mm|cm|km|inch(?:es)?|ft|feet|mi|miles?|mils|µm|um|"
    r"psi|bar|kpa|inhg|mbar|v|mv|volts?|amps?|ah|cca|w|kw|hp|ohms?|k?ω|nm|lb-?ft|lbs?|kg|oz|ml|"
    r"qt|quarts?|pints?|gal(?:lons?)?|cc|rpm|mph|km/h|hz|hours?|hrs?|min(?:utes?)?|sec(?:onds?)?|"
    r"days?|weeks?|months?|years?|yrs?|deg(?:rees)?|f|c|k miles|k km|thousand miles|teeth|"
    r"cylinders?|doors?|wires?|holes?|bolts?|spots?|speed)\b)"
)
_FIGURE = r"(?<![\w.,])(?>\d[\d.,'\u2019\u00a0\u202f]{0,20}k?)"

_PRICE = re.compile(
    rf"(?:{_CURRENCY})\s?{_FIGURE}|{_FIGURE}\s?(?:{_CURRENCY})"
    rf"|{_DEAL}[^\d\n]{{0,24}}{_FIGURE}(?!{_MEASURE})|{_FIGURE}(?!{_MEASURE})[^\d\n]{{0,12}}{_DEAL}"
    rf"|{_SPELLED}|\b\d{{1,3}}(?:[.,]\d)?k\b(?!\s?(?:mi|km|on the|ohm|Ω|rpm))",
    re.IGNORECASE,
)
#: A figure of hundreds or more that no unit explains: "He would let it go for 3400".
_BARE = re.compile(
    r"(?<![\w.,/°-])(?!0)((?>\d{1,3}(?:[.,'\u2019 ]\d{3}){1,4}(?!\d)|\d{3,12}))(?![\w/-])"
    rf"(?!{_MEASURE})",
    re.IGNORECASE,
)
_YEAR = re.compile(r"^(?:19|20)\d\d$")
_NUMBER = re.compile(
    r"(?<!\w)(?:\+?\d{1,3}[ .-]?)?(?:\(\d{3}\)\s?|\d{3}[ .-])?\d{3}[ .-]\d{4}(?!\w)"
    r"|(?<!\w)\+?\d(?:[ .()-]{0,2}\d){6,14}(?!\w)"
    r"|(?<![\w.+-])[\w.+-]{1,64}@[\w-]{1,64}\.\w|\b(?:https?://|www\.)\S+|(?<!\w)@\w{3,}"
    r"|(?<![\w-])(?=[A-Z0-9-]{0,30}\d)(?=[A-Z0-9-]{0,30}[A-Z])[A-Z0-9-]{6,30}(?![\w-])"
)
#: Digits that are spoken, as a phone number is where somebody wants it overlooked.
_SPOKEN = re.compile(
    r"(?:\b(?:zero|oh|one|two|three|four|five|six|seven|eight|nine)\b[ -]?){3}", re.IGNORECASE
)
#: Somebody who says or does something, at the beginning of a sentence, too.
_SPEAKS = re.compile(
    r"\b(?!(?:Seller|Owner|He|She|They|It|Nobody|Somebody|Shop|Dealer|Who|That|This|Ad)\b)"
    r"[A-Z][a-z]+ (?:says|said|told|wants|thinks|claims|drove|owns|owned|bought|sold)\b"
)
_ADDRESS = re.compile(
    r"\b\d{1,6}\s+(?:[NSEW]\.?\s+)?(?:[A-Z]\w{1,30}\s{1,3}){1,3}"
    r"(?:St|Street|Ave|Avenue|Rd|Road|Dr|Drive|Ln|Lane|Ct|Court|Blvd|Boulevard|Hwy|Highway|Way|Pl|"
    r"Place|Cir|Circle|Pike|Trail|Trl|Ter|Terrace|Pkwy|Parkway|Route|Rt|CR|County Road)\b\.?"
    r"|\bP\.?\s?O\.?\s?Box\b|\b[A-Z][a-z]+,\s?[A-Z]{2}\b|\b(?:apt|unit|lot|suite)\s?#?\d+"
    r"|\b(?:lives?|living|address|house|next door|neighbor)\b[^.\n]{0,30}\d|\b[A-Z]{2}\s\d{5}\b",
)
_TITLED = re.compile(
    r"\b(?:[Mm]r|[Mm]rs|[Mm]s|[Dd]r|[Ss]r|[Ss]ra|[Mm]iss|[Uu]ncle|[Aa]unt|[Oo]fficer|[Ss]heriff)\b"
    r"\.?\s+\w+|\b(?:[Cc]all(?:ed)?|[Aa]sk for|[Nn]amed?|[Nn]ame is|[Oo]wner|[Ss]eller|[Bb]rother|"
    r"[Ss]on|[Ww]ife|[Hh]usband|[Dd]aughter|[Ff]ather|[Mm]other|[Ff]riend|[Mm]echanic|[Tt]ext|"
    r"[Pp]hone[ds]?)\b,?\s+[A-Z]\w+"
)
_CAPITALIZED = re.compile(r"(?<![.!?:;\n(\"'“‘-])(?<!^)\s([A-Z][a-z]+(?:[-'][A-Z]?[a-z]+)?)\b")
_PAIR = re.compile(r"\b[A-Z][a-z]+ [A-Z][a-z]+\b")
_WORD = re.compile(r"\w+")
#: Months and days of the week are nobody's name.
_CALENDAR = frozenset(
    name.casefold()
    for name in (*calendar.month_name, *calendar.day_name, *calendar.month_abbr, *calendar.day_abbr)
)
_SHORT_NAME = 3


@dataclass(frozen=True)
class Passage:
    """Something that a person wrote, and what it may give away (nothing, where `clues` is empty).

    `id` is its event's.
    """

    id: str
    path: str
    text: str
    clues: tuple[Clue, ...]


def passages(
    events: Sequence[Event],
    shown: Mapping[str, Any],
    names: Sequence[str],
    vocabulary: frozenset[str],
) -> Iterator[Passage]:
    """Every text among the live `events`, with its clues.

    `shown` gives what would be shown of an event, by its id; `names` are those that the edition
    leaves out, `vocabulary` the words (folded) of checklist and car, which name nobody.
    """
    hidden = frozenset(word for name in names for word in _words(name))
    for event in events:
        name = event_id(event)
        if name not in shown:
            continue
        path = event["put"]
        kind = entry_kind(path)
        if kind in ("choice", "grade", "seal"):
            continue  # picked from a list
        is_fact = kind in ("fact", "reading")
        for text in _texts(shown[name], path):
            found = _strict_clues(text, hidden) if is_fact else clues(text, hidden, vocabulary)
            yield Passage(name, path, text, found)


def clues(
    text: str, hidden: frozenset[str] = frozenset(), vocabulary: frozenset[str] = frozenset()
) -> tuple[Clue, ...]:
    """What a text may give away. `hidden` are words (folded) of names that are left out."""
    found: list[Clue] = []
    if _PRICE.search(text) or any(
        not _YEAR.match(match[1]) for match in _BARE.finditer(_NUMBER.sub(" ", text))
    ):
        found.append("price")
    if _words(text) & hidden or _names_somebody(text, vocabulary):
        found.append("name")
    if _NUMBER.search(text) or _SPOKEN.search(text):
        found.append("number")
    if _ADDRESS.search(text):
        found.append("address")
    if any(letter.isalpha() and letter.upper() == letter.lower() for letter in text):
        found.append("other")
    return tuple(found)


def _strict_clues(text: str, hidden: frozenset[str]) -> tuple[Clue, ...]:
    """What a fact of the car gives away for certain: type codes and years are no secrets."""
    found: list[Clue] = []
    if _PRICE.search(text):
        found.append("price")
    if _words(text) & hidden:
        found.append("name")
    if re.search(r"\d{3}[ .-]\d{4}|(?<![\w.+-])[\w.+-]{1,64}@[\w-]{1,64}\.\w", text):
        found.append("number")
    return tuple(found)


def _names_somebody(text: str, vocabulary: frozenset[str]) -> bool:
    if _TITLED.search(text) or _SPEAKS.search(text):
        return True
    single = (match[1] for match in _CAPITALIZED.finditer(text))
    paired = (word for match in _PAIR.finditer(text) for word in match[0].split())
    return any(
        word.casefold() not in vocabulary and word.casefold() not in _CALENDAR
        for word in (*single, *paired)
    )


def _words(text: str) -> frozenset[str]:
    return frozenset(word.casefold() for word in _WORD.findall(text) if len(word) >= _SHORT_NAME)


#: Below a path these are picked or measured by the app, not written by a person.
_NOT_WRITTEN = (
    "by", "cause", "date", "grade", "id", "item", "items", "kind", "near", "place", "sha256",
    "taken", "time", "titles", "type", "unit", "zone",
)  # fmt: skip
_NEVER_WRITTEN = ("about/bundle", "about/app", "about/started", "about/region", "car/vin",
                  "car/registration", "about/inspector", "about/seller", "about/place")  # fmt: skip


def _texts(value: Any, path: str) -> Iterator[str]:
    """The texts that a person may have written into a value."""
    if path in _NEVER_WRITTEN or path.startswith(("seal/", "car/id")):
        return
    if isinstance(value, str):
        if value.strip() and not typed.numbers(value):
            yield value
    elif isinstance(value, Mapping):
        if recorded(dict(value)):
            return  # picked from a list
        for key, inner in value.items():
            if key not in _NOT_WRITTEN:
                yield from _texts(inner, path)
    elif isinstance(value, (list, tuple)):
        for inner in value:
            yield from _texts(inner, path)
