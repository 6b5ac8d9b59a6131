"""The judge under both engines: a tap, a fold, a whole visit, and how they grow.

Floor, in turns with it and in the same engine: parsing the question and writing the answer as JSON,
with no judging in between. MicroPython runs in Node with the phone's heap; a phone at a quarter of
this machine's speed takes four times the figure (`slowed_s`, computed).
"""

from __future__ import annotations

import json
import random
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

from bradawl.checklists.bundling import bundle
from bradawl.checklists.loader import load
from bradawl.judge import ask, fold
from bradawl.judge.trouble import door
from bradawl.serving.judge_files import all_files
from tests.bench.measuring.figures import compared, write
from tests.judge import strategies
from tests.judge.engines.micropython import MicroPython

FOLDER = Path(__file__).parents[2] / "checklists"
TODAY = "2026-11-25"
assert door.__name__  # what it adds to the judge's door is measured as well
RUNS = 9
SLOWED = 4
ECHO = {
    "judge/__init__.py": (
        "import json\n"
        "def ask(text):\n"
        "    return json.dumps(json.loads(text)['echo'])\n"
    )
}  # fmt: skip


def visit(
    rules: dict[str, Any], items: int, readings: int, events: int, chance: random.Random
) -> list[dict[str, Any]]:
    """A visit that answers so many items, takes so many readings, and changes its mind often."""
    made: list[dict[str, Any]] = []
    live: dict[str, str] = {}

    def put(path: str, value: Any) -> None:
        at = strategies.stamp(len(made), strategies.DEVICES[0])
        commit = f"{len(made):043d}"
        over = [live[path]] if path in live else []
        live[path] = f"{at}~{commit}"
        made.append(
            {"device": strategies.DEVICES[0], "seq": len(made) + 1, "prev": "", "at": at,
             "scope": "v", "put": path, "value": value, "commit": commit, "over": over}
        )  # fmt: skip

    put("car/year", 1989)
    put("car/cylinders", 4)
    put("about/distance_home", {"typed": "180", "unit": "km"})
    put("brief/uses", ["everyday", "long_trips"])
    put("brief/value_good", 6500)
    names = sorted(rules["items"])
    chosen = chance.sample(names, min(items, len(names)))
    taken = 0
    for name in chosen:
        rule = rules["items"][name]
        grade = chance.choices(["none", "minor", "major", "dangerous"], [70, 18, 10, 2])[0]
        put(f"items/{name}/grade", {"grade": grade})
        put(f"items/{name}/why", "seen")
        for reading in rule.get("readings", []):
            for place in reading.get("at") or ["one"]:
                if taken < readings and reading.get("plausible"):
                    low, high = (float(edge) for edge in reading["plausible"])
                    typed = f"{low + (high - low) * chance.random():.1f}"
                    value = {"typed": typed, "unit": reading["units"][0]}
                    put(f"items/{name}/readings/{reading['id']}/{place}", value)
                    taken += 1
    paths = sorted(live)
    last = {event["put"]: event["value"] for event in made}
    while len(made) < events:
        path = chance.choice(paths)
        put(path, last[path])
    return made


def grouped(events: list[dict[str, Any]]) -> list[list[dict[str, Any]]]:
    """By the first two segments of the path, as the phone folds."""
    groups: dict[str, list[dict[str, Any]]] = {}
    for event in events:
        groups.setdefault("/".join(event["put"].split("/")[:2]), []).append(event)
    return [groups[name] for name in sorted(groups)]


def timed(act: Callable[[], Any]) -> float:
    began = time.perf_counter()
    act()
    return time.perf_counter() - began


def with_trouble() -> dict[str, str]:
    """The judge's files with what a phone loads later, loaded at once."""
    files = all_files()
    files["judge/__init__.py"] += "\nfrom .trouble import door\n"
    return files


class Engines:
    """The judge here, the judge as on the phone, and their floors."""

    def __init__(self, phone: MicroPython, echo: MicroPython) -> None:
        self.asked: dict[str, Callable[[str], str]] = {"CPython": ask, "phone": phone.ask_text}
        self.floors: dict[str, Callable[[str], str]] = {
            "CPython": lambda text: json.dumps(json.loads(text)["echo"]),
            "phone": echo.ask_text,
        }

    def all(self, question: dict[str, Any]) -> str:
        text = json.dumps(question, ensure_ascii=False)
        answers = [answer(text) for answer in self.asked.values()]
        assert all("error" not in json.loads(answer) for answer in answers), answers
        return answers[0]

    def compare(self, what: str, questions: list[dict[str, Any]]) -> list[dict[str, Any]]:
        """Rows for one act that is one or several questions, per engine."""
        return [self._compare_one(engine, f"{engine}: {what}", questions) for engine in self.asked]

    def _compare_one(
        self, engine: str, what: str, questions: list[dict[str, Any]]
    ) -> dict[str, Any]:
        judge, floor = self.asked[engine], self.floors[engine]
        texts = [json.dumps(question, ensure_ascii=False) for question in questions]
        answers = [judge(text) for text in texts]
        echoes = [
            json.dumps({"question": question, "echo": json.loads(answer)}, ensure_ascii=False)
            for question, answer in zip(questions, answers, strict=True)
        ]
        figures, floors = [], []
        for _ in range(RUNS):
            figures.append(timed(lambda: [judge(text) for text in texts]))
            floors.append(timed(lambda: [floor(text) for text in echoes]))
        row = compared(what, figures, floors)
        row["bytes"] = sum(len(text.encode()) for text in [*texts, *answers])
        if engine == "phone":
            row["slowed_s"] = round(row["figure_s"] * SLOWED, 4)
        return row


def measure() -> list[dict[str, Any]]:
    rules = bundle(load(FOLDER))["rules"]
    chance = random.Random(7)
    began = time.perf_counter()
    with MicroPython(with_trouble()) as phone, MicroPython(ECHO) as echo:
        started = time.perf_counter() - began
        engines = Engines(phone, echo)
        names = sorted(rules["items"])
        rest = {key: value for key, value in rules.items() if key != "items"}
        pieces = [{"ask": "load", "bundle": "b", "rules": rest, "start": True}] + [
            {"ask": "load", "bundle": "b",
             "rules": {"items": {n: rules["items"][n] for n in names[at : at + 60]}}}
            for at in range(0, len(names), 60)
        ]  # fmt: skip
        for piece in pieces:
            engines.all(piece)
        rows = engines.compare(f"load {len(names)} items in {len(pieces)} pieces", pieces)
        rows[-1]["two_engines_started_s"] = round(started, 3)

        for count in (100, 1_000, 10_000):
            events = visit(rules, 130, 60, count, chance)
            parts = [{"ask": "fold", "events": part} for part in grouped(events)]
            rows += engines.compare(f"fold {count} events, a question per item", parts)
        events = visit(rules, 130, 60, 1_000, chance)
        rows += engines.compare("fold 1000 events at once", [{"ask": "fold", "events": events}])

        cells = fold(visit(rules, 130, 60, 400, chance))
        car = {path: cells[path] for path in cells if not path.startswith("items/")}
        by_item: dict[str, dict[str, Any]] = {}
        for path in cells:
            if path.startswith("items/"):
                by_item.setdefault(path.split("/")[1], {})[path] = cells[path]
        taps = [
            {"ask": "item", "bundle": "b", "item": name, "cells": by_item[name], "car": car,
             "today": TODAY}
            for name in sorted(by_item)
        ]  # fmt: skip
        worst = max(taps, key=lambda tap: len(tap["cells"]))
        rows += engines.compare(f"a tap, mean of {len(taps)}", taps)
        for row in rows[-2:]:
            for key in sorted({"figure_s", "floor_s", "slowed_s"} & set(row)):
                row[key] = round(row[key] / len(taps), 6)
        rows += engines.compare(f"the heaviest tap, {len(worst['cells'])} cells", [worst])

        for items, readings in ((33, 15), (65, 30), (130, 60), (260, 120)):
            cells = fold(visit(rules, items, readings, 400, chance))
            question = {"ask": "assess", "bundle": "b", "visit": "v", "cells": cells,
                        "today": TODAY}  # fmt: skip
            rows += engines.compare(
                f"assess {items} items answered, {readings} readings", [question]
            )
        states = {name: "open" if chance.random() < 0.5 else "done" for name in names}
        for minutes in ("5", "15", "60"):
            question = {"ask": "next", "bundle": "b", "states": states, "car": car,
                        "today": TODAY, "minutes": minutes, "drive": "not_cleared"}  # fmt: skip
            rows += engines.compare(f"what next in {minutes} minutes", [question])
        rows += _complaints(engines, cells)
    return rows


def _complaints(engines: Engines, cells: dict[str, Any]) -> list[dict[str, Any]]:
    """What a result costs on the way to a cause: each table over the same full record."""
    symptoms = bundle(load(FOLDER))["symptoms"]
    for symptom in symptoms:
        engines.all({"ask": "complaint_load", "bundle": "b", "symptom": symptom})
    questions = []
    for symptom in symptoms:
        rows = [row for test in symptom["tests"] for row in test.get("settled", [])]
        names = {name for row in rows for name in as_list(row["item"])}
        held = {
            path: cells[path]
            for path in cells
            if not path.startswith("items/") or path.split("/")[1] in names
        }
        questions.append({"ask": "complaint", "bundle": "b", "complaint": symptom["id"],
                          "cells": held, "today": TODAY})  # fmt: skip
    compared_rows = engines.compare(f"a complaint, mean of {len(questions)}", questions)
    for row in compared_rows:
        for key in sorted({"figure_s", "floor_s", "slowed_s"} & set(row)):
            row[key] = round(row[key] / len(questions), 6)
    worst = max(questions, key=lambda one: len(one["cells"]))
    return compared_rows + engines.compare("the heaviest complaint", [worst])


def as_list(value: str | list[str]) -> list[str]:
    return [value] if isinstance(value, str) else value


def main() -> None:
    write("judge", measure())


if __name__ == "__main__":
    main()
