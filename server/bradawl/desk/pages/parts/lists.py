"""A list kept elsewhere, read into the parts list: looked at first, undone in one press."""

# No postponed annotations here: FastAPI reads those of the routes.
import base64
import secrets
import zlib
from dataclasses import dataclass, field
from typing import Any

from fastapi import APIRouter, Response

from bradawl.common.errors import ApiError
from bradawl.desk.model.lists import columns, files, lines
from bradawl.desk.model.lists.columns import Heading
from bradawl.desk.model.lists.files import Table
from bradawl.desk.model.parts.lines import Sheet
from bradawl.desk.model.typed_values import FieldError, whole
from bradawl.desk.web import forms
from bradawl.desk.web.visit_page import FormRequest, PageRequest, VisitForm, VisitPage, render_visit
from bradawl.judge.ledger.fields import is_id
from bradawl.language import listed, message, text

pages = APIRouter(prefix="/visits/{visit}/parts/lists")
ID_BYTES = 6
NAME_LIMIT = 200
SHOWN_ROWS = 60  # beside every row of which something could not be read
SHOWN_WRONG = 300
#: A form's field holds at most 1 MB (Starlette); so much of the file goes into each.
PIECE = 500_000


@dataclass
class Reading:
    """A file as it is read just now, and what is to come of each of its rows."""

    name: str
    data: bytes
    table: Table
    head: int
    headings: list[Heading]
    rows: list[lines.Row] = field(default_factory=list)
    left_out: set[int] = field(default_factory=set)

    @property
    def wanted(self) -> list[lines.Row]:
        return [row for row in self.rows if not row.is_empty and row.number not in self.left_out]

    @property
    def shown(self) -> list[lines.Row]:
        """The first rows, and those of which something could not be read."""
        first = [row.number for row in self.rows if not row.is_empty][:SHOWN_ROWS]
        wrong = [row.number for row in self.rows if row.problems or row.is_known][:SHOWN_WRONG]
        numbers = {*first, *wrong, *self.left_out}
        return [row for row in self.rows if row.number in numbers and not row.is_empty]


@pages.get("")
def show_lists(page: VisitPage) -> Response:
    return _lists(page)


@pages.post("")
def read_list(posted: VisitForm) -> Response:
    """A file that was chosen: how it is read. Nothing of it is kept here: the page carries it."""
    with posted.problems.of("list"):
        name, data = forms.uploaded(posted.form, "list", files.MAX_BYTES)
        return _preview(posted, _read(posted, name, data, is_new=True))
    return _lists(posted)


@pages.post("/preview")
def preview_list(posted: VisitForm) -> Response:
    """The same file read otherwise, or added."""
    with posted.problems.of("list"):
        reading = _read(posted, forms.text(posted.form, "name", NAME_LIMIT), _carried(posted))
        if not forms.is_ticked(posted.form, "add"):
            return _preview(posted, reading)
        return _add(posted, reading)
    return _lists(posted)


@pages.post("/{name}/undo")
def undo_list(posted: VisitForm, name: str) -> Response:
    found = next((one for one in lines.imports_of(posted.snapshot) if one.id == name), None)
    if found is None:
        raise ApiError("no_list", message("desk-parts-list-unknown"), 404)
    return posted.record(lines.taken_back(found), f"parts/lists#list-{name}")


def _read(posted: FormRequest, name: str, data: bytes, *, is_new: bool = False) -> Reading:
    """The file as the form says it is to be read. Raises FieldError."""
    form, log = posted.form, posted.desk.log
    table = files.table_of(
        name, data, forms.text(form, "encoding", 20), forms.text(form, "sheet", NAME_LIMIT)
    )
    is_other = is_new or forms.text(form, "sheet", NAME_LIMIT) != forms.text(
        form, "sheet:was", NAME_LIMIT
    )
    head = columns.head_row(table)
    if not is_other:
        typed = forms.text(form, "head", 10)
        with posted.problems.of("head"):
            head = whole(typed, text("desk-parts-list-head"), 0, files.MAX_ROWS)
        is_other = typed != forms.text(form, "head:was", 10)
    chosen = None
    if not is_other:
        chosen = {
            int(key[7:]): forms.text(form, key, 40)
            for key in form
            if key.startswith("column-") and key[7:].isdecimal() and len(key) < 10
        }
    headings = columns.headings_of(log, table, head, chosen)
    reading = Reading(name, data, table, head, headings)
    if not is_other:
        reading.left_out = {
            number for number in table.rows if forms.is_ticked(form, f"out-{number}")
        }
    with posted.problems.of("columns"):
        _refuse_twice(headings)
    reading.rows = lines.rows_of(Sheet(posted.snapshot), table, head, headings)
    return reading


def _refuse_twice(headings: list[Heading]) -> None:
    """Two headings cannot fill one column."""
    by_column: dict[str, list[str]] = {}
    for heading in headings:
        by_column.setdefault(heading.column, []).append(heading.title)
    for column in columns.TYPED:
        titles = by_column.get(column.key, [])
        if len(titles) > 1:
            raise FieldError(
                message("desk-parts-list-twice", headings=listed(titles), column=column.title)
            )


def _carried(posted: FormRequest) -> bytes:
    """The file that the page carried along. Raises FieldError for what is none of ours."""
    pieces = [value for value in posted.form.getlist("file") if isinstance(value, str)]
    unpack = zlib.decompressobj()
    try:
        packed = base64.b64decode("".join(pieces), altchars=b"-_", validate=True)
        data = unpack.decompress(packed, files.MAX_BYTES)
    except (ValueError, zlib.error) as error:
        raise FieldError(message("desk-error-no-file")) from error
    if unpack.unconsumed_tail or not data:
        raise FieldError(message("desk-error-no-file"))
    return data


def _add(posted: FormRequest, reading: Reading) -> Response:
    name = forms.text(posted.form, "import", 20)
    name = name if is_id(name) else secrets.token_hex(ID_BYTES)
    if any(one.id == name for one in lines.imports_of(posted.snapshot)):  # sent twice: it is there
        return _to(posted, name)
    if not posted.problems and not reading.wanted:
        with posted.problems.of("columns"):
            raise FieldError(message("desk-parts-list-nothing"))
    if posted.problems:
        return _preview(posted, reading)
    puts = lines.puts_of(name, reading.name, posted.desk.today(), reading.wanted)
    scope = f"inspection/{posted.visit}"
    owned: list[tuple[str, str, Any]] = [(scope, path, value) for path, value in puts]
    titles = [heading.title for heading in reading.headings]
    kept = columns.to_remember(reading.headings)
    if columns.remembered(posted.desk.log, titles) != kept["columns"]:
        owned.append((columns.SHOP, columns.memory_path(titles), kept))
    posted.desk.log.append_in(posted.device, owned)  # all lines, or none
    return _to(posted, name)


def _to(posted: FormRequest, name: str) -> Response:
    return forms.back(f"/desk/visits/{posted.visit}/parts/lists#list-{name}")


def _preview(posted: FormRequest, reading: Reading) -> Response:
    packed = base64.urlsafe_b64encode(zlib.compress(reading.data)).decode()
    name = forms.text(posted.form, "import", 20)
    return render_visit(
        posted,
        "parts/list_preview.html",
        tab="parts",
        reading=reading,
        pieces=[packed[n : n + PIECE] for n in range(0, len(packed), PIECE)],
        import_id=name if is_id(name) else secrets.token_hex(ID_BYTES),
        encodings=files.ENCODINGS,
        most=files.MAX_ROWS,
        columns=columns.TYPED,
        into_note=columns.INTO_NOTE,
        left_out=columns.LEFT_OUT,
    )


def _lists(page: PageRequest) -> Response:
    sheet = Sheet(page.snapshot)
    return render_visit(
        page,
        "parts/lists.html",
        tab="parts",
        lists=lines.imports_of(page.snapshot),
        lines=sheet.all_lines,
        most_mb=files.MAX_BYTES >> 20,
        most=files.MAX_ROWS,
    )
