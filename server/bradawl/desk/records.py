"""The record of a visit as one JSON file with a published schema, and files read in at the desk.

Two kinds of file are read: a record that a desk wrote, and what a phone saved because it could
not send it. The second is the phone's own chain of events and is pushed as such; the first
becomes a copy under a new visit, written by this desk, because only the device that recorded an
event may add to its chain.
"""

import base64
import binascii
import hashlib
import json
import secrets
import time
from collections.abc import Mapping
from typing import TYPE_CHECKING, Annotated, Any

from fastapi import APIRouter, Depends, Request, Response
from starlette.datastructures import FormData

from bradawl.desk import exports, findings, forms
from bradawl.desk.forms import FieldError
from bradawl.desk.pages import render
from bradawl.desk.planning import Puts
from bradawl.desk.wording import car_name
from bradawl.dossier import Dossier
from bradawl.errors import ApiError
from bradawl.judgement import CanonicalError, canonical, fold
from bradawl.showable import as_json

if TYPE_CHECKING:
    from bradawl.desk.routes import Desk

RECORD = "bradawl-record"
UNSENT = "bradawl-unsent"
VERSION = 1
PUSH_AT_ONCE = 1_000
APPEND_AT_ONCE = 500
EVENT_FIELDS = {"device", "seq", "prev", "at", "visit", "put", "value", "over"}
SCHEMA_ADDRESS = "/desk/static/record-1.schema.json"


def add(pages: APIRouter, desk: "Desk") -> None:
    """The record's export and the page that reads files in."""

    @pages.get("/visits/{visit}/record.json")
    def export(visit: str) -> Response:
        data = as_json(record_of(desk.dossier(visit)), indent=1)
        return exports.attachment(data, "application/json", f"record-{visit[:8]}.json")

    @pages.get("/import")
    def page(request: Request) -> Response:
        return render(request, "import.html", problems=forms.Problems(), told="", visit="")

    @pages.post("/import")
    def read_in(
        request: Request,
        form: Annotated[FormData, Depends(forms.posted)],
        person: Annotated[Any, Depends(desk.writer)],
    ) -> Response:
        problems = forms.Problems()
        told = visit = ""
        with problems.of("file"):
            name, data = exports.uploaded(form, "file")
            held = parsed(name, data)
            try:
                if held.get("format") == UNSENT:
                    told, visit = take_unsent(desk, held)
                else:
                    told, visit = take_record(desk, held, name, data, desk.device_of(person))
            except ApiError as error:
                raise FieldError(error.message) from error
        return render(
            request,
            "import.html",
            status=422 if problems else 200,
            problems=problems,
            told=told,
            visit=visit,
        )


def record_of(dossier: Dossier) -> dict[str, Any]:
    """The record as JSON values: every event as it was recorded, and its checklist."""
    return {
        "$schema": SCHEMA_ADDRESS,
        "format": RECORD,
        "version": VERSION,
        "visit": dossier.visit,
        "car": car_name(dossier.cells),
        "photos": findings.photos_of(dossier),
        "checklist": dossier.bundle,
        "events": dossier.events,
    }


def parsed(name: str, data: bytes) -> dict[str, Any]:
    """A file of one of the two kinds. Raises FieldError with what is wrong with another."""
    try:
        held = json.loads(data)
    except (ValueError, RecursionError) as error:
        raise FieldError(f"“{name}” is not JSON: {error}.") from error
    if not isinstance(held, dict) or held.get("format") not in (RECORD, UNSENT):
        raise FieldError(
            f"“{name}” is neither a record that a desk exported nor what a phone saved unsent."
        )
    if held.get("version") != VERSION:
        raise FieldError(
            f"“{name}” has version {held.get('version')} of its format; this server reads "
            f"version {VERSION}. Install a newer Bradawl here."
        )
    return held


def take_unsent(desk: "Desk", held: Mapping[str, Any]) -> tuple[str, str]:
    """Push a phone's unsent events and keep its photos: (what happened, a visit of them).

    Raises ApiError as a push does, FieldError for a file that is damaged.
    """
    batch = held.get("batch")
    if not isinstance(batch, dict) or not isinstance(batch.get("events"), list):
        raise FieldError("The file holds no batch of events; save it on the phone once more.")
    stored = 0
    for part in parts_of(batch):
        stored += desk.log.push(part, received_ms=time.time_ns() // 1_000_000).stored
    photos = 0
    for photo in held.get("photos") or ():
        try:
            data = base64.b64decode(photo["base64"], validate=True)
        except (KeyError, TypeError, binascii.Error) as error:
            raise FieldError(f"{stored} events are kept, but a photo is damaged.") from error
        desk.keep_photo(data, str(batch.get("device")))
        photos += 1
    events = batch["events"]
    visit = str(events[-1].get("visit", "")) if events and isinstance(events[-1], dict) else ""
    return f"{stored} entries and {photos} photos of the phone were read in.", visit


def parts_of(batch: Mapping[str, Any]) -> list[dict[str, Any]]:
    """A batch in parts that a push takes, each with its own head along the same chain."""
    events = batch["events"]
    if not events:
        return []
    parts = []
    seq, prev = batch.get("from_seq"), batch.get("prev")
    if type(seq) is not int or not isinstance(prev, str):
        raise FieldError("The file does not say where its events begin; save it once more.")
    for first in range(0, len(events), PUSH_AT_ONCE):
        some = events[first : first + PUSH_AT_ONCE]
        head = prev
        for n, event in enumerate(some):
            if not isinstance(event, dict):
                raise FieldError(f"Entry {first + n + 1} of the file is damaged.")
            whole = {"device": batch.get("device"), "seq": seq + n, "prev": head, **event}
            try:
                head = hashlib.sha256(canonical(whole).encode()).hexdigest()
            except CanonicalError as error:
                raise FieldError(f"Entry {first + n + 1} of the file: {error.sentence}") from error
        parts.append(
            {
                "protocol": batch.get("protocol"),
                "device": batch.get("device"),
                "from_seq": seq,
                "prev": prev,
                "events": some,
                "head": head,
            }
        )
        seq, prev = seq + len(some), head
    if prev != batch.get("head"):
        raise FieldError(
            "The events in the file do not add up to its own hash: the file was changed or cut "
            "short. Nothing was read in; save it on the phone once more."
        )
    return parts


def take_record(
    desk: "Desk", held: Mapping[str, Any], name: str, data: bytes, device: str
) -> tuple[str, str]:
    """Copy an exported record into a new visit: (what happened, the visit).

    A record whose events are all here already changes nothing. Raises FieldError.
    """
    events = held.get("events")
    visit = held.get("visit")
    if not isinstance(events, list) or not events or not isinstance(visit, str):
        raise FieldError(f"“{name}” holds no events.")
    for n, event in enumerate(events):
        if not _is_event(event) or event["visit"] != visit:
            raise FieldError(f"“{name}”: event {n + 1} is not as the format describes it.")
    here = {(event["device"], event["seq"], event["at"]) for event in desk.log.events_of(visit)}
    if here and all((event["device"], event["seq"], event["at"]) in here for event in events):
        return "Every entry of this record is here already; nothing was changed.", visit
    checklist = held.get("checklist")
    if isinstance(checklist, dict):
        keep_checklist(desk, checklist)
    try:
        cells = fold(events)
    except CanonicalError as error:
        raise FieldError(f"“{name}”: {error.sentence}") from error
    puts: Puts = [
        (path, cell["value"])
        for path, cell in sorted(cells.items(), key=lambda pair: (pair[0] != "about/bundle", pair))
        # a seal covers the original's events, and cannot cover a copy of them
        if cell["value"] is not None and not path.startswith("seal/")
    ]
    puts.append(("about/copied_from", {"visit": visit, "file": hashlib.sha256(data).hexdigest()}))
    copy = secrets.token_hex(16)
    for first in range(0, len(puts), APPEND_AT_ONCE):
        desk.log.append(device, copy, puts[first : first + APPEND_AT_ONCE])
    unsettled = sum(bool(cell["others"]) for cell in cells.values())
    told = f"A copy of the record was made, with {len(puts) - 1} entries."
    if unsettled:
        told += f" Of {unsettled} unsettled entries the later value was taken."
    if any(path.startswith("seal/") for path in cells):
        told += " Its seal stays with the original: keep the file, it is the evidence."
    return told, copy


def _is_event(event: Any) -> bool:
    """Whether it has an event's fields, each of its kind; the value may be anything."""
    return (
        isinstance(event, dict)
        and set(event) == EVENT_FIELDS
        and all(isinstance(event[key], str) for key in ("device", "prev", "at", "visit", "put"))
        and type(event["seq"]) is int
        and isinstance(event["over"], list)
        and all(isinstance(stamp, str) for stamp in event["over"])
    )


def keep_checklist(desk: "Desk", checklist: Mapping[str, Any]) -> None:
    """Keep the record's own checklist when it is what its hash says. Raises FieldError."""
    body = {key: value for key, value in checklist.items() if key != "hash"}
    try:
        found = hashlib.sha256(canonical(body).encode()).hexdigest()
    except CanonicalError as error:
        raise FieldError(f"The checklist in the file: {error.sentence}") from error
    if found != checklist.get("hash"):
        raise FieldError(
            "The checklist in the file is not the one its hash names: the file was changed."
        )
    desk.log.put_bundle(checklist)
