"""A list of 5,000 rows read in: what the server spends on its preview, as CSV and as a workbook.

Floor, in turns with it: the libraries alone, reading every cell of the same file once. Goal: 1.5 s.
"""

from __future__ import annotations

import csv
import io
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import openpyxl
import xlsxwriter

from tests.bench.measuring.figures import compared, count, write
from tests.desk.conftest import VISIT, Workshop

ROWS = 5_000
RUNS = 5
GOAL_S = 1.5
ADDRESS = f"/desk/visits/{VISIT}/parts/lists"
HEADS = ["Part", "Qty", "Price", "Vendor", "Part number", "Status", "Ordered on", "Notes"]
STATES = ("needed", "ordered", "arrived", "?")  # the last cannot be read


def rows() -> list[list[Any]]:
    """What somebody keeps in a spreadsheet."""
    made: list[list[Any]] = [HEADS]
    for n in range(ROWS):
        made.append(
            [f"Part {n}", n % 9 + 1, n % 900 + n % 100 / 100, f"Vendor {n % 13}", f"N-{n}",
             STATES[n % 4], "11/20/2025", f"note {n}"]
        )  # fmt: skip
    return made


def as_csv(made: list[list[Any]]) -> bytes:
    text = io.StringIO()
    csv.writer(text).writerows(made)
    return text.getvalue().encode()


def as_workbook(made: list[list[Any]]) -> bytes:
    data = io.BytesIO()
    book = xlsxwriter.Workbook(data)
    sheet = book.add_worksheet()
    for number, row in enumerate(made):
        sheet.write_row(number, 0, row)
    book.close()
    return data.getvalue()


def read_csv(data: bytes) -> None:
    list(csv.reader(io.StringIO(data.decode())))


def read_workbook(data: bytes) -> None:
    book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True)
    for sheet in book.worksheets:
        list(sheet.iter_rows(values_only=True))


def spent_s(act: Callable[[], Any]) -> float:
    began = time.process_time()
    act()
    return time.process_time() - began


def main() -> None:
    made = rows()
    told = []
    with tempfile.TemporaryDirectory() as folder:
        shop = Workshop(Path(folder))
        shop.begin()
        for name, data, floor in (
            ("list.csv", as_csv(made), read_csv),
            ("list.xlsx", as_workbook(made), read_workbook),
        ):

            def preview(name: str = name, data: bytes = data) -> None:
                page = shop.client.post(ADDRESS, files={"list": (name, data)})
                assert page.status_code == 200

            preview()
            floors, figures = [], []
            for _ in range(count("BRADAWL_RUNS", RUNS)):
                figures.append(spent_s(preview))
                floors.append(spent_s(lambda data=data, floor=floor: floor(data)))
            what = f"preview of {ROWS} rows, {name}, processor"
            told.append(compared(what, figures, floors, goal=GOAL_S) | {"bytes": len(data)})
        shop.log.close()
    write("lists", told)


if __name__ == "__main__":
    main()
