"""What kind of entry stands at a path: a seal's leaves name it, a report may leave out only some.

The kind is hashed into the leaf, so a report that leaves an entry out says of which kind it is and
cannot pass a grade off as a note.
"""

# what a report may leave out; never what was found: grade, reading, choice, fact, seal
WITHHELD_KINDS = ("money", "name", "note", "photo", "plan")

_OF_ITEM = {
    "choice": "choice",
    "cost": "money",
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
    "archived": "plan",
    "asking_price": "money",
    "bundle": "fact",
    "currency": "money",
    "dark": "fact",
    "deleted": "plan",
    "depth": "fact",
    "distance_home": "fact",
    "inspector": "name",
    "motorway": "fact",
    "name": "note",
    "place": "name",
    "region": "fact",
    "seller": "name",
    "started": "fact",
    "voice": "fact",
    "wet": "fact",
}
# of a car, but the shop's own: what it knows of the model's weak places is no fact of this car
_OF_SHOP = ("look_first",)
# of a claim: what was claimed and what became of it is a fact, who said it is a name
_OF_CLAIM = {
    "date": "fact",
    "kind": "fact",
    "photos": "photo",
    "state": "fact",
    "who": "name",
    "words": "note",
}
# of a look-up: what the office answered is a fact, what somebody wrote of it a note
_OF_LOOKUP = {"date": "fact", "kind": "fact", "note": "note", "photos": "photo", "result": "fact"}
# all of it: what is asked and paid, receipts, vendors and who paid; the bargain, its papers with
# names and price on them, and for what one would come back
_MONEY = ("ads", "deal", "ledger", "life", "papers", "passed", "verdict")
_OF_OWNER = ("address", "email", "name", "phone", "plate")
_OF_JOB = ("after", "done", "photos")
_OF_PART = {"note": "note", "reply": "note", "vendor": "name", "where": "name"}


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
        if second in _OF_SHOP:
            return "plan"
        return "name" if second in _OF_OWNER else "fact"
    if area == "people":
        return "name"
    if area == "drive":
        return "fact"  # what was seen on the way home
    if area == "media":
        return "photo"
    if area in ("amend", "notes", "settled", "trouble"):
        return "note"
    if area == "work":
        return _of_work(parts)
    if area in _MONEY:
        return "money"
    if area == "claims":
        return _OF_CLAIM.get(parts[2], "plan") if len(parts) > 2 else "plan"
    if area == "lookups":
        return _OF_LOOKUP.get(parts[2], "plan") if len(parts) > 2 else "plan"
    if area == "calls":  # whom somebody called, and what they said
        return "note" if len(parts) > 2 else "name"
    if area == "parts":
        return _of_part(parts)
    return "plan"


def _of_part(parts: list[str]) -> str:
    """Of a line of the parts list: what it is to cost, who has it, what was said of it."""
    column = parts[2] if len(parts) > 2 else ""
    return "money" if column[-6:] == "_cents" else _OF_PART.get(column, "plan")


def _of_work(parts: list[str]) -> str:
    """Of a job: what it cost, its photos, what was measured after it; else what was written.

    A job has a name of two words, `<item>/<word>`, or of one. What was noted of it once stood at
    `done`, with its cost; an entry below `done` has its cost in the ledger.
    """
    own = 2 if len(parts) > 2 and parts[2] in _OF_JOB else 3
    inside = parts[own] if len(parts) > own else ""
    if inside == "done":
        return "money" if len(parts) == own + 1 else "note"
    if inside == "after":
        answer = parts[own + 2] if len(parts) > own + 2 else ""
        return _OF_ITEM.get(answer, "plan")
    return "photo" if inside == "photos" else "note"
