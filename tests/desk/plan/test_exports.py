"""The plan as a workbook and CSV: read by openpyxl and csv, and read back by the desk.

The oracle of the files is openpyxl and the csv module; that of the formulas is a small evaluation
of the three functions they use (ROUND, SUMIFS, sums), against the plan's own totals.
"""

from __future__ import annotations

import csv
import io
import re
from dataclasses import replace
from typing import Any

import openpyxl
import pytest

from bradawl.desk.model.exports.workbook import plan_workbook
from bradawl.desk.model.plan.build import plan_of
from bradawl.language import Reader, reading_as
from bradawl.language.pseudo import marked
from tests.desk.browse import form
from tests.desk.conftest import VISIT, Workshop
from tests.judge.saying import unsaid

FILES = f"/desk/visits/{VISIT}/exports"
XLSX = f"/desk/visits/{VISIT}/plan.xlsx"
CSV = f"/desk/visits/{VISIT}/plan.csv"
MEND = "electrical.pigtails/mend"
EVIL = '=HYPERLINK("http://elsewhere.example")'


@pytest.fixture
def shop(workshop: Workshop) -> Workshop:
    workshop.begin()
    workshop.write(
        [
            ("brief/hourly_rate", 55),
            ("brief/originality", 50),
            ("items/brakes.pads/grade", {"grade": "dangerous"}),
            ("items/electrical.pigtails/grade", {"grade": "major"}),
            ("plan/periods", [{"name": "Dec", "budget": 900}, {"name": "Jan", "budget": 50}]),
            (
                "plan/remedies/electrical.pigtails/own-1",
                {
                    "title": EVIL,
                    "kind": "mend",
                    "parts": [1, 2, 3],
                    "hours": ["0.1", "0.25", "1"],
                    "need": True,
                    "loss": 31,
                    "also": [],
                },
            ),
            (
                "plan/wants/wish-1",
                {
                    "title": "Radio",
                    "parts": [50, 80, 150],
                    "hours": ["1", "1", "2"],
                    "uses": [],
                    "loss": 41,
                },
            ),
            (
                "plan/wants/vibrates-balance",
                {"title": "Balance", "parts": [9, 9, 9], "hours": ["1", "1", "1"], "need": True},
            ),
            # a wish that somebody picked for what must be mended counts as a need
            ("plan/remedies/electrical.pigtails/harness", {"need": False}),
            ("plan/pick/electrical.pigtails", "electrical.pigtails/harness"),
        ]
    )
    return workshop


def book_of(shop: Workshop) -> openpyxl.Workbook:
    return openpyxl.load_workbook(io.BytesIO(shop.client.get(XLSX).content))


class Calculator:
    """Evaluates the workbook's formulas: + * / parentheses, ROUND, SUMIFS over literal criteria."""

    def __init__(self, book: openpyxl.Workbook) -> None:
        self.book = book

    def value(self, sheet: str, ref: str) -> Any:
        value = self.book[sheet][ref.replace("$", "")].value
        if isinstance(value, str) and value.startswith("=") and self.is_formula(sheet, ref):
            return self.formula(sheet, value[1:])
        return value

    def is_formula(self, sheet: str, ref: str) -> bool:
        return bool(self.book[sheet][ref.replace("$", "")].data_type == "f")

    def formula(self, sheet: str, text: str) -> Any:
        match = re.fullmatch(r"SUMIFS\((\w+:\w+),(\w+:\w+),\"(\w+)\",(\w+:\w+),\"(\w+)\"\)", text)
        if match:
            amounts, first, wanted, second, other = match.groups()
            return sum(
                amount or 0
                for amount, a, b in zip(
                    self.column(sheet, amounts),
                    self.column(sheet, first),
                    self.column(sheet, second),
                    strict=True,
                )
                if a == wanted and b == other
            )
        text = re.sub(
            r"\$?([A-Z]+)\$?(\d+)", lambda m: repr(self.value(sheet, m[1] + m[2]) or 0), text
        )
        return eval(text, {"ROUND": lambda x, n: int(x + 0.5), "__builtins__": {}})

    def column(self, sheet: str, span: str) -> list[Any]:
        return [self.value(sheet, row[0].coordinate) for row in self.book[sheet][span]]


def test_the_totals_of_the_workbook_are_live_and_agree_with_the_plan(shop: Workshop) -> None:
    plan = plan_of(shop.snapshot(VISIT))
    book = book_of(shop)
    sums = Calculator(book)
    for row, total in (
        ("5", plan.total(need=True)),
        ("6", plan.total(need=False)),
        ("7", plan.total()),
    ):
        assert sums.is_formula("Repairs", f"B{row}")
        assert sums.value("Repairs", f"B{row}") == total["low"]
        assert sums.value("Repairs", f"C{row}") == total["likely"]
        assert sums.value("Repairs", f"D{row}") == total["high"]
        # each row is rounded once more, so the expected sum may differ by a unit a row
        assert abs(sums.value("Repairs", f"E{row}") - total["expected"]) <= total["jobs"]
    # live: another rate changes the costs
    book["Repairs"]["B2"] = 110
    assert sums.value("Repairs", "C5") > plan.total(need=True)["likely"]


def test_every_figure_of_the_order_sheet_is_a_formula(shop: Workshop) -> None:
    book = book_of(shop)
    order = book["Jobs"]
    ids = [cell.value for cell in order["B"][2:]]
    plan = plan_of(shop.snapshot(VISIT))
    assert ids == [job.id for job in plan.jobs]
    assert all(cell.data_type == "f" for cell in order["G"][2:])
    # what is paid: the expected cost without lost originality
    sums = Calculator(book)
    paid = {
        row[0].value: sums.value("Repairs", row[17].coordinate)
        for row in book["Repairs"]["A11:R30"]
    }
    assert {job.id: job.paid for job in plan.jobs}.items() <= paid.items()
    assert any(job.paid < job.expected for job in plan.jobs)
    assert [cell.value for cell in book["Budget"]["A"][2:]] == ["Dec", "Jan"]
    assert all(cell.data_type == "f" for cell in book["Budget"]["C"][2:])


def test_a_text_that_begins_like_a_formula_stays_a_text(shop: Workshop) -> None:
    parts = book_of(shop)["Repairs"]
    (cell,) = [cell for cell in parts["C"] if cell.value == EVIL]
    assert cell.data_type == "s"
    rows = list(csv.DictReader(io.StringIO(shop.client.get(CSV).text)))
    assert any(row["Repair"] == f"'{EVIL}" for row in rows)


@pytest.mark.parametrize("locale", ["en-US", "en-XA"])
@pytest.mark.parametrize("address", [XLSX, CSV])
def test_what_was_exported_and_not_changed_changes_nothing(
    shop: Workshop, address: str, locale: str
) -> None:
    """In whatever language it was exported: here it is read in English."""
    shop.write([("plan/periods", [{"name": "", "budget": 900}, {"name": "Jan", "budget": 50}])])
    before = len(shop.log.events_of(VISIT))
    with reading_as(Reader(locale)):
        data = shop.client.get(address).content
    assert (marked("Replace the pads").encode() in data) == (locale == "en-XA" and address == CSV)
    seen = form(shop.client.get(FILES).text, FILES)
    page = shop.client.post(FILES, data=seen, files={"sheet": ("plan", data)})
    assert page.status_code == 200, page.text
    assert "Nothing was different" in page.text
    assert len(shop.log.events_of(VISIT)) == before


def test_an_edited_workbook_comes_back(shop: Workshop) -> None:
    book = book_of(shop)
    parts = book["Repairs"]
    for row in parts.iter_rows(min_row=11):
        if row[0].value == MEND:
            row[8].value = 777
            row[4].value = "want"
        if row[0].value == "wants/wish-1":
            row[2].value = "A better radio"
    parts.append(["brakes.pads", "", "Used pads", "part", "need", "no", 5, 6, 7, 0.5, 0.5, 0.75, 0])
    book["Budget"]["B3"] = 1000
    out = io.BytesIO()
    book.save(out)
    seen = form(shop.client.get(FILES).text, FILES)
    page = shop.client.post(FILES, data=seen, files={"sheet": ("plan.xlsx", out.getvalue())})
    assert "4 entries changed" in page.text
    plan = plan_of(shop.snapshot(VISIT))
    assert plan.remedies[MEND].parts == [10, 15, 777]
    assert not plan.remedies[MEND].need
    assert plan.remedies["brakes.pads/own-1"].hours == ["0.5", "0.5", "0.75"]
    assert plan.periods[0]["budget"] == 1000
    assert "A better radio" in [job.title for job in plan.jobs]


def test_a_csv_with_semicolons_comes_back(shop: Workshop) -> None:
    rows = list(csv.reader(io.StringIO(shop.client.get(CSV).text)))
    for row in rows:
        if row[0] == MEND:
            row[7] = "16"
            row[10] = "1,5"
    out = io.StringIO()
    csv.writer(out, delimiter=";").writerows(rows)
    seen = form(shop.client.get(FILES).text, FILES)
    shop.client.post(
        FILES, data=seen, files={"sheet": ("plan.csv", ("\ufeff" + out.getvalue()).encode())}
    )
    remedy = plan_of(shop.snapshot(VISIT)).remedies[MEND]
    assert remedy.parts == [10, 16, 30]
    assert remedy.hours == ["0.5", "1.5", "2"]


@pytest.mark.parametrize(
    ("name", "data", "sentence"),
    [
        ("a.xlsx", b"PK\x03\x04 broken", "be read as a workbook"),
        ("a.csv", b"\xff\xfe\x00", "neither a workbook nor UTF-8 text"),
        ("a.csv", b"one,two\n1,2\n", "lacks the columns"),
    ],
)
def test_another_file_is_refused_with_a_sentence(
    shop: Workshop, name: str, data: bytes, sentence: str
) -> None:
    seen = form(shop.client.get(FILES).text, FILES)
    page = shop.client.post(FILES, data=seen, files={"sheet": (name, data)})
    assert page.status_code == 422
    assert sentence in page.text


def test_a_wrong_row_is_named_and_nothing_is_recorded(shop: Workshop) -> None:
    before = len(shop.log.events_of(VISIT))
    text = shop.client.get(CSV).text.replace(MEND, "nobody.knows/this", 1)
    seen = form(shop.client.get(FILES).text, FILES)
    page = shop.client.post(FILES, data=seen, files={"sheet": ("plan.csv", text.encode())})
    assert page.status_code == 422
    assert "a repair of this car or one of its faults" in page.text
    assert len(shop.log.events_of(VISIT)) == before


def test_a_service_that_mends_a_finding_has_its_row_in_sheet_and_order(shop: Workshop) -> None:
    plain = shop.snapshot(VISIT)
    row = {
        "id": "oil", "title": "Engine oil", "item": "trim.seats", "evidence": "claimed",
        "due": True, "said": unsaid("Nobody knows."), "source": "assumption", "parts": [1, 1, 1],
        "hours": ["0", "0", "0"], "also": ["brakes.pads"], "done_by": [], "does": [],
    }  # fmt: skip
    due = replace(plain, assessment={**plain.assessment, "baseline": [row]})
    book = openpyxl.load_workbook(io.BytesIO(plan_workbook(due)))
    sums = Calculator(book)
    plan = plan_of(due)
    (job,) = [job for job in plan.jobs if job.service]
    assert job.items == ["brakes.pads"]
    ids = [cell.value for cell in book["Repairs"]["A"]]
    assert "baseline/oil" in ids
    assert sums.value("Repairs", "C7") == plan.total()["likely"]


def test_a_wish_and_a_job_of_its_own_come_back_from_the_workbook(shop: Workshop) -> None:
    book = book_of(shop)
    parts = book["Repairs"]
    for name, figure in (("wants/wish-1", 70), ("wants/vibrates-balance", 7)):
        (row,) = [cell.row for cell in parts["A"] if cell.value == name]
        parts.cell(row, 7, figure)
    sent = io.BytesIO()
    book.save(sent)
    page = form(shop.client.get(FILES).text, FILES)
    answer = shop.client.post(FILES, data=page, files={"sheet": ("plan.xlsx", sent.getvalue())})
    assert "2 entries changed" in answer.text
    cells = shop.snapshot(VISIT).cells
    assert cells["plan/wants/wish-1"]["value"]["parts"] == [70, 80, 150]
    balance = cells["plan/wants/vibrates-balance"]["value"]
    assert (balance["parts"], balance["need"]) == ([7, 9, 9], True)
