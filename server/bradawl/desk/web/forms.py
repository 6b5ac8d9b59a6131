"""Reading what a person typed into a form: figures, lists, and sentences for what is wrong."""

from collections.abc import AsyncIterator, Iterator
from contextlib import contextmanager
from typing import Any

from fastapi import Request, Response
from fastapi.responses import RedirectResponse
from starlette.datastructures import FormData

from bradawl.common.display_text import for_line
from bradawl.common.errors import ApiError
from bradawl.judge.costs import plan

MAX_FIELDS = 20_000  # a sheet of 300 remedies
MAX_AMOUNT = 100_000_000
#: How grouped thousands are typed: spaces of every width and apostrophes.
GROUPING = str.maketrans("", "", " \u00a0\u202f\u2009'\u2019")


async def posted(request: Request) -> AsyncIterator[FormData]:
    """The posted form, files included, closed after the answer; a dependency."""
    async with request.form(max_fields=MAX_FIELDS, max_files=50) as form:
        yield form


class FieldError(ApiError):
    """A field that cannot be kept; the text is a finished sentence.

    Where a page shows what was typed beside what is wrong, `Problems` collects it; anywhere else
    it is an answer by itself.
    """

    def __init__(self, sentence: str) -> None:
        super().__init__("field", sentence, 422)


class Problems:
    """Collects a sentence for each wrong field, so that one mistake loses no other."""

    def __init__(self) -> None:
        self.sentences: list[str] = []
        self.fields: set[str] = set()

    @contextmanager
    def of(self, field: str) -> Iterator[None]:
        """Notes a FieldError that is raised inside as a problem of `field`."""
        try:
            yield
        except FieldError as wrong:
            self.sentences.append(str(wrong))
            self.fields.add(field)

    def __bool__(self) -> bool:
        return bool(self.sentences)


def text(form: FormData, field: str, limit: int = 2000) -> str:
    """A field's text without surrounding space; "" when it is missing or a file."""
    held = form.get(field)
    typed = held.strip() if isinstance(held, str) else ""
    if len(typed) > limit:
        raise FieldError(f"“{typed[:30]}…” is too long: at most {limit} characters are kept.")
    return typed


def as_typed(held: str, limit: int) -> str:
    """What a field of so many letters shows of a recorded text, and sends back if left alone."""
    return for_line(held, limit).strip()


def amount(typed: str, what: str) -> int:
    """Whole money, such as `2 400`. Raises FieldError."""
    plain = typed.translate(GROUPING)
    if plain.endswith((".00", ",00")):
        plain = plain[:-3]
    if not plain.isascii() or not plain.isdigit():
        raise FieldError(f"{what}: “{typed}” is no amount; write whole units, such as 2 400.")
    if int(plain) > MAX_AMOUNT:
        raise FieldError(f"{what}: {typed} is more than any car costs; write whole units of money.")
    return int(plain)


def whole(typed: str, what: str, low: int, high: int) -> int:
    """A whole number from `low` to `high`. Raises FieldError."""
    plain = typed.translate(GROUPING)
    if not plain.isascii() or not plain.isdigit() or not low <= int(plain) <= high:
        raise FieldError(f"{what}: “{typed}” should be a whole number from {low} to {high}.")
    return int(plain)


def hours(typed: str, what: str) -> str:
    """Hours as decimal text, at most two digits after the point: `1.5`. Raises FieldError."""
    plain = typed.translate(GROUPING).replace(",", ".")
    try:
        hundredths = plan.hundredths(plain)
    except ValueError:
        raise FieldError(f"{what}: “{typed}” are no hours; write them such as 1.5.") from None
    if hundredths > 1_000_000:
        raise FieldError(f"{what}: {typed} hours are more than a year of work.")
    return f"{hundredths // 100}.{hundredths % 100:02d}".rstrip("0").rstrip(".")


def three(form: FormData, prefix: str, what: str, read: Any, missing: Any) -> list[Any]:
    """Low, likely and high from `prefix-low`, `-likely`, `-high`, in rising order.

    One figure alone counts for all three; what is left out takes its neighbour's.
    """
    typed = [text(form, f"{prefix}-{part}", 40) for part in ("low", "likely", "high")]
    if not any(typed):
        return [missing] * 3
    likely = typed[1] or typed[0] or typed[2]
    values = [read(one or likely, what) for one in typed]
    if [float(one) for one in values] != sorted(float(one) for one in values):
        raise FieldError(
            f"{what}: {', '.join(str(one) for one in values)} do not rise; "
            "write low, likely, high in that order."
        )
    return values


def day(typed: str, what: str) -> str:
    """A calendar day, YYYY-MM-DD. Raises FieldError."""
    from datetime import date

    try:
        return date.fromisoformat(typed).isoformat()
    except ValueError:
        raise FieldError(f"{what}: “{typed}” is no date; write it such as 2026-11-25.") from None


def back(address: str) -> Response:
    """After a change: to the page that shows it, so that a reload repeats nothing."""
    return RedirectResponse(address, status_code=303)


def stale(message: str) -> ApiError:
    """The page was older than the record: nothing is overwritten unseen."""
    return ApiError("stale", message, 409)
