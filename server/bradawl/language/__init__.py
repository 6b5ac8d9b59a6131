"""Everything a person reads, in the reader's language, units, money and dates (README.md)."""

from .catalogue import has, ids, locales
from .formats import (
    about,
    about_hours,
    currency_sign,
    date,
    decimal,
    language_name,
    listed,
    measure,
    moment,
    money,
    month_names,
    paid,
    unit_for,
    unit_name,
)
from .reader import Reader, current, reader_for, reading_as
from .say import argument, place, plain, say, source, spoken
from .texts import Message, lang, markup, message, text

__all__ = [
    "Message",
    "Reader",
    "about",
    "about_hours",
    "argument",
    "currency_sign",
    "current",
    "date",
    "decimal",
    "has",
    "ids",
    "lang",
    "language_name",
    "listed",
    "locales",
    "markup",
    "measure",
    "message",
    "moment",
    "money",
    "month_names",
    "paid",
    "place",
    "plain",
    "reader_for",
    "reading_as",
    "say",
    "source",
    "spoken",
    "text",
    "unit_for",
    "unit_name",
]
