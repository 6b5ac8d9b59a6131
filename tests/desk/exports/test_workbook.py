"""The workbook as LibreOffice calculates it, and the tables for other programs.

The oracle of every formula is LibreOffice: it opens a copy without the values that the file keeps
beside its formulas (it would show those as they are), works them out and saves them. The sums of
parts and ledger are also worked out by hand; the JSON is held against its schema by jsonschema.
"""

from __future__ import annotations

import csv
import io
import json
import re
import subprocess
import zipfile
from pathlib import Path
from typing import Any

import jsonschema
import openpyxl
import pytest

import bradawl.desk
from tests.desk.browse import form
from tests.desk.conftest import VISIT, Workshop

CAR = f"/desk/visits/{VISIT}"
HOSE, CAP, SEAL, BACK = (letter * 12 for letter in "abcd")
EVIL = '=HYPERLINK("http://elsewhere.example")'
MEND = "electrical.pigtails/mend"


@pytest.fixture
def shop(workshop: Workshop) -> Workshop:
    workshop.begin()
    paid = {"kind": "part", "date": "2025-11-20"}
    workshop.write(
        [
            ("about/currency", "USD"),
            ("brief/hourly_rate", 55),
            ("brief/originality", 50),
            ("items/brakes.pads/grade", {"grade": "dangerous"}),
            ("items/electrical.pigtails/grade", {"grade": "major"}),
            ("plan/periods", [{"name": "Dec", "budget": 900}, {"name": "Jan", "budget": 50}]),
            (
                "plan/wants/wish-1",
                # halves everywhere: 0.25 h at 55 is 13.75, half of 41 is 20.5
                {"title": EVIL, "parts": [1, 2, 4], "hours": ["0.25", "0.5", "1"], "loss": 41},
            ),
            (f"parts/{HOSE}/what", "Front brake hose"),
            (f"parts/{HOSE}/number", "000712"),
            (f"parts/{HOSE}/job", MEND),
            (f"parts/{HOSE}/quantity", "2"),
            (f"parts/{HOSE}/quote_cents", 4783),
            (f"parts/{HOSE}/freight_cents", 650),
            (f"parts/{HOSE}/due_on", "2026-05-14"),
            (f"parts/{CAP}/what", EVIL),
            (f"parts/{CAP}/low_cents", 4001),
            (f"parts/{CAP}/high_cents", 6000),
            (f"parts/{CAP}/core_cents", 1000),
            (f"parts/{SEAL}/what", "Seal, no price"),
            (f"parts/{BACK}/what", "Wrong one"),
            (f"parts/{BACK}/state", "returned"),
            (f"parts/{BACK}/quote_cents", 999),
            (f"ledger/{HOSE}", paid | {"amount_cents": 10_216, "what": EVIL, "jobs": [MEND]}),
            (f"ledger/{CAP}", paid | {"amount_cents": 5000, "vendor": "Yard"}),
            (f"ledger/{SEAL}", paid | {"amount_cents": 5100, "replaces": CAP}),
            (f"ledger/{BACK}", paid | {"kind": "refund", "amount_cents": 1000}),
            ("ledger/" + "e" * 12, {"kind": "labor_mine", "hours": "2.5", "jobs": [MEND]}),
            (f"work/{MEND}/done/{HOSE}", {"title": "Plugs", "date": "2025-11-22", "note": EVIL}),
        ]
    )
    return workshop


def uncached(data: bytes) -> bytes:
    """The workbook without the values that stand beside its formulas."""
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as old, zipfile.ZipFile(out, "w") as new:
        for part in old.infolist():
            body = old.read(part)
            if part.filename.startswith("xl/worksheets/sheet"):
                body = re.sub(rb"(</f>)<v>[^<]*</v>", rb"\1", body)
            new.writestr(part.filename, body)
    return out.getvalue()


def recalculated(data: bytes, folder: Path) -> openpyxl.Workbook:
    (folder / "in").mkdir()
    (folder / "in" / "book.xlsx").write_bytes(data)
    subprocess.run(
        [
            "soffice",
            f"-env:UserInstallation={(folder / 'profile').as_uri()}",
            *("--headless", "--convert-to", "xlsx", "--outdir", str(folder / "out")),
            str(folder / "in" / "book.xlsx"),
        ],
        check=True,
        capture_output=True,
    )
    return openpyxl.load_workbook(folder / "out" / "book.xlsx", data_only=True)


def opened(data: bytes, *, values: bool) -> openpyxl.Workbook:
    return openpyxl.load_workbook(io.BytesIO(data), data_only=values)


@pytest.mark.parametrize("paid", [False, True])
def test_every_value_beside_a_formula_is_what_libreoffice_makes_of_it(
    shop: Workshop, tmp_path: Path, paid: bool
) -> None:
    if paid:
        shop.write([("brief/labor_paid", True)])
    data = shop.client.get(f"{CAR}/plan.xlsx").content
    formulas, kept = opened(data, values=False), opened(data, values=True)
    worked_out = recalculated(uncached(data), tmp_path)
    compared: dict[str, int] = {}
    for sheet in formulas:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    ours = kept[sheet.title][cell.coordinate].value
                    theirs = worked_out[sheet.title][cell.coordinate].value
                    assert (ours or 0) == pytest.approx(theirs or 0, abs=1e-9), (
                        sheet.title,
                        cell.coordinate,
                        cell.value,
                    )
                    compared[sheet.title] = compared.get(sheet.title, 0) + 1
    assert set(compared) == {
        *("Repairs", "Jobs", "Budget", "Parts list", "Ledger", "Planned and actual")
    }
    assert sum(compared.values()) > 40


def test_the_sums_of_parts_and_ledger_are_those_worked_out_by_hand(shop: Workshop) -> None:
    book = opened(shop.client.get(f"{CAR}/plan.xlsx").content, values=True)
    # hose: 2 x 47.83 + 6.50 = 102.16; cap: (40.01 + 4 x 50.01 + 60.00)/6 + 10.00 = 60.01 (60.0083)
    # the likely price is (40.01 + 60.00)/2, half up; what went back is not in the sum
    assert [row[5].value for row in book["Parts list"].iter_rows(min_row=4)][:2] == [102.16, 60.01]
    assert book["Parts list"]["F1"].value == 162.17
    # 102.16 + 51.00 in place of 50.00 - 10.00
    assert book["Ledger"]["D1"].value == 143.16
    assert [cell.value for cell in book["Ledger"]["E"][3:]].count("no") == 1


def test_it_looks_right_on_opening(shop: Workshop) -> None:
    book = opened(shop.client.get(f"{CAR}/plan.xlsx").content, values=False)
    assert book.sheetnames == [
        *("Repairs", "Jobs", "Budget", "Parts list", "Ledger", "Work log", "Planned and actual")
    ]
    for sheet in book:
        setup = sheet.page_setup
        # 1 is Letter (ECMA-376 part 1, 18.3.1.63)
        assert (setup.paperSize, setup.orientation) == (1, "landscape")
        assert (sheet.sheet_properties.pageSetUpPr.fitToPage, setup.fitToHeight) == (True, 0)
        assert sheet.print_title_rows
        assert sheet.freeze_panes
        assert sheet.auto_filter.ref or sheet.tables or sheet.title == "Budget"
    parts = book["Parts list"]
    assert len(parts.tables) == 1
    assert (parts["E4"].number_format, parts["J4"].is_date) == ('"$"#,##0.00', True)
    assert (parts["H4"].value, parts["A5"].value) == ("000712", EVIL)
    evil = [
        cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value == EVIL
    ]
    assert {cell.data_type for cell in evil} == {"s"}
    assert len(evil) >= 4
    assert not any(cell.hyperlink for cell in evil)


@pytest.mark.parametrize("name", ["parts", "ledger"])
def test_the_json_is_as_its_schema_says(shop: Workshop, name: str) -> None:
    folder = Path(bradawl.desk.__file__).parent / "static"
    schema = json.loads((folder / f"{name}-1.schema.json").read_text(encoding="utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    record = shop.client.get(f"{CAR}/{name}.json").json()
    jsonschema.Draft202012Validator(schema).validate(record)
    assert shop.client.get(record["$schema"]).json() == schema


def test_the_json_of_the_ledger_says_what_counts(shop: Workshop) -> None:
    record = shop.client.get(f"{CAR}/ledger.json").json()
    counts = {entry["id"]: entry["counts"] for entry in record["entries"]}
    assert {name for name, holds in counts.items() if not holds} == {CAP}


def table(shop: Workshop, name: str) -> list[dict[str, Any]]:
    return list(csv.DictReader(io.StringIO(shop.client.get(f"{CAR}/{name}.csv").text)))


def test_a_csv_holds_what_stands_and_runs_nothing(shop: Workshop) -> None:
    parts = table(shop, "parts")
    assert [row["Part or work"] for row in parts][:2] == ["Front brake hose", f"'{EVIL}"]
    assert (parts[0]["Price each"], parts[0]["Due"]) == ("47.83", "May 14, 2026")
    ledger = table(shop, "ledger")
    assert {row["Amount"] for row in ledger} == {"102.16", "51", "-10", ""}


def test_the_parts_csv_comes_back_as_the_same_lines(shop: Workshop) -> None:
    lists = f"{CAR}/parts/lists"
    data = shop.client.get(f"{CAR}/parts.csv").content
    page = shop.client.post(lists, files={"list": ("parts.csv", data)})
    assert "be read" not in page.text.split("What each row becomes")[1]
    sent = form(page.text, f"{lists}/preview")
    assert "into-note" not in sent.values()
    shop.client.post(f"{lists}/preview", data=sent | {"add": "1"})
    again = table(shop, "parts")
    assert again[4:] == again[:4]
