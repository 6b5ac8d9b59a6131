"""What kind of entry stands at a path: a seal's leaves name it, a report may leave out only some.

The kind is hashed into the leaf, so a report that leaves an entry out says of which kind it is and
cannot pass a grade off as a note.
"""

# what a report may leave out; never what was found: grade, reading, choice, fact, seal
WITHHELD_KINDS = ("money", "name", "note", "photo", "plan")

_OF_ITEM = {
    "choice": "choice",
    "grade": "grade",
    "note": "note",
    "photos": "photo",
    "readings": "reading",
    "text": "note",
    "why": "note",
    "wires": "reading",
}
_OF_VISIT = {
    "app": "fact",
    "asking_price": "money",
    "bundle": "fact",
    "currency": "money",
    "dark": "fact",
    "depth": "fact",
    "distance_home": "fact",
    "inspector": "name",
    "motorway": "fact",
    "place": "name",
    "region": "fact",
    "seller": "name",
    "started": "fact",
    "wet": "fact",
}
_OF_OWNER = ("address", "email", "name", "phone", "plate")


def entry_kind(path: str) -> str:
    """The kind of what stands at a path.

    `money`, `plan` (what the buyer means to do, and whatever this version does not know), `name`
    (people and addresses), `note`, `photo`; and what is never left out: `grade`, `reading`,
    `choice`, `fact`, `seal`.
    """
    parts = path.split("/")
    area, second = parts[0], parts[1] if len(parts) > 1 else ""
    if area == "seal":
        return "seal"
    if area == "items":
        if len(parts) == 5 and parts[2] == "wires" and parts[4] == "note":
            return "note"
        return _OF_ITEM.get(parts[2], "plan") if len(parts) > 2 else "plan"
    if area == "about":
        return "fact" if second.startswith("left_") else _OF_VISIT.get(second, "plan")
    if area == "car":
        return "name" if second in _OF_OWNER else "fact"
    if area == "media":
        return "photo"
    if area == "trouble":
        return "note"
    if area == "work":
        return _of_work(parts)
    if area == "verdict":
        return "money"
    return "plan"


def _of_work(parts: list[str]) -> str:
    """Of a job: what it cost, its photos, what was measured after it; else what was written."""
    inside = parts[2] if len(parts) > 2 else ""
    if inside == "done":
        return "money"
    if inside == "after":
        return _OF_ITEM.get(parts[4], "plan") if len(parts) > 4 else "plan"
    return "photo" if inside == "photos" else "note"
