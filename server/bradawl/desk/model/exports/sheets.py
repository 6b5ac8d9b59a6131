"""One sheet of a workbook: texts that stay texts, figures with their format, formulas with values.

A formula is written with the value it has, so that a program which does not calculate shows it too.
"""

from __future__ import annotations

import io
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from xlsxwriter import Workbook
from xlsxwriter.format import Format
from xlsxwriter.utility import xl_cell_to_rowcol, xl_range
from xlsxwriter.worksheet import Worksheet

from bradawl.common.display_text import for_cell
from bradawl.language import currency_sign, current

__all__ = ["Book", "SheetWriter"]

#: Paper by its number in the file (ECMA-376 part 1, 18.3.1.63 pageSetup).
PAPER = {"letter": 1, "a4": 9}
#: A day as the reader's own program writes days (ECMA-376 part 1, 18.8.30 numFmt, id 14).
DAY = 14
HEADING_POINTS = 32  # two lines: nothing works out a height before it is opened
TABLE_STYLE = "Table Style Light 1"  # the name of a style: not shown


class Book:
    """A workbook in memory, with its formats."""

    def __init__(self, currency: str) -> None:
        self._out = io.BytesIO()
        options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}
        self.book = Workbook(self._out, options)
        sign = currency_sign(currency or current().currency).replace('"', "")
        self._shown: dict[str, dict[str, Any]] = {
            "": {"text_wrap": True},
            "units": {"num_format": f'"{sign}"#,##0'},
            "money": {"num_format": f'"{sign}"#,##0.00'},
            "hours": {"num_format": "0.##"},
            "percent": {"num_format": "0%"},
            "day": {"num_format": DAY, "align": "left"},
            "title": {"bold": True, "font_size": 14},
            "heading": {"bold": True, "text_wrap": True},
        }
        self._formats: dict[str, Format] = {}

    def format(self, name: str) -> Format:
        """A format by its name."""
        if name not in self._formats:
            self._formats[name] = self.book.add_format({"valign": "top", **self._shown[name]})
        return self._formats[name]

    def sheet(self, title: str) -> SheetWriter:
        """A further sheet."""
        return SheetWriter(self, self.book.add_worksheet(title), title)

    def data(self) -> bytes:
        """The file."""
        self.book.close()
        return self._out.getvalue()


class SheetWriter:
    """Writes one sheet; rows and columns count from 1, as a person's do."""

    def __init__(self, book: Book, sheet: Worksheet, title: str) -> None:
        self.book, self.sheet, self.title = book, sheet, title
        paper = "a4" if current().paper.lower() == "a4" else "letter"
        sheet.set_paper(PAPER[paper])
        sheet.set_landscape()
        sheet.set_margins(left=0.5, right=0.5, top=0.6, bottom=0.6)
        sheet.fit_to_pages(1, 0)  # as wide as the paper, as many pages as it takes
        sheet.set_footer("&L&A&R&P / &N")

    @property
    def name(self) -> str:
        """The sheet's name within a formula."""
        return "'" + self.title.replace("'", "''") + "'"

    def put(self, row: int, column: int, value: Any, shown: str = "") -> None:
        """A text, a figure, a day (`shown` "day", YYYY-MM-DD); nothing for "" and None."""
        if value in ("", None):
            return
        form = self.book.format(shown)
        if shown == "day":
            value = _day(value)
        if isinstance(value, date):
            self.sheet.write_datetime(row - 1, column - 1, value, form)
        elif isinstance(value, int | float):
            self.sheet.write_number(row - 1, column - 1, value, form)
        else:
            self.sheet.write_string(row - 1, column - 1, for_cell(str(value)), form)

    def formula(self, ref: str, formula: str, value: float | str, shown: str = "") -> None:
        """A formula at `B7`, and what it comes to."""
        row, column = xl_cell_to_rowcol(ref)
        self.sheet.write_formula(row, column, formula, self.book.format(shown), value)

    def headings(self, row: int, titles: Sequence[str], widths: Mapping[int, int]) -> None:
        """Headings, repeated on each page and kept in sight; `widths` by column, 11 else."""
        for column, title in enumerate(titles, start=1):
            self.put(row, column, title, "heading")
            self.sheet.set_column(column - 1, column - 1, widths.get(column, 11))
        self.sheet.set_row(row - 1, HEADING_POINTS)
        self.sheet.repeat_rows(row - 1)

    def keys(self, row: int, keys: Sequence[str]) -> None:
        """A hidden row of keys, by which an import knows the columns in any language."""
        for column, key in enumerate(keys, start=1):
            self.put(row, column, key)
        self.sheet.set_row(row - 1, None, None, {"hidden": True})

    def filters(self, row: int, last: int, columns: int) -> None:
        """Filter buttons on the headings in `row`."""
        self.sheet.autofilter(row - 1, 0, max(last, row) - 1, columns - 1)

    def printed(self, last: int, columns: int) -> None:
        """Only so many columns are printed: Letter has room for them in letters one can read."""
        self.sheet.print_area(0, 0, last - 1, columns - 1)

    def table(self, row: int, last: int, titles: Sequence[str]) -> None:
        """Makes headings and rows a table, which sorts and filters as one."""
        if last > row:
            bold = self.book.format("heading")
            headers = [{"header": for_cell(title), "header_format": bold} for title in titles]
            span = xl_range(row - 1, 0, last - 1, len(titles) - 1)
            self.sheet.add_table(span, {"columns": headers, "style": TABLE_STYLE})


def _day(text: str) -> date | str:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return text
