"""Visits that look as they should but for some values: one path in four is spiked.

What is nonsense everywhere is passed over early; a single odd value among a hundred fit ones gets
as far as the plan, the price and the paper.
"""

from __future__ import annotations

import random
from typing import Any

from tests.judge.strategies import history
from tests.nasty.site import known_paths
from tests.nasty.values import VALUES

Puts = list[tuple[str, Any]]
KEPT = ("about/bundle", "ledger/5a1b2c3d4e5f", "parts/4a1b2c3d4e5f/what")
REMEDY_PARTS = ("plan/remedies", "plan/further")


#: An entry of the ledger and a line of the parts list that have pages of their own.
STANDING: Puts = [
    ("ledger/5a1b2c3d4e5f", {"kind": "part", "amount_cents": 4783, "date": "2026-11-20"}),
    ("parts/4a1b2c3d4e5f/what", "Hose"),
]


def fit(bundle: dict[str, Any], chance: random.Random, items: int) -> Puts:
    """A visit as phones and desks write it, most of it usable."""
    puts: Puts = [
        ("about/bundle", bundle["hash"]),
        ("about/started", {"date": "2026-11-25", "time": "09:20", "zone": "+01:00"}),
        ("about/inspector", "Ada"),
        ("about/place", "Lindrach"),
        ("about/seller", "Rufus"),
        ("about/currency", "EUR"),
        ("about/asking_price", 2_400),
        ("brief/value_good", 9_000),
        ("brief/uses", ["everyday", "long_trips"]),
        ("wants/6a1b2c3d4e5f/words", "A tow bar"),
        ("wants/6a1b2c3d4e5f/must", 1),
        ("wants/6a1b2c3d4e5f/so", False),
        ("car/make", "Testmobil"),
        ("car/model", "One"),
        ("car/year", 1991),
        ("plan/periods", [{"name": "Spring", "budget": 900}]),
        *STANDING,
    ]
    puts += [(one["put"], one["value"]) for one in history(chance, bundle["rules"], items)]
    for item in bundle["items"]:
        for remedy in item.get("remedies", ()):
            if remedy["kind"] == "assembly" and chance.random() < 0.3:
                pieces = [{"title": "plug", "cost": [5, 9, 20], "count": 4, "chance_percent": 30}]
                puts.append((f"plan/further/{item['id']}/{remedy['id']}", pieces))
                puts.append((f"items/{item['id']}/grade", {"grade": "major"}))
    return puts


def spiked(bundle: dict[str, Any], chance: random.Random, share: float = 0.25) -> Puts:
    """A fit visit in which some values, known paths and others, are anything at all."""
    puts = fit(bundle, chance, 40)
    names = sorted(VALUES)
    asked = [item["id"] for item in bundle["items"]]
    some = chance.sample(asked, 6) + [path.split("/")[1] for path, _ in puts if path[:5] == "items"]
    known = known_paths(bundle, sorted({one for one in some if one in asked})[:12])
    for path in sorted({*known, *(path for path, _ in puts)}):
        if path not in KEPT and chance.random() < share:
            puts.append((path, VALUES[chance.choice(names)]))
    return puts
