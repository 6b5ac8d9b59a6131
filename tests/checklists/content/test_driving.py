"""The drive home on the real checklists: what a stop finds changes the answer as any finding does.

Which signs end a drive, what is put right beside the road and what a finding asks to be watched
are common practice, no source. That a car states its cold tire pressures on a placard: 49 CFR
571.110, S4.3; that a lug nut may be neither loose nor missing: 49 CFR 570.10(c).
"""

from __future__ import annotations

from typing import Any

import pytest

from bradawl.judge import assess
from bradawl.judge.trouble import driving
from tests.checklists.judging import STAMP, TODAY, cells

ROADSIDE = ("hub", "burning", "fuel", "coolant", "oil", "charging", "temperature", "leaks")


def later(values: dict[str, Any], ms: int) -> dict[str, Any]:
    stamp = f"{int(STAMP[:15]) + ms:015d}{STAMP[15:]}"
    return {path: {"value": value, "at": stamp, "others": []} for path, value in values.items()}


def sound(bundled: dict[str, Any], **found: Any) -> dict[str, Any]:
    """Everything was looked at and is fine, but for what was found."""
    values: dict[str, Any] = {
        f"items/{item['id']}/grade": {"grade": "none"} for item in bundled["items"]
    }
    values |= {f"about/{name}": False for name in ("dark", "wet", "motorway")}
    values["about/distance_home"] = {"typed": "20", "unit": "km"}
    for item, grade in found.items():
        values[f"items/{item}/grade"] = {"grade": grade}
    return cells(values)


def judged(bundled: dict[str, Any], record: dict[str, Any]) -> dict[str, Any]:
    found: Any = assess({"visit": "0" * 32, "cells": record}, bundled["rules"], TODAY)
    return dict(found)


def bad(sign: dict[str, Any], stop: int = 1) -> tuple[str, dict[str, Any]]:
    """The finding of a bad answer, and what a phone records of it (web/src/app/visit/after)."""
    place = sign["places"][0] if sign["places"] else ""
    item = f"{sign['area']}.own-drive-{stop}-{sign['id']}" + (f"-{place}" if place else "")
    path = f"drive/{stop}/{sign['id']}" + (f"/{place}" if place else "")
    return item, {
        path: {"answer": "bad"},
        f"items/{item}/text": f"{sign['title']}: bad",
        f"items/{item}/grade": {"grade": sign["grade"]},
    }


def signs(bundled: dict[str, Any]) -> dict[str, Any]:
    return {sign["id"]: sign for sign in bundled["driving"]["signs"]}


def test_a_car_that_is_sound_is_driven_and_each_bad_sign_ends_the_drive(
    bundled: dict[str, Any],
) -> None:
    before = sound(bundled)
    assert judged(bundled, before)["drive_home"]["answer"] == "drive"
    assert set(ROADSIDE) <= set(signs(bundled))
    for sign in bundled["driving"]["signs"]:
        item, found = bad(sign)
        after = judged(bundled, before | later(found, 60_000))
        assert after["drive_home"]["answer"] == "trailer", sign["id"]
        assert after["drive_home"]["reasons"][0]["item"] == item
        assert after["decision"]["drive"] == "trailer"
        # what a phone's card of it says is the rule of own findings, and no rule of its own
        assert after["items"][item]["grade"] == sign["grade"]


@pytest.mark.parametrize("sign", ["nuts", "tires", "temperature", "hub"])
def test_put_right_with_a_photo_it_drives_on_and_by_a_word_alone_it_does_not(
    sign: str, bundled: dict[str, Any]
) -> None:
    item, found = bad(signs(bundled)[sign])
    record = sound(bundled) | later(found, 60_000)
    word = record | later({f"work/{item}/mend/after/{item}/grade": {"grade": "none"}}, 120_000)
    assert "now" not in judged(bundled, word)
    proof = word | later({f"work/{item}/mend/photos/{'a' * 64}": {"caption": ""}}, 110_000)
    now = judged(bundled, proof)["now"]
    assert now["mended"] == [item]
    assert now["drive_home"]["answer"] == "drive"
    # found again at the same stop, it is open again
    again = judged(bundled, proof | later({f"items/{item}/grade": {"grade": "dangerous"}}, 180_000))
    assert "now" not in again
    assert again["drive_home"]["answer"] == "trailer"


def test_a_slip_that_is_taken_back_leaves_the_answer_that_was(bundled: dict[str, Any]) -> None:
    before = sound(bundled)
    _, found = bad(signs(bundled)["fuel"])
    slip = {path: {"answer": "fine"} if path.startswith("drive/") else None for path in found}
    after = judged(bundled, before | later(found, 60_000) | later(slip, 90_000))
    assert after["drive_home"] == judged(bundled, before)["drive_home"]


def planned(bundled: dict[str, Any], record: dict[str, Any]) -> dict[str, dict[str, Any]]:
    found = judged(bundled, record)
    plan = driving.plan(
        bundled["driving"], found["items"], (found.get("now") or {}).get("grades") or {}
    )
    return {kind: {row["id"]: row for row in rows} for kind, rows in plan.items()}  # type: ignore[attr-defined]


def test_the_plan_is_of_this_car_and_each_line_says_because_of_what(
    bundled: dict[str, Any],
) -> None:
    always = {row["id"] for row in bundled["driving"]["kit"] if "reason" in row}
    calm = planned(bundled, sound(bundled))
    assert calm["watch"] == {}
    assert set(calm["kit"]) == always
    found = planned(
        bundled, sound(bundled, **{"fluids.coolant-leak": "minor", "tyres.spare": "minor"})
    )
    assert found["watch"]["coolant"] == {
        "id": "coolant", "found": ["fluids.coolant-leak"], "unseen": [],
    }  # fmt: skip
    assert set(found["kit"]) == always | {"water", "hose-kit"}
    assert found["kit"]["water"]["found"] == ["fluids.coolant-leak"]
    assert found["kit"]["spare"]["found"] == ["tyres.spare"]
    for row in (*found["watch"].values(), *found["kit"].values()):
        assert row["found"] or row["id"] in always


def test_what_nobody_looked_at_is_watched_and_what_work_closed_is_not(
    bundled: dict[str, Any],
) -> None:
    record = sound(bundled, **{"fluids.coolant-leak": "minor"})
    del record["items/cooling.hoses/grade"]
    row = planned(bundled, record)["watch"]["coolant"]
    assert (row["found"], row["unseen"]) == (["fluids.coolant-leak"], ["cooling.hoses"])
    job = "fluids.coolant-leak/hose"
    closed = later(
        {
            f"work/{job}/after/fluids.coolant-leak/grade": {"grade": "none"},
            f"work/{job}/photos/{'b' * 64}": {"caption": ""},
        },
        60_000,
    )
    row = planned(bundled, record | closed)["watch"]["coolant"]
    assert (row["found"], row["unseen"]) == ([], ["cooling.hoses"])


def test_every_line_can_be_reached_and_every_sign_has_a_way_out(bundled: dict[str, Any]) -> None:
    table = bundled["driving"]
    for line in table["watch"]:
        item = line["when"][0]["item"][0]
        plan = planned(bundled, sound(bundled, **{item: "major"}))
        assert line["id"] in plan["watch"], line["id"]
        assert set(line["kit"]) <= set(plan["kit"])
    named = {name for line in table["watch"] for name in line["kit"]}
    assert {row["id"] for row in table["kit"]} == named | {
        row["id"] for row in table["kit"] if "reason" in row
    }
    for sign in table["signs"]:
        assert {choice["id"] for choice in sign["choices"]} >= {"fine", "bad"}
        assert sign["grade"] == "dangerous", "the drive ends where a sign is bad"
    # 49 CFR 571.110 S4.3: the placard's figure; and the wheel's, which no law gives
    assert signs(bundled)["tires"]["figure"] == "sticker"
    assert signs(bundled)["nuts"]["figure"] == "nut_torque"
