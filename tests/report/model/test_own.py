"""A finding in somebody's own words stands in its area, with its photo, and gives nothing away."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from bradawl.judge import assess
from bradawl.report.issue import write_report
from bradawl.report.model.build import build_contents
from bradawl.report.model.editions.edition import Edition, edition_view
from bradawl.report.signing.keys import Signer
from tests.report.model.test_edition import _everything
from tests.report.tools import flowing
from tests.report.visits import TODAY, jpeg, puts, sha256, snapshot

NAME = "rust.own-0a1b2c3d"
WORDS = "Jack point gave way under the sill"


def seen(words: str, area: str = "rust", **more: Any) -> Any:
    """A sealed visit with such a finding, judged by the judge."""
    name = NAME.replace("rust", area)
    photo = jpeg(7)
    about = {"caption": "", "taken": "2026-11-25T09:40:00+01:00", "width": 640, "height": 480,
             "bytes": len(photo), "type": "image/jpeg"}  # fmt: skip
    recorded = [
        *puts(),
        (f"items/{name}/text", words),
        (f"items/{name}/grade", {"grade": "dangerous"}),
        (f"items/{name}/photos/{sha256(photo)}", about),
        *((f"items/{name}/{path}", value) for path, value in more.items()),
    ]
    found = snapshot(recorded, [photo])
    rules: Any = {
        "items": {
            one["id"]: {"title": one["title"], "area": one["id"].split(".")[0], "order": n}
            for n, one in enumerate(found.bundle["items"])
        },
        "areas": found.bundle["areas"],
    }
    bundle: Any = {**found.bundle, "rules": rules}
    judged = assess({"visit": found.visit, "cells": found.cells}, rules, TODAY)
    return replace(found, bundle=bundle, assessment=judged)


def test_it_stands_in_its_area_with_its_photo(tmp_path: Path, shop: Signer) -> None:
    found = seen(WORDS)
    view = edition_view(found, "condition")
    rust = next(area for area in build_contents(view).areas if area.id == "rust")
    first = rust.findings[0]
    assert (first.id, first.title, first.grade) == (NAME, WORDS, "dangerous")
    assert len(first.photos) == 1
    file = tmp_path / "condition.pdf"
    write_report(found, file, "condition", shop, today=TODAY)
    text = flowing(file)
    assert f"Trailer it. Unsafe: {WORDS}." in text


def test_what_is_in_no_known_area_is_not_lost() -> None:
    areas = build_contents(edition_view(seen(WORDS, "boat"), "condition")).areas
    assert [finding.title for area in areas if area.id == "boat" for finding in area.findings] == [
        WORDS
    ]


@pytest.mark.parametrize("edition", ["condition", "partner"])
@pytest.mark.parametrize("tail", ["", " and more" * 40, "\n\nsecond line"])
def test_words_that_may_give_something_away_stay_out_wherever_they_are_said(
    tmp_path: Path, shop: Signer, edition: Edition, tail: str
) -> None:
    words = f"Call Wendel Abernook at 555-0134{tail}"
    file = tmp_path / "report.pdf"
    hidden = seen(words, cost=[765_432, 765_432, 765_432])
    write_report(hidden, file, edition, shop, today=TODAY)
    text = _everything(file)
    if edition == "condition":
        assert "Abernook" not in text
        assert "765432" not in text.replace(",", "").replace(".", "")
        assert "Unsafe" in text
    else:
        assert "Abernook" in text
