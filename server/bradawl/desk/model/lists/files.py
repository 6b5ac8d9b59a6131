"""A CSV or XLSX file as a table of cells; what kind of text or sheet it is may be chosen.

Nothing in a file is run: of a formula the value counts that the file keeps beside it. A file is
read from memory, and no part of it is stored.
"""

from __future__ import annotations

import csv
import io
import re
import zipfile
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import ROUND_HALF_UP, Decimal
from typing import Any, Literal, NamedTuple

from bradawl.common.display_text import for_page
from bradawl.desk.model.typed_values import FieldError
from bradawl.language import message

__all__ = ["ENCODINGS", "MAX_BYTES", "MAX_ROWS", "Table", "Value", "table_of"]

MAX_BYTES = 2 * 2**20
MAX_ROWS = 5_000
MAX_COLUMNS = 60
LONGEST_CELL = 4_000
#: What a workbook may take once it is unpacked: 2 MB can be made to hold a thousand times that.
UNPACKED_BYTES = 60 * 2**20
#: Texts are read in these ways; the first two are tried unasked (WHATWG Encoding's names of them).
ENCODINGS = ("utf-8", "windows-1252", "windows-1250", "macintosh", "utf-16le")
_PYTHON = {"windows-1252": "cp1252", "windows-1250": "cp1250", "macintosh": "mac_roman"}
_BOMS = ((b"\xef\xbb\xbf", "utf-8"), (b"\xff\xfe", "utf-16le"), (b"\xfe\xff", "utf-16be"))
_DELIMITERS = (",", ";", "\t", "|")
_NOWHERE = "\x1f"  # parts nothing: a list of one column
#: A formula without a value beside it. It may find one that has, which costs a second look.
_BARE_FORMULA = re.compile(rb"(?:</(?:\w+:)?f>|<(?:\w+:)?f\b[^>]*/>)(?!\s*<(?:\w+:)?v\b[^>]*>[^<])")
_OLD_WORKBOOK = b"\xd0\xcf\x11\xe0"  # before XLSX: a compound file


class Value(NamedTuple):
    """One cell: a text as it was typed, a number as decimal text, a day as YYYY-MM-DD."""

    text: str
    kind: Literal["text", "number", "day"] = "text"


@dataclass(frozen=True)
class Table:
    """The rows of a file that hold anything, by their numbers there."""

    rows: dict[int, list[Value]]
    encoding: str = ""  # "" for a workbook
    sheet: str = ""
    sheets: list[str] = field(default_factory=list)
    is_cut: bool = False  # whether there were more rows than are read


def table_of(name: str, data: bytes, encoding: str = "", sheet: str = "") -> Table:
    """The table in a file. Raises FieldError for what is none."""
    if data.startswith(_OLD_WORKBOOK):
        raise FieldError(message("desk-parts-list-old-workbook", name=name))
    table = (
        _workbook(name, data, sheet) if data[:4] == b"PK\x03\x04" else _text(name, data, encoding)
    )
    if not table.rows:
        raise FieldError(message("desk-parts-list-empty", name=name))
    return table


# Text


def _text(name: str, data: bytes, encoding: str) -> Table:
    chosen = encoding if encoding in ENCODINGS else _guessed(data)
    for mark, _ in _BOMS:
        data = data.removeprefix(mark)
    content = data.decode(_PYTHON.get(chosen, chosen), errors="replace")
    if "\0" in content:
        raise FieldError(message("desk-parts-list-no-list", name=name))
    try:
        parsed = _parsed(content)
    except csv.Error as error:
        raise FieldError(message("desk-parts-list-no-csv", name=name, why=str(error))) from error
    if not content.strip(" \r\n" + "".join(_DELIMITERS)):
        return Table({})
    rows, is_cut = _kept([Value(cell.strip()) for cell in row] for row in parsed)
    return Table(rows, chosen, is_cut=is_cut)


def _guessed(data: bytes) -> str:
    for mark, encoding in _BOMS:
        if data.startswith(mark):
            return encoding
    try:
        data.decode("utf-8")
    except UnicodeDecodeError:
        return "windows-1252"
    return "utf-8"


def _parsed(content: str) -> list[list[str]]:
    """The rows of a text, parted by whatever makes them most alike; `sep=` in line 1 says by what.

    The rows above the headings have fewer cells; a mark that stands in a few texts parts few rows.
    """
    first, _, rest = content.partition("\n")
    if re.fullmatch(r'"?sep=.\r?"?', first.rstrip("\r"), re.IGNORECASE):
        mark = first.lower().partition("sep=")[2][:1]
        return [[], *_split(rest, mark)]
    found = _split(content, _NOWHERE)
    best = (False, 0.0, 0)
    for mark in _DELIMITERS:
        rows = _split(content, mark)
        widths = [len(row) for row in rows if any(map(str.strip, row))]
        if not widths:
            continue
        width, count = max(Counter(widths).items(), key=lambda pair: (pair[1], pair[0]))
        score = (width > 1, count / len(widths), width)
        if width > 1 and score > best:
            found, best = rows, score
    return found


def _split(content: str, mark: str) -> list[list[str]]:
    reader = csv.reader(io.StringIO(content, newline=""), delimiter=mark)
    return [row for _, row in zip(range(MAX_ROWS + 100), reader, strict=False)]


# Workbooks


def _workbook(name: str, data: bytes, wanted: str) -> Table:
    from openpyxl import load_workbook  # slow to load

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as packed:
            if sum(part.file_size for part in packed.infolist()) > UNPACKED_BYTES:
                raise FieldError(
                    message("desk-parts-list-unpacked", name=name, most=UNPACKED_BYTES >> 20)
                )
            has_bare = any(
                _BARE_FORMULA.search(packed.read(part))
                for part in packed.namelist()
                if part.endswith(".xml") and "worksheets/" in part
            )
        books = [load_workbook(io.BytesIO(data), read_only=True, data_only=True)]
        if has_bare:
            books.append(load_workbook(io.BytesIO(data), read_only=True))
        sheets = [sheet.title for sheet in books[0].worksheets]
        visible = [
            worksheet.title
            for worksheet in books[0].worksheets
            if worksheet.sheet_state == "visible"
        ]
        order = [wanted] if wanted in sheets else visible or sheets
        rows: dict[int, list[Value]] = {}
        for sheet in order:  # the first that holds anything
            rows, is_cut = _kept(_sheet_rows(*(book[sheet] for book in books)))
            if rows:
                return Table(rows, sheet=sheet, sheets=sheets, is_cut=is_cut)
    except FieldError:
        raise
    except Exception as error:  # whatever a broken archive makes of it
        raise FieldError(message("desk-parts-list-no-workbook", name=name)) from error
    return Table({})


def _sheet_rows(values: Any, formulas: Any = None) -> Iterator[list[Value]]:
    """The rows of a sheet; a formula of which the file keeps no value is shown as it stands."""
    limits = {"max_row": MAX_ROWS + 100, "max_col": MAX_COLUMNS}
    values.reset_dimensions()  # what a file says of its size may be wrong
    if formulas is None:
        yield from (_row_values(row) for row in values.iter_rows(**limits))
        return
    formulas.reset_dimensions()
    for row, said in zip(values.iter_rows(**limits), formulas.iter_rows(**limits), strict=False):
        cells = _row_values(row)
        for n, other in enumerate(said[: _width(said)]):
            if n >= len(cells):
                cells.append(Value(""))
            if not cells[n].text and other.value is not None:
                cells[n] = Value(str(getattr(other.value, "text", other.value))[:LONGEST_CELL])
        yield cells


def _row_values(row: Sequence[Any]) -> list[Value]:
    return [
        Value("") if cell.value is None else _value(cell.value, cell.number_format)
        for cell in row[: _width(row)]
    ]


def _width(row: Sequence[Any]) -> int:
    """How many cells reach to the last that holds anything: a row is padded to the limit."""
    width = len(row)
    while width and row[width - 1].value is None:
        width -= 1
    return width


def _value(value: Any, shown: str) -> Value:
    if isinstance(value, datetime | date):
        return Value(value.isoformat()[:10], "day")
    if isinstance(value, bool) or not isinstance(value, int | float):
        return Value(str(value).strip())
    if re.fullmatch(r'0[0\- "\\]+', shown) and isinstance(value, int) and value >= 0:
        return Value(_with_zeros(value, re.sub(r'["\\]', "", shown)))
    figure = Decimal(repr(value)) if isinstance(value, int) else Decimal(f"{value:.10g}")
    decimals = re.match(r"[^;]*[0#]\.(0+)(?![0#.])", shown)
    if decimals:  # as it was shown: a third of $100 is $33.33
        step = Decimal(1).scaleb(-len(decimals[1]))
        figure = figure.quantize(step, ROUND_HALF_UP) if abs(figure) < 10**15 else figure
    said = f"{figure:f}"
    return Value(said.rstrip("0").rstrip(".") if "." in said else said, "number")


def _with_zeros(value: int, shown: str) -> str:
    """A number as its format shows it: 712 by `000000` is 000712, by `00-0000` it is 00-0712."""
    digits = list(str(value).rjust(shown.count("0"), "0"))
    tail = ["" if letter != "0" else digits.pop() for letter in reversed(shown)]
    marks = [letter if letter != "0" else "" for letter in reversed(shown)]
    said = "".join(a or b for a, b in zip(tail, marks, strict=True))
    return "".join(digits) + said[::-1]


def _showable(cell: Value) -> Value:
    if not cell.text:
        return cell
    shown = for_page(cell.text)[:LONGEST_CELL]
    return cell if shown == cell.text else cell._replace(text=shown)


def _kept(rows: Iterable[list[Value]]) -> tuple[dict[int, list[Value]], bool]:
    """Rows that hold anything, by number from 1, at most MAX_ROWS; and whether more came."""
    kept: dict[int, list[Value]] = {}
    for number, row in enumerate(rows, start=1):
        cells = [_showable(cell) for cell in row[:MAX_COLUMNS]]
        while cells and not cells[-1].text:
            cells.pop()
        if not cells:
            continue
        if len(kept) == MAX_ROWS or number > MAX_ROWS:
            return kept, True
        kept[number] = cells
    return kept, False
