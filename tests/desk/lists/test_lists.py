"""Lists kept elsewhere, read into the parts list: CSV, XLSX, what becomes of each row, undo.

CSV is RFC 4180's, written by hand or by the csv module; workbooks are made by openpyxl. The lists
are invented; the ways they are broken are common practice, no source.
"""

from __future__ import annotations

import io
import zipfile
from datetime import date
from typing import Any

import openpyxl
import pytest
import xlsxwriter

from bradawl.desk.model.lists import files
from bradawl.desk.model.lists.columns import folded, head_row
from bradawl.desk.model.lists.files import Value, table_of
from bradawl.desk.model.typed_values import FieldError
from tests.desk.browse import form
from tests.desk.conftest import VISIT, Workshop

LISTS = f"/desk/visits/{VISIT}/parts/lists"
PREVIEW = f"{LISTS}/preview"
ADD = {"add": "1"}
LIST = '''My parts,,,,
,,,,
Part,Part #,Qty,Unit price,Ordered on the
Front brake hose,000712,2,$47.83,5/14/2026
"Cap, ""big""",,1,about forty,
Seal,12-7,,"1,300.50",
'''


@pytest.fixture
def shop(workshop: Workshop) -> Workshop:
    workshop.begin()
    workshop.write([("about/currency", "USD")])
    return workshop


def texts(data: bytes, **how: str) -> list[list[str]]:
    return [[cell.text for cell in row] for row in table_of("list.csv", data, **how).rows.values()]


def look(shop: Workshop, data: bytes | str, name: str = "list.csv") -> tuple[str, dict[str, Any]]:
    sent = data.encode() if isinstance(data, str) else data
    page = shop.client.post(LISTS, files={"list": (name, sent)})
    assert page.status_code == 200, page.text
    return page.text, form(page.text, PREVIEW)


def written(shop: Workshop) -> dict[str, dict[str, Any]]:
    """The lines of the parts list, by what they are."""
    lines: dict[str, dict[str, Any]] = {}
    for path, cell in shop.snapshot(VISIT).cells.items():
        parts = path.split("/")
        if parts[0] == "parts":
            lines.setdefault(parts[1], {})[parts[2]] = cell["value"]
    return {line.get("what", ""): line for line in lines.values()}


@pytest.mark.parametrize("mark", [",", ";", "\t", "|"])
def test_a_list_is_parted_by_what_makes_its_rows_alike(mark: str) -> None:
    rows = [["Part", "Price"], ['Hose "A"; short, thin | old', "1,50"], ["Cap", "2,25"]]
    text = "\n".join(mark.join('"' + cell.replace('"', '""') + '"' for cell in row) for row in rows)
    assert texts(text.encode()) == rows


def test_one_column_stays_one_though_a_text_has_commas() -> None:
    assert texts(b"Hose, front\nCap\nSeal\nBelt") == [["Hose, front"], ["Cap"], ["Seal"], ["Belt"]]


def test_a_line_sep_says_what_parts_the_cells() -> None:
    assert texts(b"sep=|\r\nPart|Qty\r\nHose, a, b|1\r\n") == [["Part", "Qty"], ["Hose, a, b", "1"]]


# the bytes are those of each encoding's own table (WHATWG Encoding; Python's codecs)
@pytest.mark.parametrize(
    ("data", "encoding"),
    [
        ("Café ½".encode("utf-8-sig"), "utf-8"),
        ("Café ½".encode(), "utf-8"),
        ("Café ½".encode("cp1252"), "windows-1252"),
        ("\ufeffCafé ½".encode("utf-16-le"), "utf-16le"),
    ],
)
def test_letters_are_read_by_mark_then_as_utf_8_then_as_western(data: bytes, encoding: str) -> None:
    table = table_of("list.txt", data)
    assert (table.encoding, table.rows) == (encoding, {1: [Value("Café ½")]})


def test_other_letters_can_be_chosen() -> None:
    assert texts("Kuželka".encode("cp1250"), encoding="windows-1250") == [["Kuželka"]]


def workbook(rows: list[list[Any]], formats: dict[str, str] | None = None) -> bytes:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    for row in rows:
        sheet.append(row)
    for ref, shown in (formats or {}).items():
        sheet[ref].number_format = shown
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def test_a_cell_of_a_workbook_reads_as_it_is_shown() -> None:
    row = [712, 100 / 3, 46000, date(2026, 5, 14), 0.1 + 0.2, True, 47123, "=1+1", 712]
    shown = {"A1": "000000", "B1": '"$"#,##0.00', "I1": "00-0000"}
    table = table_of("list.xlsx", workbook([row], shown))
    assert table.rows[1] == [
        Value("000712"),
        Value("33.33", "number"),
        Value("46000", "number"),
        Value("2026-05-14", "day"),
        Value("0.3", "number"),
        Value("True"),
        Value("47123", "number"),
        Value("=1+1"),  # openpyxl keeps no value beside it: it is shown, never run
        Value("00-0712"),
    ]


def test_a_stray_cell_in_the_last_row_is_no_million_rows() -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.append(["Part", "Qty"])
    sheet.append(["Hose", 1])
    sheet.cell(1_048_576, 1, "stray")
    out = io.BytesIO()
    book.save(out)
    assert len(table_of("list.xlsx", out.getvalue()).rows) == 2


def test_a_longer_list_is_cut_and_says_so() -> None:
    table = table_of("list.csv", b"Part,Qty\n" + b"Hose,1\n" * (files.MAX_ROWS + 5))
    assert (len(table.rows), table.is_cut) == (files.MAX_ROWS, True)


def packed(size: int) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", b" " * size)
    return out.getvalue()


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "is empty"),
        (b"\n , \n", "is empty"),
        (b"PK\x03\x04 broken", "as a workbook"),
        (b"\xd0\xcf\x11\xe0", "older kind"),
        (b"a\0b", "neither XLSX nor text"),
        (b'a,"' + b"x" * 140_000, "as CSV"),
        (packed(files.UNPACKED_BYTES + 1), "once it is unpacked"),
        (packed(10), "as a workbook"),
    ],
)
def test_what_is_no_list_is_refused_with_a_sentence(
    shop: Workshop, data: bytes, sentence: str
) -> None:
    with pytest.raises(FieldError, match=sentence):
        table_of("list", data)
    page = shop.client.post(LISTS, files={"list": ("list", data)})
    assert (page.status_code, sentence in page.text) == (422, True)


def test_headings_are_found_below_a_title() -> None:
    assert head_row(table_of("list.csv", LIST.encode())) == 3
    assert head_row(table_of("list.csv", b"Hose\nCap\n")) == 0
    assert folded(" Part #: ") == "part number"


def test_each_heading_is_taken_offered_or_left_to_the_note(shop: Workshop) -> None:
    page, sent = look(shop, "Part,Vendr,Shelf,Unit price\nHose,Yard,9,3\n")
    assert [sent[f"column-{n}"] for n in range(4)] == ["what", "vendor", "into-note", "price"]
    assert page.count("A guess. Please check it.") == 1


def test_nothing_is_recorded_before_it_is_confirmed(shop: Workshop) -> None:
    before = len(shop.log.events_of(VISIT))
    page, _ = look(shop, LIST)
    assert "3 lines to add. Nothing is saved yet." in page
    assert len(shop.log.events_of(VISIT)) == before


def test_the_lines_are_added_and_what_was_not_read_is_kept(shop: Workshop) -> None:
    page, sent = look(shop, LIST)
    assert "Price each: “about forty”" in page
    answer = shop.client.post(PREVIEW, data=sent | {"column-4": "asked_on", "add": "1"})
    assert answer.status_code == 200, answer.text
    assert "3 lines added on Nov 25, 2026" in answer.text
    lines = written(shop)
    assert lines["Front brake hose"] == {
        "what": "Front brake hose",
        "number": "000712",
        "quantity": "2",
        "quote_cents": 4783,
        "asked_on": "2026-05-14",
    }
    assert lines['Cap, "big"'] == {
        "what": 'Cap, "big"',
        "quantity": "1",
        "note": "Unit price: about forty",
    }
    assert lines["Seal"] == {"what": "Seal", "number": "12-7", "quote_cents": 130_050}


def test_figures_of_a_workbook_become_cents_and_days(shop: Workshop) -> None:
    rows = [["Part", "Part number", "Price", "Due"], ["Hose", 47123, 1300.5, date(2026, 5, 14)]]
    _, sent = look(shop, workbook(rows), "list.xlsx")
    shop.client.post(PREVIEW, data=sent | ADD)
    assert written(shop)["Hose"] == {
        "what": "Hose",
        "number": "47123",
        "quote_cents": 130_050,
        "due_on": "2026-05-14",
    }


def test_the_same_form_sent_twice_adds_its_lines_once(shop: Workshop) -> None:
    _, sent = look(shop, LIST)
    for _ in range(2):
        assert shop.client.post(PREVIEW, data=sent | ADD).status_code == 200
    paths = [one["put"] for one in shop.log.events_of(VISIT)]
    assert len([path for path in paths if path.endswith("/what")]) == 3


def test_what_was_chosen_is_remembered_for_these_headings_in_any_order(shop: Workshop) -> None:
    _, sent = look(shop, "Thing,Bin\nHose,4\n")
    shop.client.post(PREVIEW, data=sent | {"column-0": "what", "column-1": "old_kept_at"} | ADD)
    _, again = look(shop, "Bin,Thing\n7,Cap\n")
    assert (again["column-0"], again["column-1"]) == ("old_kept_at", "what")
    _, other = look(shop, "Bin,Thing,Qty\n7,Cap,1\n")
    assert other["column-0"] == "into-note"


def test_a_row_can_be_left_out_and_one_that_is_there_is_named(shop: Workshop) -> None:
    _, sent = look(shop, LIST)
    shop.client.post(PREVIEW, data=sent | {"out-5": "1", "add": "1"})
    assert set(written(shop)) == {"Front brake hose", "Seal"}
    page, _ = look(shop, LIST)
    assert page.count("Already on the list.") == 2


def test_two_headings_for_one_column_are_refused_and_nothing_is_lost(shop: Workshop) -> None:
    _, sent = look(shop, LIST)
    page = shop.client.post(PREVIEW, data=sent | {"column-1": "what", "add": "1"})
    assert page.status_code == 422
    assert "can&#39;t both fill Part or work" in page.text
    again = form(page.text, PREVIEW)
    assert (again["column-1"], again["file"]) == ("what", sent["file"])
    assert written(shop) == {}


def test_undo_takes_off_what_nobody_touched_since_and_says_the_rest(shop: Workshop) -> None:
    _, sent = look(shop, LIST)
    added = shop.client.post(PREVIEW, data=sent | ADD)
    seal = next(
        path.split("/")[1]
        for path, cell in shop.snapshot(VISIT).cells.items()
        if cell["value"] == "Seal"
    )
    shop.client.post(
        f"/desk/visits/{VISIT}/parts/changes",
        json={"changes": [(f"parts/{seal}/vendor", "", "Yard")]},
    )
    page = shop.client.get(LISTS).text
    assert "1 line was changed since" in page
    assert "Undo: take 2 lines off" in page
    action = f"{LISTS}/{sent['import']}/undo"
    assert action in added.text
    after = shop.client.post(action, data={})
    assert "Undo: take" not in after.text
    lines = written(shop)
    assert [what for what, line in lines.items() if not line.get("removed")] == ["Seal"]
    assert shop.client.post(f"{LISTS}/{'0' * 12}/undo", data={}).status_code == 404


@pytest.mark.parametrize("value", [3, ""])
def test_a_workbook_is_read_twice_only_where_a_formula_has_no_value(
    value: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    data = io.BytesIO()
    book = xlsxwriter.Workbook(data)
    sheet = book.add_worksheet()
    sheet.write_row(0, 0, ["Part", "Qty"])
    sheet.write(1, 0, "Hose")
    sheet.write_formula(1, 1, "=1+2", None, value)
    book.close()
    opened: list[bool] = []
    load = openpyxl.load_workbook

    def counted(*given: Any, **named: Any) -> Any:
        opened.append(bool(named.get("data_only")))
        return load(*given, **named)

    monkeypatch.setattr(openpyxl, "load_workbook", counted)
    table = files.table_of("list.xlsx", data.getvalue())
    assert table.rows[2] == [Value("Hose"), Value("3", "number") if value else Value("=1+2")]
    assert opened == ([True] if value else [True, False])


def test_a_row_is_as_wide_as_what_it_holds() -> None:
    table = files.table_of("list.xlsx", workbook([["Part", None, "Qty"], ["Hose"], [None, "x"]]))
    assert [len(row) for row in table.rows.values()] == [3, 1, 2]


def test_a_text_like_a_formula_is_a_text_here_and_harmless_there(shop: Workshop) -> None:
    evil = '=HYPERLINK("http://elsewhere.example")'
    _, sent = look(shop, "Part;Qty\n" + f'"{evil.replace(chr(34), chr(34) * 2)}";1\n')
    shop.client.post(PREVIEW, data=sent | ADD)
    assert written(shop)[evil]["what"] == evil


def test_a_list_without_headings_is_read_once_its_columns_are_chosen(shop: Workshop) -> None:
    _, sent = look(shop, "Hose\nCap\n")
    assert (sent["head"], sent["column-0"]) == ("0", "what")
    shop.client.post(PREVIEW, data=sent | ADD)
    assert set(written(shop)) == {"Hose", "Cap"}


def test_another_row_of_headings_is_read_anew(shop: Workshop) -> None:
    _, sent = look(shop, LIST)
    page = shop.client.post(PREVIEW, data=sent | {"head": "0"})
    assert "0 lines to add" in page.text
    assert form(page.text, PREVIEW)["column-0"] == "left-out"


def test_a_file_that_the_page_never_carried_is_refused(shop: Workshop) -> None:
    _, sent = look(shop, LIST)
    for broken in ("", "!", "AAAA"):
        page = shop.client.post(PREVIEW, data=sent | {"file": broken, "add": "1"})
        assert page.status_code == 422
    assert written(shop) == {}
