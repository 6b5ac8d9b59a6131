"""The record of a visit as one JSON file with a published schema, and files read in at the desk.

What a phone has signed is pushed as it is, whoever brings it. A record that a desk wrote, a file
of another protocol and one without a valid signature are kept aside until an owner has seen what
they hold and says once more that they shall be taken in: then they stand on a chain of their own,
marked as not signed.
"""

import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Form, Request, Response
from starlette.datastructures import FormData

from bradawl.common.display_text import as_json
from bradawl.common.errors import ApiError
from bradawl.desk.model import findings
from bradawl.desk.model.import_files import RECORD, UNSENT, Held, is_checklist, parsed
from bradawl.desk.model.labels import car_name
from bradawl.desk.pages import exports
from bradawl.desk.web import forms
from bradawl.desk.web.forms import FieldError
from bradawl.desk.web.rendering import render
from bradawl.inspection.snapshot import Snapshot, UnknownVisit

if TYPE_CHECKING:
    from bradawl.desk.web.context import Desk

VERSION = 2
SCHEMA_ADDRESS = "/desk/static/record-2.schema.json"
FILE_LIMIT_BYTES = 500 * 2**20
EVENT_FIELDS = ("device", "seq", "prev", "at", "scope", "put", "commit", "over")
#: Refusals of a push which say that the phone has not signed this, here, in this protocol.
NOT_SIGNED = frozenset({"signature", "chain", "event", "batch", "app_too_old", "server_too_old"})


@dataclass
class ReadIn:
    """What became of a file: `told` sentences, a visit to open, `waits` its digest if it waits."""

    told: list[str] = field(default_factory=list)
    visit: str = ""
    waits: str = ""


def add(pages: APIRouter, desk: "Desk") -> None:
    """The record's export and the pages that read files in."""

    @pages.get("/visits/{visit}/record.json")
    def export(visit: str) -> Response:
        data = as_json(record_of(desk.snapshot(visit)), indent=1)
        return exports.attachment(data, "application/json", f"record-{visit[:8]}.json")

    def page(request: Request, person: Any, problems: forms.Problems, done: ReadIn) -> Response:
        return render(
            request,
            "records/import.html",
            status=422 if problems else 200,
            problems=problems,
            done=done,
            waiting=desk.waiting.all(),
            owner=desk.is_owner(person),
        )

    @pages.get("/import")
    def look(request: Request, person: Annotated[Any, Depends(desk.person)]) -> Response:
        return page(request, person, forms.Problems(), ReadIn())

    @pages.post("/import")
    def read_in(
        request: Request,
        form: Annotated[FormData, Depends(forms.posted)],
        person: Annotated[Any, Depends(desk.writer)],
    ) -> Response:
        problems, done = forms.Problems(), ReadIn()
        with problems.of("file"):
            name, data = exports.uploaded(form, "file", FILE_LIMIT_BYTES)
            held = parsed(name, data)
            try:
                done = take_signed(desk, held) if held.kind == UNSENT else ReadIn()
            except ApiError as error:
                raise FieldError(error.message) from error
            rest = fresh(desk, held) if held.kind == RECORD or done.waits else []
            if rest or (done.waits and held.photos):
                digest = desk.waiting.keep(name, data, desk.name_of(desk.device_of(person)))
                return forms.back(f"/desk/import/{digest}")
            if held.kind == RECORD or done.waits:
                done = ReadIn(["Every entry of this file is here already; nothing was changed."])
                done.visit = next((one for one in held.counts if one), "")
        return page(request, person, problems, done)

    @pages.get("/import/{digest}")
    def waiting(
        request: Request, digest: str, person: Annotated[Any, Depends(desk.person)]
    ) -> Response:
        return render(
            request,
            "records/import_waiting.html",
            **view_of(desk, digest),
            owner=desk.is_owner(person),
        )

    @pages.post("/import/{digest}")
    def decide(
        request: Request,
        digest: str,
        decision: Annotated[str, Form()],
        person: Annotated[Any, Depends(desk.owner)],
    ) -> Response:
        """An owner's second word about a file that its phone has not signed."""
        held = held_of(desk, digest)
        if decision != "take":
            desk.waiting.drop(digest)
            done = ReadIn([f"“{held.name}” was not taken in; nothing was changed."])
            return page(request, person, forms.Problems(), done)
        problems, done = forms.Problems(), ReadIn()
        with problems.of("file"):
            try:
                done = take_unsigned(desk, held)
            except ApiError as error:
                raise FieldError(error.message) from error
            desk.waiting.drop(digest)
            desk.note(request, person, "took in a file that is not signed", digest[:16])
        return page(request, person, problems, done)


def record_of(snapshot: Snapshot) -> dict[str, Any]:
    """The record as JSON values: every event as it was recorded, and its checklist.

    A value is the text that was recorded, so that anyone can make its commitment and the event's
    hash again; an erased one has neither text nor salt.
    """
    return {
        "$schema": SCHEMA_ADDRESS,
        "format": RECORD,
        "version": VERSION,
        "visit": snapshot.visit,
        "car": car_name(snapshot.cells),
        "photos": findings.photos_of(snapshot),
        "checklist": snapshot.bundle,
        "events": [_exported(event) for event in snapshot.events],
    }


def _exported(event: Mapping[str, Any]) -> dict[str, Any]:
    plain = {name: event[name] for name in EVENT_FIELDS}
    if event.get("erased"):
        return {**plain, "erased": True}
    return {**plain, "salt": event["salt"], "value": event["text"]}


def take_signed(desk: "Desk", held: Held) -> ReadIn:
    """Push what a phone has signed, and keep its photos; `waits` is set where anything is left.

    Entries that part from what is held of their chain are kept beside it: both are the phone's.
    Raises ApiError as a push does, FieldError for a damaged photo.
    """
    stored = beside = 0
    for batch in held.batches:
        try:
            stored += desk.log.push(batch, received_ms=desk.clock()).stored
        except ApiError as error:
            if error.code == "fork":
                body = json.dumps(batch).encode()
                desk.log.take_fork_aside(body, received_ms=desk.clock())
                beside += 1
                continue
            if error.code in NOT_SIGNED:
                return ReadIn(waits=held.digest)
            raise
    photos = keep_photos(desk, held)
    done = ReadIn([f"{stored} entries and {photos} photos of the phone were read in."])
    if beside:
        done.told.append(
            "The phone had gone on from an older copy of itself: those entries are kept beside the "
            "others and wait for the owner (“Entries to confirm”)."
        )
    done.visit = held.entries[-1].inspection if held.entries else ""
    return done


def keep_photos(desk: "Desk", held: Held) -> int:
    """Keep the photos of a file; how many it has. Raises FieldError for a damaged one."""
    photos = 0
    for data, kind in held.photo_bytes():
        try:
            desk.keep_photo(data, held.device, kind)
        except ApiError as error:
            if error.code != "erased":  # nobody wants that one back
                raise
        photos += 1
    return photos


def fresh(desk: "Desk", held: Held) -> list[Any]:
    """Entries of a file that are not here yet, on whatever chain."""
    here = {
        (event["scope"], event["put"], event["commit"])
        for scope in sorted({entry.scope for entry in held.entries})
        for event in desk.log.events_in(scope)
    }
    return [entry for entry in held.entries if entry.mark not in here]


def held_of(desk: "Desk", digest: str) -> Held:
    """The waiting file. Raises ApiError 404."""
    found = desk.waiting.read(digest)
    if found is None:
        raise ApiError(
            "not_waiting",
            "This file does not wait here any more: it was decided, or the server was started "
            "anew. Choose it once more.",
            404,
        )
    return parsed(found[0].name, found[1])


def view_of(desk: "Desk", digest: str) -> dict[str, Any]:
    """What an owner has to see of a waiting file before it is taken in."""
    held = held_of(desk, digest)
    rest = fresh(desk, held)
    rows = []
    for visit, count in sorted(held.counts.items()):
        car = ""
        if visit:
            try:
                car = car_name(desk.snapshots(visit).cells)
            except UnknownVisit:
                car = ""
        new = sum(entry.inspection == visit for entry in rest)
        rows.append({"visit": visit, "car": car, "count": count, "new": new})
    return {
        "held": held,
        "digest": digest,
        "record": held.kind == RECORD,
        "rows": rows,
        "new": len(rest),
        "first": held.entries[0].at if held.entries else "",
        "last": held.entries[-1].at if held.entries else "",
    }


def take_unsigned(desk: "Desk", held: Held) -> ReadIn:
    """Take in what no phone has signed, on a marked chain; a repeat changes nothing.

    Raises ApiError as the log does, FieldError for a damaged photo or checklist.
    """
    if held.checklist is not None:
        if not is_checklist(held.checklist):
            raise FieldError(
                "The checklist in the file is not the one its hash names: the file was changed."
            )
        desk.log.put_bundle(held.checklist)
    entries = fresh(desk, held)
    done = ReadIn(visit=next((entry.inspection for entry in entries if entry.inspection), ""))
    if entries:
        names = frozenset(entry.id for entry in held.entries)
        begin = {"device": held.device, "seq": 0, "head": "", "why": "file", "tip": held.digest}
        desk.log.take_aside([entry.plain(names) for entry in entries], begin)
        done.told.append(
            f"{len(entries)} entries were taken in. They are marked as not signed until they are "
            "confirmed (“Entries to confirm”)."
        )
    else:
        done.told.append("Every entry of this file is here already; nothing was changed.")
    if held.photos:
        done.told.append(f"{keep_photos(desk, held)} photos were kept.")
    if held.seals:
        done.told.append("Its seal stays with the original: keep the file, it is the evidence.")
    return done
