"""A visit judged with another checklist, beside its judgment now."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from bradawl.desk.model.labels import grade_word, item_title
from bradawl.inspection.snapshot import Snapshot
from bradawl.judge import assess
from bradawl.language import current, say, text
from bradawl.language.checklist_texts import texts_for

if TYPE_CHECKING:
    from bradawl.judge.values.types import Assessment, Bundle, Record


def differences(snapshot: Snapshot, bundle: Bundle, today: str) -> dict[str, Any]:
    """What a visit would be judged with another checklist, beside its judgment now."""
    record: Record = {"visit": snapshot.visit, "cells": snapshot.cells}
    other = assess(record, bundle["rules"], today)
    now = snapshot.assessment
    shown = texts_for(bundle, current().locale).bundle
    rows = []
    for item in sorted({*now["items"], *other["items"]}):
        before, after = _state_of(now, item), _state_of(other, item)
        if before != after:
            title = item_title(shown, item)
            rows.append(
                {
                    "item": item,
                    "title": title if title != item else item_title(snapshot.texts, item),
                    "before": before,
                    "after": after,
                    "why": [
                        say(reason["said"], shown["rules"])
                        for reason in (
                            other["items"][item]["reasons"] if item in other["items"] else ()
                        )
                    ],
                }
            )
    return {
        "rows": rows,
        "answer_before": now["drive_home"]["answer"],
        "answer_after": other["drive_home"]["answer"],
        "same_bundle": bundle["hash"] == snapshot.bundle["hash"],
    }


def _state_of(assessment: Assessment, item: str) -> str:
    """An item's grade, or why it has none."""
    judgment = assessment["items"].get(item)
    if judgment is None:
        return text("desk-trial-not-there")
    if not judgment["asked"]:
        return text("desk-trial-not-asked")
    return grade_word(judgment["grade"])
