"""Reads posted forms: texts, three figures, an uploaded file; and leads back to a page."""

# No postponed annotations here: FastAPI reads those of the dependencies.
import json
from collections.abc import AsyncIterator, Callable
from typing import Annotated, Any, BinaryIO

from fastapi import Depends, Form, Request, Response
from fastapi.responses import RedirectResponse
from starlette.datastructures import FormData, UploadFile

from bradawl.desk.model.typed_values import THREE_POINTS, FieldError, Problems, three_points
from bradawl.language import message
from bradawl.language import text as text_of

__all__ = [
    "Posted",
    "Text",
    "as_seen",
    "back",
    "changed",
    "date_text",
    "is_changed",
    "is_ticked",
    "opened_upload",
    "posted",
    "text",
    "three",
    "uploaded",
]

MAX_FIELDS = 20_000  # a sheet of 300 remedies
FILE_LIMIT_BYTES = 20 * 2**20


async def posted(request: Request) -> AsyncIterator[FormData]:
    """The posted form, files included, closed after the answer; a dependency."""
    async with request.form(max_fields=MAX_FIELDS, max_files=50) as form:
        yield form


Posted = Annotated[FormData, Depends(posted)]
Text = Annotated[str, Form()]


def text(form: FormData, field: str, limit: int = 2000) -> str:
    """A field's text without surrounding space; "" when it is missing or a file.

    Raises FieldError when it is longer than `limit` letters.
    """
    value = form.get(field)
    typed = value.strip() if isinstance(value, str) else ""
    if len(typed) > limit:
        raise FieldError(message("desk-error-too-long", start=typed[:30], most=limit))
    return typed


def date_text(form: FormData, field: str) -> str:
    """A date as it was typed, or the one that was picked in the calendar beside it."""
    return text(form, f"{field}-picked", 10) or text(form, field, 40)


def is_ticked(form: FormData, field: str) -> bool:
    """Whether a check box was ticked, or a button of that name pressed."""
    return bool(text(form, field, 5))


def changed(form: FormData, limit: int = 4000) -> dict[str, tuple[str, str]]:
    """Of fields that carry along what the page showed in them (`NAME:seen`): those that were
    changed, with what was shown and what was typed. What was left alone overwrites nobody.
    """
    found = {}
    for name in form:
        if name.endswith(":seen"):
            field = name.removesuffix(":seen")
            seen, now = text(form, name, limit), text(form, field, limit)
            if field in form and seen != now:
                found[field] = (seen, now)
    return found


def as_seen(value: Any) -> str:
    """A value as a page carries it along beside its field (`NAME:seen`): canonical JSON."""
    return json.dumps(value, sort_keys=True, ensure_ascii=False)


def is_changed(
    form: FormData, field: str, typed: Any, stands: Any, what: str, problems: Problems
) -> bool:
    """Whether a value was changed on its page and is to be recorded.

    What was left as the page showed it overwrites nobody; where somebody else changed it too, that
    is a problem, and the page that comes back is made from what stands. A form that carries nothing
    along (`NAME:seen`) is taken at its word.
    """
    seen = form.get(f"{field}:seen")
    if not isinstance(seen, str):
        return True
    if as_seen(typed) == seen:
        return False
    if as_seen(stands) in (seen, as_seen(typed)):
        return True
    problems.moved.add(field)
    problems.fields.add(field)
    problems.sentences.append(text_of("desk-form-moved", what=what))
    return False


def three(
    form: FormData, prefix: str, what: str, read: Callable[[str, str], Any], missing: Any
) -> list[Any]:
    """Low, likely and high from `prefix-low`, `-likely`, `-high`; see `three_points`."""
    typed = [text(form, f"{prefix}-{point}", 40) for point in THREE_POINTS]
    return three_points(typed, what, read, missing)


def uploaded(form: FormData, field: str, limit_bytes: int = FILE_LIMIT_BYTES) -> tuple[str, bytes]:
    """An uploaded file's name and bytes. Raises FieldError."""
    name, file = opened_upload(form, field)
    data = file.read(limit_bytes + 1)
    if len(data) > limit_bytes:
        raise FieldError(message("desk-error-file-large", name=name, most=limit_bytes >> 20))
    return name, data


def opened_upload(form: FormData, field: str) -> tuple[str, BinaryIO]:
    """An uploaded file's name, and the file, at its start. Raises FieldError."""
    upload = form.get(field)
    if not isinstance(upload, UploadFile) or not upload.filename:
        raise FieldError(message("desk-error-no-file"))
    return upload.filename, upload.file


def back(address: str) -> Response:
    """After a change: to the page that shows it, so that a reload repeats nothing."""
    return RedirectResponse(address, status_code=303)
