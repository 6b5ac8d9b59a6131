"""The catalogue: every id that is asked for exists and gets what it wants; nothing lies unused."""

from __future__ import annotations

import ast
import datetime as dt
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from fluent.runtime import FluentBundle, FluentResource
from markupsafe import Markup

from bradawl import language
from bradawl.language import catalogue, formats, pseudo
from bradawl.language.entries import Entries
from tests.language import strays
from web.tools.messages import messages

ROOT = Path(__file__).parents[2]
EN = ROOT / "server/bradawl/language/locales/en-US"
#: The catalogue's messages by id, each with the names of its arguments.
Messages = dict[str, list[str]]
CALLS = {"text", "message", "markup", "t", "say", "sentence"}
SOURCES = [
    path
    for base, ends in (
        (ROOT / "server/bradawl", ("py", "html", "js")),
        (ROOT / "web/src", ("ts*",)),
    )
    for end in ends
    for path in sorted(base.rglob(f"*.{end}"))
    if "bundled" not in path.parts and path.name != "messages.ts"
]
WORDS = "\n".join(path.read_text(encoding="utf-8") for path in SOURCES)


def test_a_message_parsed_by_itself_is_the_one_in_the_whole_file() -> None:
    """The reader is fluent.syntax's own; the whole source at once is its published use."""
    for locale in catalogue.locales():
        source = catalogue._source(locale)
        whole = FluentBundle([locale])
        whole.add_resource(FluentResource(source))
        for mark, entries in (("", whole._messages), ("-", whole._terms)):
            alone = Entries(source, mark)
            assert set(alone) == set(entries)
            assert len(alone) == len(entries)
            for name, entry in entries.items():
                assert name in alone
                # the spans are where they stand in the file, the comments are for translators
                assert alone[name].equals(entry, ["span", "comment"]), name


def test_of_a_broken_source_what_is_whole_is_read_and_the_rest_is_not_there() -> None:
    source = (
        "a = One\n    and more\nbroken = { $\nb-2 = { $n ->\n    [one] x\n   *[other] y = z\n}\n"
        "# about c\n-c = term\na = twin\n d = no message\ne = { -c }\n"
    )
    alone, terms = Entries(source), Entries(source, "-")
    whole = FluentBundle(["en-US"])
    whole.add_resource(FluentResource(source))
    assert {name for name in alone if name in alone} == set(whole._messages) == {"a", "b-2", "e"}
    assert all(alone[name].equals(whole._messages[name], ["span", "comment"]) for name in "ae")
    assert list(terms) == ["c"]
    assert "broken" not in alone
    assert 7 not in alone
    with pytest.raises(KeyError):
        alone["broken"]
    with pytest.raises(KeyError):
        alone["d"]


@pytest.fixture(scope="module")
def english() -> Messages:
    return messages(tuple(file.stem for file in sorted(EN.glob("*.ftl"))))


def _calls(tree: ast.AST) -> Iterator[tuple[int, str, set[str] | None]]:
    """(line, id, names of the arguments, None where they cannot be seen) of each literal call."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call) or not node.args:
            continue
        name = node.func.attr if isinstance(node.func, ast.Attribute) else None
        name = node.func.id if isinstance(node.func, ast.Name) else name
        first = node.args[0]
        if name in CALLS and isinstance(first, ast.Constant) and isinstance(first.value, str):
            names = {word.arg for word in node.keywords if word.arg}
            known = all(word.arg for word in node.keywords)
            yield node.lineno, first.value, names if known else None


def test_every_message_that_python_asks_for_exists_and_gets_its_arguments(
    english: Messages,
) -> None:
    for path in SOURCES:
        source = path.read_text(encoding="utf-8")
        if path.suffix != ".py" or "language" not in source:
            continue
        for line, message_id, names in _calls(ast.parse(source)):
            assert message_id in english, f"{path}:{line}: the catalogue has no {message_id}"
            if names is not None:
                assert names == set(english[message_id]), f"{path}:{line}: {message_id}"


def test_every_message_that_a_template_asks_for_exists_and_gets_its_arguments(
    english: Messages,
) -> None:
    for path in SOURCES:
        if path.suffix != ".html":
            continue
        for call in re.finditer(
            r"\bt\(\"([\w-]+)\"((?:[^()\"]|\"[^\"]*\"|\([^()]*\))*)\)", path.read_text()
        ):
            if call.group(1).endswith("-"):  # the head of an id: a code follows
                assert any(name.startswith(call.group(1)) for name in english), f"{path}: {call[1]}"
                continue
            assert call.group(1) in english, f"{path}: the catalogue has no {call.group(1)}"
            names = set(re.findall(r"[(,]\s*(\w+)\s*=(?!=)", "," + call.group(2)))
            assert names >= set(english[call.group(1)]), f"{path}: {call.group(1)}"


def test_no_message_lies_unused(english: Messages) -> None:
    # an id may be put together from its head and a code ("grade-" and the grade)
    heads = {"drive-", "grade-", "use-"} | set(
        re.findall(r"[\"'`]([a-z][a-z0-9-]*-)(?:[\"'$`{%]|\" ?[+~])", WORDS)
    )
    unused = [
        name
        for name in english
        if name not in WORDS and not any(name.startswith(head) for head in heads)
    ]
    assert unused == []


@pytest.mark.parametrize("locale", language.locales())
def test_a_locale_has_no_message_that_english_lacks_and_takes_the_same_arguments(
    english: Messages, locale: str
) -> None:
    folder = EN.parent / locale
    there = messages(tuple(file.stem for file in sorted(folder.glob("*.ftl"))), folder)
    assert {name: english[name] for name in there} == there


def test_no_word_stands_outside_the_catalogue_in_a_room_that_is_converted() -> None:
    assert list(strays.strays()) == []


def test_the_pseudo_locale_marks_every_letter_and_leaves_arguments() -> None:
    with language.reading_as(language.Reader(catalogue.PSEUDO)):
        assert language.text("unit-ft", figure="12") == "12 ƒť"
    assert re.search("[A-Za-z]", pseudo.marked(pseudo.PLAIN)) is None
    assert len(set(pseudo.MARKED)) == len(pseudo.PLAIN)
    source = (ROOT / "web/src/app/text/catalogue.ts").read_text(encoding="utf-8")
    assert f'"{pseudo.MARKED}"' in source, "both sides mark alike"


def test_an_argument_may_be_of_any_length() -> None:
    assert language.text("unit-mm", figure="9" * 60_000) == "9" * 60_000 + " mm"
    assert language.markup("unit-mm", figure="<" * 60_000) == Markup("&lt;") * 60_000 + " mm"


def test_markup_escapes_its_words_and_keeps_markup() -> None:
    assert language.markup("unit-mm", figure="<3") == Markup("&lt;3 mm")
    assert language.markup("unit-mm", figure=Markup("<b>3</b>")) == Markup("<b>3</b> mm")
    assert language.markup("unit-mm", figure="**3**`") == Markup("**3**` mm")
    assert "<code>bradawl doctor</code>" in language.markup("server-storage-damaged")


def test_a_name_is_said_once_in_markup_too() -> None:
    args = {"item": Markup("Horn &amp; bell"), "said": Markup("Horn &amp; bell <b>dead</b>.")}
    assert language.markup("histories-sign", **args) == Markup("Horn &amp; bell <b>dead</b>.")


def test_an_argument_may_be_as_long_as_what_somebody_wrote() -> None:
    note = "word " * 10_000
    assert language.text("unit-mm", figure=note) == note + " mm"
    assert str(language.markup("unit-mm", figure=note + "<")) == note + "&lt; mm"


AMERICAN = language.Reader()
GERMAN = language.Reader("en-US", "eu")


@pytest.mark.parametrize(
    ("reader", "number", "unit", "offered", "shown"),
    # 1 in = 25.4 mm and 1 mi = 1.609344 km (international yard, 1959)
    [
        (AMERICAN, (127, 80), "mm", ("in/32", "mm"), "2/32 in"),
        (AMERICAN, (127, 80), "in/32", (), "2/32 in"),
        (AMERICAN, (254, 10), "mm", (), "1 in"),
        (AMERICAN, (100, 1), "degC", (), "212 °F"),
        (AMERICAN, (1609344, 1000), "km", (), "1,000 mi"),
        (AMERICAN, (254, 1), "um", (), "10 mil"),
        (AMERICAN, (1, 1), "V", (), "1 V"),
        (GERMAN, (127, 80), "in/32", ("in/32", "mm"), "1.59 mm"),
        (GERMAN, (100, 1), "degF", (), "100 °C"),
        (GERMAN, (127, 80), "mm", (), "1.59 mm"),
    ],
)
def test_a_measure_is_shown_in_the_readers_unit(
    reader: language.Reader,
    number: tuple[int, int],
    unit: str,
    offered: tuple[str, ...],
    shown: str,
) -> None:
    with language.reading_as(reader):
        assert language.measure(number, unit, offered) == shown


def test_a_fraction_that_was_typed_under_32nds_is_one_of_an_inch() -> None:
    assert formats.with_unit("2", "in/32") == "2/32 in"
    assert formats.with_unit("2/32", "in/32") == "2/32 in"
    assert formats.with_unit("1 1/2", "in/32") == "1 1/2 in"


def test_money_and_dates_are_those_of_the_reader() -> None:
    assert language.money(-1300) == "-$1,300"
    assert language.money(47, cents=83) == "$47.83"
    assert language.date("2022-06-15") == "Jun 15, 2022"
    assert language.date("2022-06") == "Jun 2022"
    assert language.date("soon") == "soon"
    assert formats.listed(["a", "b", "c"]) == "a, b, and c"
    with language.reading_as(replace(AMERICAN, region="eu")):
        assert language.money(1300) == "€1,300"


@pytest.mark.parametrize(
    ("zone_minutes", "shown"),
    [
        (-300, "Nov 25, 2026, 9:20 AM (UTC\u22125)"),
        (330, "Nov 25, 2026, 9:20 AM (UTC+5:30)"),
        (0, "Nov 25, 2026, 9:20 AM (UTC)"),
    ],
)
def test_an_instant_is_said_with_its_zone(zone_minutes: int, shown: str) -> None:
    zone = dt.timezone(dt.timedelta(minutes=zone_minutes))
    at = dt.datetime(2026, 11, 25, 9, 20, tzinfo=zone)
    assert language.moment(at) == shown
    assert language.moment(at, long=True) == shown.replace("Nov", "November")
    assert language.date("2026-06-15", long=True) == "June 15, 2026"
    with language.reading_as(language.Reader(catalogue.PSEUDO)):
        assert not re.search("[A-Za-z]", language.moment(dt.datetime(2026, 11, 25, 9, 20)))  # noqa: DTZ001


@pytest.mark.parametrize(
    ("accepted", "locale"),
    [
        ("en-US,en;q=0.9", "en-US"),
        ("en-GB", "en-US"),
        ("en-XA", "en-XA"),
        ("xx", "en-US"),
        ("", "en-US"),
    ],
)
def test_the_browsers_languages_choose_the_locale(accepted: str, locale: str) -> None:
    assert language.reader_for(accepted).locale == locale
