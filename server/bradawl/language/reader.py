"""Who reads: locale, region, units, currency, paper and time zone of what is being shown."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from contextvars import ContextVar
from dataclasses import dataclass, field, replace

from . import catalogue

#: What a region's trade measures in, by kind of reading; in one place for phone, desk and report.
REGION_CURRENCY = {"us": "USD", "eu": "EUR"}
REGION_PAPER = {"us": "letter", "eu": "a4"}


@dataclass(frozen=True)
class Reader:
    """Whom a page, a paper or a sentence is for.

    `region` is "us" or "eu": it sets units, currency, dates and paper where nobody chose others.
    `units` names the unit that this reader chose for a kind of reading ("tread": "in/32").
    """

    locale: str = catalogue.DEFAULT
    region: str = "us"
    units: Mapping[str, str] = field(default_factory=dict)
    zone: str | None = None

    @property
    def currency(self) -> str:
        return REGION_CURRENCY[self.region]

    @property
    def paper(self) -> str:
        return REGION_PAPER[self.region]

    @property
    def formats(self) -> str:
        """Babel's name of the locale for numbers and dates; CLDR knows no pseudo-locale.

        In Europe English writes 15 Jun 2022.
        """
        locale = catalogue.DEFAULT if self.locale == catalogue.PSEUDO else self.locale
        if locale == catalogue.DEFAULT and self.region == "eu":
            return "en_IE"
        return locale.replace("-", "_")


_AMERICAN = Reader()
_current: ContextVar[Reader] = ContextVar("reader", default=_AMERICAN)


def current() -> Reader:
    """The reader of what is being made now; an American where nobody said otherwise."""
    return _current.get()


@contextmanager
def reading_as(reader: Reader) -> Iterator[None]:
    """Within it, every text is for `reader`."""
    token = _current.set(reader)
    try:
        yield
    finally:
        _current.reset(token)


def reader_for(accepted: str, reader: Reader | None = None) -> Reader:
    """`reader` in the first language of an Accept-Language header (RFC 9110, 12.5.4) we have.

    A language without its region (`es`) takes our locale of that language.
    """
    reader = reader or current()
    wanted: list[tuple[float, str]] = []
    for part in accepted.split(","):
        name, _, rest = part.strip().partition(";")
        quality = rest.strip().removeprefix("q=")
        try:
            wanted.append((-float(quality or 1), name.strip()))
        except ValueError:
            continue
    known = (*catalogue.locales(), catalogue.PSEUDO)
    for _, name in sorted(wanted, key=lambda pair: pair[0]):
        for locale in known:
            if locale.lower() == name.lower() or locale.split("-")[0] == name.lower():
                return replace(reader, locale=locale)
        if name.lower().startswith("en"):
            return replace(reader, locale=catalogue.DEFAULT)
    return reader
