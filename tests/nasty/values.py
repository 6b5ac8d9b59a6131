"""What a record may hold although no app of ours would write it: every value is one the log takes.

Each has a name, so that a failure says which it was.
"""

from __future__ import annotations

import json
from typing import Any

#: Texts, by what is odd about them.
TEXTS: dict[str, str] = {
    "empty": "",
    "blank": " \t\r\n ",
    "null character": "a\0b",
    "escape": "a\x1b[2J\x1b]0;title\x07b",
    "vertical tab": "a\x0bb\x0c",
    "delete and C1": "a\x7fb\x85c\x9bd",
    "no character": "a\uffffb\ufffe\ufdd0",
    "replacement": "a\ufffdb",
    "half a character": "a\ud800b\udc00",
    "bidi override": "price \u202e0042\u202c \u2066x\u2069 \u200f\u061c",
    "zero width": "\u200b\u200d\ufeff\u2060",
    "right to left": "שלום עולם مرحبا بالعالم",
    "combining": "e" + "\u0301\u0338\u20dd" * 300,
    "emoji": "👩🏽‍🔧🚗🏴󠁧󠁢󠁥󠁮󠁧󠁿 👨‍👩‍👧‍👦",
    "private": "\ue000\U000f0000\U0010ffff",
    "one long word": "W" * 60_000,
    "many words": "rust " * 8_000,
    "many lines": "line\n" * 2_000,
    "130 letters": "m" * 130,
    "markup": '<b>&amp;</b></script><br/><font size="9999">]]><![CDATA[',
    "template": "{{ 7 * 7 }}{% raw %}%s %(x)s {0} ${y} \\",
    "formula": '=HYPERLINK("http://x")',
    "formula after a blank": " =1+1",
    "path": "../../../etc/passwd",
    "header": "x\r\nSet-Cookie: a=b",
    "quotes": "\"'`´“”",
    "PDF": ")] TJ ET <</Type/Page>> endobj (\\",
    "number": "1e999",
    "NaN": "nan",
    "infinity": "-inf",
    "minus nothing": "-0",
    "digits": "9" * 400,
    "other digits": "٣٤٥²½",
    "date": "0000-99-99",
    "day of another month": "2026-02-30T25:61:61+99:99",
    "zone": "+99:99",
    "line separators": "a\u2028b\u2029c",
}

#: Values of other kinds.
OTHERS: dict[str, Any] = {
    "null": None,
    "true": True,
    "false": False,
    "zero": 0,
    "minus one": -1,
    "2**53 - 1": 2**53 - 1,
    "-(2**53 - 1)": -(2**53 - 1),
    "empty list": [],
    "empty object": {},
    "lists in lists": [[[[[[[[[[[]]]]]]]]]]],
    "list of everything": [
        None, True, 0, -1, "x", [], {}, {"text": None}, {"name": 1, "budget": 2},
    ],
    "list of huge integers": [2**53 - 1, -(2**53 - 1), 0],
    "list of texts": ["9" * 30, "-1", "nan"],
    "long list": [0] * 10_000,
    "unexpected keys": {"": 0, "\0": "x", "a b": [], "toString": None, "value": {"value": 1}},
    "keys of everything": {
        "typed": 5, "unit": [], "grade": 3, "why": {}, "date": 7, "time": None, "zone": True,
        "caption": [], "taken": 9, "width": "w", "height": -1, "bytes": "many", "type": 0,
        "place": {}, "strokes": "none", "name": 12, "at": "never", "box": "large", "through": [1],
        "record": 0, "photos": [], "title": 4, "kind": [], "parts": 3, "hours": 7,
        "need": "perhaps", "loss": "all", "also": 8, "cost": "a lot", "count": "few", "text": [],
        "chance_percent": "likely", "budget": "none", "items": 11, "by": [], "odometer": 12,
        "note": 5, "outcome": [], "uses": 6, "class": [], "visit": 1, "file": None, "met": [],
    },
}  # fmt: skip

#: Objects of the right keys whose values are of the right kind and still odd.
OBJECTS: dict[str, Any] = {
    "reading": {"typed": "12", "unit": "furlong"},
    "reading without unit": {"typed": "12"},
    "empty reading": {"typed": "", "unit": ""},
    "huge reading": {"typed": "9" * 15, "unit": "km"},
    "odd reading": {"typed": "1\0/0", "unit": "mm\x1b"},
    "fraction": {"typed": "1/0", "unit": "in"},
    "grade": {"grade": "appalling", "why": "x\0" * 50},
    "dangerous": {"grade": "dangerous", "why": "\x1b[31m"},
    "grade for ever": {"grade": "minor", "why": "W" * 20_000},
    "started": {"date": "0000-99-99", "time": "99:99", "zone": "+99:99"},
    "photo": {"caption": "\0", "taken": "\uffff", "width": 2**53 - 1, "height": -5, "bytes": -1},
    "remedy": {
        "title": "\x00\x0b" + "W" * 500, "kind": "assembly", "parts": [1, 2, 3],
        "hours": ["1", "2", "3"], "need": True, "loss": 5, "also": ["x", "rust.sills", 7],
    },
    "remedy that falls": {
        "title": "x", "kind": "part", "parts": [3, 2, 1], "hours": ["3", "2", "1"], "loss": -1,
    },
    "remedy of huge figures": {
        "title": "x", "kind": "part", "parts": [0, 0, 2**53 - 1], "hours": ["0", "0", "9" * 40],
        "loss": 2**53 - 1, "need": 1, "class": "danger", "uses": ["track", 3, None],
    },
    "remedy of texts": {
        "title": ["x"], "kind": 5, "parts": ["1", "2", "3"], "hours": [1, 2, 3], "loss": "0",
        "class": 7, "uses": {"track": True},
    },
    "pieces": [{"title": 7, "cost": ["1", None, "x"], "count": -5, "chance_percent": 400}],
    "more pieces": [{"title": "\0", "cost": [1, 2, 3], "count": 2**53 - 1, "chance_percent": 50}],
    "falling pieces": [{"cost": [3, 2, 1], "count": 3, "chance_percent": -7}, 4, "x", None],
    "periods": [{"name": "\x0b" * 40, "budget": -(2**53 - 1)}, {"budget": 2**53 - 1}, 7],
    "must": True,
    "so": [True],
    "check": {"item": ["x"], "at_least": []},
    "figure": {"of": "odometer", "above": 2**53 - 1, "unit": "furlong"},
    "job done": {
        "title": "\x1b", "items": ["rust.sills", 7, None, {"a": 1}, "no/such"], "date": "0000",
        "by": 4, "odometer": {"typed": [], "unit": {}}, "cost": "9", "parts": ["x"], "note": {},
    },
    "entry": {
        "date": "2026-02-30", "kind": "part", "what": "\x1b", "amount_cents": 4783, "jobs": ["x"],
        "quantity": "9" * 40, "vendor": "\0", "part_number": "=1+1", "receipt": "../" * 20,
        "paid_by": "W" * 500, "core_cents": 2**53 - 1, "freight_cents": 5, "line": "2a1b2c3d4e5f",
        "order": {"id": "o", "total_cents": 9, "cars": ["x", 7]}, "replaces": "0a1b2c3d4e5f",
    },
    "hours of mine": {
        "date": "2026-11-25", "kind": "labor_mine", "hours": "1.25", "amount_cents": 7,
        "replaces": "1a1b2c3d4e5f", "settles": ["0a1b2c3d4e5f", "x"], "withdrawn": True,
    },
    "entry of everything": {
        "date": [], "kind": ["part"], "amount_cents": True, "hours": 3, "jobs": "x", "order": [],
        "core_cents": "5", "replaces": {}, "settles": 4, "withdrawn": "yes", "receipt": None,
    },
    "refund of a fortune": {"kind": "refund", "amount_cents": 10**10, "hours": "-3", "order": {}},
    "life": {"state": "bought", "date": "2026-11-25", "price_cents": 440_000},
    "life of nobody": {"state": "stolen", "date": 7, "price_cents": -5},
    "job of texts": {"title": "x", "items": "rust.sills", "date": "\0", "cost": -5, "odometer": 4},
    "outcome": {"outcome": "no such outcome"},
    "seal of nothing": {"name": "\0", "place": "\x1b", "at": 7, "strokes": 5, "box": [0, 0]},
    "seal of everything": {
        "name": ["x"], "place": {"a": 1}, "at": {"date": 1, "time": [], "zone": {}},
        "strokes": [[1], [1, 2, "x"], [], "x", [1, 2, 3], [True, False], [None], [2**53 - 1, 0]],
        "box": [2**53 - 1, -5], "through": {"x": True, "d1" * 16: "all"}, "record": 4,
        "photos": {"count": "many", "hash": []},
    },
    "seal of a box that is none": {"name": "x", "strokes": [[1, 1]], "box": ["wide", None]},
    "seal of 10,000 points": {
        "name": "Ada", "strokes": [[n % 300 for n in range(200)] for _ in range(75)],
        "box": [320, 120], "through": {}, "record": "0" * 64, "photos": {"count": 0, "hash": ""},
    },
}  # fmt: skip

VALUES: dict[str, Any] = {**TEXTS, **OTHERS, **OBJECTS}


def handed_out(value: Any) -> Any:
    """A value as the log hands it out: halves of characters are replaced."""
    text = json.dumps(value, ensure_ascii=False)
    return json.loads(text.encode("utf-16", "surrogatepass").decode("utf-16", "replace"))
