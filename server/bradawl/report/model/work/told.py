"""What was left alone on purpose and a buyer is told of; the desk writes it at plan/left/<job>."""

from __future__ import annotations

from dataclasses import dataclass

from bradawl.inspection import cell_values
from bradawl.inspection.said import job_title
from bradawl.report.model.editions.choice import LEFT, is_told
from bradawl.report.model.editions.edition import EditionView
from bradawl.report.model.editions.edition_filter import BLANK

__all__ = ["LeftAlone", "left_alone"]


@dataclass(frozen=True)
class LeftAlone:
    """A job that was left: what it is called, why it was left, what would bring it back."""

    title: str
    why: str
    back: str


def left_alone(view: EditionView) -> list[LeftAlone]:
    """What was left of which a buyer is told, by title; what was done since is no longer left."""
    done = {entry.job for entry in cell_values.done_entries(view.cells) if entry.done.finished}
    found = []
    for path in sorted(view.cells):
        job = path.removeprefix(LEFT)
        value = cell_values.value(view.cells, path)
        if not path.startswith(LEFT) or job in done:
            continue
        if is_told(path, value):
            left = cell_values.mapping(value)
            why, back = (cell_values.words(left.get(key)) for key in ("why", "back"))
            found.append(LeftAlone(job_title(job, left, view.texts), why, back))
        elif value == BLANK:  # what it says is left out
            found.append(LeftAlone(job_title(job, {}, view.texts), BLANK, ""))
    return sorted(found, key=lambda one: (one.title, one.why))
