"""The checklists speak American English: no British word, no title that is a sentence.

The word pairs are those of any dictionary of the two kinds of English; which one the trade says is
common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml

from bradawl.checklists.files import Checklist
from bradawl.checklists.shapes.vocabulary import STAGES

TEXTS = {
    "title",
    "look",
    "how",
    "where",
    "reason",
    "text",
    "excused",
    "note",
    "says",
    "why",
    "question",
}
LISTS = {"procedures", "whys", "outcomes"}

BRITISH = {
    "accelerator pedal": "gas pedal",
    "aluminium": "aluminum",
    "bonnet": "hood",
    "bulkhead": "firewall",
    "catalyst": "catalytic converter",
    "centre": "center",
    "chassis number": "VIN",
    "colour": "color",
    "crabwise": "dog-tracks",
    "damper": "shock",
    "demist": "defrost",
    "dipped": "low beam",
    "earth": "ground",
    "gearbox": "transmission",
    "gear lever": "shifter",
    "grey": "gray",
    "handbrake": "parking brake",
    "headlamp": "headlight",
    "immobilise": "immobilize",
    "indicators": "turn signals",
    "kerb": "curb",
    "kilometre": "kilometer",
    "labour": "labor",
    "litre": "quart",
    "loom": "harness",
    "metre": "meter",
    "motorway": "highway",
    "mould": "mold",
    "mudguard": "splash guard",
    "neighbour": "neighbor",
    "neutralise": "neutralize",
    "number plate": "license plate",
    "per cent": "percent",
    "petrol": "gasoline",
    "pinks": "pings",
    "plate lamp": "license plate light",
    "position lamp": "parking light",
    "propeller shaft": "driveshaft",
    "reversing": "backup",
    "scuttle": "cowl",
    "servo": "booster",
    "silencer": "muffler",
    "sill": "rocker panel",
    "spanner": "wrench",
    "stabiliser": "sway bar",
    "stop lamp": "brake light",
    "sump": "oil pan",
    "tell-tale": "warning light",
    "torch": "flashlight",
    "track rod": "tie rod",
    "tyre": "tire",
    "underseal": "undercoating",
    "vapour": "vapor",
    "windscreen": "windshield",
    "wing": "fender",
    # words of this checklist that read stiff to whoever it is for
    "a helper": "somebody",
    "bush": "bushing",
    "car park": "parking lot",
    "dear": "expensive",
    "mend": "fix",
    "mended": "fixed",
    "mending": "fixing",
    "rag round": "rag around",
}
WORDS = re.compile(
    r"\b(" + "|".join(re.escape(word) for word in BRITISH) + r")(s|es)?\b", re.IGNORECASE
)


def texts(value: Any, key: str = "") -> Iterator[str]:
    """Whatever of a file a person reads."""
    if isinstance(value, dict):
        for name, inner in value.items():
            yield from texts(inner, key if key in LISTS else name)
    elif isinstance(value, list):
        for inner in value:
            yield from texts(inner, key)
    elif isinstance(value, str) and key in TEXTS | LISTS:
        yield value


def files(folder: Path) -> list[Path]:
    return [path for path in sorted(folder.rglob("*.yaml")) if "locales" not in path.parts]


def test_no_text_of_the_checklists_is_british(folder: Path) -> None:
    found = []
    for path in files(folder):
        held = list(texts(yaml.load(path.read_text(encoding="utf-8"), yaml.BaseLoader)))
        assert held or path.parent.name == "prices" or path.stem in ("assumptions", "haul"), path
        for text in held:
            found += [
                f"{path.name}: “{text}” says {match[0]}; say {BRITISH[match[1].lower()]}"
                for match in WORDS.finditer(text)
            ]
    found += [title for title in STAGES.values() if WORDS.search(title)]
    assert found == []


@pytest.mark.parametrize("word", ["Tyres", "rear wing", "mend it", "two sills", "Bonnet shut"])
def test_the_list_finds_a_british_word(word: str) -> None:
    assert WORDS.search(word)


@pytest.mark.parametrize("word", ["Tire", "swing", "window", "recommend", "ambush", "wingnut"])
def test_the_list_lets_an_american_word_be(word: str) -> None:
    assert not WORDS.search(word)


# what a title begins or ends with when it is a sentence, not the name of a thing
SENTENCE = re.compile(
    r"^(May|Is|Are|Does|Do|Was|Can|Turns|Runs|Stays|Holds|Stops)\b"
    r"|\b(works|bears|holds|stays|opens|starts|match|straight and|put|follows)\b"
)


def test_a_title_of_an_item_names_a_thing(checklist: Checklist) -> None:
    assert [item.title for item in checklist.items if SENTENCE.search(item.title)] == []


def test_an_answer_says_by_itself_what_it_is(checklist: Checklist) -> None:
    # "Sound" or "Good" alone in a list of findings leaves open what is sound
    bare = {"sound", "good", "works", "dead", "missing", "none", "all", "worn", "leaks", "loose"}
    found = [
        f"{item.id}: {choice.title}"
        for item in checklist.items
        for choice in item.choices
        if choice.title.lower() in bare
    ]
    assert found == []
