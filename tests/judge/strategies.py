"""Random histories and records: what the world may send, and what it should not but will."""

from __future__ import annotations

import random
from typing import Any

DEVICES = tuple(f"{n:032x}" for n in (1, 2, 3))
TYPED = (
    "0", "0.7", "1/32", "5/32", "1 5/32", "2,5", "3", "12.45", "-4", "+7", "163 900", "163.900",
    "1.234,5", "1,234.5", "1\u00a0234", "none", "OL", "open", "-", "", " ", "abc", "1/0", "1/",
    "9" * 16, "٣", "²", "½", "1e3", ".5", "5.", "0301", "5107", "031", "5420", "2019-06-30",
    "2019-13-01", "1M8GDM9AXKP042788", "1m8gdm9axkp042787", "ſtraße", "x\u2003y", "−3",
    "14", "28", "36", "100", "120", "160", "309", "2502", "850", "0,1", "7.5", "11/4",
)  # fmt: skip
UNITS = ("mm", "in", "in/32", "um", "mil", "psi", "kPa", "bar", "inHg", "degC", "degF", "V", "mV",
         "ohm", "kohm", "%", "1", "km", "mi", "yr", "min", "furlong", "")  # fmt: skip
WHYS = ("inner pad low", " ", "", "ржавчина под порогом", "a “quoted” reason.", "x" * 300)
JUNK = (7, True, [], {}, [1, {"a": None}], {"typed": 3, "unit": "mm"}, {"typed": "3", "unit": 3},
        {"typed": None}, {"grade": ["major"]}, {"grade": "major", "whence": 5}, "")  # fmt: skip
GRADES = ("none", "minor", "major", "dangerous", "uninspected")


def _figures(*texts: str, unit: str) -> tuple[Any, ...]:
    """Figures of the car's own, some of them damaged."""
    where = ("manual", "part", "dream")
    fit = [{"typed": t, "unit": unit, "from": where[n % 3]} for n, t in enumerate(texts)]
    return (*fit, {"typed": "x", "unit": unit}, {"typed": "4", "unit": "furlong"}, 7, [])


CAR = {
    "ignition": ("points", "electronic", "coil-on-plug"),
    "charging": ("generator", "alternator", "wind"),
    "fuel_return": ("return", "returnless"),
    "fuel_set": _figures("43", "18", unit="psi"),
    "sticker_front": _figures("32", "2,4", unit="bar"),
    "compression_least": _figures("120", "9 1/2", unit="psi"),
    "oil_pressure": _figures("25", "0", unit="psi"),
    "oil_speed": _figures("2000", "1,500", unit="1"),
    "toe": _figures("-1/16", "2", unit="mm"),
    "timing": _figures("8", "-4", unit="deg"),
    "rotor_front": _figures("0.9", unit="in"),
    "sensor_degrees_cold": _figures("0", unit="degC"),
    "sensor_ohm_cold": _figures("5900", unit="ohm"),
    "sensor_degrees_warm": _figures("20", "0", unit="degC"),
    "sensor_ohm_warm": _figures("2500", "9999", unit="ohm"),
    "sensor_degrees_hot": _figures("80", unit="degC"),
    "sensor_ohm_hot": _figures("0.3", "320", unit="kohm"),
    "material_bonnet": ("plastic", "aluminum", "steel", 3),
    "look_first": (
        [{"item": "cooling.pump", "chance": "often", "note": "Weeps."}],
        [{"item": "no.such", "percent": 40}, {"item": "rust.sills", "percent": 400}, 5],
        "everything",
    ),
    "year": (1955, 1975, 1989, 2004, None, "1989", True),
    "vin": ("1M8GDM9AXKP042788", "ZZZAB1A3XB1000001", "12345AB6789", "O", ""),
    "fuel": ("petrol", "diesel"),
    "fuelling": ("carburettor", "injection"),
    "front_brakes": ("disc", "drum"),
    "rear_brakes": ("disc", "drum"),
    "structure": ("unibody", "frame"),
    "body_style": ("wagon", "pickup", "spaceship", 7, ["van"]),
    "gearbox": ("manual", "automatic"),
    "drive": ("front", "rear", "all"),
    "steering": ("rack", "box"),
    "assist": ("power", "manual"),
    "airbags": ("yes", "no"),
    "catalyst": ("yes", "no"),
    "aircon": ("yes", "no"),
    "cylinders": (3, 4, 6),
    "odometer": ({"typed": "163 900", "unit": "km"}, {"typed": "x", "unit": "km"}, "163900"),
}
ABOUT = {
    "dark": (True, False),
    "wet": (True, False),
    "motorway": (True, False),
    "distance_home": ({"typed": "180", "unit": "km"}, {"typed": "30", "unit": "mi"}, None, 7),
    "asking_price": (2400, 0, -5, "2400"),
    "currency": ("EUR", "£"),
    "region": ("us", "eu", "mars"),
    "depth": ("usual", "thorough"),
}
BRIEF = {
    "uses": (["everyday"], ["track", "show"], ["family", "load", "nonsense"], [], "everyday"),
    "value_good": (6500, 0, 900000, "6500"),
    "hourly_rate": (60, 0, 95),
    "margin": (300, 0),
}


def stamp(number: int, device: str) -> str:
    return f"{1764052703000 + number:015d}-00000-{device}"


def _pick(dice: random.Random, some: Any) -> Any:
    return some[dice.randrange(len(some))]


WIRE = {
    "kind": ("bunch",),
    "circuit": ("cable", "fuel-pump", "airbag", "sensor", "Rally clock", ""),
    "where": ("firewall", "under the rug"),
    "gauge": tuple(
        {"typed": typed, "unit": unit}
        for typed, unit in (("14", "AWG"), ("2/0", "AWG"), ("2,5", "mm2"), ("fat", "AWG"))
    ),
    "thickest": tuple({"typed": typed, "unit": "AWG"} for typed in ("12", "22", "thick")),
    "state": ("insulated", "nibbled", "bare", "cut", "odd"),
    "fuse": ("none", "fuse", "link"),
    "near": ("fuel", "metal", "nothing"),
    "rating": tuple({"typed": typed, "unit": "A"} for typed in ("10", "30", "x", "1e3")),
    "load": tuple({"typed": typed, "unit": "A"} for typed in ("8", "22.5", "-4")),
    "length": tuple({"typed": "12", "unit": unit} for unit in ("ft", "m", "furlong")),
    "count": tuple({"typed": typed, "unit": "1"} for typed in ("2", "12", "60", "0", "")),
}


def _answer(dice: random.Random, item: str, rule: dict[str, Any]) -> tuple[str, Any]:
    """One path of the item and a value for it, mostly fit, sometimes not."""
    if "wires" in (rule.get("answers") or []) and dice.random() < 0.6:
        field = _pick(dice, sorted(WIRE))
        return f"items/{item}/wires/w{dice.randrange(2)}/{field}", _pick(dice, WIRE[field])
    kind = dice.random()
    readings = rule.get("readings") or []
    if kind < 0.55 and readings:
        reading = _pick(dice, readings)
        place = _pick(dice, reading.get("at") or ["one"])
        unit = _pick(dice, reading["units"] or [""])
        typed = _pick(dice, TYPED)
        span = reading.get("plausible")
        if span and dice.random() < 0.8:
            low, high = float(span[0]), float(span[1])
            typed = f"{low + (high - low) * dice.random() ** 2:.2f}"
        if dice.random() < 0.05:
            unit = _pick(dice, UNITS)
        if dice.random() < 0.02:
            place = "nowhere"
        return f"items/{item}/readings/{reading['id']}/{place}", {"typed": typed, "unit": unit}
    choices = rule.get("choices") or []
    if kind < 0.75 and choices:
        choice = "nonsense" if dice.random() < 0.03 else _pick(dice, choices)["id"]
        return f"items/{item}/choice", choice
    if kind < 0.97:
        if dice.random() < 0.3:
            return f"items/{item}/why", _pick(dice, WHYS)
        grade = {"grade": _pick(dice, GRADES)}
        return f"items/{item}/grade", "major" if dice.random() < 0.02 else grade
    return f"items/{item}/note", _pick(dice, WHYS)


def history(dice: random.Random, rules: dict[str, Any], items: int) -> list[dict[str, Any]]:
    """Events of up to three devices about some of the items, some written unseen."""
    events: list[dict[str, Any]] = []
    live: dict[str, list[str]] = {}

    def put(path: str, value: Any) -> None:
        device = _pick(dice, DEVICES)
        if dice.random() < 0.02:
            value = _pick(dice, JUNK)
        at, commit = stamp(len(events), device), f"{len(events):043d}"
        seen = [] if dice.random() < 0.15 else sorted(live.get(path, []))
        live[path] = [one for one in live.get(path, []) if one not in seen] + [f"{at}~{commit}"]
        erased = dice.random() < 0.03
        events.append(
            {"device": device, "seq": 1, "prev": "", "at": at, "scope": "v", "put": path,
             "value": None if erased or dice.random() < 0.04 else value, "commit": commit,
             "over": seen, **({"erased": True} if erased else {})}
        )  # fmt: skip

    for group, known in (("car", CAR), ("about", ABOUT), ("brief", BRIEF)):
        for name, some in known.items():
            if dice.random() < 0.5:
                put(f"{group}/{name}", _pick(dice, some))
    names = sorted(rules["items"])
    for _ in range(items):
        item = _pick(dice, names)
        for _ in range(1 + int(4 * dice.random() ** 2)):
            put(*_answer(dice, item, rules["items"][item]))
    if dice.random() < 0.1:
        put("items/unknown.thing/grade", {"grade": "major"})
    for path, value in _planned(dice, rules, names):
        put(path, value)
    return events


def _planned(dice: random.Random, rules: dict[str, Any], names: list[str]) -> list[tuple[str, Any]]:
    """What the desk may have written about the work, and what no desk writes."""
    puts: list[tuple[str, Any]] = []
    if dice.random() < 0.5:
        return puts
    if dice.random() < 0.5:
        puts.append(("brief/originality", _pick(dice, (0, 50, 300, -1, "50"))))
    for _ in range(dice.randrange(12)):
        item = _pick(dice, names)
        listed = [one["id"] for one in rules["items"][item].get("remedies") or []]
        word = _pick(dice, [*listed, "own-1"])
        told = {
            "title": _pick(dice, ("Weld it", "", 7)),
            "kind": _pick(dice, ("mend", "part", "assembly")),
            "parts": _pick(dice, ([0, 0, 0], [10, 20, 90], [9, 8, 7], [1, 2], "10", [True, 1, 2])),
            "hours": _pick(
                dice, (["0", "0.5", "2"], ["1,5", "2", "2"], ["x", "1", "1"], [1, 2, 3])
            ),
            "need": _pick(dice, (True, False, "no")),
            "loss": _pick(dice, (0, 40, -1, "40")),
            "also": _pick(dice, ([], [_pick(dice, names), _pick(dice, names)], "all", [7])),
        }
        for name in list(told):
            if dice.random() < 0.15:
                del told[name]
        puts.append((f"plan/remedies/{item}/{word}", told))
        if dice.random() < 0.1:
            puts.append((f"plan/wants/w-{item}", {**told, "need": _pick(dice, (True, False, 1))}))
        if dice.random() < 0.5:
            puts.append((f"plan/pick/{item}", f"{item}/{word}"))
        if dice.random() < 0.3:
            piece = {"cost": _pick(dice, ([5, 9, 20], [9, 5, 1], 7)), "count": _pick(dice, (4, -1))}
            piece["chance_percent"] = _pick(dice, (0, 30, 100, 900, "30"))
            puts.append((f"plan/further/{item}/{word}", _pick(dice, ([piece, 7], piece))))
        if dice.random() < 0.3:
            line = f"parts/{_pick(dice, ('0a', '0b'))}"
            puts.append((f"{line}/job", f"{item}/{word}"))
            puts.append((f"{line}/quote_cents", _pick(dice, (4550, -1, "x", 120000))))
            puts.append((f"{line}/quantity", _pick(dice, ("2", "0.5", "x", 2))))
            puts.append((f"{line}/state", _pick(dice, ("quoted", "returned", 1))))
        if dice.random() < 0.2:
            own = _pick(dice, ("", "/5e0c1a2b3d4f"))
            puts.append((f"work/{item}/{word}/done{own}", {"title": "Weld it"}))
            puts.append((f"work/{item}/{word}/after/{item}/grade", {"grade": _pick(dice, GRADES)}))
            if dice.random() < 0.7:
                puts.append((f"work/{item}/{word}/photos/aa", {"caption": "after"}))
            if dice.random() < 0.1:
                puts.append((f"plan/temporary/{item}/{word}", _pick(dice, ({"what": "t"}, None))))
    for row in rules.get("baseline") or []:
        kind = dice.random()
        if kind < 0.1:
            puts.append((f"plan/baseline/{row['id']}", _pick(dice, (False, True, "no"))))
        elif kind < 0.2:
            puts.append((f"work/baseline/{row['id']}/done", {"title": row["title"]}))
    return puts
