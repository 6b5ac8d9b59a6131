"""What a complaint turned out to be: asked when the repair is logged, counted over all cars.

The counts are shown beside the causes; they move no chance.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from typing import TYPE_CHECKING, Any

from bradawl.desk.model.changes import Puts, change_to
from bradawl.desk.model.diagnosis import complaints, tables
from bradawl.inspection import cell_values
from bradawl.inspection.snapshot import Snapshot

if TYPE_CHECKING:
    from bradawl.judge.values.types import Symptom

#: (symptom, cause) of one visit.
Outcome = tuple[str, str]


def outcomes(snapshot: Snapshot) -> tuple[Outcome, ...]:
    """What the complaints of a visit turned out to be."""
    found = []
    for path, cell in sorted(snapshot.cells.items()):
        parts = path.split("/")
        cause = cell_values.text(cell_values.mapping(cell["value"]).get("cause"))
        if len(parts) == 3 and parts[0] == "trouble" and parts[2] == "turned-out" and cause:
            found.append((parts[1], cause))
    return tuple(found)


def _mended_by(symptom: Symptom, job: str, items: Iterable[str]) -> bool:
    """Whether a job may have mended a complaint."""
    wanted = {
        name.partition("/")[0] for cause in symptom["causes"] for name in cause.get("repair", ())
    }
    own = {f"wants/{symptom['id']}-{cause['id']}" for cause in symptom["causes"]}
    return job in own or bool(wanted & set(items))


def open_complaints(snapshot: Snapshot, job: str, items: Iterable[str]) -> list[dict[str, Any]]:
    """The complaints begun on this car that a job may have mended, each with its causes.

    The cause that was found is chosen already.
    """
    listed = list(items)
    written, said = tables.symptoms(snapshot), tables.symptoms_in_words(snapshot)
    rows = []
    for name in complaints.begun(snapshot):
        if not _mended_by(written[name], job, listed):
            continue
        seen = complaints.complaint(snapshot, written[name])
        titles = {cause["id"]: cause["title"] for cause in said[name]["causes"]}
        rows.append(
            {
                "id": name,
                "title": said[name]["title"],
                "causes": [(row["id"], titles[row["id"]]) for row in seen["causes"]],
                "chosen": seen["turned_out"] or (seen["found"] or [""])[0],
            }
        )
    return rows


def noted(snapshot: Snapshot, name: str, cause: str, job: str) -> Puts:
    """The put that keeps what a complaint turned out to be; [] for what no table has."""
    symptom = tables.symptoms(snapshot).get(name)
    row = next((row for row in symptom["causes"] if row["id"] == cause), None) if symptom else None
    if symptom is None or row is None:
        return []
    value = {"cause": cause, "titles": [symptom["title"], row["title"]], "job": job}
    return change_to(snapshot, f"trouble/{name}/turned-out", value)


def counts(symptom: Symptom, confirmed: Iterable[Outcome]) -> list[tuple[str, int]]:
    """(cause in the reader's language, how often) of one complaint, the most frequent first."""
    titles = {cause["id"]: cause["title"] for cause in symptom["causes"]}
    found = Counter(cause for name, cause in confirmed if name == symptom["id"])
    return [(titles[cause], n) for cause, n in found.most_common() if cause in titles]
